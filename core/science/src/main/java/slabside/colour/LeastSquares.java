package slabside.colour;

import java.util.function.Function;

/** Damped least squares of a few unknowns between bounds, with slopes taken by small steps (Levenberg and Marquardt). */
final class LeastSquares {
    private static final double ENOUGH = 1e-12;

    private LeastSquares() {}

    /**
     * @param residuals of the unknowns, always as many
     * @param start within the bounds; not changed
     * @return where the sum of squares is least, as far as it was found
     */
    static double[] least(
            Function<double[], double[]> residuals, double[] start, double[] low, double[] high, int steps) {
        double[] at = start.clone();
        double[] now = residuals.apply(at);
        double damping = 1e-2;
        int n = at.length;
        for (int step = 0; step < steps && damping < 1e12; step++) {
            double[][] slopes = new double[n][];
            for (int i = 0; i < n; i++) {
                double h = Math.max(1e-6, Math.abs(at[i]) * 1e-4);
                double[] moved = at.clone();
                moved[i] = at[i] + h > high[i] ? at[i] - h : at[i] + h;
                double[] there = residuals.apply(moved);
                slopes[i] = new double[now.length];
                for (int k = 0; k < now.length; k++) {
                    slopes[i][k] = (there[k] - now[k]) / (moved[i] - at[i]);
                }
            }
            double[][] system = new double[n][n + 1];
            for (int i = 0; i < n; i++) {
                double against = -dot(slopes[i], now);
                // At a bound, and pushed against it: it stays.
                boolean held = at[i] <= low[i] && against < 0 || at[i] >= high[i] && against > 0;
                for (int j = 0; j < n; j++) {
                    system[i][j] = held ? 0 : dot(slopes[i], slopes[j]);
                }
                system[i][i] = held ? 1 : system[i][i] * (1 + damping) + 1e-15;
                system[i][n] = held ? 0 : against;
            }
            double[] by = RecipeSearch.solved(system);
            double[] tried = at.clone();
            for (int i = 0; i < n; i++) {
                tried[i] = Math.max(low[i], Math.min(high[i], tried[i] + by[i]));
            }
            double[] there = residuals.apply(tried);
            double gained = dot(now, now) - dot(there, there);
            if (gained > 0) {
                at = tried;
                now = there;
                damping = Math.max(1e-9, damping / 5);
                if (gained < ENOUGH) {
                    break;
                }
            } else {
                damping *= 6;
            }
        }
        return at;
    }

    private static double dot(double[] one, double[] other) {
        double sum = 0;
        for (int i = 0; i < one.length; i++) {
            sum += one[i] * other[i];
        }
        return sum;
    }
}
