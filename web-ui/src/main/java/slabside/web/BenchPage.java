package slabside.web;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import slabside.event.EventCodec;
import slabside.event.InkEvent;
import slabside.event.MaterialRole;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.host.Drawn;
import slabside.ink.Contents;
import slabside.ink.Ledger;
import slabside.ink.Recipe;
import slabside.ink.Shelf;
import slabside.measure.BadInput;
import slabside.measure.Mass;
import slabside.plugin.Answer;
import slabside.views.Role;
import slabside.views.Sentence;
import slabside.views.StoryKey;
import slabside.views.Thing;
import slabside.views.Told;

/** Mixing: which mixes stand on the slab, and one of them while it is made. */
final class BenchPage {
    private static final int RECENT_MOVES = 300;
    private static final int MOST_CANS = 400;
    private static final int MIXES_SHOWN = 24;

    private final Desk desk;
    private final BenchDeeds deeds;
    private final Amounts amounts;

    BenchPage(Desk desk, BenchDeeds deeds) {
        this.desk = desk;
        this.deeds = deeds;
        this.amounts = new Amounts(desk.studio.views());
    }

    /** A mix on the slab. */
    public record OnSlab(String href, String name, String label, String left, String job) {}

    public record Listed(
            Frame frame,
            List<OnSlab> mixes,
            List<Desk.Choice> runs,
            List<Desk.Choice> recipes,
            String run,
            String recipe) {}

    Listed list(Map<String, List<String>> query) {
        desk.studio.views().catchUp();
        return new Listed(
                desk.frame("Bench", "bench"),
                onSlab(),
                openRuns(),
                desk.studio.views().things("recipe", "", 60).stream()
                        .map(thing -> new Desk.Choice(thing.id().text(), thing.shown()))
                        .toList(),
                Desk.first(query, "run"),
                Desk.first(query, "recipe"));
    }

    /** Mixes that still hold something, and those just begun. */
    private List<OnSlab> onSlab() {
        List<OnSlab> found = new ArrayList<>();
        for (Thing mix : desk.studio.views().things("mix", "", MIXES_SHOWN * 3)) {
            Ledger.Left left = desk.studio.ledger().left(mix.id());
            boolean empty = left.grams().map(g -> g.value() <= 2 * g.u() + 0.05).orElse(false);
            boolean begun = desk.studio
                    .views()
                    .of(mix.id(), Set.of(Role.IN), StoryKey.LAST)
                    .isEmpty();
            if ((!empty || begun) && found.size() < MIXES_SHOWN) {
                found.add(new OnSlab(
                        "/bench/" + mix.id(),
                        desk.studio.name(mix.id()),
                        mix.label(),
                        begun ? "nothing in it yet" : left(left),
                        mix.of().isEmpty() ? "" : desk.studio.name(new ThingId(mix.of()))));
            }
        }
        return found;
    }

    private static String left(Ledger.Left left) {
        return left.grams().map(g -> Drawn.number(g.value(), g.u()) + " g").orElse("not all of it weighed");
    }

    /** Runs that nobody has cleaned up after, newest first. */
    private List<Desk.Choice> openRuns() {
        return desk.studio.views().things("run", "", 60).stream()
                .filter(run -> desk.studio.views().of(run.id(), Set.of(Role.PRESS), StoryKey.LAST).stream()
                        .noneMatch(told -> told.event() instanceof slabside.event.PressEvent.CleanedUp))
                .map(run -> desk.choice(run.id()))
                .toList();
    }

    /**
     * A can, packet or mix to take ink from.
     *
     * @param search words that a search finds it by
     */
    public record Source(
            String id,
            String name,
            String lot,
            String label,
            String screen,
            String mark,
            String material,
            String search) {}

    /** One line of the running list. */
    public record Step(String event, String when, String what, String grams, boolean out, String href) {}

    public record Share(String name, String percent, String grams) {}

    /** What the recipe still asks for; {@code source} is the can to take it from, or empty. */
    public record Ask(String name, String asked, String in, String still, boolean done, String source) {}

    /** A packet just wrapped, to be written on. */
    public record Packet(String label, String name, String holds, String place, String href) {}

    /**
     * @param way the way of weighing that was used last
     * @param cup what the cup should show now, or an empty text
     * @param undo what Undo would take back, or an empty text
     */
    public record Mixing(
            Frame frame,
            Thing mix,
            String name,
            String job,
            String jobHref,
            String total,
            String strip,
            List<Answer.Swatch> looks,
            List<String> gaps,
            List<Share> shares,
            String recipe,
            List<Ask> asks,
            List<Source> cans,
            List<Source> kept,
            String way,
            List<Desk.Piece> scales,
            String cup,
            boolean cupKnown,
            List<Step> steps,
            List<Desk.Line> tests,
            String undo,
            String undoEvent,
            Optional<Packet> wrapped,
            List<Packet> packets,
            List<Desk.Choice> people,
            List<Desk.Choice> papers,
            List<Desk.Choice> inks,
            List<String> cautions) {
        String id() {
            return mix.id().text();
        }
    }

