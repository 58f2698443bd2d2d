package slabside.event;

import org.jspecify.annotations.Nullable;

/** The life of a stone or plate. */
public sealed interface StoneEvent extends StudioEvent {
    <R> R readBy(Reader<R> reader);

    /** A stone or plate was entered in the list. */
    record Listed(
            ThingId stone,
            MatrixKind kind,
            String number,
            @Nullable Long widthUm,
            @Nullable Long heightUm,
            @Nullable String grade,
            @Nullable String place)
            implements StoneEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.listed(this);
        }
    }

    /**
     * Something was done to a stone or plate.
     *
     * @param words the printer's own, replayed and never suggested
     */
    record Treated(
            ThingId stone,
            Treatment treatment,
            @Nullable String part,
            @Nullable String words,
            @Nullable ThingId from) implements StoneEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.treated(this);
        }
    }

    /** A stone or plate was looked over. */
    record Inspected(ThingId stone, String words) implements StoneEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.inspected(this);
        }
    }

    /** The end of a stone's or plate's image. */
    record Disposed(
            ThingId stone,
            MatrixEnd end,
            @Nullable String method,
            @Nullable ThingId witness,
            @Nullable Boolean cancellation)
            implements StoneEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.disposed(this);
        }
    }

    /** One method per event: a new event does not compile until every reader answers it. */
    interface Reader<R> {
        R listed(Listed event);

        R treated(Treated event);

        R inspected(Inspected event);

        R disposed(Disposed event);
    }
}
