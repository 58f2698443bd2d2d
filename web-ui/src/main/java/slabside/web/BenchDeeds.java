package slabside.web;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import slabside.event.Dryness;
import slabside.event.InkEvent;
import slabside.event.Length;
import slabside.event.LogEvent;
import slabside.event.Portion;
import slabside.event.ShelfEvent;
import slabside.event.Spread;
import slabside.event.Stiffness;
import slabside.event.StudioEvent;
import slabside.event.Tack;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.event.Wetness;
import slabside.event.Why;
import slabside.ink.Recipe;
import slabside.measure.Amount;
import slabside.measure.BadInput;
import slabside.measure.Lab;
import slabside.measure.Mass;
import slabside.measure.Typed;
import slabside.views.Role;
import slabside.views.StoryKey;
import slabside.views.Thing;
import slabside.views.Told;
import slabside.warning.Warnings;

/** Everything that can be written down while mixing, by the name its form sends it under. */
final class BenchDeeds {
    private static final long MINUTE_MS = 60_000;

    private final Desk desk;
    private final Taps taps;
    private final Warnings warnings;
    private final Amounts amounts;

    /** One thing that can be done with a mix. */
    private interface Deed {
        Taps.Meant of(ThingId mix, Tap tap);
    }

    private final Map<String, Deed> deeds;

    BenchDeeds(Desk desk, Taps taps, Warnings warnings) {
        this.desk = desk;
        this.taps = taps;
        this.warnings = warnings;
        this.amounts = new Amounts(desk.studio.views());
        this.deeds = Map.ofEntries(
                Map.entry("add", this::add),
                Map.entry("out", this::out),
                Map.entry("wrap", this::wrap),
                Map.entry("work", this::work),
                Map.entry("weigh", this::weigh),
                Map.entry("note", this::note),
                Map.entry("name", this::name),
                Map.entry("undo", this::undo),
                Map.entry("compare", this::compare),
                Map.entry("tack", this::tack),
                Map.entry("ridge", this::ridge),
                Map.entry("string", this::string),
                Map.entry("spread", this::spread),
                Map.entry("drawdown", this::drawdown),
                Map.entry("agree", this::agree),
                Map.entry("read", this::read));
    }

    Set<String> names() {
        return deeds.keySet();
    }

    Taps.Meant of(String id, String deed, Tap tap) {
        Thing mix = desk.thing(id);
        if (!mix.kind().equals("mix") && !mix.kind().equals("packet")) {
            throw new BadInput("mix", id, "this is a " + mix.kind() + "; only a mix stands on the bench");
        }
        Deed found = deeds.get(deed);
        if (found == null) {
            throw new BadInput("deed", deed, "use one of " + String.join(", ", new java.util.TreeSet<>(names())));
        }
        return found.of(mix.id(), tap);
    }

    private static String page(ThingId mix) {
        return "/bench/" + mix;
    }

    /** A new mix: free, for a run, or after a recipe in any size. */
    Taps.Meant start(Tap tap) {
        ThingId mix = tap.thing("mix");
        Form form = tap.form();
        ThingId run = form.thing("run").orElse(null);
        ThingId recipe = form.thing("recipe").orElse(null);
        List<StudioEvent> events = new ArrayList<>();
        String name = form.text("name");
        if (recipe != null) {
            ThingId asked = recipe;
            Recipe known = Recipe.read(desk.studio.views(), recipe)
                    .orElseThrow(() -> new BadInput("recipe", asked.text(), "there is no such recipe in this log"));
            name = name.isEmpty() ? known.name() : name;
            if (form.has("batch")) {
                Mass batch = form.grams("batch", "type the size of the batch in grams");
                if (batch.grams() != known.batchGrams()) {
                    recipe = tap.thing("recipe");
                    events.add(resized(recipe, known, batch));
                }
            }
        }
        events.add(
                0,
                new InkEvent.MixStarted(
                        mix, name.isEmpty() ? null : name, desk.studio.ids().label(), run, recipe, null));
        return new Taps.Meant(events, List.of(), "A new mix", page(mix));
    }

    private static InkEvent.RecipePlanned resized(ThingId id, Recipe recipe, Mass batch) {
        List<Portion> portions = new ArrayList<>();
        recipe.shares()
                .forEach((material, share) -> portions.add(new Portion(
                        material, BigDecimal.valueOf(share * 100).setScale(4, java.math.RoundingMode.HALF_EVEN))));
        return new InkEvent.RecipePlanned(id, recipe.name(), portions, batch.milligrams(), null);
    }