    Mixing mixing(String id, Map<String, List<String>> query) {
        desk.studio.views().catchUp();
        Thing mix = desk.thing(id);
        if (!mix.kind().equals("mix") && !mix.kind().equals("packet")) {
            throw new BadInput("mix", id, "this is a " + mix.kind() + "; only a mix stands on the bench");
        }
        Contents contents = desk.studio.ledger().now(mix.id());
        Map<ThingId, Double> in = new HashMap<>();
        contents.byMaterial(desk.studio.ledger()::material)
                .forEach(part -> in.put(part.id(), part.grams().value()));
        List<Source> cans = cans();
        Optional<Recipe> recipe = Recipe.of(desk.studio.views(), mix.id());
        Optional<Told> last = deeds.last(mix.id());
        List<Packet> packets = packets(mix.id());
        String wrapped = Desk.first(query, "wrapped");
        Optional<Amounts.CupReading> cup = amounts.cup(mix.id());
        String name = desk.studio.name(mix.id());
        return new Mixing(
                desk.frame(name, "bench"),
                mix,
                name,
                mix.of().isEmpty() ? "" : desk.studio.name(new ThingId(mix.of())),
                mix.of().isEmpty() ? "" : "/press/" + mix.of(),
                contents.isEmpty()
                        ? ""
                        : Drawn.number(
                                contents.grams().value(), contents.grams().u()),
                contents.isEmpty() ? "" : Pictures.strip(desk.answers.strip(contents)),
                contents.isEmpty()
                        ? List.of()
                        : List.copyOf(new Looks(desk).of(List.of(mix.id())).values()),
                contents.gaps(),
                shares(contents),
                recipe.map(r -> r.name() + (r.batchGrams() > 0 ? ", " + Drawn.fixed(r.batchGrams(), 1) + " g" : ""))
                        .orElse(""),
                recipe.map(r -> asks(r, in, cans)).orElse(List.of()),
                cans,
                kept(mix.id()),
                Amounts.word(amounts.usual(mix.id())),
                amounts.scales(),
                cup.map(reading -> new Mass(reading.mg())
                                .exactGrams()
                                .stripTrailingZeros()
                                .toPlainString())
                        .orElse(""),
                cup.isPresent() && cup.get().event() != null,
                steps(mix.id()),
                tests(mix.id()),
                last.map(this::told).orElse(""),
                last.map(each -> each.id().text()).orElse(""),
                packets.stream().filter(p -> p.href().endsWith("/" + wrapped)).findFirst(),
                packets,
                desk.people(),
                desk.choices("paper"),
                inks(mix.id()),
                slabside.host.Cautions.weighing(cautioned(contents)));
    }

    private Set<MaterialRole> cautioned(Contents contents) {
        Set<MaterialRole> roles = new LinkedHashSet<>();
        contents.byMaterial(desk.studio.ledger()::material)
                .forEach(part ->
                        roles.add(desk.studio.shelf().material(part.id()).role()));
        return roles;
    }

    private String told(Told told) {
        return Sentence.of(told.event(), desk.studio::name);
    }

    private List<Share> shares(Contents contents) {
        return contents.byMaterial(desk.studio.ledger()::material).stream()
                .map(part -> new Share(
                        desk.studio.name(part.id()),
                        Drawn.fixed(part.share().value() * 100, 2),
                        Drawn.fixed(part.grams().value(), 2)))
                .toList();
    }

    private List<Ask> asks(Recipe recipe, Map<ThingId, Double> in, List<Source> cans) {
        List<Ask> asks = new ArrayList<>();
        for (Recipe.Line line : recipe.progress(in)) {
            boolean done = line.still() < 0.05 || line.still() < line.asked() * 0.005;
            asks.add(new Ask(
                    desk.studio.name(line.material()),
                    Drawn.fixed(line.asked(), 2),
                    Drawn.fixed(line.in(), 2),
                    done ? "" : Drawn.fixed(line.still(), 2),
                    done,
                    cans.stream()
                            .filter(can -> can.material().equals(line.material().text()))
                            .map(Source::id)
                            .findFirst()
                            .orElse("")));
        }
        return asks;
    }

    /** Cans that are not finished, those used last first. */
    private List<Source> cans() {
        Map<ThingId, Integer> recent = new LinkedHashMap<>();
        for (Told told : desk.studio.views().ofType("ink.moved", RECENT_MOVES)) {
            recent.putIfAbsent(desk.studio.views().canonical(((InkEvent.Moved) told.event()).from()), recent.size());
        }
        List<Source> cans = new ArrayList<>();
        desk.studio.views().things("can", "", MOST_CANS).stream()
                .sorted(Comparator.comparingInt(can -> recent.getOrDefault(can.id(), Integer.MAX_VALUE)))
                .forEach(can -> {
                    Shelf.Seen seen = desk.studio.shelf().seen(can.id());
                    if (seen.finished().isEmpty()) {
                        cans.add(source(can, seen));
                    }
                });
        return cans;
    }

