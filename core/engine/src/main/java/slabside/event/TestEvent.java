package slabside.event;

import java.math.BigDecimal;
import java.util.List;
import org.jspecify.annotations.Nullable;
import slabside.measure.Lab;
import slabside.measure.Spectrum;

/** What was tried and read of an ink, a dab or a print. */
public sealed interface TestEvent extends StudioEvent {
    <R> R readBy(Reader<R> reader);

    /** Two inks side by side under the knife. */
    record Compared(
            ThingId vessel,
            ThingId against,
            @Nullable Stiffness stiffness,
            @Nullable Length length,
            @Nullable String words)
            implements TestEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.compared(this);
        }
    }

    /**
     * A drop pressed between plates.
     *
     * @param loadMg everything above the ink
     * @param volumeUl microlitres
     */
    record SpreadMeasured(
            ThingId vessel,
            long loadMg,
            long volumeUl,
            List<Spread> readings,
            @Nullable BigDecimal celsius) implements TestEvent {
        public SpreadMeasured {
            readings = List.copyOf(readings);
        }

        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.spreadMeasured(this);
        }
    }

    /** Whether a ridge keeps standing. */
    record RidgeObserved(
            ThingId vessel,
            long heightUm,
            boolean stands,
            @Nullable String words) implements TestEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.ridgeObserved(this);
        }
    }

    /** Lengths at which a string broke, in micrometres. */
    record StringMeasured(
            ThingId vessel, List<Long> lengthsUm, @Nullable String words) implements TestEvent {
        public StringMeasured {
            lengthsUm = List.copyOf(lengthsUm);
        }

        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.stringMeasured(this);
        }
    }

    /** Tack by the finger or the knife. */
    record TackJudged(ThingId vessel, Tack tack, @Nullable String words) implements TestEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.tackJudged(this);
        }
    }

    /**
     * A drawdown or dab.
     *
     * @param filmMgPerM2 film weight
     */
    record DrawdownMade(
            ThingId drawdown,
            ThingId vessel,
            @Nullable ThingId paper,
            @Nullable String backing,
            @Nullable Long filmMgPerM2,
            @Nullable String words)
            implements TestEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.drawdownMade(this);
        }
    }

    /**
     * An instrument's reading.
     *
     * @param over inks or runs that lay under what was read, in the order in which they were printed; null for none
     */
    record ColourRead(
            ThingId of,
            @Nullable ThingId sheet,
            @Nullable Spectrum spectrum,
            @Nullable Lab lab,
            @Nullable BigDecimal density,
            @Nullable String instrument,
            @Nullable String geometry,
            @Nullable String illuminant,
            @Nullable String observer,
            @Nullable String backing,
            @Nullable BigDecimal hoursDry,
            @Nullable Long filmMgPerM2,
            @Nullable List<ThingId> over)
            implements TestEvent {
        public ColourRead {
            over = over == null || over.isEmpty() ? null : List.copyOf(over);
        }

        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.colourRead(this);
        }
    }

    /** Somebody said: this is the colour. */
    record ColourAgreed(
            ThingId vessel,
            @Nullable ThingId by,
            @Nullable ThingId paper,
            @Nullable String over,
            @Nullable Wetness wetness,
            @Nullable String light,
            @Nullable String against,
            @Nullable String words)
            implements TestEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.colourAgreed(this);
        }
    }

    /** How dry a run or sheet is, and how that was tried. */
    record DrynessJudged(
            ThingId of,
            @Nullable ThingId sheet,
            Dryness dryness,
            @Nullable String words) implements TestEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.drynessJudged(this);
        }
    }

    /**
     * Tinting strength of one can against another.
     *
     * @param percent 100 for the same
     */
    record StrengthJudged(
            ThingId lot,
            ThingId against,
            BigDecimal percent,
            @Nullable String words) implements TestEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.strengthJudged(this);
        }
    }

    /** One method per event: a new event does not compile until every reader answers it. */
    interface Reader<R> {
        R compared(Compared event);

        R spreadMeasured(SpreadMeasured event);

        R ridgeObserved(RidgeObserved event);

        R stringMeasured(StringMeasured event);

        R tackJudged(TackJudged event);

        R drawdownMade(DrawdownMade event);

        R colourRead(ColourRead event);

        R colourAgreed(ColourAgreed event);

        R drynessJudged(DrynessJudged event);

        R strengthJudged(StrengthJudged event);
    }
}
