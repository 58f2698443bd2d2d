package slabside.host;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.ServiceConfigurationError;
import java.util.ServiceLoader;
import slabside.edition.Edition;
import slabside.edition.Runs;
import slabside.event.EditionEvent;
import slabside.event.EventCodec;
import slabside.event.ThingId;
import slabside.ink.Contents;
import slabside.ink.Shelf;
import slabside.measure.BadInput;
import slabside.measure.Mass;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;
import slabside.views.Thing;
import slabside.views.Views;

/** The calculators at hand, and the studio as they may see it. */
public final class Host implements AutoCloseable {
    private static final Mass USUAL_STEP = new Mass(100);
    private static final int MOST_JOBS = 30;
    private static final int MOST_MIXES = 100;
    private static final int MOST_FACTS = 40;
    private static final double MS_PER_HOUR = 3_600_000;

    private final Views views;
    private final Runs runs;
    private final Shelf shelf;
    private final Map<String, Calculator> calculators = new LinkedHashMap<>();
    private final DroppedIn droppedIn;

    /**
     * @param dropped folder where plugins are dropped
     * @param config where this machine keeps which of them it approved
     */
    public Host(Views views, Runs runs, Shelf shelf, Path dropped, Path config) {
        this.views = views;
        this.runs = runs;
        this.shelf = shelf;
        List<Calculator> found = new ArrayList<>();
        try {
            ServiceLoader.load(Calculator.class).forEach(found::add);
        } catch (ServiceConfigurationError broken) {
            throw new BadInput("plugin", String.valueOf(broken.getMessage()), "it cannot be loaded; take its JAR away");
        }
        found.sort(Comparator.comparing(c -> c.card().id()));
        found.forEach(c -> calculators.putIfAbsent(c.card().id(), c));
        droppedIn = new DroppedIn(dropped, config, calculators.keySet());
    }

    /** Bundled ones first, then those of approved plugins. */
    public List<Calculator> calculators() {
        List<Calculator> all = new ArrayList<>(calculators.values());
        all.addAll(droppedIn.calculators().values());
        return all;
    }

    /** Plugins that somebody dropped into the folder. */
    public DroppedIn droppedIn() {
        return droppedIn;
    }

    /** Ends the processes of plugins. */
    @Override
    public void close() {
        droppedIn.close();
    }

    /**
     * The calculator with an id.
     *
     * @throws BadInput naming those there are
     */
    public Calculator calculator(String id) {
        Calculator bundled = calculators.get(id);
        Map<String, Calculator> dropped = bundled == null ? droppedIn.calculators() : Map.of();
        Calculator calculator = bundled == null ? dropped.get(id) : bundled;
        if (calculator == null) {
            List<String> all = new ArrayList<>(calculators.keySet());
            all.addAll(dropped.keySet());
            throw new BadInput("calculator", id, "there are: " + String.join(", ", all));
        }
        return calculator;
    }

    /** Asks a calculator; picks may be given by name, short id or id. */
    public Answer ask(Calculator calculator, Map<String, String> given) {
        Map<String, String> replies = new LinkedHashMap<>(given);
        for (Question<?> question : calculator.questions()) {
            String text = given.getOrDefault(question.id(), "").strip();
            if (!question.picks().isEmpty() && !text.isEmpty()) {
                replies.put(question.id(), picked(question, text));
            }
        }
        Replies read = Replies.read(calculator.questions(), replies);
        return calculator.answer(read, view()).assumptionsOf(read);
    }

    /**
     * The id of the thing that a reply names by name, short id or id.
     *
     * @throws BadInput when it names none, or several
     */
    public String picked(Question<?> question, String text) {
        return pick(question.picks(), text).id().text();
    }

    /** By the first kind under which it is found; of one that is not found at all, what the last kind says. */
    private Thing pick(List<String> kinds, String text) {
        for (String kind : kinds.subList(0, kinds.size() - 1)) {
            List<Thing> called = views.called(kind, text);
            if (called.size() == 1) {
                return called.get(0);
            }
        }
        String last = kinds.get(kinds.size() - 1);
        return views.named(last.equals("vessel") ? "" : last, text);
    }

