package slabside.views;

import java.util.List;
import org.jspecify.annotations.Nullable;
import slabside.event.Envelope;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.StudioEvent;

/**
 * An event as it reads after all corrections known at some moment.
 *
 * @param pos arrival on this machine
 * @param key place in story order
 * @param envelope as first recorded
 * @param event as it reads now
 * @param happened when, as it reads now
 * @param after the event it directly follows, as it reads now
 * @param voided it did not happen after all
 * @param versions ids of the newest amendments that stand; more than one means disputed
 * @param adrift its "after" leads nowhere or round in a circle, so it stands at its own time
 */
public record Told(
        long pos,
        StoryKey key,
        Envelope envelope,
        StudioEvent event,
        Happened happened,
        @Nullable EventId after,
        boolean voided,
        List<EventId> versions,
        boolean adrift) {
    /**
     * How an event reads by one of several amendments.
     *
     * @param amendment that it was made by
     */
    public record Reading(
            Envelope amendment,
            StudioEvent event,
            Happened happened,
            @Nullable EventId after) {}

    public Told {
        versions = List.copyOf(versions);
    }

    public EventId id() {
        return envelope.id();
    }

    public boolean amended() {
        return !versions.isEmpty();
    }

    public boolean disputed() {
        return versions.size() > 1;
    }
}
