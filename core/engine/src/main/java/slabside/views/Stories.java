package slabside.views;

import java.util.Collection;
import java.util.List;
import java.util.Optional;
import slabside.event.EventId;
import slabside.event.ShelfEvent;
import slabside.event.ThingId;

/** The events about a thing, as they read at one state of knowledge. What every fold is given. */
public interface Stories {
    /**
     * Events that play one of the roles for a thing, in story order, up to and with {@code until}; voided ones are left
     * out. Records joined by {@code same-thing} count as one thing.
     */
    List<Told> of(ThingId thing, Collection<Role> roles, StoryKey until);

    /** Whether ink ever came into a vessel from another one; a can that only ever came from the supply is a lot. */
    default boolean isMixed(ThingId vessel) {
        return of(vessel, List.of(Role.IN), StoryKey.LAST).stream()
                .anyMatch(told -> !(told.event() instanceof ShelfEvent.CanReceived));
    }

    /** One event, voided or not. */
    Optional<Told> told(EventId id);

    /** The record that stands for a thing after {@code same-thing}. */
    ThingId canonical(ThingId thing);

    /** What a thing is called. */
    Optional<Thing> thing(ThingId id);

    /** A number that changes whenever any answer here may have changed. */
    long version();

    /**
     * A number, never above {@link #version()}, that changes whenever an answer about this thing alone may have changed: its
     * story, whether it is mixed, what it is called.
     */
    default long version(ThingId thing) {
        return version();
    }
}
