package slabside.ink;

import java.util.Map;
import slabside.event.EventId;
import slabside.event.ThingId;
import slabside.statistics.Propagated;
import slabside.views.StoryKey;

/**
 * Ink that went from one vessel to another.
 *
 * @param lots grams of each lot in it
 */
record Flow(EventId id, StoryKey key, ThingId from, ThingId to, Map<ThingId, Propagated> lots) {
    double grams() {
        return lots.values().stream().mapToDouble(Propagated::value).sum();
    }
}
