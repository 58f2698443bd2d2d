package slabside.colour;

import java.util.List;
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
        if (films.isEmpty()) {
            return paper;
        }
        return paper.each(band -> {
            double bare = above(paper.raw()[band]);
            double light = above(films.get(0).raw()[band]);
            for (Bands later : films.subList(1, films.size())) {
                light *= StrictMath.pow(above(later.raw()[band]) / bare, trapping);
            }
            return floor + light;
        });
    }

    private double above(double reflectance) {
        return Math.max(reflectance - floor, LEAST);
    }
}
