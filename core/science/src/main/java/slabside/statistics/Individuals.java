package slabside.statistics;

import java.util.ArrayList;
import java.util.List;
import slabside.measure.BadInput;

/**
 * Chart of single values with limits three standard deviations from the mean, the standard deviation taken from the mean
 * moving range, so that a shift inside the values does not widen the limits (NIST/SEMATECH e-Handbook 6.3.2.2).
 *
 * <p>Limits should come from values that were approved: those of the whole run hide a shift within it.
 *
 * @param centre mean of the values that the limits come from
 * @param movingRange mean of the absolute differences of neighbours
 * @param sigma standard deviation, {@code movingRange / d2}
 */
public record Individuals(double centre, double movingRange, double sigma) {
    /** Mean range of two normal values in standard deviations: 2 / √π. */
    public static final double D2 = 2 / StrictMath.sqrt(StrictMath.PI);

    /** Median range of two normal values in standard deviations. */
    public static final double D4_MEDIAN = 0.95387255;

    /** From at least two values in their order. */
    public static Individuals of(double... values) {
        if (values.length < 2) {
            throw new BadInput("values", values.length + " of them", "limits need two at least");
        }
        double sum = 0;
        double ranges = 0;
        for (int i = 0; i < values.length; i++) {
            sum += values[i];
            ranges += i == 0 ? 0 : Math.abs(values[i] - values[i - 1]);
        }
        double movingRange = ranges / (values.length - 1);
        return new Individuals(sum / values.length, movingRange, movingRange / D2);
    }

    /** The same, with no standard deviation smaller than a scale read in steps can have: step / √12. */
    public Individuals readInStepsOf(double step) {
        return new Individuals(centre, movingRange, Math.max(sigma, step / StrictMath.sqrt(12)));
    }

    public double lower() {
        return centre - 3 * sigma;
    }

    public double upper() {
        return centre + 3 * sigma;
    }

    /** Places, from 0, of values beyond the limits. */
    public List<Integer> outside(double... values) {
        List<Integer> places = new ArrayList<>();
        for (int i = 0; i < values.length; i++) {
            if (values[i] > upper() || values[i] < lower()) {
                places.add(i);
            }
        }
        return places;
    }

    /** Values in standard deviations from the centre. */
    public double[] standardised(double... values) {
        double[] z = new double[values.length];
        for (int i = 0; i < values.length; i++) {
            z[i] = (values[i] - centre) / sigma;
        }
        return z;
    }
}
