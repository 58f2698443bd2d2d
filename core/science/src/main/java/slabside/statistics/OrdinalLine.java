package slabside.statistics;

import java.util.Arrays;
import org.hipparchus.linear.Array2DRowRealMatrix;
import org.hipparchus.linear.ArrayRealVector;
import org.hipparchus.linear.LUDecomposition;
import slabside.measure.BadInput;

/**
 * How marks in ordered words move with a dose: the proportional-odds model P(mark ≤ j) = 1 / (1 + exp(−(ζⱼ − β x))), by
 * maximum likelihood (McCullagh 1980, J. R. Stat. Soc. B 42, 109–142).
 *
 * @param beta log odds ratio for one of the dose; above 0 for higher marks
 * @param zeta thresholds between the marks that were given, in order
 * @param logLikelihood at these
 */
public record OrdinalLine(double beta, double[] zeta, double logLikelihood) {
    private static final int ROUNDS = 200;
    private static final double STEP = 1e-6;
    private static final double STEEPEST = 500;
    /** A log-likelihood above this says that every mark was foreseen. */
    private static final double CERTAIN = -1e-4;

    /**
     * From marks as whole numbers; those that were never given have no threshold.
     *
     * @throws BadInput when all marks are alike, or the dose alone tells the marks apart so that no finite slope is best
     */
    public static OrdinalLine of(double[] doses, int[] marks) {
        int[] given = Arrays.stream(marks).distinct().sorted().toArray();
        if (given.length < 2 || doses.length != marks.length) {
            throw new BadInput("marks", Arrays.toString(marks), "give marks of two kinds at least, one for each dose");
        }
        int[] ranks = Arrays.stream(marks)
                .map(mark -> Arrays.binarySearch(given, mark))
                .toArray();
        double centre = Arrays.stream(doses).average().orElse(0);
        double[] x = Arrays.stream(doses).map(dose -> dose - centre).toArray();
        double[] at = new double[given.length];
        for (int j = 0; j < given.length - 1; j++) {
            int below = j;
            double part = (Arrays.stream(ranks).filter(rank -> rank <= below).count() + 0.5) / (marks.length + 1.0);
            at[j + 1] = StrictMath.log(part / (1 - part));
        }
        at = maximum(x, ranks, at);
        double range = Arrays.stream(x).max().orElse(0) - Arrays.stream(x).min().orElse(0);
        if (Math.abs(at[0]) * range > STEEPEST || logLikelihood(x, ranks, at) > CERTAIN) {
            throw new BadInput(
                    "marks", Arrays.toString(marks), "the dose tells them apart without exception; try doses between");
        }
        double[] zeta = new double[given.length - 1];
        for (int j = 0; j < zeta.length; j++) {
            zeta[j] = at[j + 1] + at[0] * centre;
        }
        return new OrdinalLine(at[0], zeta, logLikelihood(x, ranks, at));
    }

    /** Newton's method with halved steps; the log-likelihood is concave. */
    private static double[] maximum(double[] x, int[] ranks, double[] start) {
        double[] at = start;
        double log = logLikelihood(x, ranks, at);
        for (int round = 0; round < ROUNDS; round++) {
            double[] gradient = gradient(x, ranks, at);
            double[][] curvature = new double[at.length][];
            for (int i = 0; i < at.length; i++) {
                double[] up = at.clone();
                double[] down = at.clone();
                up[i] += STEP;
                down[i] -= STEP;
                double[] above = gradient(x, ranks, up);
                double[] below = gradient(x, ranks, down);
                curvature[i] = new double[at.length];
                for (int j = 0; j < at.length; j++) {
                    curvature[i][j] = (below[j] - above[j]) / (2 * STEP) + (i == j ? 1e-12 : 0);
                }
            }
            double[] step = new LUDecomposition(new Array2DRowRealMatrix(curvature), 0)
                    .getSolver()
                    .solve(new ArrayRealVector(gradient))
                    .toArray();
            double part = 1;
            double[] next = moved(at, step, part);
            double reached = logLikelihood(x, ranks, next);
            while (!(reached >= log) && part > 1e-12) {
                part /= 2;
                next = moved(at, step, part);
                reached = logLikelihood(x, ranks, next);
            }
            if (!(reached > log)) {
                break;
            }
            at = next;
            log = reached;
        }
        return at;
    }

    private static double[] moved(double[] at, double[] step, double part) {
        double[] next = at.clone();
        for (int i = 0; i < next.length; i++) {
            next[i] += part * step[i];
        }
        return next;
    }

    private static double cumulative(double z) {
        return 1 / (1 + StrictMath.exp(-z));
    }

    private static double threshold(double[] at, int j) {
        return j < 0 ? Double.NEGATIVE_INFINITY : j >= at.length - 1 ? Double.POSITIVE_INFINITY : at[j + 1];
    }

    private static double logLikelihood(double[] x, int[] ranks, double[] at) {
        double log = 0;
        for (int i = 0; i < x.length; i++) {
            double shift = at[0] * x[i];
            double chance =
                    cumulative(threshold(at, ranks[i]) - shift) - cumulative(threshold(at, ranks[i] - 1) - shift);
            if (!(chance > 0)) {
                return Double.NEGATIVE_INFINITY;
            }
            log += StrictMath.log(chance);
        }
        return log;
    }

    private static double[] gradient(double[] x, int[] ranks, double[] at) {
        double[] gradient = new double[at.length];
        for (int i = 0; i < x.length; i++) {
            double shift = at[0] * x[i];
            double above = cumulative(threshold(at, ranks[i]) - shift);
            double below = cumulative(threshold(at, ranks[i] - 1) - shift);
            double chance = above - below;
            double dAbove = above * (1 - above);
            double dBelow = below * (1 - below);
            gradient[0] -= x[i] * (dAbove - dBelow) / chance;
            if (ranks[i] + 1 < at.length) {
                gradient[ranks[i] + 1] += dAbove / chance;
            }
            if (ranks[i] > 0) {
                gradient[ranks[i]] -= dBelow / chance;
            }
        }
        return gradient;
    }
}
