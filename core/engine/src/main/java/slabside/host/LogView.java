package slabside.host;

import java.math.BigDecimal;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Set;
import java.util.function.Function;
import java.util.function.Supplier;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import slabside.edition.Edition;
import slabside.edition.Register;
import slabside.edition.Run;
import slabside.edition.Runs;
import slabside.edition.Tally;
import slabside.event.Catalogue;
import slabside.event.EditionEvent;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.InkEvent;
import slabside.event.PluginEvent;
import slabside.event.PressEvent;
import slabside.event.StudioEvent;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.helper.JsonTree;
import slabside.ink.Contents;
import slabside.ink.Ledger;
import slabside.ink.Rebuild;
import slabside.ink.Shelf;
import slabside.measure.BadInput;
import slabside.measure.Lab;
import slabside.measure.Mass;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Json;
import slabside.plugin.StudioView;
import slabside.views.Role;
import slabside.views.Sentence;
import slabside.views.StoryKey;
import slabside.views.Timeline;
import slabside.views.Told;
import slabside.views.Views;

/** The studio as plugins may see it, from the log as it stands; made anew for each answer. */
final class LogView implements StudioView {
    private static final ThingId NOTHING = new ThingId("no-such-thing");
    private static final int MOST_JOBS = 30;
    private static final int MOST_MIXES = 100;
    private static final int MOST_CANS = 50;
    private static final int MOST_FACTS = 40;
    private static final double MS_PER_HOUR = 3_600_000;

    private final Views views;
    private final Runs runs;
    private final Shelf shelf;
    private final Function<ThingId, String> names;
    private final Supplier<Mass> step;
    private final AddedChecks added;

    /** Each edition is folded once for one answer. */
    private final Map<ThingId, Edition> editions = new HashMap<>();

    /**
     * @param names what things and people are called on papers
     * @param added what plugins hold runs against, beside the rules of the trade
     */
    LogView(
            Views views,
            Runs runs,
            Shelf shelf,
            Function<ThingId, String> names,
            Supplier<Mass> step,
            AddedChecks added) {
        this.names = names;
        this.views = views;
        this.runs = runs;
        this.shelf = shelf;
        this.step = step;
        this.added = added;
    }

    @Override
    public List<StudioView.Thing> find(String kind, String query) {
        return views.things(kind, query, PAGE).stream().map(this::shown).toList();
    }

    @Override
    public List<StudioView.Thing> every(String kind) {
        return views.things(kind, "", Integer.MAX_VALUE).stream()
                .map(this::shown)
                .toList();
    }

    @Override
    public Optional<StudioView.Thing> thing(String kind, String idOrName) {
        List<slabside.views.Thing> called = views.called(kind, idOrName);
        return called.size() == 1 ? Optional.of(shown(called.get(0))) : Optional.empty();
    }

    private StudioView.Thing shown(slabside.views.Thing thing) {
        return new StudioView.Thing(thing.id().text(), thing.kind(), called(thing.id()), thing.label());
    }

    @Override
    public Composition composition(String vessel) {
        return composition(vessel, runs.ledger().now(id(vessel)));
    }

    @Override
    public Optional<Uncertain> left(String vessel) {
        return runs.ledger().left(id(vessel)).grams();
    }

    @Override
    public Composition compositionAt(String vessel, long millis) {
        return composition(vessel, runs.ledger().at(id(vessel), StoryKey.endOf(millis)));
    }

    @Override
    public Composition compositionAfter(String vessel, String event) {
        Optional<Told> told = EventId.isUuid(event) ? views.told(new EventId(event)) : Optional.empty();
        return composition(
                vessel,
                told.map(each -> runs.ledger().at(id(vessel), each.key()))
                        .orElseGet(() -> runs.ledger().at(NOTHING, StoryKey.LAST)));
    }

    private Composition composition(String vessel, Contents contents) {
        return new Composition(
                vessel,
                called(id(vessel)),
                contents.grams(),
                contents.byMaterial(runs.ledger()::material).stream()
                        .map(part -> new Share(material(part.id()), part.share(), part.grams()))
                        .toList(),
                contents.gaps());
    }

