package slabside.statistics;

/**
 * Charts that add up small shifts: the exponentially weighted moving average and the cumulative sum (NIST/SEMATECH
 * e-Handbook 6.3.2.4 and 6.3.2.3).
 */
public final class SlowCharts {
    private SlowCharts() {}

    /**
     * An exponentially weighted moving average.
     *
     * @param ewma value after each of the values
     * @param upper limit at each, exact for its place
     * @param lower limit at each
     */
    public record Ewma(double[] ewma, double[] upper, double[] lower) {}

    /**
     * Weighted average of all values so far, the newest with weight λ.
     *
     * @param target where it starts
     * @param sigma standard deviation of a value
     * @param lambda weight, above 0 and at most 1
     * @param width of the limits, L
     */
    public static Ewma ewma(double target, double sigma, double lambda, double width, double... values) {
        double[] ewma = new double[values.length];
        double[] upper = new double[values.length];
        double[] lower = new double[values.length];
        double last = target;
        for (int i = 0; i < values.length; i++) {
            last = lambda * values[i] + (1 - lambda) * last;
            ewma[i] = last;
            double part = 1 - StrictMath.pow(1 - lambda, 2.0 * (i + 1));
            double limit = width * sigma * StrictMath.sqrt(lambda / (2 - lambda) * part);
            upper[i] = target + limit;
            lower[i] = target - limit;
        }
        return new Ewma(ewma, upper, lower);
    }

    /**
     * Sums of what lies beyond an allowance on either side.
     *
     * @param high sum above the target, never below zero
     * @param low sum below it, never below zero
     */
    public record Cusum(double[] high, double[] low) {
        /** Place, from 0, of the first sum above a limit; −1 when there is none. */
        public int firstAbove(double limit) {
            for (int i = 0; i < high.length; i++) {
                if (high[i] > limit || low[i] > limit) {
                    return i;
                }
            }
            return -1;
        }

        /** Place of the first value of the sum that stands at a place: just after the last zero before it. */
        public int startOf(int place) {
            double[] sum = high[place] >= low[place] ? high : low;
            int start = place;
            while (start > 0 && sum[start - 1] > 0) {
                start--;
            }
            return start;
        }
    }

    /**
     * Cumulative sums.
     *
     * @param allowance k, in the unit of the values
     */
    public static Cusum cusum(double target, double allowance, double... values) {
        double[] high = new double[values.length];
        double[] low = new double[values.length];
        for (int i = 0; i < values.length; i++) {
            high[i] = Math.max(0, (i == 0 ? 0 : high[i - 1]) + values[i] - target - allowance);
            low[i] = Math.max(0, (i == 0 ? 0 : low[i - 1]) + target - values[i] - allowance);
        }
        return new Cusum(high, low);
    }
}
