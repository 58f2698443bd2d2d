package slabside.body;

import slabside.measure.BadInput;

/**
 * Ink on slab, roller, stone and paper, pull after pull: a linear recurrence of films that are shared half and half where they part.
 *
 * @param slab m² rolled out on
 * @param roller m² of its surface
 * @param image m² that takes ink
 * @param turns of the roller on the slab for each pull
 * @param passes over the stone for each pull
 * @param split part of the stone's film that goes with the paper
 */
public record Rolling(double slab, double roller, double image, int turns, int passes, double split) {
    public Rolling {
        Body.above("slab", slab, "m²");
        Body.above("roller", roller, "m²");
        Body.above("image", image, "m²");
        Body.within("split", split, 1e-6, 1, "");
        if (turns < 1 || passes < 1 || turns > 10_000 || passes > 10_000) {
            throw new BadInput("turns and passes", turns + " and " + passes, "give 1 to 10,000 of both");
        }
        if (roller / slab > 2 || image / roller > 2) {
            throw new BadInput(
                    "areas",
                    slab + ", " + roller + ", " + image + " m²",
                    "the roller's surface must not be more than twice the slab's, nor the image more than twice the roller's");
        }
    }

    /**
     * Films after a pull.
     *
     * @param slab µm, as the others
     * @param printed what the paper took
     */
    public record State(double slab, double roller, double stone, double printed) {}

    /** Films after the next pull, with a feed onto the slab before it, in µm of the slab. */
    public State next(State before, double feed) {
        double s = before.slab() + feed;
        double r = before.roller();
        double p = before.stone();
        for (int i = 0; i < turns; i++) {
            double half = (s + r) / 2;
            s += roller / slab * (half - r) * -1;
            r = half;
        }
        for (int i = 0; i < passes; i++) {
            double half = (r + p) / 2;
            r += image / roller * (half - p) * -1;
            p = half;
        }
        return new State(s, r, (1 - split) * p, split * p);
    }

    /** µm of the slab that a volume in cm³ makes. */
    public double feed(double cm3) {
        return cm3 / slab;
    }

    /** The films that stay where the same is fed for each pull. */
    public State steady(double feed) {
        // The recurrence is linear: three starts and nothing fed tell its matrix.
        double[][] system = new double[3][4];
        State fed = next(new State(0, 0, 0, 0), feed);
        double[] b = {fed.slab(), fed.roller(), fed.stone()};
        double[][] m = matrix();
        for (int i = 0; i < 3; i++) {
            for (int j = 0; j < 3; j++) {
                system[i][j] = (i == j ? 1 : 0) - m[i][j];
            }
            system[i][3] = b[i];
        }
        double[] films = Linear.solved(system);
        return new State(films[0], films[1], films[2], films[2] * split / (1 - split));
    }

    private double[][] matrix() {
        State[] of = {next(new State(1, 0, 0, 0), 0), next(new State(0, 1, 0, 0), 0), next(new State(0, 0, 1, 0), 0)};
        double[][] m = new double[3][3];
        for (int j = 0; j < 3; j++) {
            m[0][j] = of[j].slab();
            m[1][j] = of[j].roller();
            m[2][j] = of[j].stone();
        }
        return m;
    }

    /** What part of a disturbance is left after each pull. */
    public double memory() {
        double[][] m = matrix();
        double[] v = {1, 1, 1};
        double size = 1;
        for (int i = 0; i < 20_000; i++) {
            double[] w = new double[3];
            for (int r = 0; r < 3; r++) {
                w[r] = m[r][0] * v[0] + m[r][1] * v[1] + m[r][2] * v[2];
            }
            size = Math.max(Math.abs(w[0]), Math.max(Math.abs(w[1]), Math.abs(w[2])));
            for (int r = 0; r < 3; r++) {
                v[r] = w[r] / size;
            }
        }
        return size;
    }

    /** Pulls until 95 % of a disturbance are gone. */
    public int pullsToSettle() {
        return (int) StrictMath.ceil(StrictMath.log(0.05) / StrictMath.log(memory()));
    }

    /** Turns of a roller over a length. */
    public static double turns(double length, double diameter) {
        return Body.above("length", length, "m") / (StrictMath.PI * Body.above("diameter", diameter, "m"));
    }

    /**
     * Film on the stone after some passes of a roller whose film stays the same.
     *
     * @param part of both films that stays on the stone where they part, ½ for half and half
     */
    public static double afterPasses(double roller, double stone, int passes, double part) {
        Body.within("part", part, 1e-9, 1 - 1e-9, "");
        double end = part * roller / (1 - part);
        return end + (stone - end) * StrictMath.pow(part, passes);
    }

    /**
     * Films on stone and roller after some passes without a new charge.
     *
     * @param ratio of the image's area to the roller's
     * @return stone and roller
     */
    public static double[] depleted(double roller, double stone, double ratio, int passes) {
        double r = roller;
        double p = stone;
        for (int i = 0; i < passes; i++) {
            double half = (r + p) / 2;
            r -= ratio * (half - p);
            p = half;
        }
        return new double[] {p, r};
    }
}