    @Override
    public List<Path> into(String vessel) {
        ThingId into = id(vessel);
        return runs.ledger().steps(into).stream()
                .filter(each -> views.canonical(each.to()).equals(into))
                .map(this::path)
                .toList();
    }

    @Override
    public List<Path> from(String vessel) {
        ThingId from = id(vessel);
        return runs.ledger().steps(from).stream()
                .filter(each -> views.canonical(each.from()).equals(from))
                .map(this::path)
                .toList();
    }

    /** By its name; a packet without one by the mix that was wrapped in it. */
    private String called(ThingId vessel) {
        boolean nameless = views.thing(vessel)
                .filter(thing -> thing.kind().equals("packet") && thing.name().isEmpty())
                .isPresent();
        String from = nameless
                ? views.of(vessel, Set.of(Role.IN), StoryKey.LAST).stream()
                        .filter(told -> told.event() instanceof InkEvent.Moved)
                        .map(told -> views.name(((InkEvent.Moved) told.event()).from()))
                        .distinct()
                        .collect(Collectors.joining(" and "))
                : "";
        return from.isEmpty() ? views.name(vessel) : from + ", wrapped";
    }

    private Path path(Ledger.Step each) {
        return new Path(
                each.told().id().text(),
                each.told().key().millis(),
                each.from().text(),
                views.name(each.from()),
                each.to().text(),
                views.name(each.to()),
                each.told().event() instanceof InkEvent.Moved moved ? EventCodec.word(moved.why()) : "pulled",
                each.grams());
    }

    @Override
    public List<Reading> readings(String thing) {
        List<Reading> readings = new ArrayList<>();
        for (Told told : views.of(id(thing), Set.of(Role.NOTED), StoryKey.LAST)) {
            if (told.event() instanceof PressEvent.Measured e) {
                reading(readings, told, thing, e.sheet(), e.quantity(), e.value(), e.unit() == null ? "" : e.unit());
            } else if (told.event() instanceof TestEvent.ColourRead e) {
                if (e.density() != null) {
                    reading(readings, told, thing, e.sheet(), "density", e.density(), "");
                }
                Lab lab = e.lab();
                if (lab != null) {
                    reading(readings, told, thing, e.sheet(), "L*", lab.l(), "");
                    reading(readings, told, thing, e.sheet(), "a*", lab.a(), "");
                    reading(readings, told, thing, e.sheet(), "b*", lab.b(), "");
                }
            }
        }
        return readings;
    }

    private void reading(
            List<Reading> readings,
            Told told,
            String of,
            @Nullable ThingId sheet,
            String quantity,
            BigDecimal value,
            String unit) {
        readings.add(new Reading(
                told.id().text(),
                told.key().millis(),
                of,
                sheet == null ? "" : views.name(sheet),
                quantity,
                value.doubleValue(),
                unit));
    }

    @Override
    public List<ColourReading> colourReadings(String thing) {
        ThingId asked = id(thing);
        List<ThingId> read = new ArrayList<>(List.of(asked));
        Map<ThingId, Told> drawdowns = new HashMap<>();
        views.thingsOf("can", asked, MOST_CANS).forEach(can -> read.add(can.id()));
        for (ThingId each : List.copyOf(read)) {
            for (Told told : views.of(each, Set.of(Role.NOTED), StoryKey.LAST)) {
                if (told.event() instanceof TestEvent.DrawdownMade made) {
                    drawdowns.put(made.drawdown(), told);
                    if (views.canonical(made.vessel()).equals(each)) {
                        read.add(made.drawdown());
                    }
                }
            }
        }
        return read.stream()
                .distinct()
                .flatMap(each -> views.of(each, Set.of(Role.NOTED), StoryKey.LAST).stream())
                .filter(told -> told.event() instanceof TestEvent.ColourRead)
                .sorted(Comparator.comparing(Told::key))
                .map(told -> {
                    TestEvent.ColourRead reading = (TestEvent.ColourRead) told.event();
                    return colour(told, reading, Optional.ofNullable(drawdowns.get(reading.of())));
                })
                .toList();
    }

