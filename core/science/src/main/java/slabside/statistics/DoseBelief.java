package slabside.statistics;

import java.util.Optional;
import org.hipparchus.analysis.solvers.BrentSolver;
import org.hipparchus.distribution.continuous.TDistribution;
import org.hipparchus.special.Gamma;
import slabside.measure.BadInput;
import slabside.measure.Uncertain;

/**
 * What is believed of a straight line of an effect over a dose when trials are few: a normal–inverse-gamma prior, updated
 * by each trial (conjugate; DeGroot 1970, formula from memory).
 *
 * @param m0 mean of the intercept
 * @param m1 mean of the slope
 * @param v00 variance of the intercept in units of σ²
 * @param v01 covariance
 * @param v11 variance of the slope in units of σ²
 * @param a shape of the inverse gamma of σ²
 * @param b scale of it
 */
public record DoseBelief(double m0, double m1, double v00, double v01, double v11, double a, double b) {
    public DoseBelief {
        if (!(v00 > 0 && v11 > 0 && v00 * v11 > v01 * v01 && a > 0 && b > 0)) {
            throw new BadInput(
                    "belief", v00 + ", " + v11 + ", " + a + ", " + b, "variances, shape and scale are above 0");
        }
    }

    /** After one trial. */
    public DoseBelief after(double dose, double effect) {
        // The precision of the coefficients grows by (1, dose)ᵀ(1, dose).
        double determinant = v00 * v11 - v01 * v01;
        double p00 = v11 / determinant;
        double p01 = -v01 / determinant;
        double p11 = v00 / determinant;
        double q00 = p00 + 1;
        double q01 = p01 + dose;
        double q11 = p11 + dose * dose;
        double of = q00 * q11 - q01 * q01;
        double w00 = q11 / of;
        double w01 = -q01 / of;
        double w11 = q00 / of;
        double r0 = p00 * m0 + p01 * m1 + effect;
        double r1 = p01 * m0 + p11 * m1 + dose * effect;
        double n0 = w00 * r0 + w01 * r1;
        double n1 = w01 * r0 + w11 * r1;
        double miss = effect - m0 - m1 * dose;
        double spread = 1 + v00 + 2 * dose * v01 + dose * dose * v11;
        return new DoseBelief(n0, n1, w00, w01, w11, a + 0.5, b + miss * miss / (2 * spread));
    }

    /** After several trials. */
    public DoseBelief after(double[] doses, double[] effects) {
        DoseBelief belief = this;
        for (int i = 0; i < doses.length; i++) {
            belief = belief.after(doses[i], effects[i]);
        }
        return belief;
    }

    /** Logarithm of the chance density of some trials under this belief. */
    public double logLikelihood(double[] doses, double[] effects) {
        DoseBelief belief = this;
        double log = 0;
        for (int i = 0; i < doses.length; i++) {
            double freedom = 2 * belief.a;
            double scale = StrictMath.sqrt(belief.b / belief.a * belief.spread(doses[i], 1));
            double z = (effects[i] - belief.m0 - belief.m1 * doses[i]) / scale;
            log += Gamma.logGamma((freedom + 1) / 2)
                    - Gamma.logGamma(freedom / 2)
                    - 0.5 * StrictMath.log(freedom * StrictMath.PI)
                    - StrictMath.log(scale)
                    - (freedom + 1) / 2 * StrictMath.log1p(z * z / freedom);
            belief = belief.after(doses[i], effects[i]);
        }
        return log;
    }

    private double spread(double dose, double noise) {
        return noise + v00 + 2 * dose * v01 + dose * dose * v11;
    }

    /** A quantile of the effect of one trial at a dose. */
    public double effect(double dose, double probability) {
        return m0
                + m1 * dose
                + StrictMath.sqrt(b / a * spread(dose, 1))
                        * new TDistribution(2 * a).inverseCumulativeProbability(probability);
    }

    /**
     * The dose at which the mean effect is {@code effect}, with all doses that are not ruled out; empty when the slope is not told
     * from none, so that no dose can be bounded. Of Fieller's form.
     */
    public Optional<DoseLine.Dose> forMean(double effect, double confidence) {
        return forMean(new Uncertain(effect, 0), confidence);
    }

    /** The same of an effect that is itself known with an uncertainty only. */
    public Optional<DoseLine.Dose> forMean(Uncertain effect, double confidence) {
        double t = new TDistribution(2 * a).inverseCumulativeProbability(0.5 + confidence / 2);
        double s2 = b / a;
        double k = t * t * s2;
        double above = effect.value() - m0;
        double level = v00 + effect.u() * effect.u() / s2;
        double square = m1 * m1 - k * v11;
        if (square <= 0) {
            return Optional.empty();
        }
        double half = m1 * above + k * v01;
        double root = StrictMath.sqrt(Math.max(0, half * half - square * (above * above - k * level)));
        double best = above / m1;
        return Optional.of(new DoseLine.Dose(
                best,
                (half - root) / square,
                (half + root) / square,
                StrictMath.hypot(StrictMath.sqrt(s2 * spread(best, 0)), effect.u()) / Math.abs(m1)));
    }

    /** Mean effect at a dose, with its standard uncertainty. */
    public Uncertain mean(double dose) {
        return new Uncertain(m0 + m1 * dose, StrictMath.sqrt(b / a * spread(dose, 0)));
    }

    /**
     * A quantile of the dose that gives an effect; the slope's sign is taken as certain.
     *
     * @param single whether one trial is to give it, rather than the mean of many
     * @param low where the search begins
     * @param high where it ends
     */
    public double dose(double effect, boolean single, double probability, double low, double high) {
        TDistribution t = new TDistribution(2 * a);
        double noise = single ? 1 : 0;
        return new BrentSolver(1e-10, 1e-10)
                .solve(
                        1_000,
                        dose -> {
                            double z = (effect - m0 - m1 * dose) / StrictMath.sqrt(b / a * spread(dose, noise));
                            return t.cumulativeProbability(m1 < 0 ? z : -z) - probability;
                        },
                        low,
                        high);
    }
}
