package slabside.audit;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import slabside.statistics.ChangePoints;
import slabside.statistics.Individuals;
import slabside.statistics.ShiftEvidence;

/**
 * How one series is explained best: by a suspect, by a cause that is not in the log, or by no change at all.
 *
 * @param causes most probable first
 * @param noChange chance that nothing changed
 * @param notInTheLog chance that something changed it that nobody wrote down
 * @param searched how many causes were weighed
 */
record Ranking(Series series, List<Cause> causes, double noChange, double notInTheLog, int searched) {
    /** Chance beforehand that nothing changed, and that a cause is not in the log: assumptions. */
    static final double NO_CHANGE = 0.5;

    static final double NOT_IN_THE_LOG = 0.1;

    /**
     * @param log natural logarithm of the factor by which it explains the series better than no change
     */
    record Cause(Suspect suspect, double log, double chance) {}

    static Ranking of(Series series, List<Suspect> suspects) {
        double weights =
                suspects.stream().mapToDouble(each -> each.kind().weight()).sum();
        double forSuspects = 1 - NO_CHANGE - NOT_IN_THE_LOG;
        int n = series.size();
        double[] anywhere = new double[n - 1];
        for (int k = 1; k < n; k++) {
            anywhere[k - 1] = series.evidence(series.step(k));
        }
        double unlogged = ShiftEvidence.logMean(anywhere);
        double[] logs = new double[suspects.size() + 2];
        for (int i = 0; i < suspects.size(); i++) {
            Suspect suspect = suspects.get(i);
            logs[i] = StrictMath.log(forSuspects * suspect.kind().weight() / weights) + suspect.evidence(series);
        }
        logs[suspects.size()] = StrictMath.log(NO_CHANGE + (suspects.isEmpty() ? forSuspects : 0));
        logs[suspects.size() + 1] = StrictMath.log(NOT_IN_THE_LOG) + unlogged;
        double most = Double.NEGATIVE_INFINITY;
        for (double log : logs) {
            most = Math.max(most, log);
        }
        double sum = 0;
        for (double log : logs) {
            sum += StrictMath.exp(log - most);
        }
        List<Cause> causes = new ArrayList<>();
        for (int i = 0; i < suspects.size(); i++) {
            causes.add(
                    new Cause(suspects.get(i), suspects.get(i).evidence(series), StrictMath.exp(logs[i] - most) / sum));
        }
        causes.sort(Comparator.comparingDouble(Cause::chance).reversed());
        return new Ranking(
                series,
                causes,
                StrictMath.exp(logs[suspects.size()] - most) / sum,
                StrictMath.exp(logs[suspects.size() + 1] - most) / sum,
                suspects.size());
    }

    /**
     * Where the series changed first.
     *
     * @param pull number of the first pull that is different
     * @param from earliest pull of a 95 % interval
     * @param to latest
     * @param before mean of the values before it
     * @param after mean of those behind it
     */
    record Change(int pull, int from, int to, double before, double after) {}

    /** The first change; of several the values up to the second decide where it is. */
    Change change() {
        double[] values = series.values();
        int n = values.length;
        int end = n;
        double[] posterior;
        if (series.kind() == Series.Kind.MEASURED || series.kind() == Series.Kind.PASSES) {
            double sigma = Individuals.of(values).readInStepsOf(series.step()).sigma();
            List<Integer> changes = ChangePoints.pelt(values, sigma, 2 * StrictMath.log(n), Math.min(5, n / 2));
            end = changes.size() > 1 ? changes.get(1) : n;
            posterior = end >= 4
                    ? ChangePoints.posterior(java.util.Arrays.copyOf(values, end))
                    : ChangePoints.posterior(values);
        } else {
            posterior = new double[n - 1];
            double most = Double.NEGATIVE_INFINITY;
            for (int k = 1; k < n; k++) {
                posterior[k - 1] = series.evidence(series.step(k));
                most = Math.max(most, posterior[k - 1]);
            }
            double sum = 0;
            for (int i = 0; i < posterior.length; i++) {
                posterior[i] = StrictMath.exp(posterior[i] - most);
                sum += posterior[i];
            }
            for (int i = 0; i < posterior.length; i++) {
                posterior[i] /= sum;
            }
        }
        int best = 0;
        for (int i = 1; i < posterior.length; i++) {
            best = posterior[i] > posterior[best] ? i : best;
        }
        ChangePoints.Interval interval = ChangePoints.interval(posterior, 0.95);
        int[] pulls = series.pulls();
        return new Change(
                pulls[best + 1],
                pulls[interval.first()],
                pulls[interval.last()],
                series.mean(0, best + 1),
                series.mean(best + 1, Math.max(end, best + 2)));
    }
}
