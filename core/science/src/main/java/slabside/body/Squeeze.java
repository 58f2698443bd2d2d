package slabside.body;

/** How much more force it takes to keep an ink that yields moving between plates, by how fast it moves (Covey and Stanmore 1981). */
final class Squeeze {
    private static final int POINTS = 24;
    private static final int PLACES = 1_600;
    private static final double LEAST = -24;
    private static final double MOST = 24;
    private static final double[] NODE = new double[POINTS];
    private static final double[] WEIGHT = new double[POINTS];
    /** ln(G − 1) at even steps of ln λ. */
    private static final double[] LOGS = new double[PLACES + 1];

    static {
        gaussLegendre();
        for (int i = 0; i <= PLACES; i++) {
            LOGS[i] = StrictMath.log(force(StrictMath.exp(LEAST + (MOST - LEAST) * i / PLACES)) - 1);
        }
    }

    private Squeeze() {}

    /** Nodes and weights between 0 and 1. */
    private static void gaussLegendre() {
        for (int i = 0; i < POINTS; i++) {
            double x = StrictMath.cos(StrictMath.PI * (i + 0.75) / (POINTS + 0.5));
            double slope = 1;
            for (int turn = 0; turn < 50; turn++) {
                double p0 = 1;
                double p1 = x;
                for (int k = 2; k <= POINTS; k++) {
                    double p2 = ((2 * k - 1) * x * p1 - (k - 1) * p0) / k;
                    p0 = p1;
                    p1 = p2;
                }
                slope = POINTS * (x * p1 - p0) / (x * x - 1);
                x -= p1 / slope;
            }
            NODE[i] = (x + 1) / 2;
            WEIGHT[i] = 1 / ((1 - x * x) * slope * slope);
        }
    }

    /** G(λ) = 3 ∫₀¹ u² X(λu) du, with X − 3/2 + 1/(2X²) = λu. */
    static double force(double lambda) {
        double sum = 0;
        for (int i = 0; i < POINTS; i++) {
            // u = v², so that the root at 0 does no harm.
            double v = NODE[i];
            sum += WEIGHT[i] * 2 * v * v * v * v * v * x(lambda * v * v);
        }
        return 3 * sum;
    }

    private static double x(double right) {
        double x = 1 + StrictMath.sqrt(2 * right / 3) + right;
        for (int turn = 0; turn < 60; turn++) {
            double value = x - 1.5 + 1 / (2 * x * x) - right;
            double slope = 1 - 1 / (x * x * x);
            double next = slope <= 0 ? x : Math.max(1, x - value / slope);
            if (Math.abs(next - x) <= 1e-14 * x) {
                return next;
            }
            x = next;
        }
        return x;
    }

    /** The λ of a G above 1. */
    static double lambda(double g) {
        double log = StrictMath.log(g - 1);
        int low = 0;
        int high = PLACES;
        if (log <= LOGS[0]) {
            // G − 1 = 6/7 √(2λ/3) for a small λ.
            double root = (g - 1) * 7 / 6;
            return 1.5 * root * root;
        }
        if (log >= LOGS[high]) {
            return (g - 1.5) * 4 / 3;
        }
        while (high - low > 1) {
            int middle = (low + high) / 2;
            if (LOGS[middle] <= log) {
                low = middle;
            } else {
                high = middle;
            }
        }
        double part = (log - LOGS[low]) / (LOGS[low + 1] - LOGS[low]);
        return StrictMath.exp(LEAST + (MOST - LEAST) * (low + part) / PLACES);
    }
}
