package slabside.audit;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import slabside.plugin.StudioView;
import slabside.statistics.ShiftEvidence;

/**
 * Something that was written down and could have changed a run.
 *
 * @param first number of the first pull after it
 * @param label in words
 * @param events that it stands for
 * @param shape of its effect by number of the pull, 0 before it; empty for a step
 * @param facts for the reader, such as shares before and after
 */
record Suspect(
        Causes.Kind kind,
        int first,
        String label,
        List<String> events,
        Map<Integer, Double> shape,
        List<String> facts) {
    /** A share must change by this part of itself, and by this much of the whole, to count. */
    private static final double CHANGED = 0.2;

    private static final double OF_THE_WHOLE = 0.002;
    /** So many pulls after a set-up or reset may be uneven: common practice, no source. */
    private static final int UNEVEN = 3;

    /** A load this much above the highest of the opening is over-charged: an assumption. */
    private static final double OVER = 1.03;

    /** Every suspect of a run, in order of their first pulls. */
    static List<Suspect> of(StudioView.RunRecord run) {
        List<Suspect> suspects = new ArrayList<>();
        otherInks(run, suspects);
        overCharged(run, suspects);
        withoutEvent(run, suspects);
        Set<String> explained = new LinkedHashSet<>();
        suspects.forEach(suspect -> explained.addAll(suspect.events));
        for (StudioView.Happening happening : run.happenings()) {
            if (happening.before() > 1 && !explained.contains(happening.event())) {
                Causes.of(happening.type())
                        .ifPresent(kind -> suspects.add(new Suspect(
                                kind,
                                happening.before(),
                                happening.text(),
                                List.of(happening.event()),
                                Map.of(),
                                List.of())));
            }
        }
        suspects.sort(java.util.Comparator.comparingInt(Suspect::first));
        return together(suspects);
    }

    /** What needs nobody to do anything: an uneven beginning, and what grows pull by pull until slab and roller are set back. */
    private static void withoutEvent(StudioView.RunRecord run, List<Suspect> suspects) {
        Set<Integer> resets = new LinkedHashSet<>(Set.of(1));
        run.happenings().stream()
                .filter(each -> Causes.RESETS.contains(each.type()))
                .forEach(each -> resets.add(each.before()));
        Map<Integer, Double> beginning = new LinkedHashMap<>();
        Map<Integer, Double> drift = new LinkedHashMap<>();
        int since = 0;
        for (StudioView.PullRow pull : run.pulls()) {
            since = resets.contains(pull.number()) ? 0 : since + 1;
            beginning.put(pull.number(), since < UNEVEN ? 1.0 : 0.0);
            drift.put(pull.number(), (double) since);
        }
        Causes.Kind first = Causes.of(Causes.BEGINNING).orElseThrow();
        Causes.Kind grows = Causes.of(Causes.DRIFT).orElseThrow();
        suspects.add(new Suspect(first, 1, first.called(), List.of(), beginning, List.of()));
        suspects.add(new Suspect(grows, 1, grows.called(), List.of(), scaled(drift), List.of()));
    }

    /** Steps before the same pull cannot be told apart: they are one suspect. */
    private static List<Suspect> together(List<Suspect> suspects) {
        Map<String, Suspect> joined = new LinkedHashMap<>();
        for (Suspect each : suspects) {
            String key = each.shape.isEmpty() ? "step " + each.first : each.kind.type() + each.first + each.label;
            joined.merge(key, each, (one, other) -> {
                List<String> events = new ArrayList<>(one.events);
                events.addAll(other.events);
                return new Suspect(
                        one.kind.weight() >= other.kind.weight() ? one.kind : other.kind,
                        one.first,
                        one.label + "; " + other.label,
                        events,
                        Map.of(),
                        one.facts);
            });
        }
        return List.copyOf(joined.values());
    }

    /** A mix that came onto the load in the middle and changed what is on it; its share there is the shape. */
    private static void otherInks(StudioView.RunRecord run, List<Suspect> suspects) {
        // A charge does not say onto which of several loads it went.
        if (run.pulls().stream().anyMatch(pull -> pull.loads().size() > 1)) {
            return;
        }
        Set<String> seen = new LinkedHashSet<>();
        String first = run.happenings().stream()
                .filter(each -> each.type().equals("ink.charged"))
                .map(StudioView.Happening::from)
                .findFirst()
                .orElse("");
        seen.add(first);
        for (StudioView.Happening charge : run.happenings()) {
            if (!charge.type().equals("ink.charged") || charge.before() <= 1 || !seen.add(charge.from())) {
                continue;
            }
            Map<Integer, Map<String, Double>> shares = new LinkedHashMap<>();
            run.pulls().stream()
                    .filter(pull -> !pull.loads().isEmpty())
                    .forEach(pull ->
                            shares.put(pull.number(), pull.loads().get(0).shares()));
            Map<String, Double> old = shares.getOrDefault(charge.before() - 1, Map.of());
            String most = "";
            double farthest = 0;
            Map<String, Double> end = shares.values().stream().reduce(Map.of(), (a, b) -> b);
            Set<String> materials = new LinkedHashSet<>(old.keySet());
            materials.addAll(end.keySet());
            for (String material : materials) {
                double was = old.getOrDefault(material, 0.0);
                double is = end.getOrDefault(material, 0.0);
                double part = Math.abs(is - was) / Math.max(Math.max(was, is), 1e-9);
                if (Math.abs(is - was) > OF_THE_WHOLE && part > CHANGED && part > farthest) {
                    farthest = part;
                    most = material;
                }
            }
            if (most.isEmpty()) {
                continue;
            }
            String material = most;
            double was = old.getOrDefault(material, 0.0);
            Map<Integer, Double> shape = new LinkedHashMap<>();
            shares.forEach((pull, on) ->
                    shape.put(pull, pull < charge.before() ? 0 : Math.abs(on.getOrDefault(material, 0.0) - was)));
            suspects.add(new Suspect(
                    Causes.of(Causes.OTHER_INK).orElseThrow(),
                    charge.before(),
                    charge.from() + " came onto the slab",
                    charges(run, charge.from()),
                    scaled(shape),
                    List.of(String.format(
                            Locale.ROOT,
                            "%s on the load: %.2f %% at pull %d, %.2f %% at pull %d, %.2f %% at the end",
                            material,
                            was * 100,
                            charge.before() - 1,
                            shares.getOrDefault(charge.before(), Map.of()).getOrDefault(material, 0.0) * 100,
                            charge.before(),
                            end.getOrDefault(material, 0.0) * 100))));
        }
    }

    private static List<String> charges(StudioView.RunRecord run, String mix) {
        return run.happenings().stream()
                .filter(each -> each.type().equals("ink.charged") && each.from().equals(mix))
                .map(StudioView.Happening::event)
                .toList();
    }

    /** The load after each charge, above what it was in the first half of the charges. */
    private static void overCharged(StudioView.RunRecord run, List<Suspect> suspects) {
        List<Integer> charged = run.happenings().stream()
                .filter(each -> each.type().equals("ink.charged") && each.before() > 1)
                .map(StudioView.Happening::before)
                .distinct()
                .toList();
        if (charged.size() < 3) {
            return;
        }
        Map<Integer, Double> loads = new LinkedHashMap<>();
        run.pulls()
                .forEach(pull -> loads.put(
                        pull.number(),
                        pull.loads().stream()
                                .mapToDouble(StudioView.OnLoad::grams)
                                .sum()));
        int opening = charged.size() / 2;
        double highest = loads.getOrDefault(1, 0.0);
        double sum = highest;
        for (int i = 0; i < opening; i++) {
            double level = loads.getOrDefault(charged.get(i), 0.0);
            highest = Math.max(highest, level);
            sum += level;
        }
        double usual = sum / (opening + 1);
        int first = 0;
        double level = 0;
        Map<Integer, Double> shape = new LinkedHashMap<>();
        for (int pull : loads.keySet()) {
            if (charged.contains(pull)) {
                level = loads.getOrDefault(pull, 0.0);
                first = first == 0 && charged.indexOf(pull) >= opening && level > highest * OVER ? pull : first;
            }
            shape.put(pull, first == 0 ? 0 : Math.max(0, level - usual));
        }
        if (first == 0) {
            return;
        }
        double last = level;
        int from = first;
        suspects.add(new Suspect(
                Causes.of(Causes.OVER_CHARGED).orElseThrow(),
                first,
                "more was charged than goes out, from pull " + first + " on",
                run.happenings().stream()
                        .filter(each -> each.type().equals("ink.charged") && each.before() >= from)
                        .map(StudioView.Happening::event)
                        .toList(),
                scaled(shape),
                List.of(String.format(
                        Locale.ROOT,
                        "the load after a charge: %.1f g as a rule in the opening, %.1f g at pull %d, %.1f g after the last",
                        usual,
                        loads.getOrDefault(first, 0.0),
                        first,
                        last))));
    }

    /** With 1 where it is largest. */
    private static Map<Integer, Double> scaled(Map<Integer, Double> shape) {
        double most = shape.values().stream().mapToDouble(each -> each).max().orElse(0);
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

    /** Natural logarithm of the factor by which it explains a series better than no change, over its lags. */
    double evidence(Series series) {
        if (!shape.isEmpty()) {
            return series.evidence(at(series));
        }
        int behind = series.before(first);
        double most = Double.NEGATIVE_INFINITY;
        double[] logs = new double[kind.lags().length];
        for (int lag = 0; lag < logs.length; lag++) {
            logs[lag] = StrictMath.log(kind.lags()[lag]) + series.evidence(series.step(behind + lag));
            most = Math.max(most, logs[lag]);
        }
        double sum = 0;
        for (double log : logs) {
            sum += StrictMath.exp(log - most);
        }
        return most + StrictMath.log(sum);
    }
}
