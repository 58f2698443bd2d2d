package slabside.body;

/** Viscosities of mixes, and at other temperatures. */
public final class Blending {
    /** Gas constant, J/(mol·K). */
    public static final double R = 8.314462618;

    private static final double KELVIN = 273.15;

    private Blending() {}

    /**
     * Of two inks or oils by their logarithms (Arrhenius; with G Grunberg and Nissan).
     *
     * @param part of the first, 0 to 1
     * @param interaction 0 where nothing is known
     */
    public static double logarithmic(double one, double other, double part, double interaction) {
        Body.within("part", part, 0, 1, "");
        return StrictMath.exp(part * StrictMath.log(Body.above("viscosity", one, "Pa·s"))
                + (1 - part) * StrictMath.log(Body.above("viscosity", other, "Pa·s"))
                + part * (1 - part) * interaction);
    }

    /** Blending number of Refutas, of a kinematic viscosity in cSt. */
    public static double blendingNumber(double cSt) {
        return 14.534 * StrictMath.log(StrictMath.log(Body.above("viscosity", cSt, "cSt") + 0.8)) + 10.975;
    }

    /**
     * Of two oils by their blending numbers, cSt.
     *
     * @param part of the first by mass, 0 to 1
     */
    public static double refutas(double one, double other, double part) {
        Body.within("part", part, 0, 1, "");
        double number = part * blendingNumber(one) + (1 - part) * blendingNumber(other);
        return StrictMath.exp(StrictMath.exp((number - 10.975) / 14.534)) - 0.8;
    }

    /** Slope B of Walther's line (ASTM D341) through two kinematic viscosities in cSt. */
    public static double waltherSlope(double celsius1, double cSt1, double celsius2, double cSt2) {
        return (walther(cSt1) - walther(cSt2))
                / (StrictMath.log10(celsius2 + KELVIN) - StrictMath.log10(celsius1 + KELVIN));
    }

    /** Kinematic viscosity in cSt at a third temperature. */
    public static double walther(double celsius1, double cSt1, double celsius2, double cSt2, double celsius) {
        double slope = waltherSlope(celsius1, cSt1, celsius2, cSt2);
        double at = walther(cSt1) - slope * (StrictMath.log10(celsius + KELVIN) - StrictMath.log10(celsius1 + KELVIN));
        return StrictMath.pow(10, StrictMath.pow(10, at)) - 0.7;
    }

    private static double walther(double cSt) {
        return StrictMath.log10(StrictMath.log10(Body.above("viscosity", cSt, "cSt") + 0.7));
    }

    /** By what part viscosity falls with a kelvin, of an activation energy in J/mol. */
    public static double coefficient(double energy, double celsius) {
        double kelvin = celsius + KELVIN;
        return energy / (R * kelvin * kelvin);
    }

    /** Viscosity at one temperature beside that at another. */
    public static double factor(double energy, double fromCelsius, double toCelsius) {
        return StrictMath.exp(energy / R * (1 / (toCelsius + KELVIN) - 1 / (fromCelsius + KELVIN)));
    }

    /** By what part viscosity falls with a kelvin, from two readings. */
    public static double coefficient(double cold, double warm, double kelvins) {
        return StrictMath.log(Body.above("viscosity", cold, "Pa·s") / Body.above("viscosity", warm, "Pa·s"))
                / Body.above("difference", kelvins, "K");
    }
}
