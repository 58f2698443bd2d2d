package slabside.host;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.ServiceConfigurationError;
import java.util.ServiceLoader;
import java.util.Set;
import java.util.function.Function;
import slabside.edition.Runs;
import slabside.event.EventId;
import slabside.event.InkEvent;
import slabside.event.ThingId;
import slabside.ink.Shelf;
import slabside.measure.Amount;
import slabside.measure.BadInput;
import slabside.measure.Mass;
import slabside.plugin.Answer;
import slabside.plugin.AuditCheck;
import slabside.plugin.Calculator;
import slabside.plugin.Importer;
import slabside.plugin.OwnEvent;
import slabside.plugin.Progress;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.Report;
import slabside.plugin.StudioView;
import slabside.views.Thing;
import slabside.views.Views;

/** The plugins at hand, bundled and dropped in, and the studio as they may see it. */
public final class Host implements AutoCloseable {
    /** What a reply names that is an entry of the log, not a thing. */
    public static final String READING = "reading";

    private static final Mass USUAL_STEP = new Mass(100);

    private final Views views;
    private final Runs runs;
    private final Shelf shelf;
    private final Function<ThingId, String> names;
    private final Map<String, Calculator> bundled = new LinkedHashMap<>();
    private final List<AuditCheck> checks = new ArrayList<>();
    private final List<OwnEvent> ownEvents = new ArrayList<>();
    private final DroppedIn droppedIn;

    /**
     * @param names what things are called, and people, whose names are kept outside the log
     * @param dropped folder where plugins are dropped
     * @param config where this machine keeps which of them it approved
     */
    public Host(Views views, Runs runs, Shelf shelf, Function<ThingId, String> names, Path dropped, Path config) {
        this.names = names;
        this.views = views;
        this.runs = runs;
        this.shelf = shelf;
        List<Calculator> found = new ArrayList<>(all(Calculator.class));
        found.addAll(all(Report.class));
        found.addAll(all(Importer.class));
        found.sort(Comparator.comparing(c -> c.card().id()));
        found.forEach(c -> bundled.putIfAbsent(c.card().id(), c));
        checks.addAll(all(AuditCheck.class));
        ownEvents.addAll(all(OwnEvent.class));
        Set<String> taken = new LinkedHashSet<>(bundled.keySet());
        checks.forEach(check -> taken.add(check.card().id()));
        droppedIn = new DroppedIn(dropped, config, taken);
    }

    private static <T> List<T> all(Class<T> service) {
        List<T> found = new ArrayList<>();
        try {
            ServiceLoader.load(service).forEach(found::add);
        } catch (ServiceConfigurationError broken) {
            throw new BadInput("plugin", String.valueOf(broken.getMessage()), "it cannot be loaded; take its JAR away");
        }
        return found;
    }

    /** Calculators, reports and importers: bundled ones first, then those of approved plugins. */
    public List<Calculator> calculators() {
        List<Calculator> all = new ArrayList<>(bundled.values());
        all.addAll(droppedIn.asked().values());
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

    /** The one of ours with an id; empty where the program was put together without it. */
    public Optional<Calculator> bundled(String id) {
        return Optional.ofNullable(bundled.get(id));
    }

    /**
     * The calculator, report or importer with an id.
     *
     * @throws BadInput naming those there are
     */
    public Calculator calculator(String id) {
        Calculator ours = bundled.get(id);
        Map<String, Calculator> dropped = ours == null ? droppedIn.asked() : Map.of();
        Calculator calculator = ours == null ? dropped.get(id) : ours;
        if (calculator == null) {
            List<String> all = new ArrayList<>(bundled.keySet());
            all.addAll(dropped.keySet());
            throw new BadInput("calculator", id, "there are: " + String.join(", ", all));
        }
        return calculator;
    }

    /** Asks a calculator; picks may be given by name, short id or id. */
    public Answer ask(Calculator calculator, Map<String, String> given) {
        return ask(calculator, given, Progress.NONE);
    }

    /**
     * Asks a calculator; picks may be given by name, short id or id.
     *
     * @param progress is told how far the work has come, and may call it off
     */
    public Answer ask(Calculator calculator, Map<String, String> given, Progress progress) {
        Replies read = Replies.read(calculator.questions(), picked(calculator, given));
        return calculator.answer(read, view(), progress).assumptionsOf(read);
    }

    /** The replies with the ids of what was picked, by whatever name it was given. */
    public Map<String, String> picked(Calculator calculator, Map<String, String> given) {
        Map<String, String> replies = new LinkedHashMap<>(given);
        for (Question<?> question : calculator.questions()) {
            String text = given.getOrDefault(question.id(), "").strip();
            if (!question.picks().isEmpty() && !text.isEmpty()) {
                replies.put(question.id(), pick(question, text));
            }
        }
        return replies;
    }

    /**
     * The id of what a reply names by name, short id or id; by the first kind under which it is found.
     *
     * @throws BadInput when it names nothing, or several things
     */
    private String pick(Question<?> question, String text) {
        List<String> kinds = new ArrayList<>(question.picks());
        if (kinds.remove(READING) && EventId.isUuid(text)) {
            return views.told(new EventId(text))
                    .filter(told -> !told.voided())
                    .map(told -> told.id().text())
                    .orElseThrow(() -> new BadInput(question.label(), text, "no entry with this id stands in the log"));
        }
        if (kinds.isEmpty()) {
            throw new BadInput(question.label(), text, "give the id of an entry, as its page shows it");
        }
        for (String kind : kinds.subList(0, kinds.size() - 1)) {
            List<Thing> called = views.called(kind.equals("vessel") ? "" : kind, text);
            if (called.size() == 1) {
                return called.get(0).id().text();
            }
        }
        String last = kinds.get(kinds.size() - 1);
        return views.named(last.equals("vessel") ? "" : last, text).id().text();
    }

    /** Whether something in the log has this id. */
    boolean knows(ThingId thing) {
        return views.thing(thing).isPresent();
    }

    /** The version in which the plugin of a calculator writes a type of its own; empty when it has none such. */
    Optional<Integer> ownVersion(String type, String calculator) {
        return bundled.containsKey(calculator)
                ? ownEvents.stream()
                        .filter(each -> OwnEvent.stored(each.type()).equals(type))
                        .map(OwnEvent::version)
                        .findFirst()
                : droppedIn.version(type, calculator);
    }

    /** The studio as a plugin may see it now. */
    public StudioView view() {
        List<AuditCheck> all = new ArrayList<>(checks);
        all.addAll(droppedIn.checks());
        return new LogView(views, runs, shelf, names, this::step, new AddedChecks(all));
    }

    /** The finest step among the last weighings, since a round number typed short is not a coarse scale; 0.1 g when there are none. */
    public Mass step() {
        return views.ofType("ink.moved", 20).stream()
                .map(told -> ((InkEvent.Moved) told.event()).amount())
                .map(amount -> amount instanceof Amount.Weighed w
                        ? w.stepMg()
                        : amount instanceof Amount.Net n ? n.stepMg() : 0L)
                .filter(mg -> mg > 0)
                .min(Long::compare)
                .map(Mass::new)
                .orElse(USUAL_STEP);
    }
}
