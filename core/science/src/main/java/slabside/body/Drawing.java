package slabside.body;

import java.util.Arrays;
import java.util.OptionalDouble;
import slabside.measure.BadInput;

/**
 * How much of a sheet is drawn on, from a scan or photo of it: uneven light is taken out by a smooth surface through what is paper,
 * and what is darker than a part of the paper counts as drawn.
 */
public final class Drawing {
    private static final int BLOCKS = 14;
    private static final int ROUNDS = 25;
    /** In each block the paper is taken to be as light as this part of its pixels. */
    private static final double PAPER = 0.9;
    /** Below the surface by this much, in natural logarithms, a block holds no paper and hardly counts. */
    private static final double DARK = 0.04;

    private static final double HARDLY = 1e-5;
    /** Light on a sheet is no more uneven than this at the start, in natural logarithms: about two and a half to one. */
    private static final double UNEVEN = 0.9;

    private static final int PLACES = 240;
    private static final double LIGHTEST = 1.2;
    /** Eyes and scans see steps of light by their root. */
    private static final double ROOT = 1 / 2.2;
    /** Two heaps of greys closer than this are one: nothing is drawn. */
    private static final double APART = 0.08;
    /** By so much a threshold may be otherwise. */
    private static final double OTHERWISE = 0.05;

    private static final double LEAST = 1e-4;

    /**
     * @param part of the picture that is drawn on, 0 to 1
     * @param threshold what is darker than this part of the paper, as the eye sees it, counts as drawn; 0 when nothing is
     * @param low part with a threshold a twentieth lower
     * @param high part with one a twentieth higher
     * @param drawn for each pixel
     */
    public record Covered(double part, double threshold, double low, double high, boolean[] drawn) {}

    private Drawing() {}

    /**
     * @param light of each pixel, 0 to 1, row by row; not as it is coded but as it is
     * @param threshold 0 to 1; empty to find it between the two heaps of greys (Otsu)
     */
    public static Covered of(double[] light, int width, int height, OptionalDouble threshold) {
        if (width < BLOCKS || height < BLOCKS || light.length != width * height) {
            throw new BadInput(
                    "picture", width + " × " + height + " pixels", "give one of at least " + BLOCKS + " by " + BLOCKS);
        }
        double[] surface = paper(light, width, height);
        double[] seen = new double[light.length];
        for (int i = 0; i < seen.length; i++) {
            double log = at(surface, place(i % width, width), place(i / width, height));
            double ratio = Math.max(LEAST, light[i]) / StrictMath.exp(log);
            seen[i] = Math.min(LIGHTEST, StrictMath.pow(ratio, ROOT));
        }
        double limit = threshold.orElseGet(() -> otsu(seen));
        boolean[] drawn = new boolean[seen.length];
        for (int i = 0; i < seen.length; i++) {
            drawn[i] = seen[i] < limit;
        }
        return new Covered(
                below(seen, limit),
                limit,
                limit == 0 ? 0 : below(seen, limit - OTHERWISE),
                limit == 0 ? 0 : below(seen, limit + OTHERWISE),
                drawn);
    }

    private static double below(double[] seen, double limit) {
        return Arrays.stream(seen).filter(value -> value < limit).count() / (double) seen.length;
    }

    private static double place(int at, int of) {
        return 2.0 * at / (of - 1) - 1;
    }

    /** A quadratic through the logarithm of the lightest of each block, drawn up to those that hold paper. */
    private static double[] paper(double[] light, int width, int height) {
        double[][] terms = new double[BLOCKS * BLOCKS][];
        double[] logs = new double[BLOCKS * BLOCKS];
        for (int by = 0; by < BLOCKS; by++) {
            for (int bx = 0; bx < BLOCKS; bx++) {
                int left = bx * width / BLOCKS;
                int right = (bx + 1) * width / BLOCKS;
                int top = by * height / BLOCKS;
                int bottom = (by + 1) * height / BLOCKS;
                double[] block = new double[(right - left) * (bottom - top)];
                for (int y = top; y < bottom; y++) {
                    System.arraycopy(light, y * width + left, block, (y - top) * (right - left), right - left);
                }
                Arrays.sort(block);
                int place = by * BLOCKS + bx;
                terms[place] = terms(place((left + right - 1) / 2, width), place((top + bottom - 1) / 2, height));
                logs[place] = StrictMath.log(Math.max(LEAST, block[(int) (PAPER * (block.length - 1))]));
            }
        }
        double lightest = Arrays.stream(logs).max().orElseThrow();
        double[] weights = Arrays.stream(logs)
                .map(log -> log < lightest - UNEVEN ? HARDLY : 1)
                .toArray();
        double[] surface = new double[6];
        for (int round = 0; round < ROUNDS; round++) {
            surface = fitted(terms, logs, weights);
            for (int i = 0; i < logs.length; i++) {
                weights[i] = logs[i] < value(surface, terms[i]) - DARK ? HARDLY : 1;
            }
        }
        return surface;
    }

    private static double[] terms(double x, double y) {
        return new double[] {1, x, y, x * x, x * y, y * y};
    }

    private static double at(double[] surface, double x, double y) {
        return surface[0] + x * (surface[1] + surface[3] * x + surface[4] * y) + y * (surface[2] + surface[5] * y);
    }

    private static double value(double[] surface, double[] terms) {
        double sum = 0;
        for (int i = 0; i < terms.length; i++) {
            sum += surface[i] * terms[i];
        }
        return sum;
    }

    private static double[] fitted(double[][] terms, double[] logs, double[] weights) {
        double[][] system = new double[6][7];
        for (int n = 0; n < logs.length; n++) {
            for (int i = 0; i < 6; i++) {
                for (int j = 0; j < 6; j++) {
                    system[i][j] += weights[n] * terms[n][i] * terms[n][j];
                }
                system[i][6] += weights[n] * terms[n][i] * logs[n];
            }
        }
        return Linear.solved(system);
    }

    /** The threshold between the two heaps into which the greys part best (Otsu 1979); 0 where they are one. */
    private static double otsu(double[] seen) {
        long[] counts = new long[PLACES];
        for (double value : seen) {
            counts[(int) Math.min(PLACES - 1, value / LIGHTEST * PLACES)]++;
        }
        double whole = 0;
        for (int i = 0; i < PLACES; i++) {
            whole += counts[i] * (i + 0.5);
        }
        double best = 0;
        double threshold = 0;
        double apart = 0;
        long below = 0;
        double sum = 0;
        for (int i = 0; i < PLACES - 1; i++) {
            below += counts[i];
            sum += counts[i] * (i + 0.5);
            long above = seen.length - below;
            if (below > 0 && above > 0) {
                double difference = (whole - sum) / above - sum / below;
                double between = (double) below * above * difference * difference;
                if (between > best) {
                    best = between;
                    threshold = (i + 1) * LIGHTEST / PLACES;
                    apart = difference * LIGHTEST / PLACES;
                }
            }
        }
        return apart < APART ? 0 : threshold;
    }
}
