package slabside.statistics;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import slabside.measure.BadInput;

/** Where the mean of a series changes. Places count values: a change at k has k values before it. */
public final class ChangePoints {
    private ChangePoints() {}

    /**
     * Segments of constant mean with the least sum of squares over σ² plus a penalty for each change, found exactly
     * (Killick, Fearnhead &amp; Eckley 2012, J. Am. Stat. Assoc. 107, 1590–1598: PELT).
     *
     * @param sigma standard deviation of a value, above zero; from the mean moving range, not from the whole series
     * @param penalty for each change; 2 ln n is usual
     * @param shortest length of a segment
     * @return how many values stand before each change, in order
     */
    public static List<Integer> pelt(double[] values, double sigma, double penalty, int shortest) {
        if (!(sigma > 0)) {
            throw new BadInput(
                    "sigma", sigma, "give a standard deviation above zero; a step of the scale has step/√12");
        }
        int n = values.length;
        double[] sums = new double[n + 1];
        double[] squares = new double[n + 1];
        double centre = n == 0 ? 0 : Arrays.stream(values).average().orElse(0);
        for (int i = 0; i < n; i++) {
            double x = (values[i] - centre) / sigma;
            sums[i + 1] = sums[i] + x;
            squares[i + 1] = squares[i] + x * x;
        }
        double[] best = new double[n + 1];
        int[] last = new int[n + 1];
        Arrays.fill(best, Double.POSITIVE_INFINITY);
        best[0] = -penalty;
        List<Integer> candidates = new ArrayList<>(List.of(0));
        for (int end = shortest; end <= n; end++) {
            for (int start : candidates) {
                if (end - start >= shortest) {
                    double cost = best[start] + cost(sums, squares, start, end) + penalty;
                    if (cost < best[end]) {
                        best[end] = cost;
                        last[end] = start;
                    }
                }
            }
            int at = end;
            candidates.removeIf(
                    start -> at - start >= shortest && best[start] + cost(sums, squares, start, at) > best[at] + 1e-9);
            if (end + 1 - shortest >= shortest) {
                candidates.add(end + 1 - shortest);
            }
        }
        List<Integer> changes = new ArrayList<>();
        for (int end = n; n >= shortest && last[end] > 0; end = last[end]) {
            changes.add(last[end]);
        }
        Collections.reverse(changes);
        return changes;
    }

    private static double cost(double[] sums, double[] squares, int from, int to) {
        double sum = sums[to] - sums[from];
        return squares[to] - squares[from] - sum * sum / (to - from);
    }

    /**
     * Rank test for one change.
     *
     * @param at values before the change
     * @param k greatest absolute statistic
     * @param p approximate chance of one as great without a change
     */
    public record Pettitt(int at, double k, double p) {}

    /** Pettitt 1979, Appl. Stat. 28, 126–135: U_k = 2 Σ ranks − k (n + 1); ties get mean ranks. */
    public static Pettitt pettitt(double... values) {
        int n = values.length;
        double[] ranks = ranks(values);
        double sum = 0;
        double most = -1;
        int at = 0;
        for (int k = 1; k < n; k++) {
            sum += ranks[k - 1];
            double u = Math.abs(2 * sum - k * (n + 1.0));
            if (u > most) {
                most = u;
                at = k;
            }
        }
        double cube = StrictMath.pow(n, 3) + StrictMath.pow(n, 2);
        return new Pettitt(at, most, Math.min(1, 2 * StrictMath.exp(-6 * most * most / cube)));
    }

    static double[] ranks(double... values) {
        Integer[] order = new Integer[values.length];
        Arrays.setAll(order, i -> i);
        Arrays.sort(order, (a, b) -> Double.compare(values[a], values[b]));
        double[] ranks = new double[values.length];
        for (int i = 0; i < order.length; ) {
            int end = i;
            while (end + 1 < order.length && values[order[end + 1]] == values[order[i]]) {
                end++;
            }
            for (int j = i; j <= end; j++) {
                ranks[order[j]] = (i + end) / 2.0 + 1;
            }
            i = end + 1;
        }
        return ranks;
    }

    /**
     * How probable each place of one shift of the mean is, given that there is one: flat priors for both means, 1/σ for the
     * standard deviation, every place alike; p(k) ∝ (n₁ n₂)^−½ RSS(k)^−(n−2)/2.
     *
     * @param values at least four, not all alike within both parts
     * @return chance of each k from 1 to n − 1, at index k − 1
     */
    public static double[] posterior(double... values) {
        int n = values.length;
        if (n < 4) {
            throw new BadInput("values", n + " of them", "a shift needs four at least");
        }
        double[] logs = new double[n - 1];
        double centre = Arrays.stream(values).average().orElseThrow();
        double floor = 1e-18
                        * Arrays.stream(values)
                                .map(x -> (x - centre) * (x - centre))
                                .sum()
                + Double.MIN_NORMAL;
        for (int k = 1; k < n; k++) {
            double rss = Math.max(floor, squares(values, 0, k, centre) + squares(values, k, n, centre));
            logs[k - 1] = -0.5 * StrictMath.log((double) k * (n - k)) - (n - 2) / 2.0 * StrictMath.log(rss);
        }
        return normalised(logs);
    }

    private static double squares(double[] values, int from, int to, double centre) {
        double sum = 0;
        double squares = 0;
        for (int i = from; i < to; i++) {
            double x = values[i] - centre;
            sum += x;
            squares += x * x;
        }
        return squares - sum * sum / (to - from);
    }

    /** Chances that are proportional to the exponentials of some numbers. */
    static double[] normalised(double... logs) {
        double most = Arrays.stream(logs).max().orElse(0);
        double[] chances =
                Arrays.stream(logs).map(log -> StrictMath.exp(log - most)).toArray();
        double sum = Arrays.stream(chances).sum();
        return Arrays.stream(chances).map(chance -> chance / sum).toArray();
    }

    /**
     * The shortest run of neighbouring places around the most probable one that holds a chance.
     *
     * @param first k at its beginning
     * @param last k at its end
     */
    public record Interval(int first, int last) {}

    /** Grows from the most probable place towards the more probable neighbour until enough is held. */
    public static Interval interval(double[] posterior, double chance) {
        int first = 0;
        for (int i = 1; i < posterior.length; i++) {
            first = posterior[i] > posterior[first] ? i : first;
        }
        int last = first;
        double held = posterior[first];
        while (held < chance && (first > 0 || last < posterior.length - 1)) {
            double before = first > 0 ? posterior[first - 1] : -1;
            double after = last < posterior.length - 1 ? posterior[last + 1] : -1;
            if (before >= after) {
                held += posterior[--first];
            } else {
                held += posterior[++last];
            }
        }
        return new Interval(first + 1, last + 1);
    }
}