    /** Ink into the mix: from a can, a packet or another mix. */
    private Taps.Meant add(ThingId mix, Tap tap) {
        ThingId from = from(tap.form());
        Thing source = desk.thing(from.text());
        if (from.equals(mix)) {
            throw new BadInput(
                    "from", desk.studio.name(from), "a mix cannot be added to itself; choose a can or packet");
        }
        boolean can = source.kind().equals("can");
        if (!can && !Set.of("packet", "mix", "load").contains(source.kind())) {
            throw new BadInput(
                    "from", desk.studio.name(from), "this is a " + source.kind() + "; choose a can, packet or mix");
        }
        Amount amount = amounts.read(tap.form(), mix, tap.late());
        if (can && amount instanceof Amount.Rest) {
            throw new BadInput("way", "rest", "for a can say how much, and then that the can is finished");
        }
        List<StudioEvent> events = new ArrayList<>();
        events.add(new InkEvent.Moved(
                from, mix, amount, can ? Why.ADDED : Why.FOLDED_IN, tap.form().words("words")));
        if (source.kind().equals("packet") && !isUnwrapped(from)) {
            events.add(new InkEvent.Unwrapped(from, null));
        }
        if (can && desk.studio.shelf().seen(from).opened().isEmpty()) {
            events.add(new ShelfEvent.CanOpened(from, null));
        }
        if (can && tap.form().has("finished")) {
            events.add(new ShelfEvent.CanFinished(from, null));
        }
        return new Taps.Meant(events, List.of(), "Added " + amount.shown() + " of " + desk.studio.name(from), page(mix))
                .warned(warnings.adding(
                        mix,
                        from,
                        amount,
                        tap.happened().instant(desk.studio.log().clock().millis())));
    }

    private boolean isUnwrapped(ThingId packet) {
        return desk.studio.views().of(packet, Set.of(Role.NOTED), StoryKey.LAST).stream()
                .anyMatch(told -> told.event() instanceof InkEvent.Unwrapped);
    }

    /** A can or packet, picked, or by the short id written on it. */
    private ThingId from(Form form) {
        if (form.has("label")) {
            String label = form.text("label").toUpperCase(java.util.Locale.ROOT);
            return desk.studio
                    .views()
                    .labelled(label)
                    .map(Thing::id)
                    .orElseThrow(() -> new BadInput(
                            "short id",
                            label,
                            slabside.studio.Ids.isLabel(label)
                                    ? "nothing bears this short id; look again at the can"
                                    : "one character is wrong or missing; look again at the can"));
        }
        return form.thing("from", "choose a can, packet or mix first");
    }

    /** Ink out of the mix: a test, set aside in a packet, thrown away, used elsewhere. */
    private Taps.Meant out(ThingId mix, Tap tap) {
        Form form = tap.form();
        Amount amount = amounts.read(form, mix, tap.late());
        String where = form.need("to", "say where it went: test, aside, waste, elsewhere");
        List<StudioEvent> events = new ArrayList<>();
        String words = form.words("words");
        switch (where) {
            case "test" -> events.add(new InkEvent.Moved(mix, ThingId.TEST, amount, Why.TESTED, words));
            case "waste" -> events.add(new InkEvent.Moved(mix, ThingId.WASTE, amount, Why.THROWN_AWAY, words));
            case "elsewhere" ->
                events.add(new InkEvent.Moved(mix, ThingId.ELSEWHERE, amount, Why.USED_ELSEWHERE, words));
            case "aside" -> {
                ThingId packet = tap.thing("packet");
                events.add(new InkEvent.Moved(mix, packet, amount, Why.SET_ASIDE, words));
                events.add(new InkEvent.Wrapped(packet, desk.studio.ids().label(), form.words("place"), null));
                return new Taps.Meant(events, warnings.wrapping(mix), "Set aside", page(mix) + "?wrapped=" + packet);
            }
            default -> throw new BadInput("to", where, "use test, aside, waste or elsewhere");
        }
        return new Taps.Meant(events, List.of(), "Taken out: " + amount.shown(), page(mix));
    }

    /** The leftover into a packet with a place and a short id. */
    private Taps.Meant wrap(ThingId mix, Tap tap) {
        ThingId packet = tap.thing("packet");
        Form form = tap.form();
        Amount amount = form.has("way") ? amounts.read(form, mix, tap.late()) : new Amount.Rest("the rest");
        return new Taps.Meant(
                List.of(
                        new InkEvent.Moved(mix, packet, amount, Why.WRAPPED, null),
                        new InkEvent.Wrapped(
                                packet, desk.studio.ids().label(), form.words("place"), form.words("words"))),
                warnings.wrapping(mix),
                "Wrapped",
                page(mix) + "?wrapped=" + packet);
    }

