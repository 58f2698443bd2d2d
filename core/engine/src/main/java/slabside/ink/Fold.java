package slabside.ink;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;
import java.util.function.Function;
import slabside.event.ThingId;
import slabside.measure.Amount;
import slabside.measure.Mass;
import slabside.statistics.Propagated;
import slabside.views.StoryKey;

/**
 * Walks ledger lines in story order and keeps, for each vessel, grams of every lot. A withdrawal takes its share of each; a
 * vessel drawn below zero is reported, and what it lacked is counted as having been there all along.
 */
final class Fold {
    /**
     * More was taken than was there.
     *
     * @param grams that were lacking
     */
    record Shortfall(Flow flow, double grams) {}

    /** Rounding of a scale's last digit is no shortfall. */
    private static final double NEGLIGIBLE_GRAMS = 1e-9;

    private final Gathering gathering;
    private final Settlement settlement;
    private final Function<ThingId, String> names;
    private final Set<ThingId> opaque = new HashSet<>();
    private final Map<ThingId, Map<ThingId, Propagated>> vessels = new HashMap<>();
    private final Map<ThingId, Set<String>> gaps = new HashMap<>();
    private final List<Shortfall> shortfalls = new ArrayList<>();
    private Consumer<Flow> flows = flow -> {};
    private int next;

    Fold(Gathering gathering, Settlement settlement, Function<ThingId, String> names) {
        this.gathering = gathering;
        this.settlement = settlement;
        this.names = names;
    }

    Fold watching(Consumer<Flow> watcher) {
        this.flows = watcher;
        return this;
    }

    /** Takes what leaves this vessel as a lot of its own, whatever is in it: the beginning of a trace. */
    Fold treatingAsLot(ThingId vessel) {
        opaque.add(vessel);
        return this;
    }

    /** Goes on up to and with {@code until}. */
    Fold to(StoryKey until) {
        List<Entry> entries = gathering.entries();
        while (next < entries.size() && entries.get(next).key().compareTo(until) <= 0) {
            enter(entries.get(next++));
        }
        return this;
    }

    /** Goes on up to, but without, {@code key}. */
    Fold upTo(StoryKey key) {
        List<Entry> entries = gathering.entries();
        while (next < entries.size() && entries.get(next).key().compareTo(key) < 0) {
            enter(entries.get(next++));
        }
        return this;
    }

    List<Shortfall> shortfalls() {
        return shortfalls;
    }

    Map<ThingId, Map<ThingId, Propagated>> held() {
        return vessels;
    }

    private void enter(Entry entry) {
        if (entry instanceof Entry.Move move) {
            move(move);
        } else if (entry instanceof Entry.Pull pull) {
            for (ThingId load : pull.loads()) {
                settlement
                        .pulled(pull.id(), load)
                        .ifPresent(grams -> take(pull, load, ThingId.paperOf(pull.run()), Optional.of(grams)));
            }
        } else if (entry instanceof Entry.Cleaned cleaned) {
            for (ThingId load : cleaned.loads()) {
                take(cleaned, load, ThingId.WASH_UP, Optional.empty());
            }
        }
    }

    private void move(Entry.Move move) {
        if (move.amount() instanceof Amount.Rest && !opaque.contains(move.from())) {
            take(move, move.from(), move.to(), Optional.empty());
            return;
        }
        Optional<Propagated> grams = settlement.grams(move.id());
        if (grams.isEmpty()) {
            String gap = "how much went from " + names.apply(move.from()) + " into " + names.apply(move.to())
                    + (move.amount() instanceof Amount.Parts
                            ? " was given in parts beside grams, and nothing weighed settles it"
                            : " was not written down");
            gap(move.from(), gap);
            gap(move.to(), gap);
        } else if (move.from().equals(ThingId.SUPPLY)) {
            put(move.to(), Map.of(move.to(), grams.get()));
            flows.accept(new Flow(move.id(), move.key(), move.from(), move.to(), Map.of(move.to(), grams.get())));
        } else {
            take(move, move.from(), move.to(), grams);
        }
    }

