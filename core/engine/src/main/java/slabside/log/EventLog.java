package slabside.log;

import java.util.List;
import java.util.Optional;
import java.util.Set;
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
     * @throws LogTrouble when the disk or the database would not take it; nothing of the decision is recorded then, unless it says
     *     that this is not known
     */
    Receipt append(Decision decision);

    /**
     * Adds lines of other origins, or of this one's past, exactly as they stand; those already here add nothing. An entry
     * that stands here in another chain is added too, and then read once ({@link #find}).
     *
     * @return how many were new
     * @throws slabside.measure.BadInput naming the first line that does not fit its chain; nothing is added then
     */
    int adopt(List<ForeignLine> lines);

    /** Up to {@code limit} events that arrived after {@code pos}, oldest first. */
    List<Stored> read(long pos, int limit);

    /** The event at a position. */
    Optional<Stored> at(long pos);

    /**
     * The event with an id. Where several chains have it, the line that was recorded first by the order that is the same on every
     * machine; the others stand, but say nothing.
     */
    default Optional<Stored> find(EventId id) {
        return lines(id).stream().findFirst();
    }

    /** Every line of an event, the one that counts first. */
    List<Stored> lines(EventId id);

    /** Events that stand in more than one line; few, if any. */
    Set<EventId> twice();

    /** Lines of a chain from one place in it to another, both included, by place; those of two branches at one place by hash. */
    List<Stored> chain(String origin, long from, long to);

    /** Whether exactly this line is here, and with it all before it. */
    boolean holds(Head head);

    /** Newest event of every chain; where a chain parted, the ends of its longest branches. */
    List<Head> heads();

    /** Where chains parted, because one was written on in two places: the first line of every branch. Reads all chains. */
    List<Head> forks();

    /** Position of the newest event; 0 when there is none. */
    long last();

    /** Calls {@code wakeUp} soon after events were added; it must return at once. */
    void follow(Runnable wakeUp);

    @Override
    void close();
}
