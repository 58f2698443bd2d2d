package slabside.statistics;

import java.util.Optional;
import org.hipparchus.distribution.continuous.TDistribution;
import slabside.measure.BadInput;

/**
 * A straight line of an effect over a dose, by least squares, and the dose for a wanted effect with its interval: Fieller's,
 * as in the classical calibration of Graybill or Draper &amp; Smith.
 *
 * @param intercept effect without a dose
 * @param slope effect for one of the dose
 * @param sigma residual standard deviation, on n − 2 degrees of freedom
 * @param n trials
 * @param meanDose mean of the doses
 * @param spread Σ (dose − mean)²
 */
public record DoseLine(double intercept, double slope, double sigma, int n, double meanDose, double spread) {
    /**
     * A dose.
     *
     * @param low end of the interval
     * @param error its standard error by the linear approximation
     */
    public record Dose(double dose, double low, double high, double error) {}

    /**
     * A line through at least three trials at two doses at least.
     *
     * @throws BadInput when the doses are all alike or the trials too few
     */
    public static DoseLine of(double[] doses, double[] effects) {
        int n = doses.length;
        if (n < 3 || n != effects.length) {
            throw new BadInput("trials", n + " doses, " + effects.length + " effects", "give three at least, in pairs");
        }
        double meanX = 0;
        double meanY = 0;
        for (int i = 0; i < n; i++) {
            meanX += doses[i] / n;
            meanY += effects[i] / n;
        }
        double sxx = 0;
        double sxy = 0;
        for (int i = 0; i < n; i++) {
            sxx += (doses[i] - meanX) * (doses[i] - meanX);
            sxy += (doses[i] - meanX) * (effects[i] - meanY);
        }
        if (!(sxx > 0)) {
            throw new BadInput("doses", meanX, "they are all alike; try another dose");
        }
        double slope = sxy / sxx;
        double rss = 0;
        for (int i = 0; i < n; i++) {
            double residual = effects[i] - meanY - slope * (doses[i] - meanX);
            rss += residual * residual;
        }
        return new DoseLine(meanY - slope * meanX, slope, StrictMath.sqrt(rss / (n - 2)), n, meanX, sxx);
    }

    public double effect(double dose) {
        return intercept + slope * dose;
    }

    private static double t(double confidence, int freedom) {
        return new TDistribution(freedom).inverseCumulativeProbability(0.5 + confidence / 2);
    }

    /** Part of the slope that is doubt: at 1 or more no dose can be bounded, and more trials are needed. */
    public double doubt(double confidence) {
        double t = t(confidence, n - 2);
        return t * t * sigma * sigma / (slope * slope * spread);
    }

    /** The dose at which the mean effect is {@code effect}; empty when the trials are too few to bound it. */
    public Optional<Dose> forMean(double effect, double confidence) {
        return dose(effect, 0, sigma, n - 2, confidence);
    }

    /** The dose of something whose effect was read, once or several times; empty when the trials are too few. */
    public Optional<Dose> forReadings(double confidence, double... readings) {
        int m = readings.length;
        double mean = 0;
        for (double reading : readings) {
            mean += reading / m;
        }
        double squares = 0;
        for (double reading : readings) {
            squares += (reading - mean) * (reading - mean);
        }
        int freedom = n + m - 3;
        double pooled = StrictMath.sqrt(((n - 2) * sigma * sigma + squares) / freedom);
        return dose(mean, 1.0 / m, pooled, freedom, confidence);
    }

    private Optional<Dose> dose(double effect, double q, double s, int freedom, double confidence) {
        double t = t(confidence, freedom);
        double ts = t * t * s * s;
        double above = effect - effect(meanDose);
        double a = slope * slope - ts / spread;
        if (a <= 0) {
            return Optional.empty();
        }
        double c = above * above - ts * (q + 1.0 / n);
        double root = StrictMath.sqrt(slope * slope * above * above - a * c);
        double one = (slope * above - root) / a;
        double two = (slope * above + root) / a;
        double best = above / slope;
        double error = s / Math.abs(slope) * StrictMath.sqrt(q + 1.0 / n + best * best / spread);
        return Optional.of(
                new Dose(meanDose + best, meanDose + Math.min(one, two), meanDose + Math.max(one, two), error));
    }
}
