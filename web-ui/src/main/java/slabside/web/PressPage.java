package slabside.web;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import slabside.edition.AtPress;
import slabside.edition.InkLeft;
import slabside.edition.Run;
import slabside.edition.RunSheet;
import slabside.event.EventCodec;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.Sheet;
import slabside.event.ShelfEvent;
import slabside.event.ThingId;
import slabside.event.ToolKind;
import slabside.event.Why;
import slabside.host.Drawn;
import slabside.host.LastPulls;
import slabside.measure.BadInput;
import slabside.views.Role;
import slabside.views.Sentence;
import slabside.views.StoryKey;
import slabside.views.Thing;
import slabside.views.Told;

/** Printing: which runs are open, and one of them while it is pulled. */
final class PressPage {
    private static final int RUNS_SHOWN = 40;
    private static final int STORY = 12;
    /** Every so many edition pulls a look against the OK proof is asked for (common practice, no source). */
    private static final int LOOK_EVERY = 5;
    /** How much more than what is short a topping-up is planned for. */
    private static final double SPARE = 1.1;

    static final List<String> FAULTS = List.of(
            "scum",
            "tint",
            "filling in",
            "lap line",
            "roller mark",
            "hickey",
            "slip",
            "misregister",
            "too light",
            "set-off",
            "crease",
            "dry roll");

    private final Desk desk;
    private final PressDeeds deeds;
    private final Amounts amounts;

    PressPage(Desk desk, PressDeeds deeds) {
        this.desk = desk;
        this.deeds = deeds;
        this.amounts = new Amounts(desk.studio.views());
    }

    /** A run in the list; {@code state} says how far it is. */
    public record Open(String href, String name, String state) {}

    public record Listed(Frame frame, List<Open> open, List<Open> done) {}

    Listed list() {
        desk.studio.views().catchUp();
        List<Open> open = new ArrayList<>();
        List<Open> done = new ArrayList<>();
        for (Thing thing : desk.studio.views().things("run", "", RUNS_SHOWN)) {
            desk.studio.runs().run(thing.id()).ifPresent(run -> {
                String state = run.loading().isEmpty()
                        ? "not set up yet"
                        : run.printed() + " printed" + (run.cleanedUp() ? ", cleaned up" : "");
                (run.cleanedUp() ? done : open).add(new Open("/press/" + run.id(), desk.studio.name(run.id()), state));
            });
        }
        return new Listed(desk.frame("Press", "press"), open, done);
    }

    /** Ink beside the slab, in words; {@code topUp} leads to the sheet for a second batch when it is time. */
    public record Ink(String load, String words, String warning, String topUp) {}

    /** One ink of the run. */
    public record Feed(String load, String name, String lastGrams, List<Desk.Choice> mixes) {}

    /** The spoiled or queried pull whose fault nobody named yet. */
    public record Unnamed(String pull, String words) {}

    /** What the set-up form begins with: as last time. */
    public record Before(
            List<String> mixes, String roller, String paper, String surface, String window, String words) {}

    /**
     * @param position of the log that the page was made from
     * @param mode what the next pull counts as
     * @param count edition sheets pulled
     * @param wanted how many there will be, or 0 when no sheets were torn
     */
    public record Pulling(
            Frame frame,
            long position,
            String id,
            String name,
            boolean setUp,
            boolean cleanedUp,
            boolean paused,
            String mode,
            int count,
            int wanted,
            int good,
            List<Ink> ink,
            List<String> outOfBand,
            List<Desk.Choice> sheets,
            String passes,
            boolean newsprintFirst,
            boolean lookNow,
            int sinceLook,
            Optional<Unnamed> unnamed,
            List<String> faults,
            String undo,
            String undoEvent,
            List<Feed> feeds,
            Map<String, String> notes,
            Before before,
            List<Desk.Choice> mixes,
            List<Desk.Choice> stones,
            String stone,
            List<Desk.Choice> rollers,
            List<Desk.Choice> papers,
            List<Desk.Choice> people,
            List<Desk.Choice> stepped,
            List<Desk.Piece> scales,
            List<Desk.Line> story,
            String benchHref) {}