    public StudioView view() {
        return new View();
    }

    private final class View implements StudioView {
        /** Each edition is folded once for one answer. */
        private final Map<ThingId, Edition> editions = new HashMap<>();

        @Override
        public List<StudioView.Thing> find(String kind, String query) {
            return views.things(kind, query, 50).stream().map(this::shown).toList();
        }

        @Override
        public Optional<StudioView.Thing> thing(String kind, String idOrName) {
            List<slabside.views.Thing> called = views.called(kind, idOrName);
            return called.size() == 1 ? Optional.of(shown(called.get(0))) : Optional.empty();
        }

        private StudioView.Thing shown(slabside.views.Thing thing) {
            return new StudioView.Thing(thing.id().text(), thing.kind(), views.name(thing.id()), thing.label());
        }

        @Override
        public Composition composition(String vessel) {
            Contents contents = runs.ledger().now(new ThingId(vessel));
            return new Composition(
                    vessel,
                    views.name(new ThingId(vessel)),
                    contents.grams(),
                    contents.byMaterial(runs.ledger()::material).stream()
                            .map(part -> new Share(material(part.id()), part.share(), part.grams()))
                            .toList(),
                    contents.gaps());
        }

        private Material material(ThingId id) {
            Shelf.Material material = shelf.material(id);
            return new Material(
                    id.text(), material.name(), EventCodec.word(material.role()).replace('-', ' '), material.screen());
        }

        @Override
        public List<Planned> recipe(String id) {
            List<Planned> lines = new ArrayList<>();
            for (var told : views.of(
                    new ThingId(id), java.util.Set.of(slabside.views.Role.DEFINES), slabside.views.StoryKey.LAST)) {
                if (told.event() instanceof slabside.event.InkEvent.RecipePlanned planned) {
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
                    .map(past ->
                            new Curating(past.edition().text(), views.name(past.edition()), past.seen(), past.good()))
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
            return views.thing(new ThingId(edition))
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
            return runs.run(new ThingId(run))
                    .map(found ->
                            new RunStory(views, runs, shelf, found.edition().map(this::edition)).of(found));
        }

        @Override
        public List<Carrier> carriers(String vessel) {
            return new Carriers(views, runs, this::edition).of(List.of(new ThingId(vessel)));
        }

        private Edition edition(ThingId id) {
            return editions.computeIfAbsent(id, runs::edition);
        }

        @Override
        public List<String> runsOf(String edition) {
            return views.thing(new ThingId(edition))
                    .filter(thing -> thing.kind().equals("edition"))
                    .map(thing -> edition(thing.id()).runs().stream()
                            .map(run -> run.id().text())
                            .toList())
                    .orElse(List.of());
        }

        @Override
        public Optional<Facts> facts(String id) {
            return views.thing(new ThingId(id)).flatMap(thing -> new FactsTold(views, runs, shelf).of(thing));
        }

        @Override
        public List<Facts> factsOfAll(String kind) {
            FactsTold told = new FactsTold(views, runs, shelf);
            return views.things(kind, "", MOST_FACTS).stream()
                    .flatMap(thing -> told.of(thing).stream())
                    .toList();
        }

        @Override
        public Mass scaleStep() {
            return step();
        }
    }

    /** The finest step among the last weighings, since a round number typed short is not a coarse scale; 0.1 g when there are none. */
    public Mass step() {
        return views.ofType("ink.moved", 20).stream()
                .map(told -> ((slabside.event.InkEvent.Moved) told.event()).amount())
                .map(amount -> amount instanceof slabside.measure.Amount.Weighed w
                        ? w.stepMg()
                        : amount instanceof slabside.measure.Amount.Net n ? n.stepMg() : 0L)
                .filter(mg -> mg > 0)
                .min(Long::compare)
                .map(Mass::new)
                .orElse(USUAL_STEP);
    }
}
