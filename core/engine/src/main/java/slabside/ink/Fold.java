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
    /** Stands for "some" where a vessel is empty by the record only. */
    private static final double TRACE_GRAMS = 0.001;

    private final Gathering gathering;
    private final Settlement settlement;
    private final Function<ThingId, String> names;
    private final Set<ThingId> opaque = new HashSet<>();
    private final Map<ThingId, Map<ThingId, Propagated>> vessels = new HashMap<>();
    /** What was last in a vessel before it was drawn empty; what is drawn beyond that is taken to be the same. */
    private final Map<ThingId, Map<ThingId, Propagated>> lastIn = new HashMap<>();

    /** Cans of which nobody wrote down how much came, so that nothing can be lacking in them. */
    private final Set<ThingId> stockUnknown = new HashSet<>();

    private final Set<ThingId> overdrawn = new HashSet<>();
    private final Map<ThingId, Set<String>> gaps = new HashMap<>();
    private final List<Shortfall> shortfalls = new ArrayList<>();
    private Consumer<Flow> flows = flow -> {};
    private int next;

    Fold(Gathering gathering, Settlement settlement, Function<ThingId, String> names) {
        this.gathering = gathering;
        this.settlement = settlement;
        this.names = names;
        for (Entry entry : gathering.entries()) {
            if (entry instanceof Entry.Move move
                    && move.from().equals(ThingId.SUPPLY)
                    && settlement.grams(move.id()).isEmpty()) {
                stockUnknown.add(move.to());
            }
        }
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
        Propagated whole = sum(source);
        if (grams.isPresent() && whole.value() > 0 && settlement.onlyParts(from) && !isInParts(entry)) {
            // So many grams out of so many parts: the shares are known, what is left is not.
            arrive(entry, from, to, scaled(source, grams.get().over(whole)));
        } else if (grams.isPresent() && grams.get().value() < whole.value()) {
            Map<ThingId, Propagated> moved = scaled(source, grams.get().over(whole));
            source.replaceAll((lot, mass) -> mass.minus(moved.getOrDefault(lot, Propagated.ZERO)));
            arrive(entry, from, to, moved);
        } else {
            takeAll(entry, from, to, source, whole, grams);
        }
    }

    private static boolean isInParts(Entry entry) {
        return entry instanceof Entry.Move move && move.amount() instanceof Amount.Parts;
    }

    private static Propagated sum(Map<ThingId, Propagated> lots) {
        return lots.values().stream().reduce(Propagated.ZERO, Propagated::plus);
    }

    private static Map<ThingId, Propagated> scaled(Map<ThingId, Propagated> lots, Propagated factor) {
        Map<ThingId, Propagated> scaled = new LinkedHashMap<>();
        lots.forEach((lot, mass) -> scaled.put(lot, mass.times(factor)));
        return scaled;
    }

    /** Empties a vessel; where more is asked for than was written down, the rest of it is taken to be of the same kind. */
    private void takeAll(
            Entry entry,
            ThingId from,
            ThingId to,
            Map<ThingId, Propagated> source,
            Propagated whole,
            Optional<Propagated> grams) {
        Map<ThingId, Propagated> there = new LinkedHashMap<>(source);
        source.clear();
        if (whole.value() > 0) {
            lastIn.put(from, there);
        }
        if (grams.isEmpty()) {
            arrive(entry, from, to, there);
            return;
        }
        Map<ThingId, Propagated> known = lastIn.getOrDefault(from, Map.of());
        boolean everKnown = !known.isEmpty();
        Map<ThingId, Propagated> moved = grams.get().value() <= 0
                ? Map.of()
                : everKnown ? scaled(known, grams.get().over(sum(known))) : Map.of(from, grams.get());
        if (!everKnown && !gathering.lots().contains(from) && !moved.isEmpty()) {
            gap(to, "what was in " + names.apply(from) + " was not written down");
        }
        if (everKnown || !stockUnknown.contains(from)) {
            lacking(entry, from, to, grams.get().minus(whole), moved);
        }
        arrive(entry, from, to, moved);
    }

    private void lacking(Entry entry, ThingId from, ThingId to, Propagated more, Map<ThingId, Propagated> moved) {
        if (more.value() > NEGLIGIBLE_GRAMS) {
            overdrawn.add(from);
            shortfalls.add(new Shortfall(new Flow(entry.id(), entry.key(), from, to, moved), more.value()));
            if (more.value() > 2 * more.u(settlement.readings())) {
                gap(from, Mass.nearest(more.value()) + " more was taken out than had been written down as put in");
            }
        }
    }

    private void arrive(Entry entry, ThingId from, ThingId to, Map<ThingId, Propagated> moved) {
        boolean tells = gathering.vessels().contains(from)
                && !gathering.lots().contains(from)
                && !(entry instanceof Entry.Pull);
        if (tells) {
            gaps.getOrDefault(from, Set.of()).forEach(gap -> gap(to, gap));
        }
        if (!moved.isEmpty()) {
            put(to, moved);
            flows.accept(new Flow(entry.id(), entry.key(), from, to, moved));
        }
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
        if (settlement.onlyParts(vessel)) {
            notes.add("amounts were written down in parts; one part is shown as 1 g");
        }
        Map<ThingId, Propagated> lots = vessels.getOrDefault(vessel, Map.of());
        if (overdrawn.contains(vessel) && !(sum(lots).value() > 0) && lastIn.containsKey(vessel)) {
            // Empty by the record, though more came out: something of what was last in it must still be there.
            Map<ThingId, Propagated> last = lastIn.get(vessel);
            lots = scaled(last, Propagated.exact(TRACE_GRAMS).over(sum(last)));
            notes.add(
                    "more was taken out than was written down; shares are the last known, and how much is left is not known");
        }
        return new Contents(
                vessel, lots, List.copyOf(gaps.getOrDefault(vessel, Set.of())), notes, settlement.readings());
    }
}
