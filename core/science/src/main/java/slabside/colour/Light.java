package slabside.colour;

import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;

/**
 * A light and an observer, with the weights by which a spectrum is summed and the white of that same sum. White and weights
 * belong together: a tabulated white beside a plain sum is wrong by up to 0.1 ΔE00. Immutable.
 */
public final class Light {
    private static final Map<Illuminant, Map<Observer, Light>> WEIGHTED = new EnumMap<>(Illuminant.class);
    private static final Map<Illuminant, Map<Observer, Light>> PLAIN = new EnumMap<>(Illuminant.class);

    static {
        List<String[]> weights = Tables.rows("weights_10nm.csv");
        List<String[]> observers = Tables.rows("observers_10nm.csv");
        for (Illuminant illuminant : Illuminant.values()) {
            for (Observer observer : Observer.values()) {
                WEIGHTED.computeIfAbsent(illuminant, any -> new EnumMap<>(Observer.class))
                        .put(observer, weighted(weights, illuminant, observer));
                PLAIN.computeIfAbsent(illuminant, any -> new EnumMap<>(Observer.class))
                        .put(observer, plain(observers, illuminant, observer));
            }
        }
    }

    private final double[] x;
    private final double[] y;
    private final double[] z;
    private final Xyz white;

    private Light(double[] x, double[] y, double[] z) {
        this.x = x;
        this.y = y;
        this.z = z;
        this.white = new Xyz(sum(x), sum(y), sum(z));
    }

    /** With the weights of ASTM E308 and E2022 for bands of 10 nm: within 0.004 ΔE00 of a sum by 1 nm. */
    public static Light weighted(Illuminant illuminant, Observer observer) {
        return of(WEIGHTED, illuminant, observer);
    }

    /** With a plain sum over the bands, as the methods of {@link Smoothest} want it. */
    public static Light plain(Illuminant illuminant, Observer observer) {
        return of(PLAIN, illuminant, observer);
    }

    private static Light of(Map<Illuminant, Map<Observer, Light>> all, Illuminant illuminant, Observer observer) {
        return Objects.requireNonNull(all.getOrDefault(illuminant, Map.of()).get(observer));
    }

    private static Light weighted(List<String[]> rows, Illuminant illuminant, Observer observer) {
        String degrees = observer == Observer.TWO_DEGREES ? "2" : "10";
        List<String[]> own = rows.stream()
                .filter(row -> row[0].equals(illuminant.name()) && row[1].equals(degrees))
                .toList();
        return scaled(Tables.column(own, 2, 3), Tables.column(own, 2, 4), Tables.column(own, 2, 5));
    }

    private static Light plain(List<String[]> rows, Illuminant illuminant, Observer observer) {
        double[] power = Tables.column(rows, 0, 7 + illuminant.ordinal());
        int from = observer == Observer.TWO_DEGREES ? 1 : 4;
        return scaled(
                times(power, Tables.column(rows, 0, from)),
                times(power, Tables.column(rows, 0, from + 1)),
                times(power, Tables.column(rows, 0, from + 2)));
    }

    private static double[] times(double[] one, double[] other) {
        double[] product = new double[one.length];
        for (int i = 0; i < one.length; i++) {
            product[i] = one[i] * other[i];
        }
        return product;
    }

    /** So that a perfect white has Y = 1. */
    private static Light scaled(double[] x, double[] y, double[] z) {
        double whole = sum(y);
        for (int i = 0; i < Bands.COUNT; i++) {
            x[i] /= whole;
            y[i] /= whole;
            z[i] /= whole;
        }
        return new Light(x, y, z);
    }

    private static double sum(double[] values) {
        double sum = 0;
        for (double value : values) {
            sum += value;
        }
        return sum;
    }

    /** The white of this sum. */
    public Xyz white() {
        return white;
    }

    /** What the observer sees of a surface in this light. */
    public Xyz xyz(Bands surface) {
        double[] r = surface.raw();
        double sx = 0;
        double sy = 0;
        double sz = 0;
        for (int i = 0; i < Bands.COUNT; i++) {
            sx += r[i] * x[i];
            sy += r[i] * y[i];
            sz += r[i] * z[i];
        }
        return new Xyz(sx, sy, sz);
    }

    /** The same as CIELAB beside this light's own white. */
    public CieLab lab(Bands surface) {
        return xyz(surface).lab(white);
    }

    double x(int band) {
        return x[band];
    }

    double y(int band) {
        return y[band];
    }

    double z(int band) {
        return z[band];
    }
}
