package slabside.audit;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import slabside.statistics.ShiftEvidence;

/**
 * Something that was written down and could have changed a run.
 *
 * @param first number of the first pull after it; 1 for what has no place of its own
 * @param label in words
 * @param events that it stands for, the telling one first
 * @param shape of its effect by number of the pull, 0 before it; empty for a step
 * @param facts for the reader, such as shares before and after
 * @param before the ink that was on the slab before, for one that brought another; else an empty text
 * @param brought the ink that it brought; else an empty text
 */
record Suspect(
        Causes.Kind kind,
        int first,
        String label,
        List<String> events,
        Map<Integer, Double> shape,
        List<String> facts,
        String before,
        String brought) {
    /** A change that stays, from the first pull after it on. */
    static Suspect step(Causes.Kind kind, int first, String label, String event) {
        return new Suspect(kind, first, label, List.of(event), Map.of(), List.of(), "", "");
    }

    /** Something whose effect has a course of its own. */
    static Suspect course(
            Causes.Kind kind,
            int first,
            String label,
            List<String> events,
            Map<Integer, Double> shape,
            List<String> facts) {
        return new Suspect(kind, first, label, events, scaled(shape), facts, "", "");
    }

    Suspect ofInks(String was, String is) {
        return new Suspect(kind, first, label, events, shape, facts, was, is);
    }

    /** Whether it happened at a moment, so that its place can speak for or against it. */
    boolean hasPlace() {
        return first > 1;
    }

    /** With 1 where it is farthest from 0. */
    private static Map<Integer, Double> scaled(Map<Integer, Double> shape) {
        double most = shape.values().stream().mapToDouble(Math::abs).max().orElse(0);
        Map<Integer, Double> scaled = new LinkedHashMap<>();
        shape.forEach((pull, value) -> scaled.put(pull, most > 0 ? value / most : 0));
        return scaled;
    }

    private double[] at(Series series) {
        double[] at = new double[series.size()];
        for (int i = 0; i < at.length; i++) {
            at[i] = shape.getOrDefault(series.pulls()[i], 0.0);
        }
        return at;
    }

    /** The effect that fits a series best where its shape is 1. */
    double effect(Series series) {
        return ShiftEvidence.of(series.values(), shape.isEmpty() ? series.step(series.before(first)) : at(series))
                .effect();
    }

    /** By how much the effect that fits best moves a series from its beginning to its end. */
    double over(Series series) {
        double[] at = at(series);
        return effect(series) * (at[at.length - 1] - at[0]);
    }

    /** Natural logarithm of the factor by which it explains a series better than no change, over its lags. */
    double evidence(Series series) {
        if (!shape.isEmpty()) {
            return series.evidence(at(series));
        }
        int behind = series.before(first);
        double[] logs = new double[kind.lags().length];
        for (int lag = 0; lag < logs.length; lag++) {
            logs[lag] = StrictMath.log(kind.lags()[lag] * logs.length) + series.evidence(series.step(behind + lag));
        }
        return ShiftEvidence.logMean(logs);
    }
}
