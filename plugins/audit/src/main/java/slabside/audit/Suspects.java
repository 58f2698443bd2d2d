package slabside.audit;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.Function;
import java.util.stream.Stream;
import slabside.plugin.StudioView;

/** Everything that was written down of a run and could have changed it. */
final class Suspects {
    /** A share must change by this part of itself, and by this much of the whole, to count. */
    private static final double CHANGED = 0.2;

    private static final double OF_THE_WHOLE = 0.002;
    /** So many pulls after a set-up or reset may be uneven: common practice, no source. */
    static final int UNEVEN = 3;

    /** A load this much above the highest of the opening is over-charged: an assumption. */
    private static final double OVER = 1.03;

    /** A room that changed by less is not suspected: assumptions. */
    private static final Map<String, Double> ROOM = new TreeMap<>(Map.of("°C", 1.0, "%RH", 8.0));

    private final StudioView.RunRecord run;
    private final List<Suspect> found = new ArrayList<>();

    private Suspects(StudioView.RunRecord run) {
        this.run = run;
    }

    /** Every suspect of a run, in order of their first pulls. */
    static List<Suspect> of(StudioView.RunRecord run) {
        Suspects suspects = new Suspects(run);
        int loads =
                run.pulls().stream().mapToInt(pull -> pull.loads().size()).max().orElse(0);
        for (int load = 0; load < loads; load++) {
            suspects.otherInks(load);
        }
        suspects.overCharged();
        suspects.room();
        suspects.withoutEvent();
        suspects.steps();
        suspects.found.sort(Comparator.comparingInt(Suspect::first));
        return together(suspects.found);
    }

    private Stream<StudioView.Happening> charges() {
        return run.happenings().stream().filter(each -> each.type().equals("ink.charged"));
    }

    /** What is a step at one pull and not told already by one of the others. */
    private void steps() {
        Set<String> explained = new LinkedHashSet<>();
        found.stream().filter(Suspect::hasPlace).forEach(suspect -> explained.addAll(suspect.events()));
        for (StudioView.Happening happening : run.happenings()) {
            if (happening.before() > 1 && !explained.contains(happening.event())) {
                Causes.of(happening.type())
                        .ifPresent(kind ->
                                found.add(Suspect.step(kind, happening.before(), happening.text(), happening.event())));
            }
        }
    }

    /** Numbers of the pulls that are the first after a set-up or reset, with what set back slab and roller. */
    static Map<Integer, List<StudioView.Happening>> resets(StudioView.RunRecord run) {
        Map<Integer, List<StudioView.Happening>> resets = new TreeMap<>();
        resets.put(1, new ArrayList<>());
        run.happenings().stream()
                .filter(each -> each.before() > 0 && Causes.RESETS.contains(each.type()))
                .forEach(each -> resets.computeIfAbsent(each.before(), any -> new ArrayList<>())
                        .add(each));
        return resets;
    }

    /** What needs nobody to do anything: an uneven beginning, and what grows pull by pull until slab and roller are set back. */
    private void withoutEvent() {
        Map<Integer, List<StudioView.Happening>> resets = resets(run);
        Map<Integer, Double> beginning = new LinkedHashMap<>();
        Map<Integer, Double> drift = new LinkedHashMap<>();
        int since = 0;
        for (StudioView.PullRow pull : run.pulls()) {
            since = resets.containsKey(pull.number()) ? 0 : since + 1;
            beginning.put(pull.number(), since < UNEVEN ? 1.0 : 0.0);
            drift.put(pull.number(), (double) since);
        }
        List<String> events = resets.values().stream()
                .flatMap(List::stream)
                .map(StudioView.Happening::event)
                .toList();
        Causes.Kind first = Causes.known(Causes.BEGINNING);
        Causes.Kind grows = Causes.known(Causes.DRIFT);
        found.add(Suspect.course(first, 1, first.called(), events, beginning, List.of()));
        found.add(Suspect.course(grows, 1, grows.called(), events, drift, List.of()));
    }

