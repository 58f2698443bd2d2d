package slabside.event;

import java.util.List;
import org.jspecify.annotations.Nullable;
import slabside.measure.Amount;

/** What happens to ink between the can and the slab. */
public sealed interface InkEvent extends StudioEvent {
    <R> R readBy(Reader<R> reader);

    /**
     * A cup or slab was set up for a new mix.
     *
     * @param rebuilds the old mix that this one makes again
     */
    record MixStarted(
            ThingId mix,
            @Nullable String name,
            @Nullable String label,
            @Nullable ThingId run,
            @Nullable ThingId recipe,
            @Nullable Rebuilt rebuilds)
            implements InkEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.mixStarted(this);
        }
    }

    /** Ink went from one vessel to another. The only way in which ink changes place. */
    record Moved(
            ThingId from,
            ThingId to,
            Amount amount,
            Why why,
            @Nullable String words) implements InkEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.moved(this);
        }
    }

    /** A mix was worked with the knife. */
    record Worked(ThingId vessel, long durationMs, @Nullable String words) implements InkEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.worked(this);
        }
    }

    /** A leftover was wrapped; the ink itself moves by {@link Moved}. */
    record Wrapped(
            ThingId packet,
            @Nullable String label,
            @Nullable String place,
            @Nullable String words) implements InkEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.wrapped(this);
        }
    }

    /** A kept packet was opened. */
    record Unwrapped(ThingId packet, @Nullable String words) implements InkEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.unwrapped(this);
        }
    }

    /** A thing was given a name, the last one counting. */
    record Named(ThingId thing, String name) implements InkEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.named(this);
        }
    }

    /**
     * What a mix should be, by share of each material.
     *
     * @param from the mix it was taken from
     */
    record RecipePlanned(
            ThingId recipe,
            String name,
            List<Portion> portions,
            @Nullable Long batchMg,
            @Nullable ThingId from) implements InkEvent {
        public RecipePlanned {
            portions = List.copyOf(portions);
        }

        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.recipePlanned(this);
        }
    }

    /** One method per event: a new event does not compile until every reader answers it. */
    interface Reader<R> {
        R mixStarted(MixStarted event);

        R moved(Moved event);

        R worked(Worked event);

        R wrapped(Wrapped event);

        R unwrapped(Unwrapped event);

        R named(Named event);

        R recipePlanned(RecipePlanned event);
    }
}
