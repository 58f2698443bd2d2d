package slabside.audit;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.Function;
import slabside.plugin.StudioView;
import slabside.statistics.MarkEvidence;
import slabside.statistics.ShiftEvidence;

/**
 * One thing that was measured, judged or counted pull by pull.
 *
 * @param pulls numbers of the pulls, each once, in order
 * @param values at each; marks are −1, 0 and 1, counts 0 and 1
 */
record Series(String name, Kind kind, int[] pulls, double[] values) {
    /** How a series is weighed. */
    enum Kind {
        /** Read off an instrument or a ruler. */
        MEASURED,
        PASSES,
        /** Judged in words. */
        MARKS,
        /** Either or. */
        COUNTED
    }

    /** Effects of a cause, in standard deviations of a print: an assumption. */
    private static final double TAU = 2;
    /** From so many standard deviations on a printer sees a difference beside the OK proof: an assumption. */
    private static final double SEEN = 1.5;
    /** Beta prior of the chance of a flaw: one in ten, as if ten pulls had shown it. An assumption. */
    private static final double FLAWS = 1;

    private static final double SOUND = 9;
    private static final int FEWEST_MEASURED = 6;
    private static final int FEWEST_MARKS = 4;

    int size() {
        return pulls.length;
    }

    /** Everything that can be followed through a run; what never changes and what is too short is left out. */
    static List<Series> of(StudioView.RunRecord run) {
        List<Series> all = new ArrayList<>();
        Set<String> quantities = new LinkedHashSet<>();
        run.pulls().forEach(pull -> quantities.addAll(new TreeMap<>(pull.readings()).keySet()));
        for (String quantity : quantities) {
            add(all, quantity, Kind.MEASURED, run, pull -> pull.readings().get(quantity));
        }
        add(
                all,
                "passes",
                Kind.PASSES,
                run,
                pull -> pull.passes().isPresent() ? (double) pull.passes().getAsInt() : null);
        add(all, "beside the OK proof", Kind.MARKS, run, pull -> MARKS.get(pull.match()));
        add(all, "open areas", Kind.MARKS, run, pull -> MARKS.get(pull.margin()));
        add(all, "spoiled", Kind.COUNTED, run, pull -> pull.grade().equals("spoiled") ? 1.0 : 0.0);
        Set<String> faults = new LinkedHashSet<>();
        run.pulls().forEach(pull -> faults.addAll(pull.faults()));
        for (String fault : faults) {
            add(all, fault, Kind.COUNTED, run, pull -> pull.faults().contains(fault) ? 1.0 : 0.0);
        }
        return all;
    }

    private static final Map<String, Double> MARKS =
            Map.of("lighter", -1.0, "match", 0.0, "darker", 1.0, "clean", 0.0, "tint", 1.0, "filling", 1.0);

    private static void add(
            List<Series> all,
            String name,
            Kind kind,
            StudioView.RunRecord run,
            Function<StudioView.PullRow, @org.jspecify.annotations.Nullable Double> read) {
        Map<Integer, Double> values = new TreeMap<>();
        for (StudioView.PullRow pull : run.pulls()) {
            Double value = read.apply(pull);
            if (value != null) {
                values.put(pull.number(), value);
            }
        }
        boolean changes = values.values().stream().distinct().count() > 1;
        int fewest = kind == Kind.MARKS ? FEWEST_MARKS : FEWEST_MEASURED;
        if (changes && values.size() >= fewest) {
            all.add(new Series(
                    name,
                    kind,
                    values.keySet().stream().mapToInt(each -> each).toArray(),
                    values.values().stream().mapToDouble(each -> each).toArray()));
        }
    }

    /** How many of its values stand before a pull. */
    int before(int pull) {
        int count = 0;
        while (count < pulls.length && pulls[count] < pull) {
            count++;
        }
        return count;
    }

    /** Natural logarithm of the factor by which an effect of a shape explains this series better than no change. */
    double evidence(double[] shape) {
        return switch (kind) {
            case MEASURED, PASSES -> ShiftEvidence.of(values, shape).logUnknownSigma(TAU, step());
            case MARKS -> {
                int[] marks = new int[values.length];
                for (int i = 0; i < marks.length; i++) {
                    marks[i] = (int) values[i];
                }
                yield MarkEvidence.ofMarks(marks, shape, SEEN, TAU);
            }
            case COUNTED -> counted(shape);
        };
    }

    /** The least difference of two values: how finely it was read. */
    double step() {
        double[] sorted = values.clone();
        Arrays.sort(sorted);
        double least = Double.POSITIVE_INFINITY;
        for (int i = 1; i < sorted.length; i++) {
            double difference = sorted[i] - sorted[i - 1];
            least = difference > 1e-9 ? Math.min(least, difference) : least;
        }
        return Double.isFinite(least) ? least : 0;
    }

    private double counted(double[] shape) {
        int k1 = 0;
        int n1 = 0;
        int k2 = 0;
        int n2 = 0;
        for (int i = 0; i < values.length; i++) {
            if (shape[i] > 0) {
                n2++;
                k2 += (int) values[i];
            } else {
                n1++;
                k1 += (int) values[i];
            }
        }
        return n1 == 0 || n2 == 0 ? 0 : MarkEvidence.ofCounts(k1, n1, k2, n2, FLAWS, SOUND);
    }

    /** A step behind so many values. */
    double[] step(int behind) {
        double[] shape = new double[values.length];
        for (int i = Math.max(0, behind); i < shape.length; i++) {
            shape[i] = 1;
        }
        return shape;
    }

    double mean(int from, int to) {
        double sum = 0;
        for (int i = from; i < to; i++) {
            sum += values[i];
        }
        return to > from ? sum / (to - from) : Double.NaN;
    }
}