    private void gap(ThingId vessel, String text) {
        gaps.computeIfAbsent(vessel, v -> new LinkedHashSet<>()).add(text);
    }

    /** Moves some grams, or all there is when {@code grams} is empty. */
    private void take(Entry entry, ThingId from, ThingId to, Optional<Propagated> grams) {
        if (!gathering.vessels().contains(from) || opaque.contains(from)) {
            grams.ifPresent(all -> arrive(entry, from, to, Map.of(from, all)));
            return;
        }
        Map<ThingId, Propagated> source = vessels.computeIfAbsent(from, v -> new LinkedHashMap<>());
        Propagated whole = source.values().stream().reduce(Propagated.ZERO, Propagated::plus);
        if (grams.isEmpty() || grams.get().value() >= whole.value()) {
            takeAll(entry, from, to, source, whole, grams);
            return;
        }
        Propagated part = grams.get().over(whole);
        Map<ThingId, Propagated> moved = new LinkedHashMap<>();
        source.forEach((lot, mass) -> moved.put(lot, mass.times(part)));
        source.replaceAll((lot, mass) -> mass.minus(moved.getOrDefault(lot, Propagated.ZERO)));
        arrive(entry, from, to, moved);
    }

    private void takeAll(
            Entry entry,
            ThingId from,
            ThingId to,
            Map<ThingId, Propagated> source,
            Propagated whole,
            Optional<Propagated> grams) {
        Map<ThingId, Propagated> moved = new LinkedHashMap<>(source);
        source.clear();
        if (grams.isPresent()) {
            Propagated more = grams.get().minus(whole);
            double lacking = more.value();
            if (whole.value() > 0) {
                Propagated scale = grams.get().over(whole);
                moved.replaceAll((lot, mass) -> mass.times(scale));
            } else if (grams.get().value() > 0) {
                moved.clear();
                moved.put(from, grams.get());
                gap(to, "what was in " + names.apply(from) + " was not written down");
            }
            if (lacking > NEGLIGIBLE_GRAMS) {
                shortfalls.add(new Shortfall(new Flow(entry.id(), entry.key(), from, to, moved), lacking));
                if (lacking > 2 * more.u(settlement.readings())) {
                    gap(from, Mass.nearest(lacking) + " more was taken out than had been written down as put in");
                }
            }
        }
        if (!moved.isEmpty()) {
            arrive(entry, from, to, moved);
        }
    }

    private void arrive(Entry entry, ThingId from, ThingId to, Map<ThingId, Propagated> moved) {
        put(to, moved);
        for (String gap : gaps.getOrDefault(from, Set.of())) {
            if (!(entry instanceof Entry.Pull)) {
                gap(to, gap);
            }
        }
        flows.accept(new Flow(entry.id(), entry.key(), from, to, moved));
    }

    private void put(ThingId vessel, Map<ThingId, Propagated> added) {
        if (gathering.vessels().contains(vessel)) {
            Map<ThingId, Propagated> content = vessels.computeIfAbsent(vessel, v -> new LinkedHashMap<>());
            added.forEach((lot, mass) -> content.merge(lot, mass, Propagated::plus));
        }
    }

    Contents contents(ThingId vessel) {
        List<String> notes = new ArrayList<>();
        if (settlement.rateAssumed(vessel)) {
            notes.add("the ink a pull takes from " + names.apply(vessel)
                    + " is estimated from past runs, since its balance has not closed");
        }
        if (settlement.onlyParts()) {
            notes.add("amounts were written down in parts; one part is shown as 1 g");
        }
        Map<ThingId, Propagated> lots = vessels.getOrDefault(vessel, Map.of());
        return new Contents(
                vessel, lots, List.copyOf(gaps.getOrDefault(vessel, Set.of())), notes, settlement.readings());
    }
}
