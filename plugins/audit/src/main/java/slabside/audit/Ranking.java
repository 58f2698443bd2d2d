package slabside.audit;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import slabside.plugin.StudioView;
import slabside.statistics.ChangePoints;
import slabside.statistics.Individuals;
import slabside.statistics.ShiftEvidence;

/**
 * How one series is explained best: by a suspect, by a cause that is not in the log, or by no change at all.
 *
 * @param series in the order of the run whose suspect explains it best
 * @param causes most probable first
 * @param noChange chance that nothing changed
 * @param notInTheLog chance that something changed it that nobody wrote down
 * @param among how many series were searched for the one that changed most; 1 for one that was asked of by itself
 */
record Ranking(Series series, List<Cause> causes, double noChange, double notInTheLog, int among) {
    /** Chance beforehand that nothing changed, and that a cause is not in the log: assumptions. */
    static final double NO_CHANGE = 0.5;

    static final double NOT_IN_THE_LOG = 0.1;
    /** Events nearer to one another than this cannot be told apart by their place. */
    static final int CLOSE = 3;

    /** A series has changed when the chance of no change is at most this, the number of series searched taken into account. */
    private static final double CHANGED = 0.25;

    private static final int SHORTEST = 5;

    /**
     * @param in the run that it belongs to
     * @param log natural logarithm of the factor by which it explains the series better than no change
     */
    record Cause(Suspect suspect, StudioView.RunRecord in, double log, double chance) {}

    /** What was followed, in the order in which one run printed it, with that run's suspects. */
    record Weighed(StudioView.RunRecord run, Series series, List<Suspect> suspects) {}

    static Ranking of(StudioView.RunRecord run, Series series, List<Suspect> suspects) {
        return of(List.of(new Weighed(run, series, suspects)));
    }

    /**
     * Of something that was found of the sheets, which several runs printed each in an order of its own: whose event explains it
     * best. Only what is counted may be asked of several, for the chance of no change must not depend on the order.
     */
    static Ranking of(List<Weighed> all) {
        double weights = all.stream()
                .flatMap(each -> each.suspects().stream())
                .mapToDouble(each -> each.kind().weight())
                .sum();
        double forSuspects = 1 - NO_CHANGE - NOT_IN_THE_LOG;
        List<Cause> open = new ArrayList<>();
        List<Double> anywhere = new ArrayList<>();
        for (Weighed each : all) {
            for (int k = 1; k < each.series().size(); k++) {
                anywhere.add(each.series().evidence(each.series().step(k)));
            }
            for (Suspect suspect : each.suspects()) {
                double log = suspect.evidence(each.series());
                double prior = forSuspects * suspect.kind().weight() / weights;
                open.add(new Cause(suspect, each.run(), log, StrictMath.log(prior) + log));
            }
        }
        double unlogged = ShiftEvidence.logMean(
                anywhere.stream().mapToDouble(each -> each).toArray());
        double none = StrictMath.log(NO_CHANGE + (open.isEmpty() ? forSuspects : 0));
        double other = StrictMath.log(NOT_IN_THE_LOG) + unlogged;
        double most = open.stream().mapToDouble(Cause::chance).max().orElse(none);
        double highest = Math.max(most, Math.max(none, other));
        double sum = StrictMath.exp(none - highest) + StrictMath.exp(other - highest);
        for (Cause each : open) {
            sum += StrictMath.exp(each.chance() - highest);
        }
        double whole = sum;
        List<Cause> causes = open.stream()
                .map(each -> new Cause(
                        each.suspect(), each.in(), each.log(), StrictMath.exp(each.chance() - highest) / whole))
                .sorted(Comparator.comparingDouble(Cause::chance).reversed())
                .toList();
        Series series = causes.isEmpty()
                ? all.get(0).series()
                : all.stream()
                        .filter(each -> each.run() == causes.get(0).in())
                        .findFirst()
                        .orElse(all.get(0))
                        .series();
        return new Ranking(
                series, causes, StrictMath.exp(none - highest) / whole, StrictMath.exp(other - highest) / whole, 1);
    }

    /** The same as one of so many that were searched. */
    Ranking among(int series) {
        return new Ranking(this.series, causes, noChange, notInTheLog, series);
    }

    /** Whether it changed: of several that were searched the odds of no change count so many times. */
    boolean changed() {
        double odds = noChange * among;
        return odds / (odds + 1 - noChange) <= CHANGED;
    }

    /** Whether something written down explains it better than a cause that is not. */
    boolean isInTheLog() {
        return !causes.isEmpty() && causes.get(0).chance() > notInTheLog;
    }

    Cause first() {
        return causes.get(0);
    }

    /** The first cause with all that happened less than three pulls from it; their places alone cannot tell them apart. */
    List<Cause> group() {
        Cause first = first();
        return causes.stream()
                .filter(each -> each == first
                        || first.suspect().hasPlace()
                                && each.suspect().hasPlace()
                                && each.in() == first.in()
                                && Math.abs(each.suspect().first()
                                                - first.suspect().first())
                                        < CLOSE)
                .toList();
    }

    double groupChance() {
        return group().stream().mapToDouble(Cause::chance).sum();
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
        if (series.isNumber() && n >= 4) {
            List<Integer> changes = changes();
            end = changes.size() > 1 && changes.get(1) >= 4 ? changes.get(1) : n;
            posterior = ChangePoints.posterior(Arrays.copyOf(values, end));
        } else {
            posterior = posteriorOfEvidence();
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

    /** How many values stand before each change of a series of numbers. */
    List<Integer> changes() {
        double[] values = series.values();
        int n = values.length;
        double sigma = Individuals.of(values).readInStepsOf(series.step()).sigma();
        return ChangePoints.pelt(values, sigma, 2 * StrictMath.log(n), Math.min(SHORTEST, n / 2));
    }

    private double[] posteriorOfEvidence() {
        double[] posterior = new double[series.size() - 1];
        double most = Double.NEGATIVE_INFINITY;
        for (int k = 1; k < series.size(); k++) {
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
        return posterior;
    }
}
