package slabside.log;

import java.util.Optional;
import slabside.event.EventId;

/** The log while a decision is taken. */
public interface LogState {
    Optional<Stored> find(EventId id);

    /** Position of the newest event. */
    long last();
}
