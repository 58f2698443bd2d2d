package slabside.body;

import java.util.function.DoubleUnaryOperator;

/** How powders stiffen an ink, by what part of its volume they take. */
public final class Filling {
    /** Part of the volume beyond which nothing flows, of powders that are stirred in. */
    public static final double DENSEST = 0.64;
    /** The same for the growth of a yield stress (Chateau, Ovarlez and Trung 2008). */
    public static final double DENSEST_YIELD = 0.57;

    /** g/cm³ of the oil that powders take up. */
    private static final double OIL = 0.93;

    private static final double INK = 1.05;
    private static final int PLACES = 160;

    private Filling() {}

    /**
     * Part of the volume of a powder that is a part of the mass.
     *
     * @param powder g/cm³
     * @param ink g/cm³
     */
    public static double ofVolume(double ofMass, double powder, double ink) {
        Body.within("share of powder", ofMass, 0, 1, "");
        double volume = ofMass / Body.above("density of the powder", powder, "g/cm³");
        return volume / (volume + (1 - ofMass) / Body.above("density of the ink", ink, "g/cm³"));
    }

    /** Viscosity beside that of the ink alone, for little powder. */
    public static double einstein(double part) {
        return 1 + 2.5 * part;
    }

    /** The same up to where it is packed (Krieger and Dougherty 1959). */
    public static double kriegerDougherty(double part, double densest) {
        return StrictMath.pow(1 - inside(part, densest), -2.5 * densest);
    }

    /** The same after Maron and Pierce (1956). */
    public static double maronPierce(double part, double densest) {
        return StrictMath.pow(1 - inside(part, densest), -2);
    }

    /** Yield stress beside that of the ink alone (Chateau, Ovarlez and Trung 2008). */
    public static double yield(double part, double densest) {
        return StrictMath.sqrt((1 - part) * StrictMath.pow(1 - inside(part, densest), -2.5 * densest));
    }

    private static double inside(double part, double densest) {
        return Body.within("part of the volume", part, 0, densest - 1e-9, "") / densest;
    }

    /**
     * How well the logarithm of stiffness goes in a straight line with the share of powder by mass.
     *
     * @param slope of that line through 0, per part of the mass
     * @param off most that the law differs from it, in natural logarithms
     */
    public record Line(double slope, double off) {}

    /**
     * A line through 0 for shares up to {@code most}.
     *
     * @param law stiffness beside 0 by the part of the volume
     * @param oil g that a gram of the powder takes up
     * @param pigment part of the volume of the ink that is solid already
     */
    public static Line line(DoubleUnaryOperator law, double powder, double oil, double pigment, double most) {
        double[] w = new double[PLACES + 1];
        double[] y = new double[PLACES + 1];
        double none = StrictMath.log(law.applyAsDouble(pigment));
        double wy = 0;
        double ww = 0;
        for (int i = 0; i <= PLACES; i++) {
            w[i] = most * i / PLACES;
            double taken = ofVolume(w[i], powder, INK) * (1 + oil * powder / OIL);
            y[i] = StrictMath.log(law.applyAsDouble(pigment * (1 - taken) + taken)) - none;
            wy += w[i] * y[i];
            ww += w[i] * w[i];
        }
        double slope = wy / ww;
        double off = 0;
        for (int i = 0; i <= PLACES; i++) {
            off = Math.max(off, Math.abs(y[i] - slope * w[i]));
        }
        return new Line(slope, off);
    }
}
