package slabside.ink;

import java.util.List;
import org.jspecify.annotations.Nullable;
import slabside.event.EventId;
import slabside.event.ThingId;
import slabside.measure.Amount;
import slabside.views.StoryKey;

/** One line of the ledger, in story order. */
sealed interface Entry {
    EventId id();

    StoryKey key();

    /** Ink goes from one vessel to another. */
    record Move(EventId id, StoryKey key, ThingId from, ThingId to, Amount amount) implements Entry {}

    /**
     * A vessel stood on the scale.
     *
     * @param reading in grams
     * @param tare of the empty vessel in grams; absent when only differences count
     * @param step of the scale in grams
     */
    record Weighing(
            EventId id,
            StoryKey key,
            ThingId vessel,
            double reading,
            @Nullable Double tare,
            double step) implements Entry {}

    /** Said to hold nothing usable; counts for stock only. */
    record Finished(EventId id, StoryKey key, ThingId vessel) implements Entry {}

    /** A pull took ink from each load of a run. */
    record Pull(EventId id, StoryKey key, ThingId run, List<ThingId> loads) implements Entry {}

    /** Slab, roller and stone of a run are empty. */
    record Cleaned(EventId id, StoryKey key, ThingId run, List<ThingId> loads) implements Entry {}
}
