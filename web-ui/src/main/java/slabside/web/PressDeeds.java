package slabside.web;

import java.math.BigDecimal;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import slabside.edition.AtPress;
import slabside.edition.Run;
import slabside.edition.RunSheet;
import slabside.event.EditionEvent;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.LogEvent;
import slabside.event.Margin;
import slabside.event.Match;
import slabside.event.Precision;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.RawBody;
import slabside.event.ShelfEvent;
import slabside.event.StudioEvent;
import slabside.event.Surface;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.measure.Amount;
import slabside.measure.BadInput;
import slabside.views.Role;
import slabside.views.StoryKey;
import slabside.views.Told;
import slabside.warning.Guards;
import slabside.warning.Warning;
import slabside.warning.Warnings;

/** Everything that can be written down at the press, by the name its form sends it under. */
final class PressDeeds {
    private static final int MOST_PASSES = 200;
    private static final List<String> SIDES_OF_TWO = List.of("left", "right");

    private final Desk desk;
    private final Taps taps;
    private final Warnings warnings;
    private final Guards guards;
    private final Amounts amounts;

    /** One thing that can be done at the press. */
    private interface Deed {
        Taps.Meant of(AtPress press, Tap tap);
    }

    private final Map<String, Deed> deeds;

    PressDeeds(Desk desk, Taps taps, Warnings warnings, Guards guards) {
        this.desk = desk;
        this.taps = taps;
        this.warnings = warnings;
        this.guards = guards;
        this.amounts = new Amounts(desk.studio.views());
        this.deeds = Map.ofEntries(
                Map.entry("set-up", this::setUp),
                Map.entry("pull", this::pull),
                Map.entry("fault", this::fault),
                Map.entry("undo", this::undo),
                Map.entry("match", this::match),
                Map.entry("charge", this::charge),
                Map.entry("weigh", this::weigh),
                Map.entry("scrape", this::scrape),
                Map.entry("change", this::change),
                Map.entry("measure", this::measure),
                Map.entry("hands", this::hands),
                Map.entry("pause", this::pause),
                Map.entry("resume", this::resume),
                Map.entry("rack", this::rack),
                Map.entry("sheet", this::sheet),
                Map.entry("clean-up", this::cleanUp));
    }

    Taps.Meant of(String id, String deed, Tap tap) {
        AtPress press = desk.studio
                .runs()
                .atPress(new ThingId(id))
                .orElseThrow(() -> new BadInput("run", id, "no run of this id was planned or printed"));
        Deed found = deeds.get(deed);
        if (found == null) {
            throw new BadInput("deed", deed, "use one of " + String.join(", ", new TreeSet<>(deeds.keySet())));
        }
        return found.of(press, tap);
    }

    private static String page(AtPress press) {
        return "/press/" + press.run().id();
    }

    private static Taps.Meant meant(AtPress press, String said, StudioEvent... events) {
        return Taps.Meant.of(said, page(press), events);
    }

    private Taps.Meant setUp(AtPress press, Tap tap) {
        Form form = tap.form();
        ThingId run = press.run().id();
        List<ThingId> mixes = form.all("mix").stream().map(ThingId::new).toList();
        if (mixes.isEmpty()) {
            throw new BadInput("mix", "", "choose the ink, or the inks in their order across the roller");
        }
        List<Load> loads = loads(press, tap, mixes.size());
        ThingId roller = form.thing("roller").orElse(null);
        BigDecimal window = form.decimal("window");
        List<StudioEvent> events = new ArrayList<>();
        events.add(new PressEvent.RunStarted(
                run,
                loads,
                roller,
                form.thing("paper").orElse(null),
                form.constantOrNull("surface", Surface.class),
                window == null ? null : Long.valueOf(window.movePointRight(3).longValue()),
                form.words("words")));
        form.thing("stone").flatMap(stone -> onAnother(run, stone)).ifPresent(events::add);
        noted(run, form).ifPresent(events::add);
        List<Warning> found = new ArrayList<>(warnings.settingUp(run, roller, mixes));
        List<String> charges = form.values().getOrDefault("charge", List.of());
        for (int i = 0; i < mixes.size(); i++) {
            String grams = i < charges.size() ? charges.get(i).strip() : "";
            if (!grams.isEmpty()) {
                found.addAll(warnings.charging(press.run(), mixes.get(i)));
                events.add(new InkEvent.Moved(
                        mixes.get(i), loads.get(i).load(), Amount.net("charge", grams), Why.CHARGED, null));
            }
        }
        return new Taps.Meant(events, found, "Set up", page(press));
    }

