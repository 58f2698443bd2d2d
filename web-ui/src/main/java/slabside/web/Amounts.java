package slabside.web;

import java.math.BigDecimal;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import slabside.event.EventCodec;
import slabside.event.InkEvent;
import slabside.event.ShelfEvent;
import slabside.event.ThingId;
import slabside.measure.Amount;
import slabside.measure.BadInput;
import slabside.measure.Mass;
import slabside.measure.Typed;
import slabside.views.Role;
import slabside.views.StoryKey;
import slabside.views.Told;
import slabside.views.Views;

/** Reads how much was weighed, the way it was weighed, from a form; and tells which way was used last. */
final class Amounts {
    /** The ways of weighing at a slab. */
    enum Way {
        /** On a square of paper: tare, dab, push off. */
        SQUARE,
        /** In a cup that stays on the scale: its running total. */
        CUP,
        /** The can before and after. */
        CAN,
        EYE,
        PARTS,
        /** All that is left of it. */
        REST,
        /** Not weighed: a gap with a name, to be filled in later. */
        LATER
    }

    private final Views views;

    Amounts(Views views) {
        this.views = views;
    }

    /**
     * What a cup showed last.
     *
     * @param mg what the scale should show now
     * @param event whose reading this is, when nothing was taken out since
     */
    record CupReading(long mg, @Nullable String event) {}

    /** What the cup of a mix should show now; empty when no cup was used, or an amount since is not known. */
    Optional<CupReading> cup(ThingId mix) {
        CupReading reading = null;
        for (Told told : views.of(mix, Set.of(Role.IN, Role.OUT, Role.OBSERVED), StoryKey.LAST)) {
            if (told.event() instanceof InkEvent.Moved moved) {
                boolean in = views.canonical(moved.to()).equals(mix);
                if (in && moved.amount() instanceof Amount.Weighed w && w.afterMg() > w.beforeMg()) {
                    reading = new CupReading(w.afterMg(), told.id().text());
                } else if (reading != null) {
                    long mg = known(moved.amount());
                    reading = mg < 0 ? null : new CupReading(reading.mg + (in ? mg : -mg), null);
                }
            } else if (told.event() instanceof ShelfEvent.VesselWeighed weighed && reading != null) {
                reading = new CupReading(weighed.readingMg(), null);
            }
        }
        return Optional.ofNullable(reading).filter(r -> r.mg >= 0);
    }

    private static long known(Amount amount) {
        if (amount instanceof Amount.Net n) {
            return n.mg();
        }
        return amount instanceof Amount.Weighed w ? w.netMg() : -1;
    }

    /** The way the last addition to a mix was weighed; else the last in this studio. */
    Way usual(ThingId mix) {
        return views.of(mix, Set.of(Role.IN), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof InkEvent.Moved)
                .reduce((a, b) -> b)
                .or(() -> views.ofType("ink.moved", 20).stream()
                        .filter(told -> ((InkEvent.Moved) told.event()).why() == slabside.event.Why.ADDED)
                        .findFirst())
                .map(told -> way(((InkEvent.Moved) told.event()).amount()))
                .orElse(Way.SQUARE);
    }

    private static Way way(Amount amount) {
        if (amount instanceof Amount.Weighed w) {
            return w.afterMg() > w.beforeMg() ? Way.CUP : Way.CAN;
        } else if (amount instanceof Amount.Estimated) {
            return Way.EYE;
        }
        return amount instanceof Amount.Parts ? Way.PARTS : Way.SQUARE;
    }

    /** The amount that a form says went into, or out of, a mix. */
    Amount read(Form form, ThingId mix, boolean late) {
        Way way = form.has("way") ? form.constant("way", Way.class) : Way.SQUARE;
        return switch (way) {
            case SQUARE ->
                stepped(form, Amount.net("grams", form.need("grams", "type the grams that the scale shows")));
            case CUP -> inCup(form, mix, late);
            case CAN ->
                stepped(
                        form,
                        Amount.weighed(
                                unit(form.need("before", "type what the scale showed before")),
                                unit(form.need("after-reading", "type what the scale showed afterwards"))));
            case EYE -> byEye(form);
            case PARTS ->
                new Amount.Parts(
                        Typed.decimal("parts", form.need("parts", "type how many parts")),
                        mix.text(),
                        form.text("parts") + " parts");
            case REST -> new Amount.Rest("the rest");
            case LATER -> new Amount.Unknown("not weighed yet");
        };
    }