    Pulling pulling(String id, Map<String, List<String>> query) {
        // Before anything is read, so that nothing written meanwhile is taken for seen.
        long position = desk.studio.log().last();
        desk.studio.views().catchUp();
        AtPress press = press(id);
        Run run = press.run();
        String asked = Desk.first(query, "mode");
        PullMode mode = asked.isEmpty() ? press.mode() : EventCodec.constant("mode", PullMode.class, asked);
        Optional<Told> last = deeds.last(press);
        long now = desk.studio.log().clock().millis();
        String name = desk.studio.name(run.id());
        int left = press.sheets().isEmpty() ? 0 : press.next().size();
        return new Pulling(
                desk.frame(name, "press"),
                position,
                run.id().text(),
                name,
                press.setUp().isPresent(),
                run.cleanedUp(),
                press.pausedAt().isPresent(),
                EventCodec.word(mode),
                run.printed(),
                press.sheets().isEmpty() ? 0 : press.wanted(),
                run.graded(PressGrade.GOOD),
                run.cleanedUp() ? List.of() : ink(press, left),
                run.cleanedUp() ? List.of() : LastPulls.outOfBand(desk.studio.views(), desk.studio.runs(), run),
                sheets(press, mode),
                press.last()
                        .map(pull -> pull.event().passes())
                        .map(String::valueOf)
                        .orElse(""),
                mode == PullMode.EDITION && press.newsprintFirst(now),
                mode == PullMode.EDITION && press.sinceMatch() >= LOOK_EVERY,
                mode == PullMode.EDITION ? press.sinceMatch() : 0,
                unnamed(run),
                FAULTS,
                last.map(told -> Sentence.of(told.event(), desk.studio::name)).orElse(""),
                last.map(told -> told.id().text()).orElse(""),
                feeds(press),
                press.notes(),
                before(press),
                mixes(run),
                stones(),
                desk.studio.runs().stone(run.id()).map(ThingId::text).orElse(""),
                tools(ToolKind.ROLLER),
                desk.choices("paper"),
                desk.people(),
                printedSheets(run),
                amounts.scales(),
                story(run),
                "/bench?run=" + run.id());
    }

    private AtPress press(String id) {
        return desk.studio
                .runs()
                .atPress(new ThingId(id))
                .orElseThrow(() -> new BadInput("run", id, "no run of this id was planned or printed"));
    }

    private List<Desk.Choice> stones() {
        List<Desk.Choice> stones = new ArrayList<>(desk.choices("stone"));
        stones.addAll(desk.choices("plate"));
        return stones;
    }

    private List<Ink> ink(AtPress press, int left) {
        List<Ink> ink = new ArrayList<>();
        for (InkLeft each : desk.studio.runs().inkLeft(press)) {
            String load = press.run().loading().stream()
                    .filter(l -> l.load().equals(each.load()))
                    .map(Load::name)
                    .findFirst()
                    .orElse("");
            String warning = "";
            String topUp = "";
            if (each.mixNow(left)) {
                double grams = StrictMath.ceil(each.shortFor(left) * SPARE);
                warning = each.tooLateToMatch(left)
                        ? "Less old ink is left than a second batch should be matched against."
                        : "Mix the second batch now, while there is old ink to match it against: about "
                                + String.format(Locale.ROOT, "%.0f g", grams) + " for the " + left
                                + " sheets left and a tenth more.";
                topUp = "/thing/" + each.mixes().get(0) + "/rebuild?grams=" + String.format(Locale.ROOT, "%.0f", grams)
                        + "&run=" + press.run().id();
            }
            ink.add(new Ink(
                    load,
                    "Ink for about " + each.about() + " more (" + each.low() + "–" + each.high() + "), "
                            + Drawn.number(each.beside().value(), each.beside().u()) + " g beside the slab at "
                            + Drawn.number(
                                    each.perPull().value(), each.perPull().u()) + " g a pull"
                            + (each.learned() ? "" : ", estimated"),
                    warning,
                    topUp));
        }
        return ink;
    }

