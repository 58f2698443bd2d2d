package slabside.kit;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.TreeMap;
import slabside.measure.BadInput;
import slabside.measure.Mass;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.StudioView;

/**
 * A studio for a test, empty at first and filled by its methods, each of which gives it back. Newest things and entries are
 * those added last. Not thread-safe.
 */
public final class MadeUpStudio implements StudioView {
    private final Map<String, List<Documented>> documented = new LinkedHashMap<>();
    private final Map<String, List<Impression>> impressions = new LinkedHashMap<>();
    private final List<Thing> things = new ArrayList<>();
    private final List<Material> materials = new ArrayList<>();
    private final Map<String, Composition> vessels = new LinkedHashMap<>();
    private final Map<String, TreeMap<Long, Composition>> before = new LinkedHashMap<>();
    private final Map<String, List<Planned>> recipes = new LinkedHashMap<>();
    private final List<PastRun> pastRuns = new ArrayList<>();
    private final List<PrintedRun> printedRuns = new ArrayList<>();
    private final List<Curating> curatings = new ArrayList<>();
    private final List<Job> jobs = new ArrayList<>();
    private final Map<String, RunRecord> runs = new LinkedHashMap<>();
    private final Map<String, List<Carrier>> carriers = new LinkedHashMap<>();
    private final Map<String, Facts> facts = new LinkedHashMap<>();
    private final List<Path> paths = new ArrayList<>();
    private final List<Reading> readings = new ArrayList<>();
    private final List<ColourReading> colours = new ArrayList<>();
    private final List<Moment> moments = new ArrayList<>();
    private final Map<String, Answer> rebuilt = new LinkedHashMap<>();
    private final Map<String, List<RunInk>> inks = new LinkedHashMap<>();
    private final List<Flow> flows = new ArrayList<>();
    private final List<PrintedThen> printed = new ArrayList<>();
    private final Map<String, TalliedRun> tallies = new LinkedHashMap<>();
    private Mass step = new Mass(100);
    private String zone = "UTC";

    /**
     * @param kind such as "packet"
     */
    public MadeUpStudio with(String kind, String id, String name) {
        things.add(0, new Thing(id, kind, name, ""));
        return this;
    }

    /**
     * @param role such as "base" or "ink"
     */
    public MadeUpStudio material(String id, String name, String role) {
        return with(new Material(id, name, role, ""));
    }

    public MadeUpStudio with(Material material) {
        materials.add(material);
        return with("material", material.id(), material.name());
    }

    /** A vessel that holds so many grams of one material, each known to ± 0.1 g (k = 1). */
    public MadeUpStudio holding(String kind, String id, String name, Material material, double grams) {
        vessels.put(
                id,
                new Composition(
                        id,
                        name,
                        new Uncertain(grams, 0.1),
                        List.of(new Share(material, new Uncertain(1, 0), new Uncertain(grams, 0.1))),
                        List.of()));
        return with(kind, id, name);
    }

    /** A vessel with what is in it, now and at any other time. */
    public MadeUpStudio with(Composition composition) {
        vessels.put(composition.vessel(), composition);
        return this;
    }

    public MadeUpStudio recipe(String id, Planned... lines) {
        recipes.put(id, List.of(lines));
        return this;
    }

    public MadeUpStudio with(PastRun run) {
        pastRuns.add(0, run);
        return this;
    }

    public MadeUpStudio with(PrintedRun run) {
        printedRuns.add(0, run);
        return this;
    }

    public MadeUpStudio with(Curating curating) {
        curatings.add(0, curating);
        return this;
    }

    public MadeUpStudio with(Job job) {
        jobs.add(0, job);
        return this;
    }

    /** A run that can be picked. */
    public MadeUpStudio with(RunRecord run) {
        runs.put(run.run(), run);
        return with("run", run.run(), run.name());
    }

    public MadeUpStudio carrying(String vessel, Carrier... prints) {
        carriers.put(vessel, List.of(prints));
        return this;
    }

    public MadeUpStudio with(Facts told) {
        facts.put(told.id(), told);
        return this;
    }

    public MadeUpStudio with(Path path) {
        paths.add(path);
        return this;
    }

    public MadeUpStudio with(Reading reading) {
        readings.add(reading);
        return this;
    }

