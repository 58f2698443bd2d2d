package slabside.ink;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import slabside.event.ThingId;
import slabside.measure.Uncertain;
import slabside.statistics.Propagated;
import slabside.statistics.Readings;

/**
 * What is in a vessel at one moment of the story.
 *
 * @param lots grams of each lot (a can, or a vessel whose own content was never written down), most first
 * @param gaps what was not written down, in words; when there are any, shares are of what was written down
 * @param notes what was assumed, in words
 */
public record Contents(
        ThingId vessel, Map<ThingId, Propagated> lots, List<String> gaps, List<String> notes, Readings readings) {
    /** A lot or a material with its part of the whole. */
    public record Part(ThingId id, Uncertain share, Uncertain grams) {}

    /** Finds the material of a lot. */
    public interface Materials {
        ThingId of(ThingId lot);
    }

    public Contents {
        lots = java.util.Collections.unmodifiableMap(new LinkedHashMap<>(lots));
        gaps = List.copyOf(gaps);
        notes = List.copyOf(notes);
    }

    private static Propagated sum(Iterable<Propagated> all) {
        Propagated sum = Propagated.ZERO;
        for (Propagated each : all) {
            sum = sum.plus(each);
        }
        return sum;
    }

    /** All that is in the vessel, in grams. */
    public Uncertain grams() {
        return total().uncertain(readings);
    }

    Propagated total() {
        return sum(lots.values());
    }

    public boolean isEmpty() {
        return !(total().value() > 0);
    }

    /** Shares by can, most first. */
    public List<Part> byLot() {
        return parts(lots);
    }

    /** Shares by material, most first; cans of one material are added up. */
    public List<Part> byMaterial(Materials materials) {
        Map<ThingId, Propagated> sums = new LinkedHashMap<>();
        lots.forEach((lot, grams) -> sums.merge(materials.of(lot), grams, Propagated::plus));
        return parts(sums);
    }

    private List<Part> parts(Map<ThingId, Propagated> grams) {
        Propagated whole = total();
        if (!(whole.value() > 0)) {
            return List.of();
        }
        List<Part> parts = new ArrayList<>();
        grams.forEach((id, mass) -> {
            if (mass.value() > 0) {
                parts.add(new Part(id, mass.over(whole).uncertain(readings), mass.uncertain(readings)));
            }
        });
        parts.sort(Comparator.comparingDouble((Part p) -> -p.share().value()).thenComparing(Part::id));
        return parts;
    }

    /** Share of one lot; zero when it is not in here. */
    public Uncertain share(ThingId lot) {
        Propagated mass = lots.get(lot);
        Propagated whole = total();
        return mass == null || !(whole.value() > 0)
                ? new Uncertain(0, 0)
                : mass.over(whole).uncertain(readings);
    }
}
