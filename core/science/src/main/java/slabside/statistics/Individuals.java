package slabside.statistics;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.hipparchus.distribution.continuous.TDistribution;
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

    /** Standard deviation of the range of two normal values in standard deviations: √(2 − 4 / π). */
    public static final double D3 = StrictMath.sqrt(2 - 4 / StrictMath.PI);

    /** Median range of two normal values in standard deviations. */
    public static final double D4_MEDIAN = 0.9538725524;

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

    /** Most values of an opening that limits come from, and fewest. */
    private static final int OPENING = 30;

    private static final int LEAST_OPENING = 8;
    /** Chance that a steady value lies below the upper limit of three standard deviations. */
    private static final double BELOW_THREE = 0.99865;
    /** Degrees of freedom of a mean moving range, for each value but one: its relative variance is 0.826 / (n − 1). */
    private static final double FREEDOM = 0.605;

    /**
     * Limits of the approved opening: from the first values, as long as they were approved, thirty at most and never more than
     * half of all there are once there are more than twice eight. Empty when fewer than eight opened the series. They are as
     * much wider as so few values leave the mean and the standard deviation unknown (Student's t), so that the next value of
     * a steady series lies outside about as seldom as three standard deviations promise.
     *
     * @param approved whether each value stands for something that was found good then
     * @param step how finely the values were read, zero or more
     */
    public static Optional<Individuals> ofOpening(double[] values, boolean[] approved, double step) {
        int most = Math.max(LEAST_OPENING, Math.min(OPENING, values.length / 2));
        int n = 0;
        while (n < values.length && n < most && approved[n]) {
            n++;
        }
        if (n < LEAST_OPENING) {
            return Optional.empty();
        }
        Individuals opening = of(Arrays.copyOf(values, n)).readInStepsOf(step);
        double t = new TDistribution(FREEDOM * (n - 1)).inverseCumulativeProbability(BELOW_THREE);
        double wider = t * StrictMath.sqrt(1 + 1.0 / n) / 3;
        Individuals limits = new Individuals(opening.centre(), opening.movingRange(), opening.sigma() * wider);
        return limits.sigma() > 0 ? Optional.of(limits) : Optional.empty();
    }

    /** How finely values were read: the least difference of two; 0 when they are all alike. */
    public static double stepOf(double... values) {
        double[] sorted = values.clone();
        Arrays.sort(sorted);
        double least = Double.POSITIVE_INFINITY;
        for (int i = 1; i < sorted.length; i++) {
            double difference = sorted[i] - sorted[i - 1];
            least = difference > 1e-9 ? Math.min(least, difference) : least;
        }
        return Double.isFinite(least) ? least : 0;
    }

    /** The same width around another centre, such as what was read of an OK proof. */
    public Individuals around(double standard) {
        return new Individuals(standard, movingRange, sigma);
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

    /** Upper limit of a moving range: its mean and three of its own standard deviations, 3.2665 times the mean. */
    public double upperRange() {
        return movingRange * (1 + 3 * D3 / D2);
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
