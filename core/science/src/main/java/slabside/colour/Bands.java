package slabside.colour;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import slabside.measure.BadInput;
import slabside.measure.Spectrum;

/**
 * A reflectance spectrum in 36 bands from 380 to 730 nm by 10 nm, as factors (1 for a perfect white). Immutable.
 *
 * <p>Refuses what is no reflectance: not a number, below 0, above 2. Says what it had to make up at the ends, and what looks
 * like a paper that shines by itself.
 */
public final class Bands {
    /** Wavelength of the first band in nm. */
    public static final int FIRST = 380;
    /** Distance of bands in nm. */
    public static final int STEP = 10;
    /** How many there are. */
    public static final int COUNT = 36;

    private static final int LAST = FIRST + STEP * (COUNT - 1);
    /** A spectrum with wider steps has lost too much. */
    private static final int WIDEST_STEP = 20;
    /** One that begins later or ends sooner says too little: 400 to 700 nm is what most instruments read. */
    private static final int LATEST_FIRST = 420;

    private static final int SOONEST_LAST = 680;
    private static final double MOST = 2;
    /** Above this in the blue a paper holds a brightener that shines in daylight. */
    private static final double SHINES = 1.02;

    private final double[] values;
    private final List<String> remarks;

    private Bands(double[] values, List<String> remarks) {
        this.values = values;
        this.remarks = List.copyOf(remarks);
    }

    /** Bands from 36 factors. */
    public static Bands of(double... factors) {
        if (factors.length != COUNT) {
            throw new BadInput("spectrum", factors.length + " bands", "give 36 from 380 to 730 nm");
        }
        double[] values = factors.clone();
        for (int i = 0; i < COUNT; i++) {
            check(FIRST + i * STEP, values[i]);
        }
        return new Bands(values, remarks(values, 0, 0));
    }

    /**
     * A spectrum as it was read, brought to 36 bands: values at the wavelengths themselves where it has them, else on the cubic
     * through the four nearest (Lagrange); at the ends the outermost value goes on.
     *
     * @throws BadInput when its steps are wider than 20 nm, it covers less than 420 to 680 nm, or a value is no reflectance
     */
    public static Bands of(Spectrum spectrum) {
        int first = spectrum.startNm();
        int step = spectrum.stepNm();
        int count = spectrum.values().size();
        int last = first + step * (count - 1);
        if (step > WIDEST_STEP || first > LATEST_FIRST || last < SOONEST_LAST || count < 4) {
            throw new BadInput(
                    "spectrum",
                    first + " to " + last + " nm by " + step + " nm",
                    "give one that covers 420 to 680 nm at least, by 20 nm at most");
        }
        double[] read = new double[count];
        for (int i = 0; i < count; i++) {
            BigDecimal value = spectrum.values().get(i);
            read[i] = value.doubleValue();
            check(first + i * step, read[i]);
        }
        double[] values = new double[COUNT];
        int low = 0;
        int high = 0;
        for (int i = 0; i < COUNT; i++) {
            int nm = FIRST + i * STEP;
            if (nm <= first) {
                values[i] = read[0];
                low += nm < first ? 1 : 0;
            } else if (nm >= last) {
                values[i] = read[count - 1];
                high += nm > last ? 1 : 0;
            } else {
                values[i] = (nm - first) % step == 0
                        ? read[(nm - first) / step]
                        : Math.max(0, cubic(read, (nm - first) / (double) step));
            }
        }
        return new Bands(values, remarks(values, low, high));
    }

    /** The bands of a spectrum that was read, or nothing where {@link #of(Spectrum)} refuses it. */
    public static Optional<Bands> readable(Spectrum spectrum) {
        int step = spectrum.stepNm();
        int count = spectrum.values().size();
        boolean covers = step <= WIDEST_STEP
                && count >= 4
                && spectrum.startNm() <= LATEST_FIRST
                && spectrum.startNm() + (long) step * (count - 1) >= SOONEST_LAST;
        boolean reflects = spectrum.values().stream()
                .mapToDouble(BigDecimal::doubleValue)
                .allMatch(value -> value >= 0 && value <= MOST);
        return covers && reflects ? Optional.of(of(spectrum)) : Optional.empty();
    }

    private static void check(int nm, double value) {
        if (!(value >= 0 && value <= MOST)) {
            throw new BadInput(
                    "reflectance at " + nm + " nm",
                    value,
                    "give a factor from 0 to 1 (1 is a perfect white), not a percentage");
        }
    }

    /** The cubic through the four readings nearest to a place between two of them. */
    private static double cubic(double[] read, double place) {
        int from = Math.max(0, Math.min(read.length - 4, (int) StrictMath.floor(place) - 1));
        double sum = 0;
        for (int i = 0; i < 4; i++) {
            double weight = 1;
            for (int j = 0; j < 4; j++) {
                if (j != i) {
                    weight *= (place - from - j) / (i - j);
                }
            }
            sum += weight * read[from + i];
        }
        return sum;
    }

    private static List<String> remarks(double[] values, int low, int high) {
        List<String> remarks = new ArrayList<>();
        if (low > 0) {
            remarks.add("nothing was read below " + (FIRST + low * STEP) + " nm; the first value goes on");
        }
        if (high > 0) {
            remarks.add("nothing was read above " + (LAST - high * STEP) + " nm; the last value goes on");
        }
        for (int i = (420 - FIRST) / STEP; i <= (470 - FIRST) / STEP; i++) {
            if (values[i] > SHINES) {
                remarks.add(
                        "it gives back more than falls on it in the blue, as a paper with brightener does: it looks otherwise"
                                + " under another lamp, and films over it cannot be predicted well");
                break;
            }
        }
        return remarks;
    }

    /** The factor of a band, from 0. */
    public double get(int band) {
        return values[band];
    }

    /** All factors, as a copy. */
    public double[] values() {
        return values.clone();
    }

    /** What is to be said of it, in words; mostly nothing. */
    public List<String> remarks() {
        return remarks;
    }

    /** Without a copy, for sums in this package. */
    double[] raw() {
        return values;
    }

    /** Of a computation, which may give more than any surface does. */
    static Bands computed(double[] factors) {
        return new Bands(factors, List.of());
    }

    /** The same paper or ink after each band was changed; factors below 0 become 0. */
    Bands each(java.util.function.IntToDoubleFunction change) {
        double[] changed = new double[COUNT];
        for (int i = 0; i < COUNT; i++) {
            changed[i] = Math.max(0, change.applyAsDouble(i));
        }
        return new Bands(changed, List.of());
    }

    @Override
    public boolean equals(Object other) {
        return other instanceof Bands bands && java.util.Arrays.equals(bands.values, values);
    }

    @Override
    public int hashCode() {
        return java.util.Arrays.hashCode(values);
    }

    @Override
    public String toString() {
        return "Bands" + java.util.Arrays.toString(values);
    }
}
