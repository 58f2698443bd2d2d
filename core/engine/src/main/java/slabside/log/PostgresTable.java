package slabside.log;

import static java.util.Objects.requireNonNull;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.sql.Array;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Queue;
import java.util.Set;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.Semaphore;
import org.flywaydb.core.Flyway;
import org.flywaydb.core.api.FlywayException;
import org.postgresql.PGConnection;
import org.postgresql.PGNotification;
import slabside.event.EventId;

/**
 * The table of events in a PostgreSQL database that several processes share. Each position is the one behind the last, and can be
 * taken once: so positions follow one another in the order of commits, and nobody who reads forward can miss one. Whoever adds
 * more than one row holds a lock of the database until its transaction ends, so that it need not be decided anew.
 */
final class PostgresTable implements LogStore {
    /** Lock and channel are of one database, which holds one studio. */
    private static final String LOCK_AND_TELL =
            "SELECT pg_advisory_xact_lock(7356352), pg_notify('slabside_event', '')";

    private static final String INSERT_BEHIND =
            "INSERT INTO event (pos, origin, oseq, id, line, hash, again) SELECT ?, ?, ?, ?, ?, ?, ?"
                    + " WHERE (SELECT hash FROM event WHERE pos = ?) = ? RETURNING pg_notify('slabside_event', '')";
    private static final String UNIQUE_VIOLATION = "23505";
    /** Too many connections; a transaction that idled; a lock that another holds. */
    private static final Set<String> PASSING = Set.of("53300", "25P03", "55P03");

    /** Such as for want of a password. */
    private static final String REJECTED = "08004";

    /** File that says which database a folder belongs to. */
    static final String MARK = "studio.address";

    private static final String LISTEN = "LISTEN slabside_event";
    private static final int NEWEST_FORM = 1;
    private static final int OLDEST_SERVER = 12;
    private static final int AT_A_TIME = 2_000;
    private static final int READING_AT_ONCE = 8;
    private static final int POLL_MS = 500;

    private final PostgresAddress address;
    private final Queue<Prepared> idle = new ConcurrentLinkedQueue<>();
    private final Semaphore reading = new Semaphore(READING_AT_ONCE);
    private volatile boolean closed;
    /** The server's process for the connection that last wrote, and since when. */
    private String writer = "";

    private volatile int writerPid;

    PostgresTable(PostgresAddress address) {
        this.address = address;
    }

    @Override
    public String place() {
        return address.toString();
    }

    @Override
    public void settleIn(Path dataFolder) throws IOException {
        Path mark = dataFolder.resolve(MARK);
        if (marked(mark).isEmpty()) {
            Path unfinished = dataFolder.resolve(MARK + ".unfinished");
            Files.writeString(unfinished, place() + "\n");
            Files.move(unfinished, mark, StandardCopyOption.ATOMIC_MOVE);
        }
    }

    /** What a mark says; nothing where there is none, or the power went while it was written. */
    static String marked(Path mark) throws IOException {
        return Files.exists(mark) ? Files.readString(mark).strip() : "";
    }

    /** Lists, photos and names of one studio must not meet those of another. */
    @Override
    public void mayLieIn(Path dataFolder) throws IOException {
        SqliteFile.refuseNetworkDrive(dataFolder);
        Path mark = dataFolder.resolve(MARK);
        if (Files.exists(dataFolder.resolve(SqlEventLog.FILE))) {
            throw new LogTrouble("The folder " + dataFolder
                    + " holds a log of its own. Name another folder with --data for what this machine keeps beside "
                    + place() + ".");
        }
        String marked = marked(mark);
        if (!marked.isEmpty() && !marked.equals(place())) {
            throw new LogTrouble("The folder " + dataFolder + " belongs to the studio in " + marked
                    + ". Name another folder with --data; or, where that database has only moved, delete the file "
                    + mark
                    + " and start again.");
        }
    }

    @Override
    public String prepare(boolean wantsToWrite) throws SQLException {
        try (Prepared database = connect(true)) {
            refuseUnfit(database);
            long form = form(database);
            if (form > NEWEST_FORM) {
                return "it was written by a newer version of this program; update to write to it";
            }
            if (!wantsToWrite) {
                if (form < NEWEST_FORM) {
                    throw new LogTrouble("There is no studio in the database " + place()
                            + ". Make one by serving it, or with the import command.");
                }
                return "it was opened for reading";
            }
            if (form < NEWEST_FORM) {
                migrate();
            }
            return database.number("SELECT CASE WHEN has_table_privilege('event', 'INSERT') THEN 1 ELSE 0 END") == 1
                    ? ""
                    : "its user may not add to the table event; grant INSERT and SELECT on it, and SELECT on flyway_schema_history";
        }
    }

