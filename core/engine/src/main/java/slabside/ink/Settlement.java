package slabside.ink;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import slabside.event.EventId;
import slabside.event.ThingId;
import slabside.measure.Amount;
import slabside.measure.Uncertain;
import slabside.statistics.Propagated;
import slabside.statistics.Readings;

/**
 * Finds the grams of every move: those read off a scale directly, the scale of parts, amounts not written down and the
 * grams of a pull from the balance of a vessel that was weighed afterwards. A weighing that was not needed for this is kept
 * as a check.
 */
final class Settlement {
    /** A weighing that must agree with the moves before it: {@code residual} is zero but for rounding. */
    record Check(EventId weighing, ThingId vessel, Propagated residual) {}

    private record Pending(EventId weighing, ThingId vessel, Linear residual) {}

    private record LastWeighed(Propagated reading, Linear content) {}

    private static final double NEGLIGIBLE = 1e-12;
    private static final String PARTS = "parts:";
    private static final String RATE = "rate:";

    private final Readings readings = new Readings();
    private final Map<ThingId, Linear> recorded = new HashMap<>();
    private final Map<ThingId, Linear> best = new HashMap<>();
    private final Map<ThingId, LastWeighed> weighed = new HashMap<>();
    private final Map<ThingId, Integer> interval = new HashMap<>();
    /** Loads with nothing on them: a pull made then, such as a cancellation impression, has no ink in this ledger. */
    private final Set<ThingId> cleaned = new HashSet<>();

    private final Map<String, ThingId> ratesOf = new LinkedHashMap<>();
    private final Map<String, Integer> pulls = new HashMap<>();
    private final Map<EventId, Linear> amounts = new HashMap<>();
    private final Map<EventId, Map<ThingId, Linear>> pulled = new HashMap<>();
    private final List<Pending> pending = new ArrayList<>();
    private final Map<String, Propagated> found = new HashMap<>();
    private final Set<String> assumed = new HashSet<>();
    private final Set<ThingId> onlyParts = new HashSet<>();
    private final List<Check> checks = new ArrayList<>();
    private final Gathering gathering;

    Settlement(Gathering gathering, PullRates rates) {
        this.gathering = gathering;
        gathering.entries().forEach(this::enter);
        solve();
        for (var each : ratesOf.entrySet()) {
            if (!found.containsKey(each.getKey())) {
                Uncertain past = rates.assumed(each.getValue());
                found.put(each.getKey(), readings.reading("assumed " + each.getKey(), past.value(), past.u()));
                assumed.add(each.getKey());
                solve();
            }
        }
        nominalParts();
    }

    private void enter(Entry entry) {
        if (entry instanceof Entry.Move move) {
            Linear amount = amount(move);
            amounts.put(move.id(), amount);
            change(move.from(), amount, false);
            change(move.to(), amount, true);
            if (move.amount() instanceof Amount.Rest && !move.from().isOutside()) {
                best.put(move.from(), Linear.ZERO);
            }
        } else if (entry instanceof Entry.Weighing weighing) {
            weighed(weighing);
        } else if (entry instanceof Entry.Pull pull) {
            for (ThingId load : pull.loads()) {
                if (cleaned.contains(load)) {
                    continue;
                }
                String rate = RATE + load + ":" + interval.getOrDefault(load, 0);
                ratesOf.put(rate, load);
                pulls.merge(rate, 1, Integer::sum);
                Linear took = Linear.unknown(rate, 1);
                pulled.computeIfAbsent(pull.id(), id -> new HashMap<>()).put(load, took);
                change(load, took, false);
            }
        } else if (entry instanceof Entry.Cleaned empty) {
            empty.loads().forEach(load -> observed(empty.id(), load, Propagated.ZERO));
            cleaned.addAll(empty.loads());
        } else if (entry instanceof Entry.Finished finished) {
            best.put(finished.vessel(), Linear.ZERO);
        }
    }

    private void change(ThingId vessel, Linear amount, boolean in) {
        if (!vessel.isOutside()) {
            if (in) {
                cleaned.remove(vessel);
            }
            recorded.merge(vessel, in ? amount : Linear.ZERO.minus(amount), Linear::plus);
            best.merge(vessel, in ? amount : Linear.ZERO.minus(amount), Linear::plus);
        }
    }

    private Linear amount(Entry.Move move) {
        String id = move.id().text();
        Amount amount = move.amount();
        if (amount instanceof Amount.Weighed w) {
            double u = w.stepMg() / 1000.0 * Readings.PER_STEP;
            String before = w.tareOf() == null ? id + "/before" : w.tareOf() + "/after";
            Propagated first = readings.reading(before, w.beforeMg() / 1000.0, u);
            Propagated second = readings.reading(id + "/after", w.afterMg() / 1000.0, u);
            return Linear.of(w.afterMg() >= w.beforeMg() ? second.minus(first) : first.minus(second));
        } else if (amount instanceof Amount.Net n) {
            double u = n.stepMg() / 1000.0 * Readings.PER_STEP * StrictMath.sqrt(2);
            return Linear.of(readings.reading(id + "/net", n.mg() / 1000.0, u));
        } else if (amount instanceof Amount.Estimated e) {
            double u = (e.highMg() - e.lowMg()) / 1000.0 * Readings.PER_STEP;
            return Linear.of(readings.reading(id + "/by eye", (e.highMg() + e.lowMg()) / 2000.0, u));
        } else if (amount instanceof Amount.Parts p) {
            return Linear.unknown(PARTS + p.group(), p.n().doubleValue());
        } else if (amount instanceof Amount.Rest) {
            return recorded.getOrDefault(move.from(), Linear.ZERO);
        }
        return Linear.unknown("amount:" + id, 1);
    }

