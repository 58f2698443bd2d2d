package slabside.statistics;

import org.hipparchus.distribution.continuous.NormalDistribution;
import slabside.measure.BadInput;

/**
 * How much better a series is explained by an effect that follows a given shape than by no change at all: the natural
 * logarithm of the Bayes factor. The shape is 0 before the effect and after it 1 (a step), the number of values since (a drift), or any
 * amount that goes with the cause, such as the share of a material on the load; it is centred, so the level before is free.
 *
 * <p>With a standard deviation that is known the effect's prior is normal in the unit of the series; with one that is not, in
 * standard deviations.
 */
public final class ShiftEvidence {
    private static final NormalDistribution STANDARD = new NormalDistribution();

    private final int n;
    /** Σ u², of the centred shape. */
    private final double shape;
    /** Σ u x. */
    private final double product;

    private final double total;

    private ShiftEvidence(double[] values, double[] regressor) {
        if (values.length != regressor.length || values.length < 3) {
            throw new BadInput("values", values.length + " of them", "give three at least, and the shape at each");
        }
        n = values.length;
        double meanX = 0;
        double meanU = 0;
        for (int i = 0; i < n; i++) {
            meanX += values[i] / n;
            meanU += regressor[i] / n;
        }
        double s = 0;
        double p = 0;
        double t = 0;
        for (int i = 0; i < n; i++) {
            double x = values[i] - meanX;
            double u = regressor[i] - meanU;
            s += u * u;
            p += u * x;
            t += x * x;
        }
        shape = s;
        product = p;
        total = t;
    }

    /** For any shape, one number for each value. */
    public static ShiftEvidence of(double[] values, double[] regressor) {
        return new ShiftEvidence(values, regressor);
    }

    /** For a step behind the first {@code k} values. */
    public static ShiftEvidence step(double[] values, int k) {
        double[] shape = new double[values.length];
        for (int i = Math.max(0, k); i < shape.length; i++) {
            shape[i] = 1;
        }
        return of(values, shape);
    }

    /** For a drift that begins behind the first {@code k} values and grows by one with each. */
    public static ShiftEvidence drift(double[] values, int k) {
        double[] shape = new double[values.length];
        for (int i = Math.max(0, k); i < shape.length; i++) {
            shape[i] = i - k + 1;
        }
        return of(values, shape);
    }

    /** Whether the shape changes at all within the values; one that does not can explain nothing. */
    public boolean says() {
        return shape > 1e-12;
    }

    /** The effect that fits best, in the unit of the series for one of the shape. */
    public double effect() {
        return says() ? product / shape : 0;
    }

    /**
     * With a known standard deviation and an effect prior N(d, τ²).
     *
     * @param sigma of a value, above zero
     * @param d expected effect, in the unit of the series
     * @param tau standard deviation of the effect
     */
    public double log(double sigma, double d, double tau) {
        if (!says()) {
            return 0;
        }
        double v = sigma * sigma / shape;
        double effect = effect();
        return 0.5 * StrictMath.log(v / (v + tau * tau))
                + effect * effect / (2 * v)
                - (effect - d) * (effect - d) / (2 * (v + tau * tau));
    }

    /**
     * With a known standard deviation and an effect whose direction alone is known: half a normal N(0, τ²).
     *
     * @param sign above zero for an effect that raises the series
     */
    public double logOneSided(double sigma, double tau, int sign) {
        if (!says()) {
            return 0;
        }
        double v = sigma * sigma / shape;
        double variance = 1 / (1 / v + 1 / (tau * tau));
        double m = variance * effect() / v;
        double z = (sign > 0 ? m : -m) / StrictMath.sqrt(variance);
        return log(sigma, 0, tau) + StrictMath.log(2) + logCumulative(z);
    }

    /** ln Φ(z), by the asymptotic series far out, where Φ itself is no double any more. */
    static double logCumulative(double z) {
        if (z > -30) {
            return StrictMath.log(STANDARD.cumulativeProbability(z));
        }
        double square = z * z;
        return -square / 2
                - StrictMath.log(-z)
                - 0.5 * StrictMath.log(2 * StrictMath.PI)
                + StrictMath.log1p(-1 / square + 3 / (square * square));
    }

    /**
     * With an unknown standard deviation and an effect prior N(0, τ²) in standard deviations.
     *
     * @param tau in standard deviations
     */
    public double logUnknownSigma(double tau) {
        return logUnknownSigma(tau, 0);
    }

    /**
     * The same for values read in steps: no reading is known better than step / √12, so readings that are all alike prove
     * less than they seem to.
     *
     * @param step of the reading, zero or more
     */
    public double logUnknownSigma(double tau, double step) {
        double whole = total + n * step * step / 12;
        if (!says() || !(whole > 0)) {
            return 0;
        }
        double scaled = tau * tau * shape;
        double w = scaled / (1 + scaled);
        double explained = product * product / shape / whole;
        return -0.5 * StrictMath.log1p(scaled) - (n - 1) / 2.0 * StrictMath.log1p(-w * Math.min(explained, 1 - 1e-15));
    }

    /** Logarithm of the mean of the exponentials of some logarithms. */
    public static double logMean(double... logs) {
        double most = Double.NEGATIVE_INFINITY;
        for (double log : logs) {
            most = Math.max(most, log);
        }
        double sum = 0;
        for (double log : logs) {
            sum += StrictMath.exp(log - most);
        }
        return most + StrictMath.log(sum / logs.length);
    }
}