    private void refuseUnfit(Prepared database) throws SQLException {
        int version = database.connection().getMetaData().getDatabaseMajorVersion();
        if (version < OLDEST_SERVER) {
            throw new LogTrouble("The database " + place() + " is PostgreSQL " + version + ", but " + OLDEST_SERVER
                    + " or newer is needed.");
        }
        String encoding = setting(database, "server_encoding");
        if (!encoding.equals("UTF8")) {
            throw new LogTrouble(
                    "The database " + place() + " is encoded in " + encoding
                            + ", which cannot hold every word that may be written down. Make one with: createdb --encoding=UTF8 --template=template0");
        }
        if (setting(database, "fsync").equals("off")) {
            throw new LogTrouble(
                    "The database " + place()
                            + " is set not to wait for its disk (fsync = off), so a power cut could take what was recorded. Set fsync = on.");
        }
    }

    private static String setting(Prepared database, String name) throws SQLException {
        return database.rows("SELECT current_setting(?)", row -> row.getString(1), name)
                .get(0);
    }

    /** 0 where there is none yet, or another machine is just making it. */
    private long form(Prepared database) throws SQLException {
        long form = isThere(database, "flyway_schema_history")
                ? database.number(
                        "SELECT coalesce(max(CAST(version AS integer)), 0) FROM flyway_schema_history WHERE success AND version IS NOT NULL")
                : 0;
        if (form > 0 && !isThere(database, "event")) {
            throw new LogTrouble("The database " + place()
                    + " holds the tables of another program. Give the studio an empty one of its own.");
        }
        return form;
    }

    private static boolean isThere(Prepared database, String table) throws SQLException {
        return database.number("SELECT count(*) FROM pg_class WHERE oid = to_regclass(?)", table) == 1;
    }

    /** Whether a log was begun in the database. */
    boolean holdsLog() {
        return reading(database -> form(database) > 0);
    }

    private void migrate() {
        try {
            Flyway.configure(PostgresTable.class.getClassLoader())
                    .dataSource(address.source())
                    .locations("classpath:db/postgresql")
                    .load()
                    .migrate();
        } catch (FlywayException failed) {
            for (Throwable cause = failed; cause != null; cause = cause.getCause()) {
                if (cause instanceof SQLException sql && isAway(sql)) {
                    throw trouble(sql);
                }
            }
            throw new LogTrouble(
                    "The table of the log cannot be made in " + place() + ": " + failed.getMessage()
                            + ". Give the studio an empty database of its own, whose owner its user is.",
                    failed);
        }
    }

    @Override
    public Prepared connect(boolean readOnly) throws SQLException {
        Connection connection = address.source().getConnection();
        try {
            connection.setTransactionIsolation(Connection.TRANSACTION_READ_COMMITTED);
            connection.setReadOnly(readOnly);
            if (!readOnly) {
                prepareToWrite(connection);
                endBefore(connection);
            }
            connection.setAutoCommit(readOnly);
            return new Prepared(connection);
        } catch (SQLException | RuntimeException failed) {
            connection.close();
            throw failed;
        }
    }

    /**
     * A server or user may be set to acknowledge before its disk has; more than that, such as a second server, stays as it is. The
     * few statements are planned once.
     */
    private static void prepareToWrite(Connection connection) throws SQLException {
        try (Statement say = connection.createStatement()) {
            say.execute(
                    "SELECT set_config('synchronous_commit', 'on', false) WHERE current_setting('synchronous_commit') = 'off'");
            say.execute("SET plan_cache_mode = force_generic_plan");
            // A machine that stops in the middle must not hold up the others.
            say.execute("SET idle_in_transaction_session_timeout = '15s'");
            say.execute("SET lock_timeout = '10s'");
        }
    }

    /**
     * The server may still be at work for a connection that was lost; what it did there must be decided before anybody looks. So
     * the one before this, if it is still there, is ended and waited for.
     */
    private void endBefore(Connection connection) throws SQLException {
        Prepared database = new Prepared(connection);
        Patience patience = new Patience();
        while (!writer.isEmpty()
                && !database.rows(
                                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE pid <> pg_backend_pid() AND pid || ' ' || backend_start = ?",
                                row -> row.getBoolean(1),
                                writer)
                        .isEmpty()) {
            if (patience.isOver()) {
                throw new SQLException("a connection that was lost is still at work on the server", "08006");
            }
            Patience.pause(20);
        }
        writer = database.rows(
                        "SELECT pid || ' ' || backend_start FROM pg_stat_activity WHERE pid = pg_backend_pid()",
                        row -> row.getString(1))
                .get(0);
        writerPid = connection.unwrap(PGConnection.class).getBackendPID();
    }

