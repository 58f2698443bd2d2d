package slabside.ink;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import slabside.event.InkEvent;
import slabside.event.MaterialRole;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.measure.BadInput;
import slabside.measure.Mass;
import slabside.measure.Uncertain;
import slabside.views.Role;
import slabside.views.StoryKey;
import slabside.views.Thing;
import slabside.views.Told;
import slabside.views.Views;

/**
 * A past ink made again: its shares, what to weigh out for a batch from what is on the shelf now, and what has changed
 * since.
 *
 * @param contents the ink as it was
 * @param batch wanted
 * @param step of the scale it will be weighed on
 * @param lines in the order of weighing: base first, strong ink into it, powder little by little, tack reducer and drier
 *     last
 * @param changes since then, in words
 * @param tests of the old ink, to be met again
 * @param packets kept of the old ink, or of what it was made into
 */
public record Rebuild(
        Contents contents,
        Mass batch,
        Mass step,
        List<Line> lines,
        List<String> changes,
        List<Told> tests,
        List<Shelf.Packet> packets) {
    /** Below this many steps of the scale an addition is better made from a let-down (common practice, no source). */
    private static final int FEWEST_STEPS = 20;
    /** Parts of base in a let-down of ten. */
    private static final int LET_DOWN = 10;
    /** Largest portion of powder at a time, as part of the batch (common practice, no source). */
    private static final double POWDER_AT_ONCE = 0.01;

    private static final List<MaterialRole> ORDER = List.of(
            MaterialRole.BASE,
            MaterialRole.VARNISH,
            MaterialRole.OPAQUE_WHITE,
            MaterialRole.INK,
            MaterialRole.OTHER,
            MaterialRole.RETARDER,
            MaterialRole.POWDER,
            MaterialRole.DRIER,
            MaterialRole.TACK_REDUCER);

    /**
     * One material to weigh out.
     *
     * @param share of the old ink
     * @param asBefore grams for this batch with lots as they were
     * @param grams for this batch with the can at hand
     * @param can to take it from; empty when none is on the shelf
     * @param strength of that can against the old lot, in percent
     * @param weighed grams rounded to the scale's step
     * @param portions to put in, one after the other; they add up to {@code weighed}
     * @param letDown grams of a let-down of 1 part ink and 9 parts base to use instead; empty when not needed
     */
    public record Line(
            Shelf.Material material,
            Uncertain share,
            double asBefore,
            double grams,
            Optional<Shelf.Can> can,
            double strength,
            Mass weighed,
            List<Mass> portions,
            Optional<Mass> letDown) {
        /** What rounding to the scale's step adds or takes, in grams. */
        public double roundingError() {
            return weighed.grams() - grams;
        }
    }

    /** Plans a batch of the ink that {@code contents} describes. */
    public static Rebuild of(Views views, Ledger ledger, Shelf shelf, Contents contents, Mass batch, Mass step) {
        if (contents.isEmpty()) {
            throw new BadInput(
                    "mix", views.name(contents.vessel()), "nothing was in it at that moment; choose a later one");
        }
        return new Planner(views, ledger, shelf, contents, batch, step).plan();
    }

    /** Base to leave out when every let-down is used, in grams. */
    public double baseInLetDowns() {
        return lines.stream()
                .flatMap(line -> line.letDown.stream())
                .mapToDouble(mass -> mass.grams() * (LET_DOWN - 1) / LET_DOWN)
                .sum();
    }

    private static final class Planner {
        private final Views views;
        private final Ledger ledger;
        private final Shelf shelf;
        private final Contents contents;
        private final Mass batch;
        private final Mass step;
        private final List<String> changes = new ArrayList<>();

        Planner(Views views, Ledger ledger, Shelf shelf, Contents contents, Mass batch, Mass step) {
            this.views = views;
            this.ledger = ledger;
            this.shelf = shelf;
            this.contents = contents;
            this.batch = batch;
            this.step = step;
        }

        private record Wanted(Shelf.Material material, Uncertain share, Optional<Shelf.Can> can, double strength) {}

        Rebuild plan() {
            List<Wanted> wanted = new ArrayList<>();
            for (Contents.Part part : contents.byMaterial(ledger::material)) {
                wanted.add(wanted(part));
            }
            double all = batch.grams();
            double taken = wanted.stream()
                    .mapToDouble(w -> w.share.value() * all * (1 - 100 / w.strength))
                    .sum();
            double basis = wanted.stream()
                    .filter(w -> w.material.role() == MaterialRole.BASE)
                    .mapToDouble(w -> w.share.value())
                    .sum();
            List<Line> lines = new ArrayList<>();
            for (Wanted each : wanted) {
                double before = each.share.value() * all;
                double grams = before * 100 / each.strength;
                if (each.material.role() == MaterialRole.BASE) {
                    grams += taken * each.share.value() / basis;
                    if (grams < 0) {
                        changes.add(
                                "the new lots are so weak that no base is left to give way; the batch comes out larger by "
                                        + Mass.nearest(-grams));
                        grams = 0;
                    }
                }
                lines.add(line(each, before, grams));
            }
            if (basis == 0 && Math.abs(taken) > 0) {
                changes.add(
                        "there is no base in this ink to take up the difference in strength; the batch comes out at "
                                + Mass.nearest(all - taken));
            }
            lines.sort(Comparator.comparingInt((Line line) -> ORDER.indexOf(line.material.role()))
                    .thenComparing(line -> -line.grams));
            return new Rebuild(contents, batch, step, lines, changes, tests(), packets());
        }

        private Wanted wanted(Contents.Part part) {
            Shelf.Material material = shelf.material(part.id());
            List<Contents.Part> oldParts = contents.byLot().stream()
                    .filter(lot -> ledger.material(lot.id()).equals(part.id()))
                    .toList();
            List<ThingId> oldLots = oldParts.stream().map(Contents.Part::id).toList();
            List<Shelf.Can> cans = shelf.cansOf(part.id());
            Optional<Shelf.Can> chosen = cans.stream()
                    .filter(can ->
                            can.isUsable() && oldLots.contains(can.thing().id()))
                    .findFirst()
                    .or(() -> cans.stream().filter(Shelf.Can::isUsable).findFirst());
            double needed = 0;
            double whole = 0;
            for (Contents.Part oldPart : oldParts) {
                ThingId old = oldPart.id();
                double mass = oldPart.grams().value();
                cans.stream()
                        .filter(can -> can.thing().id().equals(old))
                        .findFirst()
                        .ifPresent(can -> changed(material, can, chosen));
                boolean another =
                        chosen.isPresent() && !chosen.get().thing().id().equals(old);
                needed += mass * 100 / (another ? strength(material, chosen.get(), old) : 100);
                whole += mass;
            }
            double strength = needed > 0 ? 100 * whole / needed : 100;
            if (chosen.isEmpty()) {
                changes.add("no can of " + material.name() + " is on the shelf");
            }
            chosen.filter(can -> can.seen().isSkinned())
                    .ifPresent(can -> changes.add("the " + material.name() + " can " + can.lot()
                            + " has a skin: skim it level and keep bits of skin out"));
            return new Wanted(material, part.share(), chosen, strength);
        }

        private void changed(Shelf.Material material, Shelf.Can old, Optional<Shelf.Can> chosen) {
            old.seen().finished().ifPresent(told -> {
                String words = told.event() instanceof slabside.event.ShelfEvent.CanFinished f && f.words() != null
                        ? " (" + f.words() + ")"
                        : "";
                changes.add("the lot " + old.lot() + " of " + material.name() + " is gone" + words
                        + chosen.map(can -> "; " + can.lot() + " takes its place")
                                .orElse(""));
            });
        }

        private double strength(Shelf.Material material, Shelf.Can chosen, ThingId old) {
            Shelf.Strength strength = shelf.strength(chosen.thing().id(), old);
            String lots = chosen.lot() + " against "
                    + views.thing(old).map(Thing::name).orElse("the old lot");
            if (strength.told() != null) {
                changes.add(String.format(
                        java.util.Locale.ROOT,
                        "%s: the new lot is %.0f %% as strong (%s)",
                        material.name(),
                        strength.percent(),
                        lots));
            } else if (material.role() == MaterialRole.INK || material.role() == MaterialRole.OPAQUE_WHITE) {
                changes.add(material.name() + ": the strength of the new lot was never tried (" + lots
                        + "); taken as alike, an assumption");
            }
            return strength.percent();
        }

        private Line line(Wanted each, double before, double grams) {
            Mass weighed = rounded(grams);
            boolean powder = each.material.role() == MaterialRole.POWDER;
            boolean tooLittle = each.material.role() == MaterialRole.INK && grams < FEWEST_STEPS * step.grams();
            return new Line(
                    each.material,
                    each.share,
                    before,
                    grams,
                    each.can,
                    each.strength,
                    weighed,
                    powder ? portions(weighed) : List.of(weighed),
                    tooLittle ? Optional.of(rounded(grams * LET_DOWN)) : Optional.empty());
        }

        private Mass rounded(double grams) {
            long steps = Math.max(grams > 0 ? 1 : 0, Math.round(grams * 1000 / step.milligrams()));
            return new Mass(steps * step.milligrams());
        }

        private List<Mass> portions(Mass whole) {
            long most = Math.max(
                    step.milligrams(),
                    (long) (batch.milligrams() * POWDER_AT_ONCE) / step.milligrams() * step.milligrams());
            long count = (whole.milligrams() + most - 1) / most;
            List<Mass> portions = new ArrayList<>();
            long left = whole.milligrams();
            for (long i = count; i > 0; i--) {
                long portion = Math.round((double) left / i / step.milligrams()) * step.milligrams();
                portions.add(new Mass(portion));
                left -= portion;
            }
            return portions;
        }

        private List<Told> tests() {
            return views.of(contents.vessel(), Set.of(Role.NOTED), StoryKey.LAST).stream()
                    .filter(told -> told.event() instanceof TestEvent)
                    .toList();
        }

        private List<Shelf.Packet> packets() {
            ThingId vessel = views.canonical(contents.vessel());
            List<Shelf.Packet> kept = shelf.packets();
            return views.of(vessel, Set.of(Role.OUT), StoryKey.LAST).stream()
                    .filter(told -> told.event() instanceof InkEvent.Moved)
                    .map(told -> views.canonical(((InkEvent.Moved) told.event()).to()))
                    .distinct()
                    .flatMap(to ->
                            kept.stream().filter(packet -> packet.thing().id().equals(to)))
                    .toList();
        }
    }

    /**
     * A moment of an ink and what it is, in words.
     */
    public record Moment(StoryKey key, String words) {}

    /** The one meant when nobody says: when its colour was agreed; else after the last thing that went into it. */
    public static Moment usual(Views views, ThingId mix) {
        Optional<StoryKey> agreed = agreed(views, mix);
        if (agreed.isPresent()) {
            return new Moment(agreed.get(), "As it was when its colour was agreed.");
        }
        return views.of(mix, Set.of(Role.IN), StoryKey.LAST).stream()
                .map(Told::key)
                .reduce((a, b) -> b)
                .map(key -> new Moment(key, "As it was after the last addition; no agreed colour is written down."))
                .orElse(new Moment(StoryKey.LAST, "As it ended."));
    }

    /** The moment at which the colour of a mix was last agreed. */
    public static Optional<StoryKey> agreed(Views views, ThingId mix) {
        return views.of(mix, Set.of(Role.NOTED), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof TestEvent.ColourAgreed)
                .map(Told::key)
                .reduce((a, b) -> b);
    }

    /**
     * How near a new mix came to the old one.
     *
     * @param difference new share minus old, with its uncertainty
     */
    public record Difference(ThingId material, Uncertain old, Uncertain now, Uncertain difference) {
        /** Whether the two shares differ by more than their uncertainty (k = 2) explains. */
        public boolean isReal() {
            return Math.abs(difference.value()) > difference.expanded();
        }
    }

    /** Old and new share of every material in either, largest difference first. */
    public static List<Difference> compare(Ledger ledger, Contents old, Contents now) {
        List<Difference> differences = new ArrayList<>();
        java.util.Map<ThingId, Uncertain> before = shares(ledger, old);
        java.util.Map<ThingId, Uncertain> after = shares(ledger, now);
        Set<ThingId> all = new java.util.TreeSet<>(before.keySet());
        all.addAll(after.keySet());
        Uncertain none = new Uncertain(0, 0);
        for (ThingId material : all) {
            Uncertain a = before.getOrDefault(material, none);
            Uncertain b = after.getOrDefault(material, none);
            differences.add(new Difference(
                    material, a, b, new Uncertain(b.value() - a.value(), StrictMath.hypot(a.u(), b.u()))));
        }
        differences.sort(Comparator.comparingDouble(d -> -Math.abs(d.difference.value())));
        return differences;
    }

    private static java.util.Map<ThingId, Uncertain> shares(Ledger ledger, Contents contents) {
        java.util.Map<ThingId, Uncertain> shares = new java.util.HashMap<>();
        contents.byMaterial(ledger::material).forEach(part -> shares.put(part.id(), part.share()));
        return shares;
    }
}