    private Taps.Meant work(ThingId mix, Tap tap) {
        BigDecimal minutes =
                Typed.decimal("minutes", tap.form().need("minutes", "type how many minutes it was worked"));
        if (minutes.signum() <= 0 || minutes.compareTo(BigDecimal.valueOf(600)) > 0) {
            throw new BadInput("minutes", tap.form().text("minutes"), "give minutes above 0, at most 600");
        }
        long ms = minutes.multiply(BigDecimal.valueOf(MINUTE_MS)).longValue();
        return Taps.Meant.of(
                "Worked " + minutes.toPlainString() + " min",
                page(mix),
                new InkEvent.Worked(mix, ms, tap.form().words("words")));
    }

    /** The cup on the scale: a check of what should be in it. */
    private Taps.Meant weigh(ThingId mix, Tap tap) {
        Form form = tap.form();
        BigDecimal reading = Typed.decimal("reading", form.need("reading", "type what the scale shows"));
        BigDecimal tare = form.decimal("tare");
        return Taps.Meant.of(
                "Weighed",
                page(mix),
                new ShelfEvent.VesselWeighed(
                        mix,
                        Mass.ofGrams("reading", reading).milligrams(),
                        tare == null ? null : Mass.ofGrams("tare", tare).milligrams(),
                        Mass.stepOf(reading).milligrams(),
                        form.text("reading") + " g" + (tare == null ? "" : ", empty " + form.text("tare") + " g")));
    }

    private Taps.Meant note(ThingId mix, Tap tap) {
        return Taps.Meant.of(
                "Noted",
                page(mix),
                new LogEvent.Annotated(null, mix, tap.form().need("words", "write what you want to keep")));
    }

    private Taps.Meant name(ThingId mix, Tap tap) {
        return Taps.Meant.of(
                "Named", page(mix), new InkEvent.Named(mix, tap.form().need("name", "write what to call it")));
    }

    /** Takes the last thing back that was written about this mix. */
    private Taps.Meant undo(ThingId mix, Tap tap) {
        Told last = last(mix)
                .orElseThrow(() -> new BadInput(
                        "mix",
                        desk.studio.name(mix),
                        "nothing was written lately; to take an older entry back, open it from the list"));
        if (tap.form().has("event") && !last.id().text().equals(tap.form().text("event"))) {
            throw new BadInput(
                    "event",
                    tap.form().text("event"),
                    "something newer was written since; look at the list and undo again");
        }
        return taps.undo(last.id(), null, "Undone", page(mix));
    }

    /** The last event about a mix, in order of recording, that one tap can take back. */
    Optional<Told> last(ThingId mix) {
        return taps.undoable(desk
                .studio
                .views()
                .of(mix, Set.of(Role.IN, Role.OUT, Role.OBSERVED, Role.NOTED, Role.DEFINES), StoryKey.LAST)
                .stream()
                .filter(told -> !(told.event() instanceof InkEvent.MixStarted))
                .filter(told -> !(told.event() instanceof InkEvent.Moved moved && moved.why() == Why.CHARGED)));
    }

    private Taps.Meant compare(ThingId mix, Tap tap) {
        Form form = tap.form();
        Stiffness stiffness = form.constantOrNull("stiffness", Stiffness.class);
        Length length = form.constantOrNull("length", Length.class);
        if (stiffness == null && length == null) {
            throw new BadInput("stiffness", "", "say stiffer, same or softer, or longer, same or shorter");
        }
        return tested(
                mix,
                new TestEvent.Compared(
                        mix,
                        form.thing("against", "choose the ink it was tried against"),
                        stiffness,
                        length,
                        form.words("words")));
    }

    private static Taps.Meant tested(ThingId mix, StudioEvent event) {
        return Taps.Meant.of("Test written down", page(mix), event);
    }

    private Taps.Meant tack(ThingId mix, Tap tap) {
        tap.form().need("tack", "say how tacky it is");
        return tested(
                mix,
                new TestEvent.TackJudged(
                        mix, tap.form().constant("tack", Tack.class), tap.form().words("words")));
    }

    private Taps.Meant ridge(ThingId mix, Tap tap) {
        return tested(
                mix,
                new TestEvent.RidgeObserved(
                        mix,
                        micrometres("height", tap.form().need("height", "type the height of the ridge in mm"), 50),
                        tap.form().need("stands", "say whether it stands").equals("yes"),
                        tap.form().words("words")));
    }