    public MadeUpStudio with(ColourReading reading) {
        colours.add(reading);
        return this;
    }

    public MadeUpStudio with(Moment moment) {
        moments.add(0, moment);
        return this;
    }

    /** How a vessel is made again, whatever the batch. */
    public MadeUpStudio rebuilding(String vessel, Answer answer) {
        rebuilt.put(vessel, answer);
        return this;
    }

    /** Inks of a run or edition. */
    public MadeUpStudio inks(String runOrEdition, RunInk... of) {
        inks.put(runOrEdition, List.of(of));
        return this;
    }

    /** Ink that moved, at whatever time is asked for. */
    public MadeUpStudio with(Flow flow) {
        flows.add(flow);
        return this;
    }

    /** What was printed, at whatever time is asked for. */
    public MadeUpStudio with(PrintedThen run) {
        printed.add(run);
        return this;
    }

    public MadeUpStudio tallying(String run, TalliedRun tally) {
        tallies.put(run, tally);
        return this;
    }

    /** Where the studio is; at first in UTC. */
    public MadeUpStudio in(String timeZone) {
        zone = timeZone;
        return this;
    }

    public MadeUpStudio scaleStep(Mass finest) {
        step = finest;
        return this;
    }

    /**
     * An edition pull with nothing said of it but its number and moment.
     *
     * @param readings by what they are called, such as "density"
     */
    public static PullRow pull(int number, long millis, Map<String, Double> readings) {
        return new PullRow(
                "pull-" + number,
                millis,
                number,
                "S-" + number,
                "good",
                false,
                OptionalInt.empty(),
                List.of(),
                readings,
                "",
                "",
                List.of(),
                "",
                Optional.empty());
    }

    /** A flat that was cleaned up, of no edition, with nothing said of it but its pulls. */
    public static RunRecord run(String id, String name, List<PullRow> pulls) {
        return new RunRecord(id, name, "", "flat", false, Map.of(), List.of(), pulls, List.of(), List.of());
    }

    @Override
    public List<Thing> find(String kind, String query) {
        String words = query.toLowerCase(Locale.ROOT);
        return things.stream()
                .filter(thing -> kind.isEmpty() || thing.kind().equals(kind))
                .filter(thing -> (thing.name() + " " + thing.label() + " " + thing.id())
                        .toLowerCase(Locale.ROOT)
                        .contains(words))
                .limit(PAGE)
                .toList();
    }

    @Override
    public List<Thing> every(String kind) {
        return things.stream().filter(thing -> thing.kind().equals(kind)).toList();
    }

    @Override
    public Optional<Thing> thing(String kind, String idOrName) {
        List<Thing> exact = things.stream()
                .filter(thing -> kind.isEmpty() || thing.kind().equals(kind))
                .filter(thing -> thing.id().equals(idOrName) || thing.name().equals(idOrName))
                .toList();
        return exact.size() == 1 ? Optional.of(exact.get(0)) : Optional.empty();
    }

    @Override
    public Composition composition(String vessel) {
        return vessels.getOrDefault(vessel, new Composition(vessel, "", new Uncertain(0, 0), List.of(), List.of()));
    }

    /** As much as is in it; not known where it has gaps. */
    @Override
    public Optional<Uncertain> left(String vessel) {
        Composition in = composition(vessel);
        return in.gaps().isEmpty() ? Optional.of(in.grams()) : Optional.empty();
    }

    @Override
    public Composition compositionAt(String vessel, long millis) {
        Map.Entry<Long, Composition> then =
                before.getOrDefault(vessel, new TreeMap<>()).floorEntry(millis);
        return then == null ? composition(vessel) : then.getValue();
    }

    /** What {@link #then} says was in it at that moment, else what is in it. */
    @Override
    public Composition compositionAfter(String vessel, String event) {
        return paths.stream()
                .filter(path -> path.event().equals(event))
                .findFirst()
                .map(Path::millis)
                .or(() -> moment(event).map(Moment::millis))
                .map(millis -> compositionAt(vessel, millis))
                .orElseGet(() -> new Composition(vessel, "", new Uncertain(0, 0), List.of(), List.of()));
    }

    /** What the log knows of an edition, and its impressions. */
    public MadeUpStudio documenting(String edition, List<Documented> groups, List<Impression> numbered) {
        documented.put(edition, List.copyOf(groups));
        impressions.put(edition, List.copyOf(numbered));
        return this;
    }