    private static List<Desk.Choice> sheets(AtPress press, PullMode mode) {
        List<Sheet> sheets = switch (mode) {
            case EDITION -> {
                List<Sheet> all = new ArrayList<>(press.next());
                press.pending().stream().filter(sheet -> !all.contains(sheet)).forEach(all::add);
                yield all;
            }
            case PROOF -> {
                List<Sheet> all = new ArrayList<>(press.nextProofs());
                press.next().stream().filter(sheet -> !all.contains(sheet)).forEach(all::add);
                yield all;
            }
            case NEWSPRINT, CANCELLATION -> List.of();
        };
        return sheets.stream()
                .map(sheet -> new Desk.Choice(
                        sheet.sheet().text(),
                        sheet.code() + (press.behind().contains(sheet.sheet()) ? ", an earlier run is missing" : "")))
                .toList();
    }

    private Optional<Unnamed> unnamed(Run run) {
        return run.pulls().stream()
                .filter(pull -> pull.event().grade() == PressGrade.SPOILED
                        && pull.event().faults().isEmpty())
                .reduce((a, b) -> b)
                .map(pull -> new Unnamed(
                        pull.told().id().text(),
                        (pull.number() > 0
                                        ? "pull " + pull.number()
                                        : "the " + EventCodec.word(pull.event().mode()))
                                + (pull.sheet() == null ? "" : ", " + desk.studio.name(pull.sheet()))));
    }

    private List<Feed> feeds(AtPress press) {
        List<Feed> feeds = new ArrayList<>();
        for (Load load : press.run().loading()) {
            List<Desk.Choice> mixes = new ArrayList<>();
            press.feeding().getOrDefault(load.load(), List.of()).forEach(mix -> mixes.add(desk.choice(mix)));
            mixes(press.run()).stream().filter(mix -> !mixes.contains(mix)).forEach(mixes::add);
            String last = desk.studio.views().of(load.load(), Set.of(Role.IN), StoryKey.LAST).stream()
                    .filter(told -> told.event() instanceof InkEvent.Moved moved && moved.why() == Why.CHARGED)
                    .reduce((a, b) -> b)
                    .map(told ->
                            ((InkEvent.Moved) told.event()).amount().shown().replace(" g", ""))
                    .filter(shown -> shown.matches("[0-9.]+"))
                    .orElse("");
            feeds.add(new Feed(load.load().text(), load.name(), last, mixes));
        }
        return feeds;
    }

    private List<Desk.Choice> mixes(Run run) {
        Map<String, Desk.Choice> found = new LinkedHashMap<>();
        desk.studio
                .views()
                .thingsOf("mix", run.id(), 40)
                .forEach(mix -> found.put(mix.id().text(), desk.choice(mix.id())));
        desk.studio.views().things("mix", "", 40).stream()
                .filter(mix -> !found.containsKey(mix.id().text()))
                .filter(mix -> desk.studio
                        .ledger()
                        .left(mix.id())
                        .grams()
                        .map(g -> g.value() > 0.05)
                        .orElse(true))
                .filter(mix -> desk.studio.views().isMixed(mix.id()))
                .forEach(mix -> found.put(mix.id().text(), desk.choice(mix.id())));
        return List.copyOf(found.values());
    }

