package slabside.body;

/** Inks pulled apart: discs, threads and drops. */
public final class Pull {
    /** Of the thinning of a viscous thread (Papageorgiou 1995; from memory). */
    private static final double THREAD = 0.0709;

    private Pull() {}

    /**
     * Seconds until two discs come apart under a steady pull.
     *
     * @param film between them, m
     * @param pull N
     * @see "Stefan 1874"
     */
    public static double secondsApart(double viscosity, double radius, double film, double pull) {
        Body.above("pull", pull, "N");
        Body.above("film", film, "m");
        return 3
                * StrictMath.PI
                * Body.above("viscosity", viscosity, "Pa·s")
                * StrictMath.pow(Body.above("radius", radius, "m"), 4)
                / (4 * pull * film * film);
    }

    /**
     * Seconds until a thread that thins by itself breaks.
     *
     * @param surfaceTension N/m
     */
    public static double secondsOfThread(double radius, double viscosity, double surfaceTension) {
        return Body.above("radius", radius, "m")
                * Body.above("viscosity", viscosity, "Pa·s")
                / (THREAD * Body.above("surface tension", surfaceTension, "N/m"));
    }

    /**
     * Length in m at which a thread of an ink that yields breaks of its own weight; an order of magnitude.
     *
     * @see "Coussot and Gaulard 2005"
     */
    public static double lengthOfDrip(double yield, double density) {
        return StrictMath.sqrt(3)
                * Body.above("yield stress", yield, "Pa")
                / (Body.above("density", density, "kg/m³") * Spread.G);
    }
}
