package slabside.statistics;

import java.util.Arrays;
import slabside.measure.Uncertain;

/**
 * A number with its derivative by every independent reading it came from, so that what two numbers share is not counted
 * twice. First order (JCGM 100:2008, 5.1.2 and 5.2.2). Immutable.
 */
public final class Propagated {
    public static final Propagated ZERO = new Propagated(0, new int[0], new double[0]);

    private final double value;
    private final int[] keys;
    private final double[] slopes;

    private Propagated(double value, int[] keys, double[] slopes) {
        this.value = value;
        this.keys = keys;
        this.slopes = slopes;
    }

    public static Propagated exact(double value) {
        return new Propagated(value, ZERO.keys, ZERO.slopes);
    }

    static Propagated of(double value, int key) {
        return new Propagated(value, new int[] {key}, new double[] {1});
    }

    public double value() {
        return value;
    }

    /** Derivative by the reading numbered {@code key}; zero when it had no part in this. */
    public double slope(int key) {
        int at = Arrays.binarySearch(keys, key);
        return at < 0 ? 0 : slopes[at];
    }

    /** Numbers of the readings this came from, ascending. */
    public int[] keys() {
        return keys.clone();
    }

    public Propagated plus(Propagated other) {
        return combine(value + other.value, 1, other, 1);
    }

    public Propagated minus(Propagated other) {
        return combine(value - other.value, 1, other, -1);
    }

    public Propagated times(double factor) {
        return combine(value * factor, factor, ZERO, 0);
    }

    public Propagated times(Propagated other) {
        return combine(value * other.value, other.value, other, value);
    }

    /** The quotient; {@code other} must not be zero. */
    public Propagated over(Propagated other) {
        return combine(value / other.value, 1 / other.value, other, -value / (other.value * other.value));
    }

    /** Standard uncertainty, k = 1, from the readings' own. */
    public double u(Readings readings) {
        double sum = 0;
        for (int i = 0; i < keys.length; i++) {
            double part = slopes[i] * readings.u(keys[i]);
            sum += part * part;
        }
        return StrictMath.sqrt(sum);
    }

    public Uncertain uncertain(Readings readings) {
        return new Uncertain(value, u(readings));
    }

    /** Covariance of two numbers that come from the same set of readings. */
    public double covariance(Propagated other, Readings readings) {
        double sum = 0;
        for (int i = 0; i < keys.length; i++) {
            double u = readings.u(keys[i]);
            sum += slopes[i] * other.slope(keys[i]) * u * u;
        }
        return sum;
    }

    private Propagated combine(double result, double mine, Propagated other, double theirs) {
        if (other.keys.length == 0) {
            if (keys.length == 0 || mine == 1) {
                return new Propagated(result, keys, slopes);
            }
            double[] scaled = new double[slopes.length];
            for (int i = 0; i < scaled.length; i++) {
                scaled[i] = mine * slopes[i];
            }
            return new Propagated(result, keys, scaled);
        }
        int[] mergedKeys = new int[keys.length + other.keys.length];
        double[] mergedSlopes = new double[mergedKeys.length];
        int n = 0;
        int i = 0;
        int j = 0;
        while (i < keys.length || j < other.keys.length) {
            int left = i < keys.length ? keys[i] : Integer.MAX_VALUE;
            int right = j < other.keys.length ? other.keys[j] : Integer.MAX_VALUE;
            mergedKeys[n] = Math.min(left, right);
            double slope = 0;
            if (left <= right) {
                slope += mine * slopes[i++];
            }
            if (right <= left) {
                slope += theirs * other.slopes[j++];
            }
            mergedSlopes[n++] = slope;
        }
        if (n == mergedKeys.length) {
            return new Propagated(result, mergedKeys, mergedSlopes);
        }
        return new Propagated(result, Arrays.copyOf(mergedKeys, n), Arrays.copyOf(mergedSlopes, n));
    }
}