    /** A connection that is lost is replaced; a database that does not answer is asked again for some seconds. */
    @Override
    public <R> R reading(Query<R> query) {
        Patience patience = new Patience();
        reading.acquireUninterruptibly();
        try {
            while (true) {
                try {
                    return read(query);
                } catch (SQLException failed) {
                    closeIdle(failed);
                    if (closed || !isAway(failed) || patience.isOver()) {
                        throw trouble(failed);
                    }
                    patience.pause();
                }
            }
        } finally {
            reading.release();
        }
    }

    private <R> R read(Query<R> query) throws SQLException {
        Prepared known = idle.poll();
        Prepared connection = known == null ? connect(true) : known;
        try {
            R result = query.on(connection);
            if (closed) {
                connection.close();
            } else {
                idle.add(connection);
            }
            return result;
        } catch (SQLException | RuntimeException failed) {
            connection.close();
            throw failed;
        }
    }

    private void closeIdle(SQLException because) {
        for (Prepared connection = idle.poll(); connection != null; connection = idle.poll()) {
            try {
                connection.close();
            } catch (SQLException more) {
                because.addSuppressed(more);
            }
        }
    }

    /** Lock and looks travel together; the looks see all that was committed before the lock was given. */
    @Override
    public Begun begin(Prepared writing, Batch.State state, Collection<EventId> ids) throws SQLException {
        Batch.State now = state;
        Map<String, Head> met = new HashMap<>();
        PreparedStatement ask = lockAndLook(writing, now, ids);
        List<Stored> since = since(now, next(ask));
        while (since.size() >= AT_A_TIME) {
            // Much was written elsewhere: it is read while others can go on.
            end(writing);
            while (!since.isEmpty()) {
                now = behind(now, since, met);
                since = EventTable.after(writing, now.last(), AT_A_TIME);
            }
            end(writing);
            ask = lockAndLook(writing, now, ids);
            since = since(now, next(ask));
        }
        now = behind(now, since, met);
        Map<EventId, List<Stored>> known = new HashMap<>();
        ids.forEach(id -> known.put(id, new ArrayList<>()));
        for (Stored line : next(ask)) {
            requireNonNull(known.get(line.envelope().id())).add(line);
        }
        return new Begun(now, known, List.copyOf(met.values()));
    }

    private static PreparedStatement lockAndLook(Prepared writing, Batch.State state, Collection<EventId> ids)
            throws SQLException {
        PreparedStatement ask = writing.prepared(LOCK_AND_TELL + "; " + EventTable.FROM + "; " + EventTable.BY_IDS);
        Array texts = writing.connection()
                .createArrayOf("text", ids.stream().map(EventId::text).toArray());
        ask.setLong(1, state.last());
        ask.setInt(2, AT_A_TIME + 1);
        ask.setArray(3, texts);
        ask.setArray(4, texts);
        ask.execute();
        return ask;
    }

    private static List<Stored> next(PreparedStatement asked) throws SQLException {
        asked.getMoreResults();
        List<Stored> found = new ArrayList<>();
        try (ResultSet rows = asked.getResultSet()) {
            while (rows.next()) {
                found.add(EventTable.stored(rows));
            }
        }
        return found;
    }

    /** What came after the row that this process knows as the last, which must still be there. */
    private List<Stored> since(Batch.State state, List<Stored> found) {
        if (state.last() == 0) {
            return found;
        }
        if (found.isEmpty() || !found.get(0).hash().equals(state.hash())) {
            throw new LogTrouble(
                    "The log in " + place()
                            + " is not the one that was here: it was put back from a copy, or another took its place. Nothing was recorded; start the program again.");
        }
        return found.subList(1, found.size());
    }

    private static Batch.State behind(Batch.State state, List<Stored> since, Map<String, Head> met) {
        Batch.State now = state;
        for (Stored stored : since) {
            now = now.behind(stored);
            met.put(stored.envelope().origin(), stored.head());
        }
        return now;
    }

    @Override
    public boolean add(Prepared writing, List<Object[]> rows) throws SQLException {
        try {
            writing.updateAll(EventTable.INSERT, rows);
            writing.connection().commit();
            return true;
        } catch (SQLException failed) {
            if (isTaken(failed)) {
                writing.connection().rollback();
                return false;
            }
            throw failed;
        }
    }

