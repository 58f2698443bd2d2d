package slabside.statistics;

import java.util.List;
import org.hipparchus.special.Gamma;
import slabside.measure.BadInput;

/**
 * How likely a sheet is to be lost at one stage, where every time goes a little differently: the chance of a sheet to be
 * lost is itself spread as a beta distribution over the times, so that the number lost of n follows a beta-binomial
 * distribution (Skellam 1948, J. R. Stat. Soc. B 10, 257–261; formula from memory).
 *
 * @param mean chance to be lost, above 0 and below 1
 * @param concentration how alike the times are: as of the number of sheets that would teach as much about one time; above 0
 */
public record LossRate(double mean, double concentration) {
    private static final int TIMES_FOR_THEIR_SPREAD = 4;
    private static final double LEAST_ALIKE = 3;
    private static final double MOST_ALIKE = 1_000;

    /** Of so many sheets that went into a stage once, so many were lost. */
    public record Once(int in, int lost) {
        public Once {
            if (in < 0 || lost < 0 || lost > in) {
                throw new BadInput("sheets lost", lost + " of " + in, "give no more lost than went in");
            }
        }
    }

    public LossRate {
        if (!(mean > 0 && mean < 1)) {
            throw new BadInput("mean loss", mean, "give a part above 0 and below 1");
        }
        if (!(concentration > 0) || !Double.isFinite(concentration)) {
            throw new BadInput("concentration", concentration, "give a number of sheets above 0");
        }
    }

    /**
     * What past times say, with something assumed for as long as they are few.
     *
     * @param past times of the stage; may be empty
     * @param assumed rate before anything was seen; its concentration also says for how many sheets it counts in the mean
     */
    public static LossRate of(List<Once> past, LossRate assumed) {
        double in = 0;
        double lost = 0;
        for (Once once : past) {
            in += once.in;
            lost += once.lost;
        }
        double mean = (lost + assumed.mean * assumed.concentration) / (in + assumed.concentration);
        return new LossRate(mean, alike(past, lost / Math.max(1, in), assumed.concentration));
    }

    /**
     * Concentration by the method of moments over the parts lost each time, as for a beta-binomial (Kleinman 1973, J. Am.
     * Stat. Assoc. 68, 46–54; unweighted, from memory); the assumed one with fewer than four times.
     */
    private static double alike(List<Once> past, double pooled, double assumed) {
        List<Once> times = past.stream().filter(once -> once.in > 0).toList();
        if (times.size() < TIMES_FOR_THEIR_SPREAD || !(pooled > 0 && pooled < 1)) {
            return assumed;
        }
        double mean = times.stream().mapToDouble(LossRate::part).average().orElseThrow();
        double square = 0;
        double inverse = 0;
        for (Once once : times) {
            square += (part(once) - mean) * (part(once) - mean) / (times.size() - 1);
            inverse += 1.0 / once.in / times.size();
        }
        double between = square - pooled * (1 - pooled) * inverse;
        double alike = between <= 0 ? MOST_ALIKE : (pooled * (1 - pooled) - square) / between;
        return Math.max(LEAST_ALIKE, Math.min(MOST_ALIKE, alike));
    }

    private static double part(Once once) {
        return (double) once.lost / once.in;
    }

    /** Chance that exactly {@code lost} of {@code in} sheets are lost. */
    public double chance(int in, int lost) {
        if (lost < 0 || lost > in) {
            return 0;
        }
        double a = mean * concentration;
        double b = (1 - mean) * concentration;
        return StrictMath.exp(Gamma.logGamma(in + 1.0)
                - Gamma.logGamma(lost + 1.0)
                - Gamma.logGamma(in - lost + 1.0)
                + logBeta(lost + a, in - lost + b)
                - logBeta(a, b));
    }

    private static double logBeta(double a, double b) {
        return Gamma.logGamma(a) + Gamma.logGamma(b) - Gamma.logGamma(a + b);
    }

    /**
     * How many sheets are left behind this stage.
     *
     * @param before chance of each number of sheets before it, from none up
     */
    double[] behind(double[] before) {
        double[] behind = new double[before.length];
        for (int in = 0; in < before.length; in++) {
            if (before[in] > 1e-15) {
                for (int lost = 0; lost <= in; lost++) {
                    behind[in - lost] += before[in] * chance(in, lost);
                }
            }
        }
        return behind;
    }

    /** Chance that at least {@code wanted} of {@code torn} sheets come through all stages. */
    public static double chanceOf(int wanted, int torn, List<LossRate> stages) {
        double[] left = new double[torn + 1];
        left[torn] = 1;
        for (LossRate stage : stages) {
            left = stage.behind(left);
        }
        double enough = 0;
        for (int i = wanted; i <= torn; i++) {
            enough += left[i];
        }
        return Math.min(1, enough);
    }

    /**
     * The least number of sheets to begin with so that enough are left.
     *
     * @param sureness chance that at least {@code wanted} come through, above 0 and below 1
     * @param most where to give up
     * @throws BadInput when not even {@code most} sheets would do
     */
    public static int sheets(int wanted, List<LossRate> stages, double sureness, int most) {
        int low = wanted;
        int high = Math.min(most, wanted + 1);
        while (chanceOf(wanted, high, stages) < sureness) {
            if (high >= most) {
                throw new BadInput("sheets", wanted, "not even " + most + " would be enough at these losses");
            }
            low = high;
            high = Math.min(most, high * 3 / 2 + 1);
        }
        while (low < high) {
            int middle = (low + high) / 2;
            if (chanceOf(wanted, middle, stages) >= sureness) {
                high = middle;
            } else {
                low = middle + 1;
            }
        }
        return low;
    }
}