    /** Puts the plan right when a run is printed from another stone or plate than was planned, or from one at last. */
    private Optional<StudioEvent> onAnother(ThingId run, ThingId stone) {
        if (desk.studio.runs().stone(run).filter(stone::equals).isPresent()) {
            return Optional.empty();
        }
        Told told = desk.studio.views().of(run, Set.of(Role.DEFINES), StoryKey.LAST).stream()
                .filter(each -> each.event() instanceof EditionEvent.RunPlanned)
                .reduce((first, last) -> last)
                .orElseThrow(() -> new BadInput(
                        "stone",
                        desk.studio.name(stone),
                        "this run was never planned; write down a run of an edition"));
        EditionEvent.RunPlanned plan = (EditionEvent.RunPlanned) told.event();
        EditionEvent.RunPlanned other = new EditionEvent.RunPlanned(
                plan.run(), plan.edition(), plan.order(), plan.surface(), stone, plan.name(), plan.recipe());
        return Optional.of(new LogEvent.Amended(
                told.id(),
                told.amended() ? told.versions() : List.of(told.id()),
                new RawBody(EventCodec.body(other).toString()),
                null,
                null,
                "as set up at the press"));
    }

    /** The vessels of the last time when there were as many inks; else new ones. */
    private static List<Load> loads(AtPress press, Tap tap, int count) {
        if (press.setUp().isPresent() && press.setUp().get().loads().size() == count) {
            return press.setUp().get().loads();
        }
        List<Load> loads = new ArrayList<>();
        for (int i = 0; i < count; i++) {
            String name = count == 1 ? "" : count == 2 ? SIDES_OF_TWO.get(i) : (i + 1) + " of " + count;
            loads.add(new Load(tap.thing("load", i), name, null));
        }
        return loads;
    }

    private static Optional<StudioEvent> noted(ThingId run, Form form) {
        PressEvent.Noted noted = new PressEvent.Noted(
                run,
                form.words("water"),
                form.decimal("celsius"),
                form.decimal("humidity"),
                form.words("packing"),
                form.words("pressure"),
                form.thing("new-roller").orElse(null),
                form.words("remark"));
        boolean any = EventCodec.fields(noted).size() > 1;
        return any ? Optional.of(noted) : Optional.empty();
    }

    /** One pull, or a second hit on the sheet pulled last. */
    private Taps.Meant pull(AtPress press, Tap tap) {
        Form form = tap.form();
        PullMode mode = form.has("mode") ? form.constant("mode", PullMode.class) : press.mode();
        boolean hit = form.text("grade").equals("hit");
        PressGrade grade = hit || !form.has("grade") ? PressGrade.GOOD : form.constant("grade", PressGrade.class);
        ThingId sheet = form.thing("sheet").orElse(null);
        if (hit) {
            Run.Pull last = press.last()
                    .orElseThrow(() -> new BadInput("hit", "", "nothing was pulled yet that could be hit again"));
            sheet = last.sheet();
            mode = last.event().mode();
            grade = last.event().grade();
        } else if (sheet != null
                && !desk.studio
                        .views()
                        .thing(sheet)
                        .map(t -> t.kind().equals("sheet"))
                        .orElse(false)) {
            throw new BadInput(
                    "sheet", sheet.text(), "there is no sheet of this id; tear paper first, or pull without a code");
        }
        PressEvent.Pulled pulled = new PressEvent.Pulled(
                press.run().id(),
                sheet,
                mode,
                hit ? Boolean.TRUE : null,
                form.whole("passes", 1, MOST_PASSES),
                grade,
                form.all("fault"),
                form.whole("said", 1, 100_000));
        return Taps.Meant.of(said(press, pulled, hit), page(press) + "?mode=" + EventCodec.word(mode), pulled)
                .warned(hit ? List.of() : guards.pulling(press, pulled));
    }