    /**
     * One statement, without the lock: the position is free only as long as nobody wrote meanwhile, the id only where its event is
     * not here yet.
     */
    @Override
    public boolean addAtOnce(Prepared writing, Batch.State before, Object[] row) throws SQLException {
        PreparedStatement ask = writing.prepared(INSERT_BEHIND);
        byte[] hash = Chain.HEX.parseHex(before.hash());
        Prepared.bind(ask, row[0], row[1], row[2], row[3], row[4], row[5], row[6], before.last(), hash);
        writing.connection().setAutoCommit(true);
        try (ResultSet told = ask.executeQuery()) {
            return told.next();
        } catch (SQLException failed) {
            if (isTaken(failed)) {
                return false;
            }
            throw failed;
        } finally {
            writing.connection().setAutoCommit(false);
        }
    }

    private static boolean isTaken(SQLException failed) {
        return UNIQUE_VIOLATION.equals(failed.getSQLState());
    }

    @Override
    public void end(Prepared writing) throws SQLException {
        writing.connection().rollback();
    }

    @Override
    public boolean isShared() {
        return true;
    }

    /** Listens for what others say after their commits, and looks by itself between. */
    @Override
    public void follow(Runnable wakeUp) {
        Thread thread = new Thread(() -> listen(wakeUp), "slabside-listener");
        thread.setDaemon(true);
        thread.start();
    }

    private void listen(Runnable wakeUp) {
        long seen = 0;
        while (!closed) {
            try (Prepared database = connect(true)) {
                database.update(LISTEN);
                PGConnection ear = database.connection().unwrap(PGConnection.class);
                boolean news = true;
                while (!closed) {
                    long last = news ? EventTable.last(database) : seen;
                    if (last != seen) {
                        seen = last;
                        wakeUp.run();
                    }
                    news = isNews(ear.getNotifications(POLL_MS));
                }
            } catch (SQLException lost) {
                // Whoever reads or writes meanwhile is told; here it is only tried again.
                Patience.pause(POLL_MS);
            }
        }
    }

    /** What this process wrote it knows; where nobody said anything for a while, it looks. */
    private boolean isNews(PGNotification[] told) {
        return told.length == 0 || Arrays.stream(told).anyMatch(each -> each.getPID() != writerPid);
    }

    @Override
    public void copyTo(Path copy) throws SQLException {
        try (Prepared database = connect(true);
                Prepared file = SqliteFile.fresh(copy)) {
            EventTable.copy(database, file);
            file.connection().commit();
        }
    }

    @Override
    public long size() throws SQLException {
        return reading(database -> database.number("SELECT pg_total_relation_size('event')"));
    }

    @Override
    public String lineBeginsWith(String text) {
        return "starts_with(line, " + text + ")";
    }

    /** Pages and indexes are for the database's own tools. */
    @Override
    public Optional<Verification.Wrong> around(Prepared log, long events) throws SQLException {
        return Verification.neverRead(log);
    }

    /** Whether an end was cut off only the machines know that have seen it. */
    @Override
    public Optional<Verification.Wrong> ending(Prepared log) {
        return Optional.empty();
    }

    /** Lost connections, a server that stops or starts, too many connections: SQLSTATE classes 08 and 57P, and what passes. */
    @Override
    public boolean isAway(SQLException failed) {
        String state = String.valueOf(failed.getSQLState());
        return state.startsWith("08") && !state.equals(REJECTED) || state.startsWith("57P") || PASSING.contains(state);
    }

    @Override
    public LogTrouble trouble(SQLException failed) {
        String state = String.valueOf(failed.getSQLState());
        if (isAway(failed)) {
            return new LogAway("The database " + place() + " does not answer (" + failed.getMessage() + ").", failed);
        }
        String said;
        if (state.startsWith("28") || state.equals(REJECTED)) {
            said = "The database " + place() + " let nobody in (" + failed.getMessage()
                    + "). Set PGUSER and PGPASSWORD, or write a password file and set PGPASSFILE.";
        } else if (state.equals("3D000")) {
            said = "There is no such database as " + place() + ". Make it with createdb.";
        } else if (state.equals("53100")) {
            said = "Nothing was recorded: the disk of the database " + place()
                    + " is full. Free some space and enter it again.";
        } else if (state.equals("25006")) {
            said = "Nothing was recorded: the database " + place()
                    + " may only be read; it may be the second of two. Name the one that is written.";
        } else if (state.startsWith("42501")) {
            said = "Nothing was recorded: the user of the database " + place() + " lacks a right ("
                    + failed.getMessage() + ").";
        } else {
            said = "The database " + place() + " could not be used: " + failed.getMessage();
        }
        return new LogTrouble(said, failed);
    }

    @Override
    public void close() {
        // Whoever listens notices soon.
        closed = true;
        for (Prepared connection = idle.poll(); connection != null; connection = idle.poll()) {
            try {
                connection.close();
            } catch (SQLException gone) {
                // The server has closed its end, which was all that was wanted.
                continue;
            }
        }
    }
}
