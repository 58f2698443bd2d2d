package slabside.colour;

import java.util.Optional;

/**
 * The smoothest reflectance that looks like a given colour, for inks of which no spectrum was read. It is one of many that
 * look so in this light; under another lamp the ink may look otherwise.
 *
 * @see "Burns (2017), Numerical methods for smoothest reflectance reconstruction, arXiv:1710.05732"
 */
public final class Smoothest {
    private static final int N = Bands.COUNT;
    private static final int ALL = N + 3;
    private static final int MOST_STEPS = 100;
    private static final double GOOD = 1e-10;
    /** Lightness from which, without chroma, a colour is taken for a perfect white, and below which for a perfect black. */
    private static final double AT_THE_END = 1e-9;

    private Smoothest() {}

    /**
     * Between 0 and 1 in every band (method LHTSS).
     *
     * @param lab beside the white of {@code light}
     * @param light a plain sum
     * @return empty when no surface looks so in this light
     */
    public static Optional<Bands> of(CieLab lab, Light light) {
        Xyz target = lab.xyz(light.white());
        if (target.y() <= AT_THE_END) {
            return Optional.of(Bands.of(new double[N]));
        }
        if (Math.abs(target.x() - light.white().x()) < AT_THE_END
                && Math.abs(target.y() - 1) < AT_THE_END
                && Math.abs(target.z() - light.white().z()) < AT_THE_END) {
            double[] white = new double[N];
            java.util.Arrays.fill(white, 1);
            return Optional.of(Bands.of(white));
        }
        return solved(target, light, new Bounded(), 0);
    }

    /** Above 0, but possibly above 1 (method LLSS), as a film may be beside its paper. */
    public static Optional<Bands> unbounded(CieLab lab, Light light) {
        return solved(lab.xyz(light.white()), light, new Positive(), StrictMath.log(0.5));
    }

    /** How a band's reflectance follows from what is made smooth. */
    private interface Shape {
        double value(double z);

        double slope(double z);

        double bend(double z);
    }

    /** (tanh z + 1) / 2. */
    private static final class Bounded implements Shape {
        @Override
        public double value(double z) {
            return (StrictMath.tanh(z) + 1) / 2;
        }

        @Override
        public double slope(double z) {
            double t = StrictMath.tanh(z);
            return (1 - t * t) / 2;
        }

        @Override
        public double bend(double z) {
            double t = StrictMath.tanh(z);
            return -t * (1 - t * t);
        }
    }

    /** e to the z. */
    private static final class Positive implements Shape {
        @Override
        public double value(double z) {
            return StrictMath.exp(z);
        }

        @Override
        public double slope(double z) {
            return StrictMath.exp(z);
        }

        @Override
        public double bend(double z) {
            return StrictMath.exp(z);
        }
    }

    private static Optional<Bands> solved(Xyz target, Light light, Shape shape, double start) {
        double[] z = new double[N];
        java.util.Arrays.fill(z, start);
        double[] lambda = new double[3];
        double[] wanted = {target.x(), target.y(), target.z()};
        for (int step = 0; step < MOST_STEPS; step++) {
            double[][] system = new double[ALL][ALL + 1];
            double worst = fill(system, z, lambda, wanted, light, shape);
            if (worst < GOOD) {
                double[] values = new double[N];
                for (int i = 0; i < N; i++) {
                    values[i] = shape.value(z[i]);
                }
                return Optional.of(Bands.computed(values));
            }
            if (!solve(system)) {
                return Optional.empty();
            }
            for (int i = 0; i < N; i++) {
                z[i] -= system[i][ALL];
            }
            for (int i = 0; i < 3; i++) {
                lambda[i] -= system[N + i][ALL];
            }
        }
        return Optional.empty();
    }

    /** The Jacobian and, in the last column, the residual; gives the largest of the residual. */
    private static double fill(
            double[][] system, double[] z, double[] lambda, double[] wanted, Light light, Shape shape) {
        double[] seen = new double[3];
        for (int i = 0; i < N; i++) {
            double[] b = {light.x(i), light.y(i), light.z(i)};
            double pull = b[0] * lambda[0] + b[1] * lambda[1] + b[2] * lambda[2];
            double slope = shape.slope(z[i]);
            double ends = i == 0 || i == N - 1 ? 2 : 4;
            double left = i == 0 ? 0 : z[i - 1];
            double right = i == N - 1 ? 0 : z[i + 1];
            system[i][i] = ends + shape.bend(z[i]) * pull;
            if (i > 0) {
                system[i][i - 1] = -2;
            }
            if (i < N - 1) {
                system[i][i + 1] = -2;
            }
            for (int k = 0; k < 3; k++) {
                system[i][N + k] = slope * b[k];
                system[N + k][i] = slope * b[k];
                seen[k] += shape.value(z[i]) * b[k];
            }
            system[i][ALL] = ends * z[i] - 2 * left - 2 * right + slope * pull;
        }
        double worst = 0;
        for (int k = 0; k < 3; k++) {
            system[N + k][ALL] = seen[k] - wanted[k];
        }
        for (double[] row : system) {
            worst = Math.max(worst, Math.abs(row[ALL]));
        }
        return worst;
    }

    /** Gaussian elimination with pivots; the solution stands in the last column. False when there is none. */
    private static boolean solve(double[][] system) {
        for (int column = 0; column < ALL; column++) {
            int pivot = column;
            for (int row = column + 1; row < ALL; row++) {
                if (Math.abs(system[row][column]) > Math.abs(system[pivot][column])) {
                    pivot = row;
                }
            }
            if (!(Math.abs(system[pivot][column]) > 1e-300)) {
                return false;
            }
            double[] swapped = system[pivot];
            system[pivot] = system[column];
            system[column] = swapped;
            for (int row = 0; row < ALL; row++) {
                double factor = row == column ? 0 : system[row][column] / swapped[column];
                if (factor != 0) {
                    for (int k = column; k <= ALL; k++) {
                        system[row][k] -= factor * swapped[k];
                    }
                }
            }
        }
        for (int row = 0; row < ALL; row++) {
            system[row][ALL] /= system[row][row];
        }
        return true;
    }
}
