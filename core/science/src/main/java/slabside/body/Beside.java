package slabside.body;

import java.util.Arrays;
import java.util.List;
import slabside.measure.BadInput;
import slabside.measure.Uncertain;

/**
 * Where inks stand beside each other, from many times that two were held side by side under the knife: each "stiffer" or "softer" is
 * about a step, each "same" about none (least squares with a weak belief that all are alike).
 */
public final class Beside {
    /** Standard deviation of a step that was felt, and of "same", in steps; assumptions. */
    private static final double FELT = 0.9;

    private static final double SAME = 0.6;
    /** Standard deviation of inks before anything was felt, in steps; an assumption. */
    private static final double BEFORE = 3;

    private static final int MOST = 200;

    private final double[] steps;
    private final double[][] covariance;

    private Beside(double[] steps, double[][] covariance) {
        this.steps = steps;
        this.covariance = covariance;
    }

    /**
     * One time that two were held side by side.
     *
     * @param more 1 when the first was more of it (stiffer, longer), 0 when alike, −1 when less
     */
    public record Felt(int first, int second, int more) {}

    /**
     * @param inks how many there are, 2 to 200
     */
    public static Beside of(int inks, List<Felt> felt) {
        if (inks < 2 || inks > MOST) {
            throw new BadInput("inks", inks, "give 2 to " + MOST);
        }
        double[][] system = new double[inks][inks];
        double[] right = new double[inks];
        for (int i = 0; i < inks; i++) {
            system[i][i] = 1 / (BEFORE * BEFORE);
        }
        for (Felt each : felt) {
            if (each.first() == each.second() || Math.abs(each.more()) > 1) {
                throw new BadInput("comparison", each, "hold two inks side by side; say 1, 0 or -1");
            }
            double weight = each.more() == 0 ? 1 / (SAME * SAME) : 1 / (FELT * FELT);
            system[each.first()][each.first()] += weight;
            system[each.second()][each.second()] += weight;
            system[each.first()][each.second()] -= weight;
            system[each.second()][each.first()] -= weight;
            right[each.first()] += weight * each.more();
            right[each.second()] -= weight * each.more();
        }
        double[][] covariance = new double[inks][];
        for (int column = 0; column < inks; column++) {
            double[] one = new double[inks];
            one[column] = 1;
            covariance[column] = solved(system, one);
        }
        return new Beside(solved(system, right), covariance);
    }

    private static double[] solved(double[][] system, double[] right) {
        double[][] copy = new double[right.length][];
        for (int i = 0; i < right.length; i++) {
            copy[i] = Arrays.copyOf(system[i], right.length + 1);
            copy[i][right.length] = right[i];
        }
        return Linear.solved(copy);
    }

    /** How many steps the first is more than the second. */
    public Uncertain difference(int first, int second) {
        double variance = covariance[first][first] + covariance[second][second] - 2 * covariance[first][second];
        return new Uncertain(steps[first] - steps[second], StrictMath.sqrt(Math.max(0, variance)));
    }
}