    private Source source(Thing can, Shelf.Seen seen) {
        Shelf.Material material =
                desk.studio.shelf().material(desk.studio.ledger().material(can.id()));
        return new Source(
                can.id().text(),
                material.name(),
                can.name(),
                can.label(),
                material.screen(),
                seen.isSkinned() ? "skin" : "",
                material.id().text(),
                (material.name() + " " + can.name() + " " + can.label()).toLowerCase(java.util.Locale.ROOT));
    }

    /** Packets and other mixes that still hold something. */
    private List<Source> kept(ThingId mix) {
        List<Source> kept = new ArrayList<>();
        for (String kind : List.of("packet", "mix")) {
            desk.studio.views().things(kind, "", 60).stream()
                    .filter(thing -> !thing.id().equals(mix))
                    .filter(thing -> desk.studio
                            .ledger()
                            .left(thing.id())
                            .grams()
                            .map(g -> g.value() > 0.05)
                            .orElse(true))
                    .filter(thing -> desk.studio.views().isMixed(thing.id()))
                    .forEach(thing -> kept.add(new Source(
                            thing.id().text(),
                            name(thing),
                            left(desk.studio.ledger().left(thing.id())),
                            thing.label(),
                            "",
                            kind,
                            "",
                            (name(thing) + " " + thing.label()).toLowerCase(java.util.Locale.ROOT))));
        }
        return kept;
    }

    private String name(Thing thing) {
        if (!thing.name().isEmpty() || !thing.kind().equals("packet")) {
            return desk.studio.name(thing.id());
        }
        return desk.studio.views().of(thing.id(), Set.of(Role.IN), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof InkEvent.Moved)
                .map(told -> desk.studio.name(((InkEvent.Moved) told.event()).from()))
                .findFirst()
                .orElseGet(() -> desk.studio.name(thing.id()));
    }

    /** Newest first. */
    private List<Step> steps(ThingId mix) {
        List<Step> steps = new ArrayList<>();
        for (Ledger.Step step : desk.studio.ledger().steps(mix)) {
            boolean out = step.from().equals(mix);
            String why = step.told().event() instanceof InkEvent.Moved moved && moved.why() != Why.ADDED
                    ? EventCodec.word(moved.why()).replace('-', ' ') + (out ? " → " : " ← ")
                    : "";
            String words = step.told().event() instanceof InkEvent.Moved moved && moved.words() != null
                    ? ": " + moved.words()
                    : "";
            steps.add(
                    0,
                    new Step(
                            step.told().id().text(),
                            desk.line(step.told(), false, false).time(),
                            why + desk.studio.name(out ? step.to() : step.from()) + words,
                            (out ? "−" : "+")
                                    + step.grams()
                                            .map(g -> Drawn.fixed(g.value(), 2))
                                            .orElse("?"),
                            out,
                            "/event/" + step.told().pos()));
        }
        return steps;
    }

    private List<Desk.Line> tests(ThingId mix) {
        return desk.studio.views().of(mix, Set.of(Role.NOTED, Role.OBSERVED), StoryKey.LAST).stream()
                .sorted(Comparator.comparing(Told::key).reversed())
                .map(told -> desk.line(told, false, false))
                .toList();
    }

    /** Packets that this mix went into, newest first. */
    private List<Packet> packets(ThingId mix) {
        Map<ThingId, Packet> found = new LinkedHashMap<>();
        for (Told told : desk.studio.views().of(mix, Set.of(Role.OUT), StoryKey.LAST)) {
            if (told.event() instanceof InkEvent.Moved moved) {
                desk.studio
                        .views()
                        .thing(moved.to())
                        .filter(thing -> thing.kind().equals("packet"))
                        .ifPresent(thing -> found.put(thing.id(), packet(thing)));
            }
        }
        List<Packet> newest = new ArrayList<>(found.values());
        java.util.Collections.reverse(newest);
        return newest;
    }

    private Packet packet(Thing thing) {
        String place = desk.studio.views().of(thing.id(), Set.of(Role.DEFINES), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof InkEvent.Wrapped wrapped && wrapped.place() != null)
                .map(told -> String.valueOf(((InkEvent.Wrapped) told.event()).place()))
                .reduce((a, b) -> b)
                .orElse("");
        return new Packet(
                thing.label(),
                name(thing),
                desk.answers.holds(desk.studio.ledger().now(thing.id())).replaceFirst("^, ", ""),
                place,
                "/thing/" + thing.id());
    }

    /** Inks to try this one against: other mixes first, then cans. */
    private List<Desk.Choice> inks(ThingId mix) {
        List<Desk.Choice> inks = new ArrayList<>(desk.choices("mix"));
        inks.removeIf(choice -> choice.id().equals(mix.text()));
        inks.addAll(desk.choices("can"));
        return inks;
    }
}
