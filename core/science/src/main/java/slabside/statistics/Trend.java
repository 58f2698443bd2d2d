package slabside.statistics;

import org.hipparchus.distribution.continuous.NormalDistribution;
import org.hipparchus.stat.correlation.KendallsCorrelation;
import slabside.measure.BadInput;

/**
 * Whether a series rises or falls over its whole length, by ranks alone: Kendall 1938, Biometrika 30, 81–93; as a test
 * against time Mann 1945, Econometrica 13, 245–259.
 *
 * @param tau from −1, falling throughout, to 1, rising throughout; tied values count for neither (τ<sub>b</sub>)
 * @param p two-sided, by the normal approximation with the correction for ties
 */
public record Trend(double tau, double p) {
    private static final NormalDistribution STANDARD = new NormalDistribution();

    /** Of values in their order, three at least. */
    public static Trend of(double... values) {
        int n = values.length;
        if (n < 3) {
            throw new BadInput("values", n + " of them", "a trend needs three at least");
        }
        double[] order = new double[n];
        double s = 0;
        for (int i = 0; i < n; i++) {
            order[i] = i;
            for (int j = 0; j < i; j++) {
                s += Math.signum(values[i] - values[j]);
            }
        }
        double variance = n * (n - 1.0) * (2 * n + 5) / 18;
        double[] sorted = values.clone();
        java.util.Arrays.sort(sorted);
        for (int i = 0; i < n; ) {
            int end = i;
            while (end + 1 < n && sorted[end + 1] == sorted[i]) {
                end++;
            }
            double t = end - i + 1.0;
            variance -= t * (t - 1) * (2 * t + 5) / 18;
            i = end + 1;
        }
        if (!(variance > 0)) {
            return new Trend(0, 1);
        }
        double z = s == 0 ? 0 : (s - Math.signum(s)) / StrictMath.sqrt(variance);
        return new Trend(
                new KendallsCorrelation().correlation(order, values),
                Math.min(1, 2 * STANDARD.cumulativeProbability(-Math.abs(z))));
    }
}