    /** As this run was set up before; else as the last run of this edition was, without its ink. */
    private Before before(AtPress press) {
        Optional<PressEvent.RunStarted> setUp = press.setUp()
                .or(() -> desk.studio.views().ofType("press.run-started", 1).stream()
                        .map(told -> (PressEvent.RunStarted) told.event())
                        .findFirst());
        List<String> mixes = new ArrayList<>();
        press.run()
                .loading()
                .forEach(load -> press.feeding().getOrDefault(load.load(), List.of()).stream()
                        .limit(1)
                        .forEach(mix -> mixes.add(mix.text())));
        if (mixes.isEmpty()) {
            desk.studio.views().thingsOf("mix", press.run().id(), 4).stream()
                    .sorted(Comparator.comparing(mix -> desk.studio.name(mix.id())))
                    .limit(
                            press.run()
                                            .surface()
                                            .filter(s -> s == slabside.event.Surface.BLEND)
                                            .isPresent()
                                    ? 2
                                    : 1)
                    .forEach(mix -> mixes.add(mix.id().text()));
        }
        return new Before(
                mixes,
                setUp.map(PressEvent.RunStarted::roller).map(ThingId::text).orElse(""),
                setUp.map(PressEvent.RunStarted::paper).map(ThingId::text).orElse(""),
                press.run().surface().map(EventCodec::word).orElse(""),
                press.setUp()
                        .map(PressEvent.RunStarted::windowUm)
                        .map(um -> String.valueOf(um / 1000))
                        .orElse(""),
                press.setUp().map(PressEvent.RunStarted::words).orElse(""));
    }

    private List<Desk.Choice> tools(ToolKind kind) {
        return desk.studio.views().things("tool", "", 200).stream()
                .filter(tool -> desk.studio.views().of(tool.id(), Set.of(Role.DEFINES), StoryKey.LAST).stream()
                        .anyMatch(
                                told -> told.event() instanceof ShelfEvent.ToolListed listed && listed.kind() == kind))
                .map(tool -> desk.choice(tool.id()))
                .toList();
    }

    /** Sheets that went through, newest first. */
    private List<Desk.Choice> printedSheets(Run run) {
        Map<String, Desk.Choice> found = new LinkedHashMap<>();
        List<Run.Pull> newestFirst = new ArrayList<>(run.pulls());
        java.util.Collections.reverse(newestFirst);
        for (Run.Pull pull : newestFirst) {
            ThingId sheet = pull.sheet();
            if (sheet != null) {
                found.putIfAbsent(sheet.text(), desk.choice(sheet));
            }
        }
        return List.copyOf(found.values());
    }

    private List<Desk.Line> story(Run run) {
        List<Told> story =
                new ArrayList<>(desk.studio.views().of(run.id(), Set.of(Role.PRESS, Role.NOTED), StoryKey.LAST));
        run.loads()
                .forEach(load -> story.addAll(
                        desk.studio.views().of(load, Set.of(Role.IN, Role.OUT, Role.OBSERVED), StoryKey.LAST)));
        return story.stream()
                .distinct()
                .sorted(Comparator.comparing(Told::key).reversed())
                .limit(STORY)
                .map(told -> desk.line(told, false, false))
                .toList();
    }

    /**
     * A run sheet on its way into the log.
     *
     * @param lines what would be written, in order; empty before it was read
     * @param problem why it cannot be taken, or an empty text
     */
    public record Tallied(
            Frame frame,
            String id,
            String name,
            String text,
            String day,
            String time,
            String sum,
            List<String> lines,
            String problem) {}

    /** Shows what a tallied sheet would write; writes nothing. */
    Tallied tallied(String id, Map<String, List<String>> query) {
        desk.studio.views().catchUp();
        AtPress press = press(id);
        String text = Desk.first(query, "text");
        List<String> lines = List.of();
        String sum = "";
        String problem = "";
        try {
            if (!text.isEmpty()) {
                RunSheet sheet = RunSheet.read(text);
                lines = sheet.events(press, PressDeeds.mixOf(desk)).stream()
                        .map(event -> Sentence.of(event, desk.studio::name))
                        .toList();
                sum = sheet.graded(PressGrade.GOOD) + " good, " + sheet.graded(PressGrade.QUERY) + " query, "
                        + sheet.graded(PressGrade.SPOILED) + " spoiled";
            }
        } catch (BadInput unread) {
            // Said beside the text, so that it can be put right where it stands.
            problem = String.valueOf(unread.getMessage());
        }
        return new Tallied(
                desk.frame("Run sheet", "press"),
                id,
                desk.studio.name(press.run().id()),
                text,
                Desk.first(query, "day"),
                Desk.first(query, "time"),
                sum,
                lines,
                problem);
    }
}
