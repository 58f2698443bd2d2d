package slabside.colour;

/** How far two colours are apart. Each is 0 for a colour and itself; all but CIE94 are the same both ways. */
public final class Difference {
    private static final double POW25_7 = 6_103_515_625.0;

    private Difference() {}

    /** ΔE*ab of 1976: the plain distance in CIELAB. */
    public static double cie76(CieLab one, CieLab other) {
        double l = one.l() - other.l();
        double a = one.a() - other.a();
        double b = one.b() - other.b();
        return StrictMath.sqrt(l * l + a * a + b * b);
    }

    /**
     * ΔE*94 for the graphic arts (kL 1, K1 0.045, K2 0.015).
     *
     * @param reference whose chroma sets the weights
     */
    public static double cie94(CieLab reference, CieLab other) {
        return cie94(reference, other, 1, 0.045, 0.015);
    }

    /** ΔE*94 for textiles (kL 2, K1 0.048, K2 0.014). */
    public static double cie94OfTextiles(CieLab reference, CieLab other) {
        return cie94(reference, other, 2, 0.048, 0.014);
    }

    private static double cie94(CieLab reference, CieLab other, double kl, double k1, double k2) {
        double l = (reference.l() - other.l()) / kl;
        double c = reference.chroma() - other.chroma();
        double a = reference.a() - other.a();
        double b = reference.b() - other.b();
        double h2 = Math.max(0, a * a + b * b - c * c);
        double sc = 1 + k1 * reference.chroma();
        double sh = 1 + k2 * reference.chroma();
        return StrictMath.sqrt(l * l + c * c / (sc * sc) + h2 / (sh * sh));
    }

    /**
     * ΔE00 with all factors at 1.
     *
     * @see "Sharma, Wu, Dalal (2005), Color Research and Application 30, 21-30, equations 2 to 22"
     */
    public static double ciede2000(CieLab one, CieLab other) {
        double[] parts = ciede2000Parts(one, other);
        return StrictMath.sqrt(parts[0] * parts[0] + parts[1] * parts[1] + parts[2] * parts[2]);
    }

    /** Three parts whose squares add up to that of ΔE00, for least squares: lightness; chroma and hue together; hue. */
    static double[] ciede2000Parts(CieLab one, CieLab other) {
        double meanC = (one.chroma() + other.chroma()) / 2;
        double c7 = pow7(meanC);
        double g = 0.5 * (1 - StrictMath.sqrt(c7 / (c7 + POW25_7)));
        CieLab first = new CieLab(one.l(), (1 + g) * one.a(), one.b());
        CieLab second = new CieLab(other.l(), (1 + g) * other.a(), other.b());
        double c1 = first.chroma();
        double c2 = second.chroma();
        double h1 = first.hue();
        double h2 = second.hue();
        double dh = c1 * c2 == 0 ? 0 : turned(h2 - h1);
        double bigH = 2 * StrictMath.sqrt(c1 * c2) * StrictMath.sin(StrictMath.toRadians(dh / 2));
        double dl = second.l() - first.l();
        double dc = c2 - c1;
        double meanL = (first.l() + second.l()) / 2;
        double cBar = (c1 + c2) / 2;
        double hBar = meanHue(h1, h2, c1 * c2 == 0);
        double t =
                1 - 0.17 * cos(hBar - 30) + 0.24 * cos(2 * hBar) + 0.32 * cos(3 * hBar + 6) - 0.20 * cos(4 * hBar - 63);
        double turn = (hBar - 275) / 25;
        double theta = 30 * StrictMath.exp(-turn * turn);
        double cBar7 = pow7(cBar);
        double rc = 2 * StrictMath.sqrt(cBar7 / (cBar7 + POW25_7));
        double fromMiddle = (meanL - 50) * (meanL - 50);
        double sl = 1 + 0.015 * fromMiddle / StrictMath.sqrt(20 + fromMiddle);
        double sc = 1 + 0.045 * cBar;
        double sh = 1 + 0.015 * cBar * t;
        double rt = -StrictMath.sin(StrictMath.toRadians(2 * theta)) * rc;
        double l = dl / sl;
        double c = dc / sc;
        double h = bigH / sh;
        // c² + h² + rt·c·h as two squares; |rt| is at most 2.
        return new double[] {l, c + rt / 2 * h, h * StrictMath.sqrt(Math.max(0, 1 - rt * rt / 4))};
    }

    private static double pow7(double c) {
        double c2 = c * c;
        return c2 * c2 * c2 * c;
    }

    private static double turned(double degrees) {
        return degrees > 180 ? degrees - 360 : degrees < -180 ? degrees + 360 : degrees;
    }

    private static double meanHue(double h1, double h2, boolean grey) {
        if (grey) {
            return h1 + h2;
        }
        if (Math.abs(h1 - h2) <= 180) {
            return (h1 + h2) / 2;
        }
        return h1 + h2 < 360 ? (h1 + h2 + 360) / 2 : (h1 + h2 - 360) / 2;
    }

    private static double cos(double degrees) {
        return StrictMath.cos(StrictMath.toRadians(degrees));
    }
}
