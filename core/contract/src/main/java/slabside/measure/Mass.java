package slabside.measure;

import java.math.BigDecimal;
import java.math.RoundingMode;

/**
 * A mass to the whole milligram; refuses anything finer, since no studio scale shows it.
 *
 * @param milligrams may be negative only as the result of a subtraction
 */
public record Mass(long milligrams) implements Comparable<Mass> {
    public static final Mass ZERO = new Mass(0);
    /** One tonne; more is a slip of the keyboard. */
    private static final BigDecimal MOST_GRAMS = new BigDecimal("1000000");

    /** Refuses negative masses and those finer than a milligram. */
    public static Mass ofGrams(String field, BigDecimal grams) {
        if (grams.signum() < 0) {
            throw new BadInput(
                    field,
                    grams.toPlainString() + " g",
                    "a mass cannot be negative; to take ink out, record a move the other way");
        }
        if (grams.compareTo(MOST_GRAMS) > 0) {
            throw new BadInput(
                    field,
                    grams.toPlainString() + " g",
                    "this is more than a tonne; check the unit and the decimal sign");
        }
        BigDecimal milligrams = grams.movePointRight(3).stripTrailingZeros();
        if (milligrams.scale() > 0) {
            throw new BadInput(
                    field, grams.toPlainString() + " g", "finer than 1 mg; give at most three decimals of a gram");
        }
        return new Mass(milligrams.longValueExact());
    }

    public static Mass ofGrams(String grams) {
        return ofGrams("mass", new BigDecimal(grams));
    }

    /** One in the last digit of grams as they were typed, which is the step of the scale they were read from; 1 mg at least. */
    public static Mass stepOf(BigDecimal typedGrams) {
        return new Mass(BigDecimal.ONE
                .movePointLeft(Math.max(0, Math.min(3, typedGrams.scale())))
                .movePointRight(3)
                .longValue());
    }

    /** The mass nearest to {@code grams}, for results of a calculation. */
    public static Mass nearest(double grams) {
        return new Mass(StrictMath.round(grams * 1000));
    }

    public double grams() {
        return milligrams / 1000.0;
    }

    public BigDecimal exactGrams() {
        return BigDecimal.valueOf(milligrams, 3);
    }

    public Mass plus(Mass other) {
        return new Mass(Math.addExact(milligrams, other.milligrams));
    }

    public Mass minus(Mass other) {
        return new Mass(Math.subtractExact(milligrams, other.milligrams));
    }

    /** In grams with as many decimals as the scale's step shows. */
    public String shown(Mass step) {
        int decimals = Math.max(
                0,
                BigDecimal.valueOf(Math.max(1, step.milligrams), 3)
                        .stripTrailingZeros()
                        .scale());
        return exactGrams().setScale(decimals, RoundingMode.HALF_EVEN).toPlainString() + " g";
    }

    @Override
    public int compareTo(Mass other) {
        return Long.compare(milligrams, other.milligrams);
    }

    @Override
    public String toString() {
        BigDecimal plain = exactGrams().stripTrailingZeros();
        return (plain.scale() < 0 ? plain.setScale(0) : plain).toPlainString() + " g";
    }
}
