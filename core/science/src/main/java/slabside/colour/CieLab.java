package slabside.colour;

import slabside.measure.Lab;

/**
 * A CIELAB colour; which light, observer and white it stands for is said by whoever made it.
 *
 * @param l lightness, 0 to 100
 */
public record CieLab(double l, double a, double b) {
    private static final double DELTA = 6.0 / 29;

    /** One that an instrument printed. */
    public static CieLab of(Lab read) {
        return new CieLab(
                read.l().doubleValue(), read.a().doubleValue(), read.b().doubleValue());
    }

    /** Tristimulus values beside a white; the inverse of {@link Xyz#lab}. */
    public Xyz xyz(Xyz white) {
        double fy = (l + 16) / 116;
        return new Xyz(white.x() * cube(fy + a / 500), white.y() * cube(fy), white.z() * cube(fy - b / 200));
    }

    private static double cube(double f) {
        return f > DELTA ? f * f * f : 3 * DELTA * DELTA * (f - 4.0 / 29);
    }

    /** Distance from grey. */
    public double chroma() {
        return StrictMath.sqrt(a * a + b * b);
    }

    /** Angle of the hue in degrees, 0 to 360; 0 for a grey. */
    public double hue() {
        double degrees = StrictMath.toDegrees(StrictMath.atan2(b, a));
        return degrees < 0 ? degrees + 360 : degrees;
    }
}