    /** Warmth and damp of the room as they were read, straight between two readings. */
    private void room() {
        for (String unit : ROOM.keySet()) {
            TreeMap<Integer, Double> read = new TreeMap<>();
            List<String> events = new ArrayList<>();
            run.happenings().stream()
                    .filter(each -> each.numbers().containsKey(unit))
                    .forEach(each -> {
                        read.put(
                                each.before() == 0 ? run.pulls().size() + 1 : each.before(),
                                each.numbers().get(unit));
                        events.add(each.event());
                    });
            double low = read.values().stream().mapToDouble(each -> each).min().orElse(0);
            double high = read.values().stream().mapToDouble(each -> each).max().orElse(0);
            if (high - low < ROOM.getOrDefault(unit, 0.0)) {
                continue;
            }
            double start = read.firstEntry().getValue();
            Map<Integer, Double> course = new LinkedHashMap<>();
            run.pulls().forEach(pull -> course.put(pull.number(), between(read, pull.number()) - start));
            found.add(Suspect.course(
                    Causes.known(Causes.ROOM),
                    1,
                    String.format(Locale.ROOT, "the room moved between %.1f and %.1f %s", low, high, unit),
                    events,
                    course,
                    List.of(String.format(
                            Locale.ROOT,
                            "the room was read %d times, %.1f to %.1f %s",
                            read.size(),
                            low,
                            high,
                            unit))));
        }
    }

    private static double between(TreeMap<Integer, Double> read, int pull) {
        var below = read.floorEntry(pull);
        var above = read.ceilingEntry(pull);
        if (below == null || above == null) {
            return (below == null ? read.firstEntry() : read.lastEntry()).getValue();
        }
        double width = above.getKey() - below.getKey();
        double part = width > 0 ? (pull - below.getKey()) / width : 0;
        return below.getValue() + part * (above.getValue() - below.getValue());
    }

    /** Steps before the same pull cannot be told apart: they are one suspect. */
    private static List<Suspect> together(List<Suspect> suspects) {
        Map<String, Suspect> joined = new LinkedHashMap<>();
        for (Suspect each : suspects) {
            String key = each.shape().isEmpty()
                    ? "step " + each.first()
                    : each.kind().type() + each.first() + each.label();
            joined.merge(key, each, (one, other) -> {
                List<String> events = new ArrayList<>(one.events());
                events.addAll(other.events());
                return new Suspect(
                        one.kind().weight() >= other.kind().weight() ? one.kind() : other.kind(),
                        one.first(),
                        one.label() + "; " + other.label(),
                        events,
                        Map.of(),
                        one.facts(),
                        "",
                        "");
            });
        }
        return List.copyOf(joined.values());
    }

    /**
     * Ink that came onto a load in the middle and changed what is on it: another mix, or the same after something had been
     * added to it. The share that changed most is the shape of its effect.
     */
    private void otherInks(int load) {
        List<StudioView.Happening> charges = charges()
                .filter(each -> each.load() == load || each.load() < 0 && load == 0)
                .toList();
        Map<Integer, StudioView.OnLoad> on = new TreeMap<>();
        run.pulls().forEach(pull -> {
            if (pull.loads().size() > load) {
                on.put(pull.number(), pull.loads().get(load));
            }
        });
        Map<String, Long> charged = new LinkedHashMap<>();
        String was = "";
        for (StudioView.Happening charge : charges) {
            Long last = charged.put(charge.from(), charge.millis());
            boolean addedTo = last != null
                    && additions(charge.from(), last, charge.millis()).findAny().isPresent();
            boolean other = !charge.from().equals(was) || addedTo;
            if (charge.before() > 1 && other && on.containsKey(charge.before())) {
                otherInk(load, charge, was.isEmpty() ? charge.from() : was, addedTo, on);
            }
            was = charge.from();
        }
    }

    /** What was added to a mix between two moments. */
    private Stream<StudioView.Happening> additions(String mix, long after, long until) {
        return run.happenings().stream()
                .filter(each -> each.type().equals("ink.added")
                        && each.from().equals(mix)
                        && each.millis() > after
                        && each.millis() <= until);
    }

    /** Whose share differs most in any of those behind, as a part of itself. */
    private static String farthest(Map<String, Double> was, List<Map<String, Double>> behind) {
        String most = "";
        double farthest = 0;
        Set<String> all = new TreeSet<>(was.keySet());
        behind.forEach(is -> all.addAll(is.keySet()));
        for (String each : all) {
            double old = was.getOrDefault(each, 0.0);
            for (Map<String, Double> is : behind) {
                double now = is.getOrDefault(each, 0.0);
                double part = Math.abs(now - old) / Math.max(Math.max(old, now), 1e-9);
                if (Math.abs(now - old) > OF_THE_WHOLE && part > CHANGED && part > farthest) {
                    farthest = part;
                    most = each;
                }
            }
        }
        return most;
    }

