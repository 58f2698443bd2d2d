package slabside.colour;

/**
 * e to the power of −x for x from 0 on, several times faster than the JDK's and within 2e-15 of it (relative), by the same
 * arithmetic everywhere: x is brought to within half of ln 2 of a power of two, and the rest summed by its series.
 */
final class Decay {
    private static final double LN2_HIGH = 6.93147180369123816490e-01;
    private static final double LN2_LOW = 1.90821492927058770002e-10;
    private static final double LOG2_E = 1.4426950408889634;
    /** Beyond this nothing is left that a sum of 36 bands could see. */
    private static final double MOST = 700;

    private Decay() {}

    /**
     * @param x 0 or more; of more than 700 the result is 0
     */
    static double of(double x) {
        if (!(x < MOST)) {
            return Double.isNaN(x) ? x : 0;
        }
        int n = (int) (x * LOG2_E + 0.5);
        double r = -(x - n * LN2_HIGH - n * LN2_LOW);
        double sum = 1.0 / 6_227_020_800.0;
        sum = sum * r + 1.0 / 479_001_600.0;
        sum = sum * r + 1.0 / 39_916_800.0;
        sum = sum * r + 1.0 / 3_628_800.0;
        sum = sum * r + 1.0 / 362_880.0;
        sum = sum * r + 1.0 / 40_320.0;
        sum = sum * r + 1.0 / 5_040.0;
        sum = sum * r + 1.0 / 720.0;
        sum = sum * r + 1.0 / 120.0;
        sum = sum * r + 1.0 / 24.0;
        sum = sum * r + 1.0 / 6.0;
        sum = sum * r + 0.5;
        sum = sum * r + 1;
        sum = sum * r + 1;
        return sum * Double.longBitsToDouble((1023L - n) << 52);
    }
}
