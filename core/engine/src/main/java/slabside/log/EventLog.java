package slabside.log;

import java.util.List;
import java.util.Optional;
import slabside.event.EventId;

/**
 * All that ever happened in a studio, in order of arrival. Only grows. Safe for use by many threads.
 */
public interface EventLog extends AutoCloseable {
    /**
     * Runs a decision against the log as it stands, appends what it returns, and comes back when that is durable.
     *
     * <p>A draft whose id is already in the log adds nothing if it says the same; the receipt then names the first
     * position.
     *
     * @throws slabside.measure.BadInput when the decision refuses, a draft cannot be taken, or an id was used before for
     *     something else; nothing of the decision is recorded then
     * @throws LogTrouble when the disk or the file would not take it; nothing of the decision is recorded then
     */
    Receipt append(Decision decision);

    /**
     * Adds lines of other origins, or of this one's past, exactly as they stand; those already here add nothing.
     *
     * @return how many were new
     * @throws slabside.measure.BadInput naming the first line that does not fit its chain; nothing is added then
     */
    int adopt(List<ForeignLine> lines);

    /** Up to {@code limit} events that arrived after {@code pos}, oldest first. */
    List<Stored> read(long pos, int limit);

    /** The event at a position. */
    Optional<Stored> at(long pos);

    /** The event with an id. */
    Optional<Stored> find(EventId id);

    /** Newest event of every chain; where a chain forked, one for each branch. */
    List<Head> heads();

    /** Position of the newest event; 0 when there is none. */
    long last();

    /** Calls {@code wakeUp} soon after events were added; it must return at once. */
    void follow(Runnable wakeUp);

    @Override
    void close();
}