    /** A vessel with what was in it from one moment on, until the next that is given. */
    public MadeUpStudio then(long millis, Composition composition) {
        before.computeIfAbsent(composition.vessel(), any -> new TreeMap<>()).put(millis, composition);
        return this;
    }

    @Override
    public List<Path> into(String vessel) {
        return paths.stream().filter(path -> path.into().equals(vessel)).toList();
    }

    @Override
    public List<Path> from(String vessel) {
        return paths.stream().filter(path -> path.from().equals(vessel)).toList();
    }

    @Override
    public List<Reading> readings(String thing) {
        return readings.stream().filter(reading -> reading.of().equals(thing)).toList();
    }

    @Override
    public List<ColourReading> colourReadings(String thing) {
        return colours.stream().filter(reading -> reading.of().equals(thing)).toList();
    }

    @Override
    public Page story(String thing, String next) {
        return page(
                moments.stream()
                        .filter(moment -> moment.about().contains(thing))
                        .toList(),
                next);
    }

    @Override
    public Page events(String type, String next) {
        return page(
                moments.stream()
                        .filter(moment ->
                                moment.type().equals(type) || moment.type().startsWith(type + "."))
                        .toList(),
                next);
    }

    private static Page page(List<Moment> all, String next) {
        int from = next.isEmpty() ? 0 : Integer.parseInt(next);
        int to = Math.min(all.size(), from + PAGE);
        return new Page(all.subList(from, to), to < all.size() ? String.valueOf(to) : "");
    }

    @Override
    public Optional<Moment> moment(String event) {
        return moments.stream().filter(each -> each.event().equals(event)).findFirst();
    }

    @Override
    public List<Planned> recipe(String id) {
        return recipes.getOrDefault(id, List.of());
    }

    @Override
    public List<Material> materials() {
        return List.copyOf(materials);
    }

    @Override
    public List<PastRun> pastRuns() {
        return List.copyOf(pastRuns);
    }

    @Override
    public List<PrintedRun> printedRuns() {
        return List.copyOf(printedRuns);
    }

    @Override
    public List<Curating> curatings() {
        return List.copyOf(curatings);
    }

    @Override
    public List<Job> jobs() {
        return List.copyOf(jobs);
    }

    @Override
    public Optional<Job> job(String edition) {
        return jobs.stream().filter(job -> job.edition().equals(edition)).findFirst();
    }

    @Override
    public List<Documented> documentation(String edition) {
        return documented.getOrDefault(edition, List.of());
    }

    @Override
    public List<Impression> impressions(String edition) {
        return impressions.getOrDefault(edition, List.of());
    }

    @Override
    public Answer rebuilt(String vessel, Mass batch) {
        Answer answer = rebuilt.get(vessel);
        if (answer == null) {
            throw new BadInput("mix", vessel, "nothing was in it");
        }
        return answer;
    }

    @Override
    public List<RunInk> inkOf(String runOrEdition) {
        return inks.getOrDefault(runOrEdition, List.of());
    }

    @Override
    public List<Flow> flows(long from, long until) {
        return List.copyOf(flows);
    }

    @Override
    public List<PrintedThen> printed(long from, long until) {
        return List.copyOf(printed);
    }

    @Override
    public Optional<TalliedRun> tallied(String run) {
        return Optional.ofNullable(tallies.get(run));
    }

    @Override
    public Optional<RunRecord> runRecord(String run) {
        return Optional.ofNullable(runs.get(run));
    }

    @Override
    public List<Carrier> carriers(String vessel) {
        return carriers.getOrDefault(vessel, List.of());
    }

    @Override
    public List<String> runsOf(String edition) {
        return runs.values().stream()
                .filter(run -> run.edition().equals(edition))
                .map(RunRecord::run)
                .toList();
    }

    @Override
    public Optional<Facts> facts(String id) {
        return Optional.ofNullable(facts.get(id));
    }

    @Override
    public List<Facts> factsOfAll(String kind) {
        return facts.values().stream().filter(each -> each.kind().equals(kind)).toList();
    }

    @Override
    public String zone() {
        return zone;
    }

    @Override
    public Mass scaleStep() {
        return step;
    }
}