    /** What the reading does not say of backing and film is taken from its drawdown. */
    private ColourReading colour(Told told, TestEvent.ColourRead read, Optional<Told> drawdown) {
        Optional<TestEvent.DrawdownMade> made = drawdown.map(each -> (TestEvent.DrawdownMade) each.event());
        long millis = told.key().millis();
        long dried = read.hoursDry() == null ? 0 : (long) (read.hoursDry().doubleValue() * MS_PER_HOUR);
        Long film = read.filmMgPerM2() == null
                ? made.map(TestEvent.DrawdownMade::filmMgPerM2).orElse(null)
                : read.filmMgPerM2();
        String backing = said(read.backing());
        return new ColourReading(
                told.id().text(),
                millis,
                drawdown.map(each -> Math.min(millis, each.key().millis())).orElse(millis - dried),
                read.of().text(),
                read.sheet() == null ? "" : views.name(read.sheet()),
                Optional.ofNullable(read.spectrum()),
                Optional.ofNullable(read.lab()),
                number(read.density()),
                backing.isEmpty() ? made.map(each -> said(each.backing())).orElse("") : backing,
                said(read.illuminant()),
                said(read.observer()),
                said(read.geometry()),
                said(read.instrument()),
                number(read.hoursDry()),
                film == null ? OptionalDouble.empty() : OptionalDouble.of(film / 1_000.0),
                read.over() == null
                        ? List.of()
                        : read.over().stream().map(ThingId::text).toList());
    }

    private static OptionalDouble number(@Nullable BigDecimal value) {
        return value == null ? OptionalDouble.empty() : OptionalDouble.of(value.doubleValue());
    }

    private static String said(@Nullable String text) {
        return text == null ? "" : text;
    }

    @Override
    public Page story(String thing, String next) {
        return page(Timeline.Filter.newest(PAGE).about(id(thing)), next);
    }

    @Override
    public Page events(String type, String next) {
        return page(Timeline.Filter.newest(PAGE).ofType(type), next);
    }

    private Page page(Timeline.Filter filter, String next) {
        Timeline.Page page = views.timeline(filter.goingOn(next));
        return new Page(
                page.events().stream()
                        .filter(told -> !told.voided())
                        .map(this::moment)
                        .toList(),
                page.next().orElse(""));
    }

    /** An id as a plugin gave it; of what cannot be an id there is nothing, as of one that is in no log. */
    private static ThingId id(String text) {
        try {
            return new ThingId(text);
        } catch (BadInput none) {
            return NOTHING;
        }
    }

    @Override
    public Optional<Moment> moment(String event) {
        if (!EventId.isUuid(event)) {
            return Optional.empty();
        }
        return views.told(new EventId(event)).filter(told -> !told.voided()).map(this::moment);
    }

    private Moment moment(Told told) {
        return new Moment(
                told.id().text(),
                Catalogue.type(told.event()),
                Catalogue.version(told.event()),
                told.key().millis(),
                Sentence.of(told.event(), this::unnamed),
                (told.amended()
                                ? EventCodec.about(told.event())
                                : told.envelope().about())
                        .stream().map(ThingId::text).toList(),
                fields(told));
    }

    /** People are named on no plugin's paper but where a paper asks for them. */
    private String unnamed(ThingId id) {
        return id.text().startsWith("person-") ? "somebody" : views.name(id);
    }

    /** The body as it reads now; that of an entry nobody changed stands in its line already. */
    private static Json.Fields fields(Told told) {
        StudioEvent event = told.event();
        if (event instanceof PluginEvent own) {
            return (Json.Fields) JsonTree.read(EventCodec.tree(own.fields().json()));
        }
        boolean asWritten =
                !told.amended() && Catalogue.version(event) == told.envelope().version();
        return (Json.Fields) JsonTree.read(asWritten ? told.envelope().body() : EventCodec.body(event));
    }