    private String said(AtPress press, PressEvent.Pulled pulled, boolean hit) {
        String sheet = pulled.sheet() == null ? "" : ", " + desk.studio.name(pulled.sheet());
        String grade = pulled.grade() == PressGrade.GOOD ? "" : ", " + EventCodec.word(pulled.grade());
        if (hit) {
            return "Hit again" + sheet;
        } else if (pulled.mode() != PullMode.EDITION) {
            return EventCodec.word(pulled.mode()) + " pull" + sheet + grade;
        }
        boolean before = pulled.sheet() != null
                && press.run().pulls().stream()
                        .anyMatch(p -> p.number() > 0 && pulled.sheet().equals(p.sheet()));
        return before
                ? "Already counted" + sheet + ". For a second hit use Hit again."
                : "Pull " + (press.run().printed() + 1) + sheet + grade;
    }

    /** Names what was wrong with a pull, by putting its record right. */
    private Taps.Meant fault(AtPress press, Tap tap) {
        List<String> faults = tap.form().all("fault");
        if (faults.isEmpty()) {
            throw new BadInput("fault", "", "say what is wrong with the sheet");
        }
        String which = tap.form().need("pull", "say which pull it was");
        Run.Pull pull = press.run().pulls().stream()
                .filter(each -> each.told().id().text().equals(which))
                .findFirst()
                .orElseThrow(() -> new BadInput("pull", which, "this run has no such pull; it may have been undone"));
        List<String> all = new ArrayList<>(pull.event().faults());
        faults.stream().filter(fault -> !all.contains(fault)).forEach(all::add);
        PressEvent.Pulled before = pull.event();
        PressEvent.Pulled now = new PressEvent.Pulled(
                before.run(),
                before.sheet(),
                before.mode(),
                before.secondHit(),
                before.passes(),
                before.grade(),
                all,
                before.said());
        Told told = pull.told();
        return meant(
                press,
                "Fault written down: " + String.join(", ", all),
                new LogEvent.Amended(
                        told.id(),
                        told.amended() ? told.versions() : List.of(told.id()),
                        new RawBody(EventCodec.body(now).toString()),
                        null,
                        null,
                        "fault named"));
    }

    /** The last thing written about this run that can be taken back with one tap. */
    Optional<Told> last(AtPress press) {
        List<Told> story = new ArrayList<>(
                desk.studio.views().of(press.run().id(), java.util.Set.of(Role.PRESS, Role.NOTED), StoryKey.LAST));
        press.run()
                .loads()
                .forEach(load -> story.addAll(desk.studio
                        .views()
                        .of(load, java.util.Set.of(Role.IN, Role.OUT, Role.OBSERVED), StoryKey.LAST)));
        return taps.undoable(story.stream().filter(told -> !(told.event() instanceof PressEvent.RunStarted)));
    }

    private Taps.Meant undo(AtPress press, Tap tap) {
        Told last = last(press)
                .orElseThrow(() -> new BadInput(
                        "run", "", "nothing was written lately; to take an older entry back, open it from the list"));
        if (tap.form().has("event") && !last.id().text().equals(tap.form().text("event"))) {
            throw new BadInput(
                    "event",
                    tap.form().text("event"),
                    "something newer was written since; look at the page and undo again");
        }
        return taps.undo(last.id(), null, "Undone", page(press));
    }

