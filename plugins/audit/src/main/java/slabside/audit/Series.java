package slabside.audit;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.Function;
import slabside.plugin.StudioView;
import slabside.statistics.Individuals;
import slabside.statistics.MarkEvidence;
import slabside.statistics.ShiftEvidence;

/**
 * One thing that was measured, judged or counted pull by pull.
 *
 * @param pulls numbers of the pulls, each once, in order
 * @param values at each; marks are −1, 0 and 1, counts 0 and 1
 * @param approved whether each pull was found good at the press
 * @param standard what was read of the OK proof
 */
record Series(String name, Kind kind, int[] pulls, double[] values, boolean[] approved, OptionalDouble standard) {
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

    static final String FED = "fed, g a pull";
    static final String OPEN_AREAS = "open areas";
    static final String LOOKED_THROUGH = "at looking through: ";
    static final String NOT_GOOD = "not good at looking through";

    /** Effects of a cause, in standard deviations of a print: an assumption. */
    private static final double TAU = 2;
    /** From so many standard deviations on a printer sees a difference beside the OK proof: an assumption. */
    static final double SEEN = 1.5;
    /** Beta prior of the chance of a flaw: one in ten, as if ten pulls had shown it. An assumption. */
    private static final double FLAWS = 1;

    private static final double SOUND = 9;
    /** As if passes were counted so coarsely that one more or fewer stays within the band: assumption. */
    private static final double ONE_PASS = 1.5;

    private static final int MOST_LEVELS = 12;
    private static final int FEWEST_MEASURED = 6;
    private static final int FEWEST_MARKS = 4;
    /** What was found of a single sheet says nothing of the run. */
    private static final int FEWEST_COUNTED = 2;

    int size() {
        return pulls.length;
    }

    /** Everything that can be followed through a run; what never changes, what is too short and what was found only once is left out. */
    static List<Series> of(StudioView.RunRecord run) {
        List<Series> all = new ArrayList<>();
        Set<String> quantities = new LinkedHashSet<>();
        run.pulls().forEach(pull -> quantities.addAll(new TreeMap<>(pull.readings()).keySet()));
        for (String quantity : quantities) {
            add(all, quantity, Kind.MEASURED, run, pull -> pull.readings().get(quantity));
        }
        int loads =
                run.pulls().stream().mapToInt(pull -> pull.loads().size()).max().orElse(0);
        for (int load = 0; load < Math.max(1, loads); load++) {
            Map<Integer, Double> fed = fed(run, load);
            String name = FED + (loads > 1 ? ", ink " + (load + 1) + " of the roller" : "");
            add(all, name, Kind.MEASURED, run, pull -> fed.get(pull.number()));
        }
        add(
                all,
                "passes",
                Kind.PASSES,
                run,
                pull -> pull.passes().isPresent() ? (double) pull.passes().getAsInt() : null);
        add(all, "beside the OK proof", Kind.MARKS, run, pull -> MARKS.get(pull.match()));
        add(all, OPEN_AREAS, Kind.MARKS, run, pull -> MARKS.get(pull.margin()));
        add(all, "spoiled", Kind.COUNTED, run, pull -> pull.grade().equals("spoiled") ? 1.0 : 0.0);
        if (run.pulls().stream().anyMatch(pull -> pull.grade().equals("query"))) {
            add(all, "query or spoiled", Kind.COUNTED, run, pull -> pull.grade().equals("good") ? 0.0 : 1.0);
        }
        Set<String> faults = new LinkedHashSet<>();
        run.pulls().forEach(pull -> faults.addAll(pull.faults()));
        for (String fault : faults) {
            add(all, fault, Kind.COUNTED, run, pull -> pull.faults().contains(fault) ? 1.0 : 0.0);
        }
        return all;
    }

    /** What was found when the sheets were looked through, in the order in which this run printed them. */
    static List<Series> lookedThrough(StudioView.RunRecord run) {
        List<Series> all = new ArrayList<>();
        add(
                all,
                NOT_GOOD,
                Kind.COUNTED,
                run,
                pull -> pull.looked()
                        .map(looked -> looked.grade().equals("good") ? 0.0 : 1.0)
                        .orElse(null));
        Set<String> reasons = new LinkedHashSet<>();
        run.pulls().forEach(pull -> pull.looked().ifPresent(looked -> reasons.addAll(looked.reasons())));
        for (String reason : reasons) {
            add(
                    all,
                    LOOKED_THROUGH + reason,
                    Kind.COUNTED,
                    run,
                    pull -> pull.looked()
                            .map(looked -> looked.reasons().contains(reason) ? 1.0 : 0.0)
                            .orElse(null));
        }
        return all;
    }

