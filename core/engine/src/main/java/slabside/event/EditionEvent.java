package slabside.event;

import java.util.List;
import org.jspecify.annotations.Nullable;

/** An edition from the plan to the last released print. */
public sealed interface EditionEvent extends StudioEvent {
    <R> R readBy(Reader<R> reader);

    /**
     * What an edition is to be.
     *
     * @param number of numbered impressions
     * @param proofs wanted beside them: artist's, printer's, presentation and the like
     * @param overs sheets to go through beyond all these, for what will be lost
     * @param earlier edition of the same image
     */
    record Planned(
            ThingId edition,
            String title,
            @Nullable String artist,
            @Nullable Integer number,
            @Nullable Long imageWidthUm,
            @Nullable Long imageHeightUm,
            @Nullable Long sheetWidthUm,
            @Nullable Long sheetHeightUm,
            @Nullable ThingId paper,
            @Nullable Integer proofs,
            @Nullable Integer overs,
            @Nullable ThingId earlier,
            @Nullable String words)
            implements EditionEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.planned(this);
        }
    }

    /** One printing of one stone or plate. */
    record RunPlanned(
            ThingId run,
            ThingId edition,
            int order,
            @Nullable Surface surface,
            @Nullable ThingId stone,
            @Nullable String name,
            @Nullable ThingId recipe)
            implements EditionEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.runPlanned(this);
        }
    }

    /** The standard for the edition. */
    record OkSigned(
            ThingId edition,
            ThingId sheet,
            @Nullable ThingId by,
            @Nullable String words) implements EditionEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.okSigned(this);
        }
    }

    /** A sheet was looked at after printing. */
    record Curated(
            ThingId edition,
            ThingId sheet,
            CuratedAs grade,
            @Nullable String words) implements EditionEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.curated(this);
        }
    }

    /** A sheet became an impression. */
    record Numbered(
            ThingId edition,
            ThingId sheet,
            ImpressionKind kind,
            @Nullable Integer number,
            @Nullable Integer of,
            @Nullable String style)
            implements EditionEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.numbered(this);
        }
    }

    /** Impressions were signed. */
    record Signed(
            ThingId edition,
            List<ThingId> sheets,
            ThingId by,
            @Nullable String where,
            @Nullable String medium) implements EditionEvent {
        public Signed {
            sheets = List.copyOf(sheets);
        }

        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.signed(this);
        }
    }

    /** Impressions got the workshop's chop. */
    record Chopped(ThingId edition, List<ThingId> sheets, String chop) implements EditionEvent {
        public Chopped {
            sheets = List.copyOf(sheets);
        }

        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.chopped(this);
        }
    }

    /** Torn down, cleaned, coloured by hand, interleaved. */
    record Finished(ThingId edition, List<ThingId> sheets, String words) implements EditionEvent {
        public Finished {
            sheets = List.copyOf(sheets);
        }

        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.finished(this);
        }
    }

    /** Impressions left the workshop. */
    record Released(
            ThingId edition,
            List<ThingId> sheets,
            @Nullable ThingId to,
            @Nullable String words) implements EditionEvent {
        public Released {
            sheets = List.copyOf(sheets);
        }

        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.released(this);
        }
    }

    /** Impressions came back. */
    record Returned(
            ThingId edition,
            List<ThingId> sheets,
            @Nullable ThingId from,
            @Nullable String words) implements EditionEvent {
        public Returned {
            sheets = List.copyOf(sheets);
        }

        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.returned(this);
        }
    }

    /** Impressions were destroyed. */
    record Destroyed(
            ThingId edition,
            List<ThingId> sheets,
            @Nullable ThingId witness,
            @Nullable String words) implements EditionEvent {
        public Destroyed {
            sheets = List.copyOf(sheets);
        }

        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.destroyed(this);
        }
    }

    /** Something that no other event tells, for the papers of an edition. */
    record Stated(ThingId edition, StatedFact fact, String words) implements EditionEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.stated(this);
        }
    }

    /**
     * How long a stage took on the day of this event; counts instead of what that day's entries say of it.
     *
     * @param durationMs by the clock
     * @param hands people at it; absent for one
     */
    record TimeStated(
            ThingId edition,
            Stage stage,
            long durationMs,
            @Nullable Integer hands,
            @Nullable String words) implements EditionEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.timeStated(this);
        }
    }

    /** No more will be printed. */
    record Closed(ThingId edition, @Nullable String words) implements EditionEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.closed(this);
        }
    }

    /** One method per event: a new event does not compile until every reader answers it. */
    interface Reader<R> {
        R planned(Planned event);

        R runPlanned(RunPlanned event);

        R okSigned(OkSigned event);

        R curated(Curated event);

        R numbered(Numbered event);

        R signed(Signed event);

        R chopped(Chopped event);

        R finished(Finished event);

        R released(Released event);

        R returned(Returned event);

        R destroyed(Destroyed event);

        R stated(Stated event);

        R timeStated(TimeStated event);

        R closed(Closed event);
    }
}
