package slabside.log;

import java.io.IOException;
import java.nio.file.Path;
import java.sql.SQLException;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import slabside.event.EventId;

/** A database that holds the one table of events: its connections, what only it can say of itself, its errors in plain words. */
interface LogStore extends AutoCloseable {
    /** Where the log lies, for people to read. */
    String place();

    /** Refuses a folder beside which this log cannot be kept safely. */
    void mayLieIn(Path dataFolder) throws IOException;

    /** Marks a folder as that of this log, once the log could be opened. */
    void settleIn(Path dataFolder) throws IOException;

    /**
     * Brings the table to the newest form, or only looks at it.
     *
     * @return why it may not be written; empty when it may
     */
    String prepare(boolean wantsToWrite) throws SQLException;

    /** A connection of its own; one that writes commits when it is told to. */
    Prepared connect(boolean readOnly) throws SQLException;

    /** Runs a query on some connection. */
    <R> R reading(Query<R> query);

    interface Query<R> {
        R on(Prepared log) throws SQLException;
    }

    /**
     * Begins a transaction in which nobody else can add.
     *
     * @param state as this process left the log
     * @param ids that will be looked up
     */
    Begun begin(Prepared writing, Batch.State state, Collection<EventId> ids) throws SQLException;

    /**
     * The log in a transaction.
     *
     * @param state as it stands, with what others added since
     * @param known lines of ids that were looked up already
     * @param met newest events of chains that others added to
     */
    record Begun(Batch.State state, Map<EventId, List<Stored>> known, List<Head> met) {}

    /**
     * Adds rows, in the order of {@link EventTable#INSERT}, and ends the transaction.
     *
     * @return false where another took one of their positions first; nothing was added then
     */
    boolean add(Prepared writing, List<Object[]> rows) throws SQLException;

    /**
     * Adds one row that was decided on before, if the log stands as it did then and the row's event is not in it; for a log
     * that others may add to.
     *
     * @return whether it was added; where not, nothing was
     */
    boolean addAtOnce(Prepared writing, Batch.State before, Object[] row) throws SQLException;

    /** Ends such a transaction where nothing was added in it. */
    void end(Prepared writing) throws SQLException;

    /** Whether an error means that the database cannot be reached for now. */
    boolean isAway(SQLException failed);

    /** Whether others may have added since this process last did. */
    boolean isShared();

    /** Calls {@code wakeUp} soon after another process has added something, where this can be known. */
    void follow(Runnable wakeUp);

    /** Writes everything into a file of SQLite, which must not be there. */
    void copyTo(Path copy) throws SQLException;

    /** About how many bytes that will be. */
    long size() throws SQLException;

    /** SQL that is true of a row whose line begins with some text, given as SQL. */
    String lineBeginsWith(String text);

    /** What is wrong with the file or table around the events, as far as it can say. */
    Optional<Verification.Wrong> around(Prepared log, long events) throws SQLException;

    /** What is wrong with the end of the table, as far as it can say. */
    Optional<Verification.Wrong> ending(Prepared log) throws SQLException;

    LogTrouble trouble(SQLException failed);

    @Override
    void close() throws SQLException;
}