    /**
     * Grams a pull from each charge to the next, at the first pull after it. What filled an empty slab and the last charge, which
     * nobody followed to its end, are left out.
     */
    private static Map<Integer, Double> fed(StudioView.RunRecord run, int load) {
        TreeMap<Integer, Double> charges = new TreeMap<>();
        run.happenings().stream()
                .filter(each -> each.type().equals("ink.charged")
                        && each.before() > 0
                        && (each.load() == load || each.load() < 0 && load == 0))
                .forEach(each ->
                        charges.merge(each.before(), each.numbers().getOrDefault("g", Double.NaN), Double::sum));
        Set<Integer> filled = Suspects.resets(run).keySet();
        Map<Integer, Double> fed = new TreeMap<>();
        charges.forEach((place, grams) -> {
            Integer next = charges.higherKey(place);
            if (next != null && !filled.contains(place) && Double.isFinite(grams)) {
                fed.put(place, grams / (next - place));
            }
        });
        return fed;
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
        Map<Integer, Boolean> approved = new TreeMap<>();
        for (StudioView.PullRow pull : run.pulls()) {
            Double value = read.apply(pull);
            if (value != null) {
                values.put(pull.number(), value);
                approved.put(pull.number(), pull.grade().equals("good"));
            }
        }
        boolean changes = values.values().stream().distinct().count() > 1;
        int fewest = kind == Kind.MARKS ? FEWEST_MARKS : FEWEST_MEASURED;
        boolean once = kind == Kind.COUNTED
                && values.values().stream().filter(value -> value > 0).count() < FEWEST_COUNTED;
        if (changes && !once && values.size() >= fewest) {
            boolean[] good = new boolean[values.size()];
            int i = 0;
            for (boolean each : approved.values()) {
                good[i++] = each;
            }
            Double standard = run.standard().get(name);
            all.add(new Series(
                    name,
                    kind,
                    values.keySet().stream().mapToInt(each -> each).toArray(),
                    values.values().stream().mapToDouble(each -> each).toArray(),
                    good,
                    standard == null ? OptionalDouble.empty() : OptionalDouble.of(standard)));
        }
    }

    /** Whether it shows on the print; what was fed does not. */
    boolean shows() {
        return !name.startsWith(FED);
    }

    /** Whether it is a number that may be averaged. */
    boolean isNumber() {
        return kind == Kind.MEASURED || kind == Kind.PASSES;
    }

    /**
     * Within which values are as they should be: around what was read of the OK proof, else around the mean of the approved
     * opening, as wide as that was uneven. Empty for what is judged or counted, and when nothing approved opened the run.
     */
    Optional<Individuals> band() {
        if (!isNumber()) {
            return Optional.empty();
        }
        return Individuals.ofOpening(values, approved, kind == Kind.PASSES ? ONE_PASS : step())
                .map(limits -> standard.isPresent() ? limits.around(standard.getAsDouble()) : limits);
    }

    /** Numbers of the pulls for which something that is counted was so. */
    List<Integer> counted() {
        List<Integer> found = new ArrayList<>();
        for (int i = 0; i < values.length; i++) {
            if (values[i] > 0) {
                found.add(pulls[i]);
            }
        }
        return found;
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
        return Individuals.stepOf(values);
    }

    /**
     * A flaw begins above some strength of what makes it, and nobody knows at which: each strength that occurs is as likely, of
     * many that occur every so many.
     */
    private double counted(double[] shape) {
        double[] levels = Arrays.stream(shape)
                .map(Math::abs)
                .filter(each -> each > 0)
                .distinct()
                .sorted()
                .toArray();
        if (levels.length == 0) {
            return 0;
        }
        int every = (levels.length + MOST_LEVELS - 1) / MOST_LEVELS;
        List<Double> logs = new ArrayList<>();
        for (int i = 0; i < levels.length; i += every) {
            logs.add(counted(shape, levels[i]));
        }
        return ShiftEvidence.logMean(logs.stream().mapToDouble(each -> each).toArray());
    }

    private double counted(double[] shape, double from) {
        int k1 = 0;
        int n1 = 0;
        int k2 = 0;
        int n2 = 0;
        for (int i = 0; i < values.length; i++) {
            if (Math.abs(shape[i]) >= from) {
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
