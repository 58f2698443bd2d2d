package slabside.statistics;

import org.hipparchus.analysis.solvers.BrentSolver;
import org.hipparchus.distribution.continuous.BetaDistribution;
import org.hipparchus.distribution.discrete.BinomialDistribution;
import org.hipparchus.special.Gamma;
import slabside.measure.BadInput;

/** Exact tests for things that are counted: spoiled pulls, hickeys. From n and k, never from a rounded part. */
public final class Counts {
    /** Chances that differ by less than this part count as alike, as usual in exact two-sided tests. */
    private static final double ALIKE = 1 + 1e-7;

    private Counts() {}

    /**
     * Fisher's exact test of two parts.
     *
     * @param p of a table at most as probable as this one
     * @param fewer one-sided chance of so few or fewer in the first
     * @param more one-sided chance of so many or more in the first
     */
    public record Fisher(double p, double fewer, double more) {}

    private static final class Table {
        private final int low;
        private final double[] logs;

        Table(int k1, int n1, int k2, int n2) {
            if (k1 < 0 || k2 < 0 || k1 > n1 || k2 > n2) {
                throw new BadInput(
                        "counts", k1 + " of " + n1 + ", " + k2 + " of " + n2, "count no more than there are");
            }
            int all = k1 + k2;
            low = Math.max(0, all - n2);
            int high = Math.min(all, n1);
            logs = new double[high - low + 1];
            for (int i = 0; i < logs.length; i++) {
                logs[i] = logChoose(n1, low + i) + logChoose(n2, all - low - i);
            }
        }

        /** Chances of each number in the first at an odds ratio. */
        double[] chances(double odds) {
            double[] weighed = new double[logs.length];
            for (int i = 0; i < logs.length; i++) {
                weighed[i] = logs[i] + i * StrictMath.log(odds);
            }
            return ChangePoints.normalised(weighed);
        }

        double mean(double odds) {
            double[] chances = chances(odds);
            double mean = 0;
            for (int i = 0; i < chances.length; i++) {
                mean += chances[i] * (low + i);
            }
            return mean;
        }

        double atMost(double odds, int k) {
            double[] chances = chances(odds);
            double sum = 0;
            for (int i = 0; i < chances.length && low + i <= k; i++) {
                sum += chances[i];
            }
            return sum;
        }
    }

    private static double logChoose(int n, int k) {
        return Gamma.logGamma(n + 1.0) - Gamma.logGamma(k + 1.0) - Gamma.logGamma(n - k + 1.0);
    }

    /** {@code k1} of {@code n1} against {@code k2} of {@code n2}. */
    public static Fisher fisher(int k1, int n1, int k2, int n2) {
        Table table = new Table(k1, n1, k2, n2);
        double[] chances = table.chances(1);
        double here = chances[k1 - table.low];
        double p = 0;
        for (double chance : chances) {
            p += chance <= here * ALIKE ? chance : 0;
        }
        double fewer = table.atMost(1, k1);
        return new Fisher(Math.min(1, p), fewer, 1 - fewer + here);
    }

    /**
     * A ratio with its interval.
     *
     * @param low end, at the confidence asked for
     * @param high end; infinite where nothing bounds it
     */
    public record Ratio(double estimate, double low, double high) {}

    /** Conditional maximum-likelihood odds ratio of two parts with its exact interval. */
    public static Ratio odds(int k1, int n1, int k2, int n2, double confidence) {
        Table table = new Table(k1, n1, k2, n2);
        int top = table.low + table.logs.length - 1;
        double tail = (1 - confidence) / 2;
        double estimate = k1 == table.low ? 0 : k1 == top ? Double.POSITIVE_INFINITY : root(o -> table.mean(o) - k1);
        double low = k1 == table.low ? 0 : root(o -> 1 - table.atMost(o, k1 - 1) - tail);
        double high = k1 == top ? Double.POSITIVE_INFINITY : root(o -> table.atMost(o, k1) - tail);
        return new Ratio(estimate, low, high);
    }

    private interface OfOdds {
        double at(double odds);
    }

    private static double root(OfOdds function) {
        double log = new BrentSolver(1e-14, 1e-13)
                .solve(1_000, x -> function.at(StrictMath.exp(x)), StrictMath.log(1e-9), StrictMath.log(1e9));
        return StrictMath.exp(log);
    }

    /**
     * Two counts over two lengths of watching, by the binomial test of one given both.
     *
     * @param p two-sided
     * @param ratio of the rates, first over second
     */
    public record Rates(double p, Ratio ratio) {}

