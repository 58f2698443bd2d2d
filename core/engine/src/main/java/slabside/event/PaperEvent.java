package slabside.event;

import java.math.BigDecimal;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** Paper from the packet to the sheet. */
public sealed interface PaperEvent extends StudioEvent {
    <R> R readBy(Reader<R> reader);

    /** Paper came in. */
    record Received(
            ThingId lot,
            String name,
            @Nullable Integer sheets,
            @Nullable Long widthUm,
            @Nullable Long heightUm,
            @Nullable BigDecimal gramsPerM2,
            @Nullable String grain,
            @Nullable Price price)
            implements PaperEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.received(this);
        }
    }

    /** Paper was torn to size; each sheet gets its code. */
    record Torn(
            ThingId lot,
            List<Sheet> sheets,
            @Nullable Long widthUm,
            @Nullable Long heightUm,
            @Nullable ThingId edition,
            @Nullable Boolean afterPrinting)
            implements PaperEvent {
        public Torn {
            sheets = List.copyOf(sheets);
        }

        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.torn(this);
        }
    }

    /** Paper was damped, dried, hung or rolled out. */
    record Conditioned(ThingId lot, @Nullable String words) implements PaperEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.conditioned(this);
        }
    }

    /** A thin sheet was laid on. */
    record LaidOn(
            ThingId lot,
            List<ThingId> sheets,
            @Nullable String paste,
            @Nullable ThingId run) implements PaperEvent {
        public LaidOn {
            sheets = List.copyOf(sheets);
        }

        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.laidOn(this);
        }
    }

    /** Sheets spoiled off the press. */
    record Spoiled(List<ThingId> sheets, @Nullable String words) implements PaperEvent {
        public Spoiled {
            sheets = List.copyOf(sheets);
        }

        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.spoiled(this);
        }
    }

    /** One method per event: a new event does not compile until every reader answers it. */
    interface Reader<R> {
        R received(Received event);

        R torn(Torn event);

        R conditioned(Conditioned event);

        R laidOn(LaidOn event);

        R spoiled(Spoiled event);
    }
}