    private Taps.Meant string(ThingId mix, Tap tap) {
        List<Long> lengths = new ArrayList<>();
        for (String each : tap.form()
                .need("lengths", "type the lengths in mm at which the string broke")
                .split("[;\\s]+")) {
            lengths.add(micrometres("lengths", each, 1000));
        }
        return tested(mix, new TestEvent.StringMeasured(mix, lengths, tap.form().words("words")));
    }

    /** The one-minute spread: two crossed diameters after a known time under a known weight. */
    private Taps.Meant spread(ThingId mix, Tap tap) {
        Form form = tap.form();
        BigDecimal seconds = Typed.decimal("seconds", form.has("seconds") ? form.text("seconds") : "60");
        long first = micrometres("diameter", form.need("diameter", "type the diameter in mm"), 300);
        long second = form.has("crossed") ? micrometres("crossed", form.text("crossed"), 300) : first;
        BigDecimal volume = Typed.decimal("volume", form.has("volume") ? form.text("volume") : "0.5");
        if (seconds.signum() <= 0 || volume.signum() <= 0) {
            throw new BadInput("seconds", form.text("seconds"), "time and volume must be above zero");
        }
        return tested(
                mix,
                new TestEvent.SpreadMeasured(
                        mix,
                        form.grams("load", "type the weight on the ink in grams, the top plate included")
                                .milligrams(),
                        volume.movePointRight(3).longValue(),
                        List.of(new Spread(seconds.movePointRight(3).longValue(), (first + second) / 2)),
                        form.decimal("celsius")));
    }

    private static long micrometres(String field, String typed, int mostMm) {
        BigDecimal mm = Typed.decimal(field, typed.replaceFirst("(?i)\\s*mm$", ""));
        if (mm.signum() <= 0 || mm.compareTo(BigDecimal.valueOf(mostMm)) > 0) {
            throw new BadInput(field, typed, "give millimetres above 0, at most " + mostMm);
        }
        return mm.movePointRight(3).longValue();
    }

    private Taps.Meant drawdown(ThingId mix, Tap tap) {
        Form form = tap.form();
        List<StudioEvent> events = new ArrayList<>();
        events.add(new TestEvent.DrawdownMade(
                tap.thing("drawdown"),
                mix,
                form.thing("paper").orElse(null),
                form.words("backing"),
                null,
                form.words("words")));
        if (form.has("grams")) {
            events.add(
                    new InkEvent.Moved(mix, ThingId.TEST, Amount.net("grams", form.text("grams")), Why.DABBED, null));
        }
        return new Taps.Meant(events, List.of(), "Dab written down", page(mix));
    }

    private Taps.Meant agree(ThingId mix, Tap tap) {
        Form form = tap.form();
        return Taps.Meant.of(
                "The colour is agreed",
                page(mix),
                new TestEvent.ColourAgreed(
                        mix,
                        form.thing("by").orElse(null),
                        form.thing("paper").orElse(null),
                        form.words("over"),
                        form.constantOrNull("wetness", Wetness.class),
                        form.words("light"),
                        form.words("against"),
                        form.words("words")));
    }

    private Taps.Meant read(ThingId mix, Tap tap) {
        Form form = tap.form();
        BigDecimal density = form.decimal("density");
        BigDecimal l = form.decimal("l");
        BigDecimal a = form.decimal("a");
        BigDecimal b = form.decimal("b");
        Lab lab = null;
        if (l != null && a != null && b != null) {
            lab = new Lab(l, a, b);
        } else if (l != null || a != null || b != null) {
            throw new BadInput(
                    "L* a* b*", form.text("l") + " " + form.text("a") + " " + form.text("b"), "give all three");
        }
        if (density == null && lab == null) {
            throw new BadInput("density", "", "type a density, or L*, a* and b*");
        }
        return tested(
                mix,
                new TestEvent.ColourRead(
                        mix,
                        null,
                        null,
                        lab,
                        density,
                        form.words("instrument"),
                        form.words("geometry"),
                        form.words("illuminant"),
                        form.words("observer"),
                        form.words("backing"),
                        form.decimal("hours"),
                        null,
                        null));
    }

    /** Whether a print of a run is dry, judged by hand. */
    Taps.Meant dryness(ThingId run, Tap tap) {
        tap.form().need("dryness", "say wet, tacky, set or rub-dry");
        return Taps.Meant.of(
                "Written down",
                "/today",
                new TestEvent.DrynessJudged(
                        run,
                        null,
                        tap.form().constant("dryness", Dryness.class),
                        tap.form().words("words")));
    }
}
