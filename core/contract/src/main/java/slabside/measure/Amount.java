package slabside.measure;

import java.math.BigDecimal;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/**
 * How much ink was moved, the way it was established. Every kind keeps {@code entered}, the text as typed.
 *
 * <p>A value finer than 1 mg, zero or negative is refused, never rounded.
 */
public sealed interface Amount {
    /** The text as typed. */
    String entered();

    /**
     * Two readings of one scale, in either direction: of the can that got lighter or the cup that got heavier.
     *
     * @param tareOf id of the earlier move whose {@code after} reading is this {@code before} (one running cup), so
     *     that the shared reading is counted once
     */
    record Weighed(
            long beforeMg,
            long afterMg,
            long stepMg,
            @Nullable String tareOf,
            String entered) implements Amount {
        public Weighed {
            notNegative("reading before", beforeMg);
            notNegative("reading after", afterMg);
            step(stepMg);
            moved(Math.abs(afterMg - beforeMg), entered);
        }

        public long netMg() {
            return Math.abs(afterMg - beforeMg);
        }
    }

    /** One net weighing on a tared scale, or the net printed on a label. */
    record Net(long mg, long stepMg, String entered) implements Amount {
        public Net {
            step(stepMg);
            moved(mg, entered);
        }
    }

    /** By eye, between two bounds; equally likely anywhere between (JCGM 100:2008, 4.3.7). */
    record Estimated(long lowMg, long highMg, String entered) implements Amount {
        public Estimated {
            notNegative("low estimate", lowMg);
            moved(highMg, entered);
            if (lowMg > highMg) {
                throw new BadInput("estimate", entered, "the low end is above the high end; swap them");
            }
        }
    }

    /**
     * So many parts of a group whose one scale is not known until something in it is weighed.
     *
     * @param group names the scale that these parts share
     */
    record Parts(BigDecimal n, String group, String entered) implements Amount {
        public Parts {
            if (n.signum() <= 0) {
                throw new BadInput("parts", entered, "give a number of parts above zero");
            }
        }
    }

    /** All that is then in the source. */
    record Rest(String entered) implements Amount {}

    /** Not written down. Kept as a gap with a name, never taken for zero. */
    record Unknown(String entered) implements Amount {}

    /** A tared weighing typed as text, such as "12.5" or "12,5 g"; the scale's step is that of the last digit typed. */
    static Net net(String field, String text) {
        String number = text.strip().replaceFirst("(?i)\\s*g$", "");
        BigDecimal grams = Typed.decimal(field, number);
        Mass mass = Mass.ofGrams(field, grams);
        return new Net(mass.milligrams(), Mass.stepOf(grams).milligrams(), text.strip());
    }

    /** A tared weighing on a scale of the given step. */
    static Net net(Mass mass, Mass step) {
        return new Net(mass.milligrams(), step.milligrams(), mass.toString());
    }

    /** Two readings, typed as grams; the scale's step is that of the finer of the two. */
    static Weighed weighed(String before, String after) {
        BigDecimal first = Typed.decimal("reading before", before);
        BigDecimal second = Typed.decimal("reading after", after);
        return new Weighed(
                Mass.ofGrams("reading before", first).milligrams(),
                Mass.ofGrams("reading after", second).milligrams(),
                Math.min(Mass.stepOf(first).milligrams(), Mass.stepOf(second).milligrams()),
                null,
                before.strip() + " → " + after.strip());
    }

    /** In words, in grams. */
    default String shown() {
        if (this instanceof Weighed w) {
            return new Mass(w.netMg()).shown(new Mass(w.stepMg()));
        }
        if (this instanceof Net n) {
            return new Mass(n.mg()).shown(new Mass(n.stepMg()));
        }
        if (this instanceof Estimated e) {
            return String.format(Locale.ROOT, "%s to %s by eye", new Mass(e.lowMg()), new Mass(e.highMg()));
        }
        if (this instanceof Parts p) {
            return p.n().toPlainString() + (p.n().compareTo(BigDecimal.ONE) == 0 ? " part" : " parts");
        }
        return this instanceof Rest ? "all the rest" : "an amount not written down";
    }

    private static void notNegative(String field, long mg) {
        if (mg < 0) {
            throw new BadInput(field, new Mass(mg), "a reading cannot be negative; tare the scale and read again");
        }
    }

    private static void step(long stepMg) {
        if (stepMg < 1) {
            throw new BadInput("scale step", stepMg + " mg", "give the smallest step the scale shows, 1 mg or more");
        }
    }

    private static void moved(long mg, String entered) {
        if (mg <= 0) {
            throw new BadInput(
                    "amount", entered, "a move needs an amount above zero; leave it out or write \"unknown\"");
        }
    }
}
