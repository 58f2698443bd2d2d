package slabside.colour;

import java.util.List;
import java.util.function.DoubleUnaryOperator;
import slabside.measure.BadInput;

/**
 * What transparent films give one over the other: each band of the paper is multiplied by what each film leaves of it.
 *
 * <p>Two corrections, both measured on printed sheets: the surface gives some light back that no film can take away, and a
 * film lies thinner on a film than on bare paper. For films that scatter, put {@link Film}s one over the other instead.
 *
 * @param floor reflectance of the surface, 0 to below 1; the darkest that can be
 * @param trapping exponent of each later film, 1 when it lies on the others as on paper
 */
public record Overprint(double floor, double trapping) {
    /** Part of the reflectance of a solid black that is the surface's, fitted on nine printing conditions. */
    public static final double FLOOR_OF_BLACK = 0.947;
    /** Trapping fitted on the same. */
    public static final double USUAL_TRAPPING = 0.761;
    /** Films over films without either. */
    public static final Overprint PLAIN = new Overprint(0, 1);

    private static final double LEAST = 2e-4;
    /** Between these the exponent of a pair is sought. */
    public static final double LEAST_TRAPPING = 0.3;

    public static final double MOST_TRAPPING = 1.3;

    public Overprint {
        if (!(floor >= 0 && floor < 1 && trapping > 0)) {
            throw new BadInput(
                    "overprint",
                    "floor " + floor + ", trapping " + trapping,
                    "give a floor from 0 to 1, trapping above 0");
        }
    }

    /** One for a paper of which it is known how dark it can be printed. */
    public static Overprint onPaperWithBlack(double luminanceOfSolidBlack) {
        return new Overprint(FLOOR_OF_BLACK * luminanceOfSolidBlack, USUAL_TRAPPING);
    }

    /**
     * Films in the order in which they are printed.
     *
     * @param paper the bare paper
     * @param films each as it looks alone on that paper; none gives the paper
     */
    public Bands of(Bands paper, List<Bands> films) {
        double[] all = new double[Math.max(0, films.size() - 1)];
        java.util.Arrays.fill(all, trapping);
        return of(paper, films, all);
    }

    /**
     * Films in the order in which they are printed, each later one with the exponent measured of it on the one beneath.
     *
     * @param paper the bare paper
     * @param films each as it looks alone on that paper; none gives the paper
     * @param trapping one for each film but the first
     */
    public Bands of(Bands paper, List<Bands> films, double... trapping) {
        if (films.isEmpty()) {
            return paper;
        }
        if (trapping.length != films.size() - 1) {
            throw new BadInput("overprint", trapping.length + " exponents", "give one for each film but the first");
        }
        return paper.each(band -> {
            double bare = above(paper.raw()[band]);
            double light = above(films.get(0).raw()[band]);
            for (int later = 1; later < films.size(); later++) {
                light *= StrictMath.pow(above(films.get(later).raw()[band]) / bare, trapping[later - 1]);
            }
            return floor + light;
        });
    }

    /**
     * The exponent of one ink on another, from their overlap as it was measured: that which comes nearest by ΔE00.
     *
     * @param first as it looks alone on the paper
     * @param second as it looks alone on the paper; printed over {@code first}
     * @param overlap as {@code light} shows it
     * @return from 0.3 to 1.3; at either end the overlap is not one of these films
     */
    public double trappingOf(Bands paper, Bands first, Bands second, CieLab overlap, Light light) {
        DoubleUnaryOperator apart = q -> Difference.ciede2000(overlap, light.lab(of(paper, List.of(first, second), q)));
        // ΔE00 has kinks: the best of a row of places first, then closer around it.
        double best = LEAST_TRAPPING;
        for (double step = 0.05; step > 1e-5; step /= 8) {
            double from = Math.max(LEAST_TRAPPING, best - 8 * step);
            double to = Math.min(MOST_TRAPPING, step == 0.05 ? MOST_TRAPPING : best + 8 * step);
            for (double q = from; q <= to + 1e-12; q += step) {
                if (apart.applyAsDouble(q) < apart.applyAsDouble(best)) {
                    best = q;
                }
            }
        }
        return best;
    }

    private double above(double reflectance) {
        return Math.max(reflectance - floor, LEAST);
    }
}