    /** {@code k1} within {@code t1} against {@code k2} within {@code t2}. */
    public static Rates poisson(int k1, double t1, int k2, double t2, double confidence) {
        int n = k1 + k2;
        double share = t1 / (t1 + t2);
        Ratio part = clopperPearson(k1, n, confidence);
        return new Rates(
                binomial(k1, n, share),
                new Ratio(
                        k2 == 0 ? Double.POSITIVE_INFINITY : k1 / t1 / (k2 / t2),
                        part.low / (1 - part.low) * t2 / t1,
                        part.high >= 1 ? Double.POSITIVE_INFINITY : part.high / (1 - part.high) * t2 / t1));
    }

    /** Chance of a number at most as probable as {@code k} of {@code n} at a part of {@code share}. */
    public static double binomial(int k, int n, double share) {
        BinomialDistribution binomial = new BinomialDistribution(n, share);
        double here = binomial.probability(k);
        double p = 0;
        for (int i = 0; i <= n; i++) {
            double chance = binomial.probability(i);
            p += chance <= here * ALIKE ? chance : 0;
        }
        return Math.min(1, p);
    }

    /** Exact interval for a part (Clopper &amp; Pearson 1934, Biometrika 26, 404–413). */
    public static Ratio clopperPearson(int k, int n, double confidence) {
        if (n < 1 || k < 0 || k > n) {
            throw new BadInput("counts", k + " of " + n, "count no more than there are, of one at least");
        }
        double tail = (1 - confidence) / 2;
        double low = k == 0 ? 0 : new BetaDistribution(k, n - k + 1.0).inverseCumulativeProbability(tail);
        double high = k == n ? 1 : new BetaDistribution(k + 1.0, n - k).inverseCumulativeProbability(1 - tail);
        return new Ratio((double) k / n, low, high);
    }

    /** Chance that {@code k} flaws laid at random among {@code n} places have {@code length} or more in a row. */
    public static double longestRun(int n, int k, int length) {
        double fewer = 0;
        for (int i = 0; i * length <= k && i <= n - k + 1; i++) {
            double term = StrictMath.exp(logChoose(n - k + 1, i) + logChoose(n - i * length, n - k) - logChoose(n, k));
            fewer += i % 2 == 0 ? term : -term;
        }
        return Math.max(0, Math.min(1, 1 - fewer));
    }

    /**
     * How many runs of like things a sequence has, against chance.
     *
     * @param z normal approximation
     * @param atMost exact chance of so few runs or fewer
     */
    public record Runs(double z, double atMost) {}

    /** Wald &amp; Wolfowitz 1940, Ann. Math. Stat. 11, 147–162: {@code runs} runs of {@code n1} and {@code n2} things. */
    public static Runs runs(int n1, int n2, int runs) {
        double n = n1 + n2;
        double mean = 2.0 * n1 * n2 / n + 1;
        double variance = 2.0 * n1 * n2 * (2.0 * n1 * n2 - n) / (n * n * (n - 1));
        double sum = 0;
        for (int r = 2; r <= runs; r++) {
            int half = r / 2;
            sum += r % 2 == 0
                    ? 2 * StrictMath.exp(logChoose(n1 - 1, half - 1) + logChoose(n2 - 1, half - 1))
                    : choose(n1 - 1, half) * choose(n2 - 1, half - 1) + choose(n1 - 1, half - 1) * choose(n2 - 1, half);
        }
        return new Runs((runs - mean) / StrictMath.sqrt(variance), sum / StrictMath.exp(logChoose(n1 + n2, n1)));
    }

    private static double choose(int n, int k) {
        return k < 0 || k > n ? 0 : StrictMath.exp(logChoose(n, k));
    }

    /**
     * Limits for a part that is counted sample by sample.
     *
     * @param centre mean part
     * @param lower limit, never below zero
     */
    public record PartChart(double centre, double lower, double upper) {}

    /** Three standard deviations around the mean part of samples of one size. */
    public static PartChart partChart(int[] defective, int sampleSize) {
        double sum = 0;
        for (int each : defective) {
            sum += each;
        }
        double centre = sum / ((double) sampleSize * defective.length);
        double sigma = StrictMath.sqrt(centre * (1 - centre) / sampleSize);
        return new PartChart(centre, Math.max(0, centre - 3 * sigma), Math.min(1, centre + 3 * sigma));
    }
}
