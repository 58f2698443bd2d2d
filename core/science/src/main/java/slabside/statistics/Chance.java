package slabside.statistics;

import org.hipparchus.distribution.continuous.NormalDistribution;

/** Chances of the normal distribution. */
public final class Chance {
    /** Standard deviations above the mean below which nine of ten lie. */
    public static final double NINE_OF_TEN = 1.2815515655446004;

    private static final NormalDistribution NORMAL = new NormalDistribution();

    private Chance() {}

    /** Part that lies below so many standard deviations above the mean. */
    public static double below(double deviations) {
        return NORMAL.cumulativeProbability(deviations);
    }
}
