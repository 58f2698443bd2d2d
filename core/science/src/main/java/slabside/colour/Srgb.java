package slabside.colour;

import java.util.Locale;
import slabside.measure.BadInput;

/**
 * A colour on a screen (IEC 61966-2-1), each channel 0 to 255. Only for showing: no measurement is made from a screen.
 *
 * @param inGamut false when the screen cannot show the colour and its channels were cut
 */
public record Srgb(int red, int green, int blue, boolean inGamut) {
    /** Bradford, from the white x 0.3457, y 0.3585 (D50) to the white of the screen, x 0.3127, y 0.3290. */
    private static final double[][] TO_D65 = {
        {0.95547342148808, -0.023098454948765, 0.063259243200571},
        {-0.028369709333864, 1.0099953980813, 0.021041441191917},
        {0.012314014864482, -0.020507649298899, 1.3303659262421}
    };

    private static final double[][] TO_D50 = {
        {1.047929792545, 0.02294687060161, -0.050192266289205},
        {0.029627808770056, 0.99043442675388, -0.017073799063419},
        {-0.0092430406462045, 0.015055191490298, 0.75187428142814}
    };

    private static final double[][] TO_LINEAR = {
        {3.2409699419045, -1.5373831775701, -0.498610760293},
        {-0.96924363628088, 1.8759675015077, 0.041555057407176},
        {0.055630079696994, -0.20397695888898, 1.0569715142429}
    };

    private static final double[][] FROM_LINEAR = {
        {0.41239079926596, 0.35758433938388, 0.18048078840183},
        {0.21263900587151, 0.71516867876776, 0.072192315360734},
        {0.019330818715592, 0.11919477979463, 0.95053215224966}
    };

    /** White of D50 that the matrices stand on. */
    public static final Xyz D50_WHITE = new Xyz(0.3457 / 0.3585, 1, (1 - 0.3457 - 0.3585) / 0.3585);

    /** White of the screen. */
    public static final Xyz D65_WHITE = new Xyz(0.3127 / 0.3290, 1, (1 - 0.3127 - 0.3290) / 0.3290);

    /** One eighth of a step of a channel, so that rounding does not count as out of gamut. */
    private static final double TOLERANCE = 0.0005;

    /** A colour seen under D50, as a screen shows it after the eye has adapted to the screen (Bradford). */
    public static Srgb ofD50(CieLab lab) {
        return of(times(TO_D65, lab.xyz(D50_WHITE)));
    }

    /** Tristimulus values beside the white of the screen. */
    public static Srgb of(Xyz d65) {
        Xyz linear = times(TO_LINEAR, d65);
        double[] channels = {linear.x(), linear.y(), linear.z()};
        boolean inside = true;
        int[] bytes = new int[3];
        for (int i = 0; i < 3; i++) {
            double encoded = encoded(channels[i]);
            inside &= encoded >= -TOLERANCE && encoded <= 1 + TOLERANCE;
            bytes[i] = (int) StrictMath.round(Math.max(0, Math.min(1, encoded)) * 255);
        }
        return new Srgb(bytes[0], bytes[1], bytes[2], inside);
    }

    /** The colour of "#7a6a58". */
    public static Srgb of(String hex) {
        if (!hex.matches("#[0-9a-fA-F]{6}")) {
            throw new BadInput("screen colour", hex, "write it as #7a6a58");
        }
        return new Srgb(
                Integer.parseInt(hex.substring(1, 3), 16),
                Integer.parseInt(hex.substring(3, 5), 16),
                Integer.parseInt(hex.substring(5, 7), 16),
                true);
    }

    /** Tristimulus values beside the white of the screen. */
    public Xyz xyzD65() {
        return times(FROM_LINEAR, new Xyz(linear(red / 255.0), linear(green / 255.0), linear(blue / 255.0)));
    }

    /** What the eye sees of it after it has adapted to D50. */
    public CieLab labD50() {
        return times(TO_D50, xyzD65()).lab(D50_WHITE);
    }

    /**
     * What the eye, adapted to D50, sees of light as a screen makes it.
     *
     * @param red light of the channel, 1 for the brightest; may be above
     */
    public static CieLab labD50(double red, double green, double blue) {
        return times(TO_D50, times(FROM_LINEAR, new Xyz(red, green, blue))).lab(D50_WHITE);
    }

    /** The value of a channel that gives so much light (IEC 61966-2-1, 5.2). */
    static double encoded(double linear) {
        return linear <= 0.0031308 ? 12.92 * linear : 1.055 * StrictMath.pow(linear, 1 / 2.4) - 0.055;
    }

    /** The light of a channel, 0 to 1. */
    public static double linear(double encoded) {
        return encoded <= 0.04045 ? encoded / 12.92 : StrictMath.pow((encoded + 0.055) / 1.055, 2.4);
    }

    private static Xyz times(double[][] matrix, Xyz v) {
        return new Xyz(
                matrix[0][0] * v.x() + matrix[0][1] * v.y() + matrix[0][2] * v.z(),
                matrix[1][0] * v.x() + matrix[1][1] * v.y() + matrix[1][2] * v.z(),
                matrix[2][0] * v.x() + matrix[2][1] * v.y() + matrix[2][2] * v.z());
    }

    /** As "#7a6a58". */
    public String hex() {
        return String.format(Locale.ROOT, "#%02x%02x%02x", red, green, blue);
    }
}