    private Material material(ThingId id) {
        Shelf.Material material = shelf.material(id);
        return new Material(
                id.text(), material.name(), EventCodec.word(material.role()).replace('-', ' '), material.screen());
    }

    @Override
    public List<Planned> recipe(String id) {
        List<Planned> lines = new ArrayList<>();
        for (var told : views.of(id(id), Set.of(Role.DEFINES), StoryKey.LAST)) {
            if (told.event() instanceof InkEvent.RecipePlanned planned) {
                lines.clear();
                double whole = planned.portions().stream()
                        .mapToDouble(p -> p.percent().doubleValue())
                        .sum();
                planned.portions()
                        .forEach(p -> lines.add(new Planned(
                                material(views.canonical(p.material())),
                                p.percent().doubleValue() / whole)));
            }
        }
        return lines;
    }

    @Override
    public List<Material> materials() {
        return shelf.materials().stream().map(m -> material(m.id())).toList();
    }

    @Override
    public List<PastRun> pastRuns() {
        return runs.pastRuns().stream()
                .map(past -> new PastRun(
                        past.run().text(), views.name(past.run()), past.surface(), past.perPull(), past.pulls()))
                .toList();
    }

    @Override
    public List<PrintedRun> printedRuns() {
        return runs.pastLosses().runs().stream()
                .map(past -> new PrintedRun(
                        past.run().text(),
                        views.name(past.run()),
                        past.surface().map(EventCodec::word).orElse(""),
                        past.in(),
                        past.spoiled()))
                .toList();
    }

    @Override
    public List<Curating> curatings() {
        return runs.pastLosses().curatings().stream()
                .map(past -> new Curating(past.edition().text(), views.name(past.edition()), past.seen(), past.good()))
                .toList();
    }

    @Override
    public List<Job> jobs() {
        return views.things("edition", "", MOST_JOBS).stream()
                .map(thing -> job(runs.edition(thing.id())))
                .toList();
    }

    @Override
    public Optional<Job> job(String edition) {
        return views.thing(id(edition))
                .filter(thing -> thing.kind().equals("edition"))
                .map(thing -> job(runs.edition(thing.id())));
    }

    private Job job(Edition edition) {
        List<StageHours> stages = new ArrayList<>();
        runs.timeSpent(edition)
                .stages()
                .forEach((stage, spent) -> stages.add(new StageHours(
                        EventCodec.word(stage).replace('-', ' '),
                        spent.ms() / MS_PER_HOUR,
                        spent.handMs() / MS_PER_HOUR,
                        spent.stated())));
        double grams = edition.runs().stream()
                .flatMap(run -> views.thingsOf("mix", run.id(), MOST_MIXES).stream())
                .flatMap(mix -> runs.ledger().steps(mix.id()).stream()
                        .filter(step -> step.to().equals(mix.id())))
                .mapToDouble(step -> step.grams().map(Uncertain::value).orElse(0.0))
                .sum();
        return new Job(
                edition.id().text(),
                views.name(edition.id()),
                some(edition.plan().map(EditionEvent.Planned::number)),
                some(edition.plan().map(EditionEvent.Planned::proofs)),
                edition.runs().stream()
                        .map(run -> run.surface().map(EventCodec::word).orElse(""))
                        .toList(),
                (int) edition.sheets().values().stream()
                        .filter(passages -> passages.stream()
                                .anyMatch(passage -> passage.pull().number() > 0))
                        .count(),
                edition.printed().size(),
                stages,
                grams);
    }

    private OptionalInt some(Optional<Integer> value) {
        return value.map(OptionalInt::of).orElseGet(OptionalInt::empty);
    }

    @Override
    public Optional<RunRecord> runRecord(String run) {
        return printable(run)
                .map(found -> new RunStory(views, runs, shelf, found.edition().map(this::edition)).of(found))
                .map(record -> added.to(record, new LogView(views, runs, shelf, names, step, AddedChecks.NONE)));
    }

