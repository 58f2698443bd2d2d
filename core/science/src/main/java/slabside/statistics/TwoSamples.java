package slabside.statistics;

import org.hipparchus.stat.inference.MannWhitneyUTest;
import slabside.measure.BadInput;

/**
 * Whether the values of one group tend to lie above those of another, by ranks: Mann &amp; Whitney 1947, Ann. Math. Stat. 18,
 * 50–60.
 *
 * @param above part of all pairs in which the value of the first group is the higher one, a tie counting half
 * @param p two-sided; exact for up to 50 values without ties, else by the normal approximation
 */
public record TwoSamples(double above, double p) {
    /** Of two groups, none empty. */
    public static TwoSamples of(double[] one, double[] other) {
        if (one.length == 0 || other.length == 0) {
            throw new BadInput(
                    "values", one.length + " and " + other.length + " of them", "give one at least on each side");
        }
        double above = 0;
        for (double x : one) {
            for (double y : other) {
                above += x > y ? 1 : x == y ? 0.5 : 0;
            }
        }
        double part = above / ((double) one.length * other.length);
        boolean alike =
                java.util.stream.DoubleStream.concat(java.util.Arrays.stream(one), java.util.Arrays.stream(other))
                                .distinct()
                                .count()
                        == 1;
        return new TwoSamples(part, alike ? 1 : Math.min(1, new MannWhitneyUTest().mannWhitneyUTest(one, other)));
    }
}
