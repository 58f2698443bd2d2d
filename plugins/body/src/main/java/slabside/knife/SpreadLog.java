package slabside.knife;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import slabside.body.Response;
import slabside.plugin.StudioView;

/** What the log tells of spreads, with what was in each ink at that time. */
final class SpreadLog {
    /** Standard deviation of one reading, in ln: ruler and filling, by the same hand; an assumption. */
    static final double SCATTER = 0.05;
    /** From so many repeated readings on, their own scatter is taken. */
    private static final int ENOUGH = 5;

    private static final double LEAST_SCATTER = 0.02;
    private static final double MOST_SCATTER = 0.3;
    /** Middle of the absolute values of a normal distribution of standard deviation 1. */
    private static final double NORMAL_MIDDLE = 0.6745;

    /** Shares of the rest, in per cent, that may differ and still be the same ink. */
    private static final double SAME = 1;
    /** Shares of a modifier that tell something, and of all else that are as they were; per cent. */
    private static final double APART = 0.1;

    private final Map<String, List<At>> byVessel = new LinkedHashMap<>();

    /**
     * @param log of the stiffness at 20 °C
     * @param celsius of the glass, where it was read
     */
    record At(StudioView.Composition in, double log, OptionalDouble celsius) {}

    /**
     * @param asked inks that are looked at; of others only those that were read more than once
     */
    SpreadLog(List<SpreadRead> read, List<String> asked, Warmth warmth, StudioView studio) {
        Map<String, Long> times =
                read.stream().collect(Collectors.groupingBy(SpreadRead::vessel, Collectors.counting()));
        for (SpreadRead each : read) {
            // What an ink held then is only looked up where it can tell something.
            if (!asked.contains(each.vessel()) && times.getOrDefault(each.vessel(), 0L) < 2) {
                continue;
            }
            byVessel.computeIfAbsent(each.vessel(), any -> new ArrayList<>())
                    .add(new At(
                            studio.compositionAfter(each.vessel(), each.event()), each.log(warmth), each.celsius()));
        }
    }

    List<At> of(String vessel) {
        return byVessel.getOrDefault(vessel, List.of());
    }

    /** How many °C lie between the coldest and the warmest newest reading of some inks. */
    double apart(List<String> vessels) {
        double[] newest = vessels.stream()
                .filter(byVessel::containsKey)
                .flatMapToDouble(vessel -> of(vessel).get(0).celsius().stream())
                .toArray();
        return newest.length < 2
                ? 0
                : Arrays.stream(newest).max().orElse(0)
                        - Arrays.stream(newest).min().orElse(0);
    }

    boolean isMixedWarmth(List<String> vessels) {
        List<At> all = vessels.stream().flatMap(vessel -> of(vessel).stream()).toList();
        return all.stream().anyMatch(at -> at.celsius().isEmpty());
    }

    /** Whether all but the modifiers stand in the same proportions. */
    static boolean isSame(
            StudioView.Composition one, StudioView.Composition other, List<StudioView.Material> modifiers) {
        return isWithin(rest(one, modifiers), rest(other, modifiers), SAME);
    }

    private static boolean isWithin(Map<String, Double> one, Map<String, Double> other, double apart) {
        return !one.isEmpty()
                && one.keySet().equals(other.keySet())
                && one.entrySet().stream()
                        .allMatch(each -> Math.abs(each.getValue() - other.getOrDefault(each.getKey(), 0.0)) <= apart);
    }

    /** Per cent of what is none of the modifiers. */
    private static Map<String, Double> rest(StudioView.Composition in, List<StudioView.Material> modifiers) {
        Map<String, Double> rest = new LinkedHashMap<>();
        for (StudioView.Share share : in.shares()) {
            if (modifiers.stream()
                    .noneMatch(each -> each.id().equals(share.material().id()))) {
                rest.merge(share.material().id(), share.share().value() * 100, Double::sum);
            }
        }
        double sum = rest.values().stream().mapToDouble(each -> each).sum();
        rest.replaceAll((id, share) -> 100 * share / sum);
        return rest;
    }

    /**
     * As inks that did not change were read more than once, one reading after the other; by the middle of the differences, so that
     * a slip of the pen does not count.
     */
    double scatter() {
        List<Double> differences = new ArrayList<>();
        for (List<At> each : byVessel.values()) {
            for (int i = 1; i < each.size(); i++) {
                if (isUnchanged(each.get(i - 1).in(), each.get(i).in())) {
                    differences.add(Math.abs(each.get(i - 1).log() - each.get(i).log()));
                }
            }
        }
        if (differences.size() < ENOUGH) {
            return SCATTER;
        }
        differences.sort(null);
        double middle = differences.get(differences.size() / 2);
        return Math.min(MOST_SCATTER, Math.max(LEAST_SCATTER, middle / (NORMAL_MIDDLE * StrictMath.sqrt(2))));
    }

    private static boolean isUnchanged(StudioView.Composition one, StudioView.Composition other) {
        return isWithin(rest(one, List.of()), rest(other, List.of()), APART / 2);
    }

    /**
     * What a modifier does, as other inks of the studio tell it: each by its readings at several shares, all else being as it was.
     */
    Response response(StudioView.Material modifier, List<String> but, double scatter) {
        Modifiers.Usual usual = Modifiers.usual(modifier).orElseThrow();
        List<Response.Tried> tried = new ArrayList<>();
        for (Map.Entry<String, List<At>> each : byVessel.entrySet()) {
            List<At> known = each.getValue().stream()
                    .filter(at -> !at.in().shares().isEmpty())
                    .toList();
            if (but.contains(each.getKey()) || known.isEmpty()) {
                continue;
            }
            Map<String, Double> newest = rest(known.get(0).in(), List.of(modifier));
            List<At> same = known.stream()
                    .filter(at -> isWithin(rest(at.in(), List.of(modifier)), newest, APART))
                    .toList();
            double[] shares = same.stream()
                    .mapToDouble(at -> SameBody.percent(at.in(), modifier))
                    .toArray();
            double low = Arrays.stream(shares).min().orElse(0);
            double high = Arrays.stream(shares).max().orElse(0);
            if (high - low >= APART) {
                tried.add(Response.tried(
                        shares, same.stream().mapToDouble(At::log).toArray(), scatter));
            }
        }
        return Response.before(usual.stiffens(), usual.unsure()).after(tried);
    }
}