    private Taps.Meant match(AtPress press, Tap tap) {
        Match match = tap.form().constantOrNull("match", Match.class);
        Margin margin = tap.form().constantOrNull("margin", Margin.class);
        if (match == null && margin == null) {
            throw new BadInput("match", "", "say lighter, match or darker; or clean, tint or filling");
        }
        return meant(
                press,
                "Compared",
                new PressEvent.Matched(
                        press.run().id(), press.last().map(Run.Pull::sheet).orElse(null), match, margin));
    }

    private ThingId load(AtPress press, Form form) {
        if (press.run().loads().isEmpty()) {
            throw new BadInput("run", desk.studio.name(press.run().id()), "set it up first");
        }
        ThingId load = form.thing("load").orElse(press.run().loads().get(0));
        if (!press.run().loads().contains(load)) {
            throw new BadInput("load", load.text(), "this is not on the slab of this run");
        }
        return load;
    }

    private Taps.Meant charge(AtPress press, Tap tap) {
        ThingId mix = tap.form().thing("mix", "choose the ink to charge from");
        ThingId load = load(press, tap.form());
        Amount amount = amounts.read(tap.form(), mix, tap.late());
        return meant(
                        press,
                        "Charged " + amount.shown(),
                        new InkEvent.Moved(
                                mix, load, amount, Why.CHARGED, tap.form().words("words")))
                .warned(warnings.charging(press.run(), mix));
    }

    /** What was scraped together from slab and roller was weighed and put back. */
    private Taps.Meant weigh(AtPress press, Tap tap) {
        Amount.Net net = Amount.net("grams", tap.form().need("grams", "type what the scraped-together ink weighs"));
        return meant(
                press,
                "Weighed",
                new ShelfEvent.VesselWeighed(
                        load(press, tap.form()), net.mg(), 0L, net.stepMg(), net.entered() + " g on slab and roller"));
    }

    /** Scraped off and thrown away, as when a blend is reset. */
    private Taps.Meant scrape(AtPress press, Tap tap) {
        ThingId load = load(press, tap.form());
        List<StudioEvent> events = new ArrayList<>();
        Amount amount = Amount.net("grams", tap.form().need("grams", "type what was scraped off"));
        events.add(new InkEvent.Moved(
                load, ThingId.WASH_UP, amount, Why.WASHED_UP, tap.form().words("words")));
        if (tap.form().has("empty")) {
            events.add(new ShelfEvent.VesselWeighed(load, 0, 0L, 100, "nothing left on slab and roller"));
        }
        return new Taps.Meant(events, List.of(), "Scraped off", page(press));
    }

    private Taps.Meant change(AtPress press, Tap tap) {
        return meant(
                press,
                "Change written down",
                noted(press.run().id(), tap.form())
                        .orElseThrow(() -> new BadInput(
                                "change",
                                "",
                                "say what changed: water, °C, %RH, packing, pressure, roller, or in words")));
    }

    private Taps.Meant measure(AtPress press, Tap tap) {
        Form form = tap.form();
        form.need("value", "type the reading");
        BigDecimal value = java.util.Objects.requireNonNull(form.decimal("value"));
        ThingId sheet =
                form.thing("sheet").or(() -> press.last().map(Run.Pull::sheet)).orElse(null);
        return meant(
                press,
                "Reading written down",
                new PressEvent.Measured(
                        press.run().id(),
                        sheet,
                        form.need("quantity", "say what was read, such as solid density"),
                        value,
                        form.words("unit"),
                        form.words("place")));
    }

    private Taps.Meant hands(AtPress press, Tap tap) {
        List<ThingId> people =
                tap.form().all("person").stream().map(ThingId::new).toList();
        if (people.isEmpty()) {
            throw new BadInput("person", "", "say whose hands are at the press now");
        }
        return meant(
                press,
                "Hands changed",
                new PressEvent.HandsChanged(press.run().id(), people, tap.form().words("words")));
    }

    private Taps.Meant pause(AtPress press, Tap tap) {
        return meant(
                press,
                "Paused",
                new PressEvent.Paused(
                        press.run().id(), tap.form().yes("gummed"), tap.form().words("words")));
    }

