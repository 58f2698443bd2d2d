package slabside.body;

/** Films and amounts of ink. */
public final class Films {
    /** Square inches of a pound in g/m². */
    public static final double MILEAGE = 453.59237 / 0.00064516;

    private Films() {}

    /** g/m² of a film in µm. */
    public static double weight(double micrometres, double gramsPerCm3) {
        return micrometres * gramsPerCm3;
    }

    /** g/m² of a mileage in square inches to the pound. */
    public static double ofMileage(double squareInchesPerPound) {
        return MILEAGE / Body.above("mileage", squareInchesPerPound, "sq in/lb");
    }

    /**
     * Grams for an edition: what goes onto paper, and what stays on roller, slab and knife.
     *
     * @param image m² of the image's outline
     * @param coverage part of it that prints
     * @param onPaper g/m²
     * @param roller m² of its surface
     * @param slab m² that is rolled out on
     * @param film g/m² on both
     */
    public static double need(
            double image,
            double coverage,
            int pulls,
            double onPaper,
            double roller,
            double slab,
            double film,
            double residue) {
        return Body.above("image", image, "m²") * Body.within("coverage", coverage, 0, 1, "") * pulls * onPaper
                + (roller + slab) * film
                + residue;
    }

    /**
     * Ink that paper takes of a film, g/m².
     *
     * @param onPlate g/m² on what is printed from
     * @param smooth how soon the paper is covered, m²/g
     * @param immobile most that the paper holds fast, g/m²
     * @param split part of the free film that goes with the paper
     * @see "Walker and Fetsko 1955"
     */
    public static double takenUp(double onPlate, double smooth, double immobile, double split) {
        double held = immobile * (1 - StrictMath.exp(-onPlate / immobile));
        return (1 - StrictMath.exp(-smooth * onPlate)) * (held + split * (onPlate - held));
    }

    /** Hours to dry at another temperature, {@code q} times faster for ten kelvins (an assumption). */
    public static double hoursToDry(double hours, double celsius, double atCelsius, double q) {
        return Body.above("hours", hours, "h") * StrictMath.pow(q, (celsius - atCelsius) / 10);
    }

    /** Relative standard uncertainty of a share by mass of two parts, each tared and weighed apart on a scale of step d. */
    public static double shareApart(double one, double other, double step) {
        double u = step / StrictMath.sqrt(6);
        double whole = one + other;
        return StrictMath.hypot(other * u, one * u) / (whole * whole);
    }

    /** The same of two parts put into one cup, one after the other. */
    public static double shareInOneCup(double one, double other, double step) {
        double whole = one + other;
        double a = other / (whole * whole);
        double b = 1 / whole;
        double c = one / (whole * whole);
        return step / StrictMath.sqrt(12) * StrictMath.sqrt(a * a + b * b + c * c);
    }
}
