package slabside.statistics;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import org.hipparchus.distribution.continuous.NormalDistribution;
import org.hipparchus.special.Gamma;
import slabside.measure.BadInput;

/**
 * What sparse marks in words say of an effect that follows a given shape, as the natural logarithm of the Bayes factor
 * against no change. A mark is what a normal value would give that is only told apart below, within and above two thresholds.
 */
public final class MarkEvidence {
    private static final NormalDistribution STANDARD = new NormalDistribution();
    /** How well the beginning matches: assumption, half a standard deviation. */
    private static final double BEGINNING = 0.5;

    private static final int NODES = 41;
    private static final double WIDE = 3.5;

    private MarkEvidence() {}

    /**
     * For marks below (−1), within (0) or above (1), such as lighter, match, darker.
     *
     * @param shape of the effect at each mark
     * @param threshold in standard deviations, from which on a difference is seen; above zero
     * @param tau standard deviation of the effect for one of the shape, in standard deviations of a print
     */
    public static double ofMarks(int[] marks, double[] shape, double threshold, double tau) {
        if (marks.length != shape.length || !(threshold > 0)) {
            throw new BadInput("marks", marks.length + " marks", "give the shape at each, and a threshold above zero");
        }
        // Marks that are alike at one value of the shape are counted, for each needs its chance but once.
        Map<Double, int[]> counts = new LinkedHashMap<>();
        for (int i = 0; i < marks.length; i++) {
            counts.computeIfAbsent(shape[i], each -> new int[3])[Integer.signum(marks[i]) + 1]++;
        }
        double[] weights = new double[NODES];
        double total = 0;
        for (int i = 0; i < NODES; i++) {
            weights[i] = StrictMath.exp(-node(i) * node(i) / 2);
            total += weights[i];
        }
        double[] with = new double[NODES * NODES];
        double[] without = new double[NODES];
        for (int i = 0; i < NODES; i++) {
            without[i] = StrictMath.log(weights[i] / total);
            for (int j = 0; j < NODES; j++) {
                with[i * NODES + j] = without[i] + StrictMath.log(weights[j] / total);
            }
        }
        double[][] still = chances(threshold, tau, 0);
        counts.forEach((at, seen) -> {
            double[][] moved = chances(threshold, tau, at);
            for (int i = 0; i < NODES; i++) {
                without[i] += log(seen, still[i * NODES]);
                for (int j = 0; j < NODES; j++) {
                    with[i * NODES + j] += log(seen, moved[i * NODES + j]);
                }
            }
        });
        return sum(with) - sum(without);
    }

    private static double log(int[] seen, double[] chances) {
        return seen[0] * chances[0] + seen[1] * chances[1] + seen[2] * chances[2];
    }

    private static double node(int i) {
        return WIDE * (2.0 * i / (NODES - 1) - 1);
    }

    private record Asked(double threshold, double tau, double shape) {}

    private static final int KEPT = 64;
    /** Before and behind a step, and along a drift of one length, the chances are the same in every series. */
    private static final Map<Asked, double[][]> CHANCES = new ConcurrentHashMap<>();

    /** Logarithms of the chances of the three marks at each level and each effect. */
    private static double[][] chances(double threshold, double tau, double shape) {
        Asked asked = new Asked(threshold, tau, shape);
        double[][] known = CHANCES.get(asked);
        if (known != null) {
            return known;
        }
        double[][] chances = computed(asked);
        if (CHANCES.size() < KEPT) {
            CHANCES.put(asked, chances);
        }
        return chances;
    }

    private static double[][] computed(Asked asked) {
        double[][] logs = new double[NODES * NODES][];
        for (int i = 0; i < NODES; i++) {
            for (int j = 0; j < NODES; j++) {
                double mean = node(i) * BEGINNING + node(j) * asked.tau() * asked.shape();
                double below = STANDARD.cumulativeProbability(-asked.threshold() - mean);
                double above = STANDARD.cumulativeProbability(mean - asked.threshold());
                logs[i * NODES + j] = new double[] {
                    StrictMath.log(Math.max(below, 1e-300)),
                    StrictMath.log(Math.max(1 - below - above, 1e-300)),
                    StrictMath.log(Math.max(above, 1e-300))
                };
            }
        }
        return logs;
    }

    private static double sum(double... logs) {
        double most = Double.NEGATIVE_INFINITY;
        for (double log : logs) {
            most = Math.max(most, log);
        }
        double sum = 0;
        for (double log : logs) {
            sum += StrictMath.exp(log - most);
        }
        return most + StrictMath.log(sum);
    }

    /**
     * For things that are counted before and behind a moment, such as spoiled pulls: two chances against one, each with the
     * prior Beta(a, b).
     */
    public static double ofCounts(int k1, int n1, int k2, int n2, double a, double b) {
        return logBeta(a + k1, b + n1 - k1)
                + logBeta(a + k2, b + n2 - k2)
                - logBeta(a, b)
                - logBeta(a + k1 + k2, b + n1 + n2 - k1 - k2);
    }

    private static double logBeta(double a, double b) {
        return Gamma.logGamma(a) + Gamma.logGamma(b) - Gamma.logGamma(a + b);
    }
}