    private Taps.Meant resume(AtPress press, Tap tap) {
        return meant(
                press,
                "Going on",
                new PressEvent.Resumed(press.run().id(), tap.form().words("words")));
    }

    private Taps.Meant rack(AtPress press, Tap tap) {
        ThingId run = press.run().id();
        String words = tap.form().words("words");
        return switch (tap.form().text("how")) {
            case "racked" -> meant(press, "Racked", new PressEvent.Racked(run, words));
            case "stacked" -> meant(press, "Stacked", new PressEvent.Stacked(run, null, words));
            case "interleaved" -> meant(press, "Stacked, interleaved", new PressEvent.Stacked(run, true, words));
            case "unstacked" -> meant(press, "Taken apart", new PressEvent.Unstacked(run, words));
            default ->
                throw new BadInput("how", tap.form().text("how"), "say racked, stacked, interleaved or unstacked");
        };
    }

    /** A tallied run sheet, whole or not at all, directly behind what was written of the run before. */
    private Taps.Meant sheet(AtPress press, Tap tap) {
        RunSheet sheet = RunSheet.read(tap.form().need("text", "write what the run sheet says"));
        List<StudioEvent> events = sheet.events(press, mixOf(desk));
        Happened happened =
                tap.happened().precision() == Precision.EXACT && !tap.form().has("time")
                        ? Happened.day(
                                Instant.ofEpochMilli(tap.happened().instant(0))
                                        .atZone(desk.zone)
                                        .toLocalDate(),
                                desk.zone)
                        : tap.happened();
        return new Taps.Meant(
                events,
                List.of(),
                events.size() + " entries written down",
                page(press),
                new Taps.Place(tap.after() != null ? tap.after() : before(press), happened));
    }

    /** The mix of a name or short id. */
    static Function<String, ThingId> mixOf(Desk desk) {
        return name -> desk.studio.views().named("mix", name).id();
    }

    /** The last thing that happened at this press: a pull, its set-up or a charge. */
    private @Nullable EventId before(AtPress press) {
        List<Told> told = new ArrayList<>(desk.studio.views().of(press.run().id(), Set.of(Role.PRESS), StoryKey.LAST));
        press.run().loads().forEach(load -> told.addAll(desk.studio.views().of(load, Set.of(Role.IN), StoryKey.LAST)));
        return told.stream()
                .filter(each -> !(each.event() instanceof PressEvent.CleanedUp))
                .max(Comparator.comparing(Told::key))
                .map(Told::id)
                .orElse(null);
    }

    /** What is washed off, weighed or not; then slab, roller and stone are empty. */
    private Taps.Meant cleanUp(AtPress press, Tap tap) {
        List<StudioEvent> events = new ArrayList<>();
        List<String> grams = tap.form().values().getOrDefault("washed", List.of());
        for (int i = 0; i < press.run().loads().size(); i++) {
            String typed = i < grams.size() ? grams.get(i).strip() : "";
            ThingId load = press.run().loads().get(i);
            if (!typed.isEmpty() || !washedUpLast(load)) {
                events.add(new InkEvent.Moved(
                        load,
                        ThingId.WASH_UP,
                        typed.isEmpty() ? new Amount.Unknown("washed up, not weighed") : Amount.net("washed", typed),
                        Why.WASHED_UP,
                        null));
            }
        }
        events.add(new PressEvent.CleanedUp(press.run().id(), tap.form().words("words")));
        return new Taps.Meant(events, List.of(), "Cleaned up", page(press));
    }

    /** Whether the last ink that left or came onto a load was washed up, so that nothing more has to be said of it. */
    private boolean washedUpLast(ThingId load) {
        return desk.studio.views().of(load, Set.of(Role.IN, Role.OUT), StoryKey.LAST).stream()
                .reduce((first, last) -> last)
                .filter(told -> told.event() instanceof InkEvent.Moved moved && moved.why() == Why.WASHED_UP)
                .isPresent();
    }
}
