package slabside.colour;

import java.util.List;

/** Reflection density (ISO 5-3): minus the decimal logarithm of the weighted reflectance, summed from 380 to 730 nm. */
public enum Density {
    /** As the eye weighs it. */
    VISUAL(1),
    /** Status T, red filter: for cyan. */
    STATUS_T_RED(2),
    /** Status T, green filter: for magenta. */
    STATUS_T_GREEN(3),
    /** Status T, blue filter: for yellow. */
    STATUS_T_BLUE(4),
    /** Status E, red filter. */
    STATUS_E_RED(5),
    /** Status E, green filter. */
    STATUS_E_GREEN(6),
    /** Status E, blue filter. */
    STATUS_E_BLUE(7);

    private static final double LEAST = 1e-6;

    private final double[] weights;

    Density(int column) {
        List<String[]> rows = Tables.rows("density_10nm.csv");
        weights = Tables.column(rows, 0, column);
    }

    /** Density of a surface; 6 at most, for what gives nothing back. */
    public double of(Bands surface) {
        double sum = 0;
        double whole = 0;
        for (int i = 0; i < Bands.COUNT; i++) {
            sum += surface.raw()[i] * weights[i];
            whole += weights[i];
        }
        return -StrictMath.log10(Math.max(LEAST, sum / whole));
    }
}
