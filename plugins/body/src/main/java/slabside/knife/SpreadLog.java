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
    /** Shares of the rest, in per cent, that may differ and still be the same ink. */
    private static final double SAME = 1;
    /** Shares of a modifier that tell something, per cent. */
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
        Map<String, Double> a = rest(one, modifiers);
        Map<String, Double> b = rest(other, modifiers);
        return !a.isEmpty()
                && a.keySet().equals(b.keySet())
                && a.entrySet().stream()
                        .allMatch(each -> Math.abs(each.getValue() - b.getOrDefault(each.getKey(), 0.0)) <= SAME);
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

    /** As inks that did not change were read more than once. */
    double scatter() {
        double squares = 0;
        int freedom = 0;
        for (List<At> each : byVessel.values()) {
            List<List<At>> alike = new ArrayList<>();
            for (At at : each) {
                alike.stream()
                        .filter(group ->
                                group.get(0).in().shares().equals(at.in().shares()))
                        .findFirst()
                        .orElseGet(() -> {
                            List<At> group = new ArrayList<>();
                            alike.add(group);
                            return group;
                        })
                        .add(at);
            }
            for (List<At> group : alike) {
                double mean = group.stream().mapToDouble(At::log).average().orElse(0);
                squares += group.stream()
                        .mapToDouble(at -> (at.log() - mean) * (at.log() - mean))
                        .sum();
                freedom += group.size() - 1;
            }
        }
        return freedom < ENOUGH ? SCATTER : Math.max(LEAST_SCATTER, StrictMath.sqrt(squares / freedom));
    }

    /** What a modifier does, as other inks of the studio tell it. */
    Response response(
            StudioView.Material modifier, List<StudioView.Material> modifiers, List<String> but, double scatter) {
        Modifiers.Usual usual = Modifiers.usual(modifier).orElseThrow();
        List<Response.Tried> tried = new ArrayList<>();
        for (Map.Entry<String, List<At>> each : byVessel.entrySet()) {
            At newest = each.getValue().get(0);
            if (but.contains(each.getKey()) || newest.in().shares().isEmpty()) {
                continue;
            }
            List<At> same = each.getValue().stream()
                    .filter(at -> isSame(at.in(), newest.in(), List.of(modifier)))
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
