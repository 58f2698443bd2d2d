package slabside.body;

import slabside.statistics.Chance;

/** How wide the band is in which two inks of a blend roll go over into each other; widths in mm. */
public final class BlendRoll {
    /** From 10 to 90 % of a normal transition, in its standard deviations. */
    public static final double TEN_TO_NINETY = 2 * Chance.NINE_OF_TEN;

    private BlendRoll() {}

    /** Standard deviation after strokes that each shift the roller by as much, half of the ink staying where it was. */
    public static double spread(double before, int strokes, double shift) {
        return StrictMath.sqrt(before * before + strokes * shift * shift / 4);
    }

    /** The same where each shift is as likely anywhere between −{@code most} and {@code most}. */
    public static double spreadByChance(double before, int strokes, double most) {
        return StrictMath.sqrt(before * before + strokes * most * most / 12);
    }

    /** Width from 10 to 90 %. */
    public static double width(double spread) {
        return TEN_TO_NINETY * spread;
    }

    /**
     * Standard deviation after some pulls, part of the ink being renewed with each.
     *
     * @param renewed part of the ink that is fresh with each pull, 0 for none
     */
    public static double afterPulls(double before, int strokesPerPull, double shift, double renewed, int pulls) {
        double added = strokesPerPull * shift * shift / 4;
        if (renewed == 0) {
            return StrictMath.sqrt(before * before + pulls * added);
        }
        double end = steadySquare(before, added, renewed);
        return StrictMath.sqrt(end + (before * before - end) * StrictMath.pow(1 - renewed, pulls));
    }

    /** Where that ends. */
    public static double steady(double before, int strokesPerPull, double shift, double renewed) {
        return StrictMath.sqrt(steadySquare(before, strokesPerPull * shift * shift / 4, renewed));
    }

    private static double steadySquare(double before, double added, double renewed) {
        Body.within("renewed", renewed, 1e-9, 1, "");
        return before * before + (1 - renewed) * added / renewed;
    }
}
