package slabside.log;

import org.jspecify.annotations.Nullable;
import slabside.event.Actor;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.StudioEvent;

/**
 * An event about to be appended.
 *
 * @param id made where the tap happens; sending it again is harmless
 * @param after the event that this one directly follows, if that is known
 */
public record Draft(EventId id, Happened happened, @Nullable EventId after, Actor actor, StudioEvent event) {}