    private void weighed(Entry.Weighing weighing) {
        double u = weighing.step() * Readings.PER_STEP;
        Propagated reading = readings.reading(weighing.id() + "/reading", weighing.reading(), u);
        LastWeighed last = weighed.get(weighing.vessel());
        Linear content = recorded.getOrDefault(weighing.vessel(), Linear.ZERO);
        if (weighing.tare() != null) {
            double tare = weighing.tare();
            Propagated empty =
                    tare == 0 ? Propagated.ZERO : readings.reading(weighing.vessel() + "/tare " + tare, tare, u);
            observed(weighing.id(), weighing.vessel(), reading.minus(empty));
        } else if (last != null) {
            Linear change = content.minus(last.content).minus(Linear.of(reading.minus(last.reading)));
            pending.add(new Pending(weighing.id(), weighing.vessel(), change));
        }
        weighed.put(weighing.vessel(), new LastWeighed(reading, content));
    }

    private void observed(EventId weighing, ThingId vessel, Propagated content) {
        pending.add(new Pending(
                weighing, vessel, recorded.getOrDefault(vessel, Linear.ZERO).minus(Linear.of(content))));
        best.put(vessel, Linear.of(content));
        interval.merge(vessel, 1, Integer::sum);
    }

    /** A balance with one number missing gives that number; one with none missing is a check. */
    private void solve() {
        boolean progress = true;
        while (progress) {
            progress = false;
            for (var each = pending.iterator(); each.hasNext(); ) {
                Pending equation = each.next();
                Linear left = equation.residual.with(found);
                if (left.factors().isEmpty()) {
                    checks.add(new Check(equation.weighing, equation.vessel, left.known()));
                    each.remove();
                    progress = true;
                } else if (left.factors().size() == 1) {
                    var missing = left.factors().entrySet().iterator().next();
                    Propagated value = left.known().times(-1 / missing.getValue());
                    each.remove();
                    if (value.value() > NEGLIGIBLE) {
                        found.put(missing.getKey(), value);
                        progress = true;
                    }
                }
            }
        }
    }

    /** Parts that nothing settles still give shares, as long as they stand among themselves: one part counts as 1 g. */
    private void nominalParts() {
        Map<ThingId, Set<String>> kinds = new HashMap<>();
        for (Entry entry : gathering.entries()) {
            if (entry instanceof Entry.Move move && !(move.amount() instanceof Amount.Rest)) {
                kinds.computeIfAbsent(move.to(), v -> new HashSet<>())
                        .add(move.amount() instanceof Amount.Parts p ? PARTS + p.group() : "grams");
            }
        }
        Set<String> mixedWithGrams = new HashSet<>();
        kinds.values().stream().filter(k -> k.size() > 1).forEach(mixedWithGrams::addAll);
        kinds.forEach((vessel, kind) -> {
            for (String group : kind) {
                if (group.startsWith(PARTS) && !mixedWithGrams.contains(group)) {
                    if (found.putIfAbsent(group, Propagated.exact(1)) == null) {
                        assumed.add(group);
                    }
                    if (assumed.contains(group)) {
                        onlyParts.add(vessel);
                    }
                }
            }
        });
    }

    Readings readings() {
        return readings;
    }

    /** Grams of a move; empty when not written down and not to be found. */
    Optional<Propagated> grams(EventId move) {
        return solved(amounts.getOrDefault(move, Linear.ZERO));
    }

    Optional<Propagated> pulled(EventId pull, ThingId load) {
        return Optional.ofNullable(pulled.get(pull))
                .map(loads -> loads.get(load))
                .flatMap(this::solved);
    }

    /** What is in a vessel at the end of its story, counting from its last weighing. */
    Optional<Propagated> left(ThingId vessel) {
        return solved(best.getOrDefault(vessel, Linear.ZERO));
    }

    private Optional<Propagated> solved(Linear linear) {
        Linear left = linear.with(found);
        return left.factors().isEmpty() ? Optional.of(left.known()) : Optional.empty();
    }

    List<Check> checks() {
        return checks;
    }

    /** Whether grams of a pull of this load had to be taken from past runs, between two of its weighings at least once. */
    boolean rateAssumed(ThingId load) {
        return ratesOf.entrySet().stream().anyMatch(e -> e.getValue().equals(load) && assumed.contains(e.getKey()));
    }

    /** Whether masses in this vessel are only numbers of parts, against which no grams can be set. */
    boolean onlyParts(ThingId vessel) {
        return onlyParts.contains(vessel);
    }

    /** Mean grams a pull took from a load over all its pulls, and how many pulls; empty without pulls. */
    Optional<Rate> rate(ThingId load) {
        Propagated sum = Propagated.ZERO;
        int count = 0;
        boolean learned = true;
        for (var each : ratesOf.entrySet()) {
            if (each.getValue().equals(load)) {
                int n = pulls.getOrDefault(each.getKey(), 0);
                Propagated rate = found.get(each.getKey());
                if (rate == null) {
                    return Optional.empty();
                }
                sum = sum.plus(rate.times(n));
                count += n;
                learned &= !assumed.contains(each.getKey());
            }
        }
        return count == 0 ? Optional.empty() : Optional.of(new Rate(sum.times(1.0 / count), count, learned));
    }

    /** How many pulls took ink from any of some loads. */
    int pulls(List<ThingId> loads) {
        return (int) pulled.values().stream()
                .filter(took -> loads.stream().anyMatch(took::containsKey))
                .count();
    }

    /**
     * @param grams per pull
     * @param learned from the balance, not assumed
     */
    record Rate(Propagated grams, int pulls, boolean learned) {}
}