    private void otherInk(
            int load, StudioView.Happening charge, String was, boolean addedTo, Map<Integer, StudioView.OnLoad> on) {
        int last = 0;
        StudioView.OnLoad old = null;
        StudioView.OnLoad then = on.get(charge.before());
        StudioView.OnLoad end = null;
        List<StudioView.OnLoad> after = new ArrayList<>();
        for (var each : on.entrySet()) {
            if (each.getKey() < charge.before()) {
                last = each.getKey();
                old = each.getValue();
            } else {
                after.add(each.getValue());
            }
            end = each.getValue();
        }
        if (old == null || then == null || end == null) {
            return;
        }
        // It may have been taken off again: it counts by where it was farthest from the ink before.
        StudioView.OnLoad ink = old;
        String material = farthest(
                old.shares(), after.stream().map(StudioView.OnLoad::shares).toList());
        boolean lot = material.isEmpty();
        Function<StudioView.OnLoad, Map<String, Double>> shares =
                lot ? StudioView.OnLoad::lots : StudioView.OnLoad::shares;
        String what = lot
                ? farthest(
                        old.lots(), after.stream().map(StudioView.OnLoad::lots).toList())
                : material;
        if (what.isEmpty()) {
            return;
        }
        boolean more = after.stream()
                        .mapToDouble(each -> shares.apply(each).getOrDefault(what, 0.0)
                                - shares.apply(ink).getOrDefault(what, 0.0))
                        .reduce(0, (a, b) -> Math.abs(b) > Math.abs(a) ? b : a)
                > 0;
        double before = shares.apply(old).getOrDefault(what, 0.0);
        Map<Integer, Double> course = new LinkedHashMap<>();
        on.forEach((pull, each) -> course.put(
                pull, pull < charge.before() ? 0 : Math.abs(shares.apply(each).getOrDefault(what, 0.0) - before)));
        List<String> events = new ArrayList<>();
        // What changed the mix tells more than that it was charged.
        run.happenings().stream()
                .filter(each -> each.type().equals("ink.added")
                        && each.from().equals(charge.from())
                        && Words.names(each.text(), what))
                .max(Comparator.comparingDouble(each -> each.numbers().getOrDefault("g", 0.0)))
                .ifPresent(each -> events.add(each.event()));
        charges()
                .filter(each -> each.from().equals(charge.from()) && each.millis() >= charge.millis())
                .map(StudioView.Happening::event)
                .forEach(events::add);
        String where = on(load);
        String label = charge.from()
                + (addedTo ? ", to which something had been added," : "")
                + " came onto the slab"
                + where
                + (lot
                        ? ", with ink of " + what + " in it"
                        : more ? ", with more " + what + " in it" : ", with less " + what + " in it");
        found.add(Suspect.course(
                        Causes.known(lot ? Causes.OTHER_LOT : Causes.OTHER_INK),
                        charge.before(),
                        label,
                        events,
                        course,
                        List.of(String.format(
                                Locale.ROOT,
                                "%s on the load%s: %.2f %% at pull %d, %.2f %% at pull %d, %.2f %% at the end",
                                what,
                                where,
                                before * 100,
                                last,
                                shares.apply(then).getOrDefault(what, 0.0) * 100,
                                charge.before(),
                                shares.apply(end).getOrDefault(what, 0.0) * 100)))
                .ofInks(was, charge.from()));
    }

    private String on(int load) {
        boolean several = run.pulls().stream().anyMatch(pull -> pull.loads().size() > 1);
        return several ? ", ink " + (load + 1) + " of the roller" : "";
    }

    /** The load after each charge, above what it was in the first half of the charges. */
    private void overCharged() {
        List<Integer> charged = charges()
                .filter(each -> each.before() > 1)
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
        Map<Integer, Double> course = new LinkedHashMap<>();
        for (int pull : loads.keySet()) {
            if (charged.contains(pull)) {
                level = loads.getOrDefault(pull, 0.0);
                first = first == 0 && charged.indexOf(pull) >= opening && level > highest * OVER ? pull : first;
            }
            course.put(pull, first == 0 ? 0 : Math.max(0, level - usual));
        }
        if (first == 0) {
            return;
        }
        int from = first;
        found.add(Suspect.course(
                Causes.known(Causes.OVER_CHARGED),
                first,
                "more was charged than goes out, from pull " + first + " on",
                charges()
                        .filter(each -> each.before() >= from)
                        .map(StudioView.Happening::event)
                        .toList(),
                course,
                List.of(String.format(
                        Locale.ROOT,
                        "the load after a charge: %.1f g as a rule in the opening, %.1f g at pull %d, %.1f g after the last",
                        usual,
                        loads.getOrDefault(first, 0.0),
                        first,
                        level))));
    }
}