    @Override
    public List<Documented> documentation(String edition) {
        return views.thing(id(edition))
                .filter(thing -> thing.kind().equals("edition"))
                .map(thing -> new EditionFacts(views, runs, names)
                        .of(thing.id()).stream()
                                .map(group -> new Documented(
                                        group.heading(),
                                        group.facts().stream()
                                                .map(fact -> new DocumentedFact(fact.field(), fact.value()))
                                                .toList()))
                                .toList())
                .orElse(List.of());
    }

    @Override
    public List<Impression> impressions(String edition) {
        return views.thing(id(edition))
                .filter(thing -> thing.kind().equals("edition"))
                .map(thing -> edition(thing.id()).register().impressions().values().stream()
                        .map(each -> new Impression(
                                each.written(),
                                EventCodec.word(each.kind()),
                                edition(thing.id()).code(each.sheet()),
                                EventCodec.word(each.where()),
                                each.where() == Register.Where.RELEASED
                                        ? each.to().map(names).orElse("")
                                        : "",
                                each.signed(),
                                each.chopped()))
                        .toList())
                .orElse(List.of());
    }

    @Override
    public Answer rebuilt(String vessel, Mass batch) {
        ThingId mix = views.canonical(id(vessel));
        Rebuild.Moment moment = Rebuild.usual(views, mix);
        return new Answers(views, runs, shelf, this::unnamed, ZoneId.systemDefault())
                .rebuild(
                        Rebuild.of(views, runs.ledger(), shelf, runs.ledger().at(mix, moment.key()), batch, step.get()),
                        moment.words());
    }

    @Override
    public List<RunInk> inkOf(String runOrEdition) {
        List<String> of = runsOf(runOrEdition);
        return inkUse().of((of.isEmpty() ? List.of(runOrEdition) : of)
                .stream().flatMap(run -> printable(run).stream()).toList());
    }

    private InkUse inkUse() {
        return new InkUse(views, runs, this::material);
    }

    @Override
    public List<Flow> flows(long from, long until) {
        return inkUse().flows(from, until);
    }

    @Override
    public List<PrintedThen> printed(long from, long until) {
        return inkUse().printed(from, until);
    }

    @Override
    public Optional<TalliedRun> tallied(String run) {
        return printable(run)
                .map(found -> Tally.of(views, found))
                .map(tally -> new TalliedRun(
                        tally.text(),
                        tally.besides().stream()
                                .map(told -> Sentence.of(told.event(), this::unnamed))
                                .toList()));
    }

    /** A run; a packet, mix or edition has a story too, but it is no run. */
    private Optional<Run> printable(String run) {
        return runs.run(id(run))
                .filter(found -> views.thing(found.id())
                        .filter(thing -> !thing.kind().equals("run"))
                        .isEmpty());
    }

    @Override
    public List<Carrier> carriers(String vessel) {
        return new Carriers(views, runs, this::edition).of(List.of(id(vessel)));
    }

    private Edition edition(ThingId id) {
        return editions.computeIfAbsent(id, runs::edition);
    }

    @Override
    public List<String> runsOf(String edition) {
        return views.thing(id(edition))
                .filter(thing -> thing.kind().equals("edition"))
                .map(thing -> edition(thing.id()).runs().stream()
                        .map(run -> run.id().text())
                        .toList())
                .orElse(List.of());
    }

    @Override
    public Optional<Facts> facts(String id) {
        return views.thing(id(id)).flatMap(thing -> new FactsTold(views, runs, shelf).of(thing));
    }

    @Override
    public List<Facts> factsOfAll(String kind) {
        FactsTold told = new FactsTold(views, runs, shelf);
        return views.things(kind, "", MOST_FACTS).stream()
                .flatMap(thing -> told.of(thing).stream())
                .toList();
    }

    @Override
    public String zone() {
        return ZoneId.systemDefault().getId();
    }

    @Override
    public Mass scaleStep() {
        return step.get();
    }
}
