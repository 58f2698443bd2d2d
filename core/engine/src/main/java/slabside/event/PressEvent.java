package slabside.event;

import java.math.BigDecimal;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** What happens at the press while a run is printed. */
public sealed interface PressEvent extends StudioEvent {
    <R> R readBy(Reader<R> reader);

    /**
     * A run was set up.
     *
     * @param loads one for each ink of the roller, in order across it
     */
    record RunStarted(
            ThingId run,
            List<Load> loads,
            @Nullable ThingId roller,
            @Nullable ThingId paper,
            @Nullable Surface surface,
            @Nullable Long windowUm,
            @Nullable String words)
            implements PressEvent {
        public RunStarted {
            loads = List.copyOf(loads);
        }

        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.runStarted(this);
        }
    }

    /**
     * One pull. It has no number of its own: that is its place in the story.
     *
     * @param said the number written on paper, if any
     */
    record Pulled(
            ThingId run,
            @Nullable ThingId sheet,
            PullMode mode,
            @Nullable Boolean secondHit,
            @Nullable Integer passes,
            PressGrade grade,
            List<String> faults,
            @Nullable Integer said)
            implements PressEvent {
        public Pulled {
            faults = List.copyOf(faults);
        }

        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.pulled(this);
        }
    }

    /** Something changed or was read at the press. */
    record Noted(
            ThingId run,
            @Nullable String water,
            @Nullable BigDecimal celsius,
            @Nullable BigDecimal humidity,
            @Nullable String packing,
            @Nullable String pressure,
            @Nullable ThingId roller,
            @Nullable String words)
            implements PressEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.noted(this);
        }
    }

    /** Lighter, match or darker; clean, tint or filling. */
    record Matched(
            ThingId run,
            @Nullable ThingId sheet,
            @Nullable Match match,
            @Nullable Margin margin) implements PressEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.matched(this);
        }
    }

    /** Register, margin tint, midpoint, film or coverage. */
    record Measured(
            ThingId run,
            @Nullable ThingId sheet,
            String quantity,
            BigDecimal value,
            @Nullable String unit,
            @Nullable String place)
            implements PressEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.measured(this);
        }
    }

    /** Marks, pins or corner lay. */
    record LaySet(ThingId run, String words) implements PressEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.laySet(this);
        }
    }

    /** Other hands took over. */
    record HandsChanged(
            ThingId run, List<ThingId> people, @Nullable String words) implements PressEvent {
        public HandsChanged {
            people = List.copyOf(people);
        }

        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.handsChanged(this);
        }
    }

    /** A pause at the press. */
    record Paused(
            ThingId run,
            @Nullable Boolean gummedUp,
            @Nullable String words) implements PressEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.paused(this);
        }
    }

    /** Printing went on. */
    record Resumed(ThingId run, @Nullable String words) implements PressEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.resumed(this);
        }
    }

    /** Sheets were put to dry. */
    record Racked(ThingId run, @Nullable String words) implements PressEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.racked(this);
        }
    }

    /** Sheets were stacked. */
    record Stacked(
            ThingId run,
            @Nullable Boolean interleaved,
            @Nullable String words) implements PressEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.stacked(this);
        }
    }

    /** Sheets were taken apart again. */
    record Unstacked(ThingId run, @Nullable String words) implements PressEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.unstacked(this);
        }
    }

    /** Slab, roller and stone of a run are empty. */
    record CleanedUp(ThingId run, @Nullable String words) implements PressEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.cleanedUp(this);
        }
    }

    /** One method per event: a new event does not compile until every reader answers it. */
    interface Reader<R> {
        R runStarted(RunStarted event);

        R pulled(Pulled event);

        R noted(Noted event);

        R matched(Matched event);

        R measured(Measured event);

        R laySet(LaySet event);

        R handsChanged(HandsChanged event);

        R paused(Paused event);

        R resumed(Resumed event);

        R racked(Racked event);

        R stacked(Stacked event);

        R unstacked(Unstacked event);

        R cleanedUp(CleanedUp event);
    }
}