    private static String unit(String typed) {
        return typed.replaceFirst("(?i)\\s*g$", "").strip();
    }

    private static Amount byEye(Form form) {
        Mass low = form.grams("low", "type the least it can have been, in grams");
        Mass high = form.grams("high", "type the most it can have been, in grams");
        return new Amount.Estimated(
                low.milligrams(), high.milligrams(), form.text("low") + " to " + form.text("high") + " g by eye");
    }

    private Amount inCup(Form form, ThingId mix, boolean late) {
        String typed = unit(form.need("reading", "type what the scale shows now"));
        Optional<CupReading> known = late ? Optional.empty() : cup(mix);
        String before = unit(form.text("tare"));
        String tareOf = null;
        if (before.isEmpty()) {
            CupReading last = known.orElseThrow(() ->
                    new BadInput("tare", "", "type what the scale showed before this addition, such as the empty cup"));
            before = new Mass(last.mg).exactGrams().stripTrailingZeros().toPlainString();
            tareOf = last.event;
        } else if (known.isPresent()
                && Mass.ofGrams("tare", Typed.decimal("tare", before)).milligrams() == known.get().mg) {
            tareOf = known.get().event;
        }
        BigDecimal now = Typed.decimal("reading", typed);
        long beforeMg = Mass.ofGrams("tare", Typed.decimal("tare", before)).milligrams();
        long nowMg = Mass.ofGrams("reading", now).milligrams();
        if (nowMg <= beforeMg) {
            throw new BadInput(
                    "reading",
                    typed,
                    "the cup showed " + new Mass(beforeMg)
                            + " before, so it should show more now; for ink that came out use Take out");
        }
        Amount.Weighed plain = Amount.weighed(before, typed);
        return stepped(
                form,
                new Amount.Weighed(
                        plain.beforeMg(),
                        plain.afterMg(),
                        Mass.stepOf(now).milligrams(),
                        tareOf,
                        new Mass(plain.beforeMg()) + " → " + new Mass(plain.afterMg())));
    }

    /** With the step of the scale it was weighed on, where the form names one. */
    private Amount stepped(Form form, Amount amount) {
        if (!form.has("scale")) {
            return amount;
        }
        ThingId scale = form.thing("scale", "name the scale");
        long step = step(scale);
        if (amount instanceof Amount.Net n) {
            fits(form.text("grams"), n.mg(), step, scale);
            return new Amount.Net(n.mg(), step, n.entered());
        } else if (amount instanceof Amount.Weighed w) {
            fits(form.text("reading") + form.text("after-reading"), w.afterMg(), step, scale);
            return new Amount.Weighed(w.beforeMg(), w.afterMg(), step, w.tareOf(), w.entered());
        }
        return amount;
    }

    private void fits(String typed, long mg, long step, ThingId scale) {
        if (mg % step != 0) {
            throw new BadInput(
                    "grams",
                    typed,
                    views.name(scale) + " shows steps of " + new Mass(step)
                            + "; check the digits or choose another scale");
        }
    }

    private long step(ThingId scale) {
        return views.of(scale, Set.of(Role.DEFINES), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof ShelfEvent.ToolListed listed && listed.stepMg() != null)
                .map(told -> java.util.Objects.requireNonNull(((ShelfEvent.ToolListed) told.event()).stepMg()))
                .reduce((a, b) -> b)
                .orElseThrow(() -> new BadInput(
                        "scale", views.name(scale), "its step was never written down; list it again with its step"));
    }

    /** Scales with the step they show. */
    List<Desk.Piece> scales() {
        return views.things("tool", "", 200).stream()
                .filter(tool -> views.of(tool.id(), Set.of(Role.DEFINES), StoryKey.LAST).stream()
                        .anyMatch(told -> told.event() instanceof ShelfEvent.ToolListed listed
                                && listed.kind() == slabside.event.ToolKind.SCALE
                                && listed.stepMg() != null))
                .map(tool -> new Desk.Piece(
                        views.name(tool.id()) + ", " + new Mass(step(tool.id())),
                        tool.id().text()))
                .toList();
    }

    static String word(Way way) {
        return EventCodec.word(way);
    }
}
