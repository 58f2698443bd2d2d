package slabside.body;

/**
 * Yield stress by what an ink does under its own weight. Below about {@link #SURFACE_RULES} surface tension holds it too: what is
 * computed of a slump, a layer or a pool is then an upper bound, and a ridge that stands tells nothing.
 */
public final class Standing {
    /** Height in m below which surface tension rules: some capillary lengths of 1.8 mm (common practice, no source). */
    public static final double SURFACE_RULES = 0.003;

    private static final int HALVINGS = 200;

    private Standing() {}

    /**
     * Slump of a cylinder as a part of its height.
     *
     * @param part yield stress as a part of the pressure at its foot, 0 to ½
     * @see "Pashias, Boger, Summers and Glenister 1996"
     */
    public static double slump(double part) {
        Body.within("yield stress as a part of the pressure", part, 0, 0.5, "");
        return part == 0 ? 1 : 1 - 2 * part * (1 - StrictMath.log(2 * part));
    }

    /**
     * Yield stress in Pa of a cylinder that slumped; reported to be too low where the slump is small.
     *
     * @param density kg/m³
     */
    public static double yieldOfSlump(double density, double height, double slump) {
        Body.above("density", density, "kg/m³");
        Body.above("height", height, "m");
        Body.within("slump", slump, 0, height, "m");
        double low = 0;
        double high = 0.5;
        for (int i = 0; i < HALVINGS; i++) {
            double middle = (low + high) / 2;
            if (slump(middle) > slump / height) {
                low = middle;
            } else {
                high = middle;
            }
        }
        return density * Spread.G * height * (low + high) / 2;
    }

    /** The same by a shorter formula, which is higher for small slumps. */
    public static double yieldOfSlumpShort(double density, double height, double slump) {
        Body.above("height", height, "m");
        Body.within("slump", slump, 0, height, "m");
        return density * Spread.G * height * (0.5 - 0.5 * StrictMath.sqrt(slump / height));
    }

    /**
     * Yield stress of a pool that spread by itself and is far wider than high.
     *
     * @see "Roussel and Coussot 2005"
     */
    public static double yieldOfPool(double density, double volume, double radius) {
        Body.above("radius", radius, "m");
        return 225
                * density
                * Spread.G
                * volume
                * volume
                / (128 * StrictMath.PI * StrictMath.PI * StrictMath.pow(radius, 5));
    }

    /** Least yield stress of a ridge that stands, by Tresca. */
    public static double leastOfRidge(double density, double height) {
        return density * Spread.G * Body.above("height", height, "m") / 2;
    }

    /** The same by von Mises. */
    public static double leastOfRidgeMises(double density, double height) {
        return density * Spread.G * Body.above("height", height, "m") / StrictMath.sqrt(3);
    }

    /**
     * Yield stress of a layer that begins to run down a tilted glass.
     *
     * @param degrees from the level, 0 to 90
     * @see "Coussot and Boyer 1995"
     */
    public static double yieldOfSlope(double density, double thickness, double degrees) {
        Body.within("slope", degrees, 0, 90, "°");
        return density
                * Spread.G
                * Body.above("thickness", thickness, "m")
                * StrictMath.sin(StrictMath.toRadians(degrees));
    }
}
