package slabside.colour;

/** Tristimulus values with Y of a perfect white at 1. */
public record Xyz(double x, double y, double z) {
    private static final double THRESHOLD = 216.0 / 24_389;
    private static final double SLOPE = 841.0 / 108;

    /**
     * CIELAB beside a white (CIE 15: the cube root above (6/29)³, the straight line below).
     *
     * @param white of the same light, observer and way of summing
     */
    public CieLab lab(Xyz white) {
        double fx = root(x / white.x);
        double fy = root(y / white.y);
        double fz = root(z / white.z);
        return new CieLab(116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz));
    }

    private static double root(double t) {
        return t > THRESHOLD ? StrictMath.cbrt(t) : SLOPE * t + 4.0 / 29;
    }
}
