package slabside.event;

import java.util.List;
import org.jspecify.annotations.Nullable;
import slabside.measure.Amount;

/** What comes onto the shelf, is opened, weighed, looked at and used up; and the tools. */
public sealed interface ShelfEvent extends StudioEvent {
    <R> R readBy(Reader<R> reader);

    /**
     * A kind of ink, base, powder or oil, as it is bought.
     *
     * @param pigment Colour Index name
     * @param lightfastness as the maker states it
     * @param screen a colour picked on a screen as #rrggbb, an assumption
     */
    record MaterialListed(
            ThingId material,
            String name,
            MaterialRole role,
            @Nullable String pigment,
            @Nullable String lightfastness,
            @Nullable String screen,
            @Nullable String cautions)
            implements ShelfEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.materialListed(this);
        }
    }

    /**
     * A can came in: ink moves from the supply into it.
     *
     * @param dataSheet where the safety data sheet is kept
     */
    record CanReceived(
            ThingId can,
            ThingId material,
            @Nullable String lot,
            @Nullable String label,
            Amount net,
            @Nullable Long tareMg,
            @Nullable Price price,
            @Nullable String dataSheet)
            implements ShelfEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.canReceived(this);
        }
    }

    /** A can was opened for the first time, or again. */
    record CanOpened(ThingId can, @Nullable String words) implements ShelfEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.canOpened(this);
        }
    }

    /**
     * A vessel stood on a scale; an observation, not a move.
     *
     * @param readingMg what the scale showed
     * @param tareMg of the empty vessel, where known; without it only differences count
     */
    record VesselWeighed(
            ThingId vessel, long readingMg, @Nullable Long tareMg, long stepMg, String entered) implements ShelfEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.vesselWeighed(this);
        }
    }

    /** A can or packet was looked into. */
    record VesselInspected(
            ThingId vessel, List<Condition> found, @Nullable String words) implements ShelfEvent {
        public VesselInspected {
            found = List.copyOf(found);
        }

        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.vesselInspected(this);
        }
    }

    /** Nothing usable is left in a can; an observation, not a move. */
    record CanFinished(ThingId can, @Nullable String words) implements ShelfEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.canFinished(this);
        }
    }

    /**
     * A roller, bar, tympan, scale or other tool.
     *
     * @param diameterUm in micrometres
     * @param stepMg smallest step a scale shows
     */
    record ToolListed(
            ThingId tool,
            ToolKind kind,
            String name,
            @Nullable Long diameterUm,
            @Nullable Long widthUm,
            @Nullable String cover,
            @Nullable Long stepMg)
            implements ShelfEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.toolListed(this);
        }
    }

    /** A tool was cleaned. */
    record ToolCleaned(ThingId tool, @Nullable String words) implements ShelfEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.toolCleaned(this);
        }
    }

    /** A scale was checked against a known mass. */
    record ScaleChecked(ThingId scale, long standardMg, long readingMg) implements ShelfEvent {
        @Override
        public <R> R readBy(Reader<R> reader) {
            return reader.scaleChecked(this);
        }
    }

    /** One method per event: a new event does not compile until every reader answers it. */
    interface Reader<R> {
        R materialListed(MaterialListed event);

        R canReceived(CanReceived event);

        R canOpened(CanOpened event);

        R vesselWeighed(VesselWeighed event);

        R vesselInspected(VesselInspected event);

        R canFinished(CanFinished event);

        R toolListed(ToolListed event);

        R toolCleaned(ToolCleaned event);

        R scaleChecked(ScaleChecked event);
    }
}
