package slabside.log;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.stream.Collectors;
import org.flywaydb.core.Flyway;
import org.sqlite.SQLiteConfig;
import org.sqlite.SQLiteErrorCode;
import org.sqlite.SQLiteException;
import slabside.event.EventId;

/** The SQLite file of the log: what it may lie on, its connections, its few queries, and its errors in plain words. */
final class SqliteFile implements LogStore {
    /** SQLite before this had faults that could lose a committed page. */
    private static final String OLDEST_SQLITE = "3.51.3";

    private static final int NEWEST_SCHEMA = 2;
    /** Which of some ids, given as a JSON array, are in the log. */
    private static final String KNOWN_OF =
            "SELECT id FROM event WHERE id IN (SELECT value FROM json_each(?)) AND NOT again";

    private static final Set<String> NETWORK_DRIVES = Set.of(
            "nfs",
            "nfs4",
            "cifs",
            "smbfs",
            "smb2",
            "smb3",
            "afpfs",
            "webdav",
            "davfs",
            "9p",
            "ncpfs",
            "sshfs",
            "fuse.sshfs");

    private final Path path;
    private final ConcurrentLinkedQueue<Prepared> idle = new ConcurrentLinkedQueue<>();

    /** Every connection to a log goes through this; a test puts faults there. */
    interface Driver {
        Driver PLAIN = connection -> connection;

        Connection through(Connection connection);
    }

    private final Driver driver;

    SqliteFile(Path path) {
        this(path, Driver.PLAIN);
    }

    SqliteFile(Path path, Driver driver) {
        this.path = path;
        this.driver = driver;
    }

    @Override
    public String place() {
        return path.toString();
    }

    Path path() {
        return path;
    }

    @Override
    public void mayLieIn(Path dataFolder) throws IOException {
        refuseNetworkDrive(dataFolder);
        String address = PostgresTable.marked(dataFolder.resolve(PostgresTable.MARK));
        if (!address.isEmpty()) {
            throw new LogTrouble("The folder " + dataFolder + " belongs to the studio in " + address
                    + ". Open it with --log " + address + ", or name another folder with --data.");
        }
    }

    static void refuseNetworkDrive(Path dataFolder) throws IOException {
        if (Files.exists(dataFolder)) {
            refuseNetworkDrive(dataFolder, Files.getFileStore(dataFolder).type());
        }
    }

    @Override
    public void settleIn(Path dataFolder) {
        // The log itself lies there.
    }

    static void refuseNetworkDrive(Path dataFolder, String fileStoreType) {
        if (NETWORK_DRIVES.contains(fileStoreType.toLowerCase(Locale.ROOT))) {
            throw new LogTrouble("The folder " + dataFolder + " lies on a network drive (" + fileStoreType
                    + "), where a log cannot be kept safely. Choose a folder on a disk of this machine with --data.");
        }
    }

    static void refuseOldSqlite(String version) {
        if (older(version, OLDEST_SQLITE)) {
            throw new LogTrouble("The SQLite library found is " + version + ", but " + OLDEST_SQLITE
                    + " or newer is needed. Start the program with the libraries that came with it.");
        }
    }

    private static boolean older(String version, String than) {
        String[] left = version.split("\\.");
        String[] right = than.split("\\.");
        for (int i = 0; i < right.length; i++) {
            int difference =
                    Integer.compare(i < left.length ? Integer.parseInt(left[i]) : 0, Integer.parseInt(right[i]));
            if (difference != 0) {
                return difference < 0;
            }
        }
        return false;
    }

    @Override
    public String prepare(boolean wantsToWrite) throws SQLException {
        String hindrance = wantsToWrite ? hindrance() : "it was opened for reading";
        if (hindrance.isEmpty()) {
            hindrance = migrate();
        }
        if (!hindrance.isEmpty()) {
            refuseEarlierForm();
        }
        return hindrance;
    }

    /** Why this file may not be written; empty when it may. */
    private String hindrance() {
        if (!Files.exists(path)) {
            return Files.isWritable(path.getParent())
                    ? ""
                    : "the folder " + path.getParent() + " may not be written; change its permissions";
        }
        return Files.isWritable(path) ? "" : "the file " + path + " may not be written; change its permissions";
    }

    /**
     * Brings the file to the newest form.
     *
     * @return why it may not be written, or an empty text
     */
    private String migrate() throws SQLException {
        int schema = Files.exists(path) ? schema() : 0;
        if (schema > NEWEST_SCHEMA) {
            return "it was written by a newer version of this program; update to write to it";
        }
        if (schema < NEWEST_SCHEMA) {
            Path before = path.resolveSibling(path.getFileName() + ".before-form-" + NEWEST_SCHEMA);
            if (schema > 0 && !Files.exists(before)) {
                // As it is, whole or not; a copy that was not finished bears another name.
                Path unfinished = before.resolveSibling(before.getFileName() + ".unfinished");
                try {
                    Files.deleteIfExists(unfinished);
                    copyTo(unfinished);
                    Files.move(unfinished, before);
                } catch (IOException failed) {
                    throw new LogTrouble(
                            "The log must be brought to a newer form, but no copy of it as it is could be made: "
                                    + failed.getMessage() + ". Make room on the disk; nothing was changed.",
                            failed);
                }
            }
            newestForm(path);
        }
        return "";
    }

    private static void newestForm(Path path) {
        Flyway.configure(SqliteFile.class.getClassLoader())
                .dataSource("jdbc:sqlite:" + path, "", "")
                .locations("classpath:db/migration")
                .load()
                .migrate();
    }

    /** An empty log in a file of its own; whoever fills it commits at the end. */
    static Prepared fresh(Path path) throws SQLException {
        newestForm(path);
        SQLiteConfig config = new SQLiteConfig();
        config.setGetGeneratedKeys(false);
        config.setSynchronous(SQLiteConfig.SynchronousMode.OFF);
        Connection connection = config.createConnection("jdbc:sqlite:" + path);
        connection.setAutoCommit(false);
        return new Prepared(connection);
    }

    /** Without what is unfinished. */
    @Override
    public void copyTo(Path copy) throws SQLException {
        try (Prepared log = connect(true);
                PreparedStatement vacuum = log.connection().prepareStatement("VACUUM INTO ?")) {
            vacuum.setString(1, copy.toString());
            vacuum.execute();
        }
    }

    /** A log of an earlier form is read only after it was brought to this one. */
    private void refuseEarlierForm() throws SQLException {
        if (Files.exists(path) && schema() < NEWEST_SCHEMA) {
            throw new LogTrouble(
                    "The log " + path
                            + " is of an earlier form. Open it once where it may be written, with this program and no other at work on it; or copy its folder to such a place.");
        }
    }

    private int schema() throws SQLException {
        try (Prepared log = connect(true)) {
            return log.number("SELECT count(*) FROM sqlite_schema WHERE name = 'flyway_schema_history'") == 0
                    ? 0
                    : (int) log.number("SELECT max(CAST(version AS INTEGER)) FROM flyway_schema_history WHERE success");
        }
    }

    /** A copy is read as it lies there, with what is unfinished beside it, and nothing is written beside it. */
    Prepared connectToCopy() throws SQLException {
        SQLiteConfig config = new SQLiteConfig();
        config.setGetGeneratedKeys(false);
        config.setReadOnly(true);
        config.setBusyTimeout(10_000);
        boolean unfinished =
                path.resolveSibling(path.getFileName() + "-wal").toFile().length() > 0;
        return new Prepared(config.createConnection(
                "jdbc:sqlite:" + (unfinished ? path.toString() : path.toUri() + "?immutable=1")));
    }

    @Override
    public Prepared connect(boolean readOnly) throws SQLException {
        if (readOnly && !Files.exists(path)) {
            throw new LogTrouble(
                    "There is no studio in " + path.getParent()
                            + ". Make one with the demo or import command, or by serving it, or name another folder with --data.");
        }
        SQLiteConfig config = new SQLiteConfig();
        config.setGetGeneratedKeys(false);
        config.setReadOnly(readOnly);
        config.setBusyTimeout(10_000);
        if (!readOnly) {
            config.setJournalMode(SQLiteConfig.JournalMode.WAL);
            config.setSynchronous(SQLiteConfig.SynchronousMode.FULL);
            config.setTransactionMode(SQLiteConfig.TransactionMode.IMMEDIATE);
        }
        Connection connection = config.createConnection("jdbc:sqlite:" + (readOnly ? readable() : path.toString()));
        try {
            refuseOldSqlite(version(connection));
            connection.setAutoCommit(readOnly);
            return new Prepared(driver.through(connection));
        } catch (SQLException | RuntimeException failed) {
            connection.close();
            throw failed;
        }
    }

    /** Where a folder may not be written, SQLite cannot keep its index of unfinished pages, and must be told that none come. */
    private String readable() {
        if (Files.isWritable(path.getParent())) {
            return path.toString();
        }
        Path unfinished = path.resolveSibling(path.getFileName() + "-wal");
        if (unfinished.toFile().length() > 0) {
            throw new LogTrouble(
                    "The folder " + path.getParent() + " may not be written, and its log was not closed properly."
                            + " Copy the whole folder to a disk that may be written and open it there.");
        }
        return path.toUri() + "?immutable=1";
    }

    @Override
    public <R> R reading(Query<R> query) {
        Prepared connection = idle.poll();
        try {
            if (connection == null) {
                connection = connect(true);
            }
            R result = query.on(connection);
            idle.add(connection);
            return result;
        } catch (SQLException failed) {
            throw trouble(failed);
        }
    }

    @Override
    public void close() throws SQLException {
        for (Prepared connection = idle.poll(); connection != null; connection = idle.poll()) {
            connection.close();
        }
    }

    private static String version(Connection connection) throws SQLException {
        try (Statement ask = connection.createStatement();
                ResultSet row = ask.executeQuery("SELECT sqlite_version()")) {
            row.next();
            return row.getString(1);
        }
    }

    /** Nobody else writes; several ids are looked up at once, a single one when it is needed. */
    @Override
    public Begun begin(Prepared writing, Batch.State state, Collection<EventId> ids) throws SQLException {
        Map<EventId, List<Stored>> known = new HashMap<>();
        if (ids.size() > 1) {
            ids.forEach(id -> known.put(id, List.of()));
            String all = ids.stream().map(EventId::text).collect(Collectors.joining("\",\"", "[\"", "\"]"));
            for (EventId id : writing.rows(KNOWN_OF, row -> new EventId(row.getString(1)), all)) {
                known.put(id, EventTable.allOf(writing, id));
            }
        }
        return new Begun(state, known, List.of());
    }

    @Override
    public boolean add(Prepared writing, List<Object[]> rows) throws SQLException {
        writing.updateAll(EventTable.INSERT, rows);
        writing.connection().commit();
        return true;
    }

    @Override
    public boolean addAtOnce(Prepared writing, Batch.State before, Object[] row) {
        // Everything is near at hand here.
        return false;
    }

    @Override
    public void end(Prepared writing) {
        // What was looked up stands: nobody else writes.
    }

    @Override
    public boolean isAway(SQLException failed) {
        return false;
    }

    @Override
    public boolean isShared() {
        return false;
    }

    @Override
    public void follow(Runnable wakeUp) {
        // Nobody else writes.
    }

    @Override
    public String lineBeginsWith(String text) {
        return "instr(line, " + text + ") = 1";
    }

    @Override
    public Optional<Verification.Wrong> around(Prepared log, long events) throws SQLException {
        boolean marks = log.number("SELECT count(*) FROM pragma_table_info('event') WHERE name = 'again'") > 0;
        Optional<Verification.Wrong> unread = marks ? Verification.neverRead(log) : Optional.empty();
        return unread.isPresent()
                ? unread
                : structure(log)
                        .map(said -> new Verification.Wrong(
                                events + 1,
                                "every event reads as it was written, but the file around them is damaged (" + said
                                        + "); put it together anew with restore"));
    }

    /** What SQLite finds wrong with pages and indexes, which no walk through the rows would meet. */
    static Optional<String> structure(Prepared log) throws SQLException {
        List<String> said = log.rows("PRAGMA integrity_check(3)", row -> row.getString(1));
        return said.equals(List.of("ok")) ? Optional.empty() : Optional.of(String.join("; ", said));
    }

    /** Positions are given out once and for all, so a cut end leaves a trace in the file itself. */
    @Override
    public Optional<Verification.Wrong> ending(Prepared log) throws SQLException {
        // Both in one look, since a log that is being written grows between two.
        List<long[]> ends = log.rows(
                "SELECT (SELECT ifnull(max(seq), 0) FROM sqlite_sequence WHERE name = 'event'), (SELECT ifnull(max(pos), 0) FROM event)",
                row -> new long[] {row.getLong(1), row.getLong(2)});
        long given = ends.get(0)[0];
        long last = ends.get(0)[1];
        return given <= last
                ? Optional.empty()
                : Optional.of(new Verification.Wrong(
                        last + 1,
                        "positions up to " + given + " were given out, but the log ends at " + last
                                + ": its end was cut off"));
    }

    @Override
    public long size() {
        return path.toFile().length();
    }

    @Override
    public LogTrouble trouble(SQLException failed) {
        return trouble(path, failed);
    }

    /** An error of the driver in one sentence that says what to do. */
    static LogTrouble trouble(Path path, SQLException failed) {
        SQLiteErrorCode code =
                failed instanceof SQLiteException sqlite ? sqlite.getResultCode() : SQLiteErrorCode.UNKNOWN_ERROR;
        String name = code.name();
        String said;
        if (name.startsWith("SQLITE_FULL") || name.startsWith("SQLITE_IOERR_WRITE")) {
            said = "Nothing was recorded: the disk that holds " + path
                    + " is full. Free some space and enter it again.";
        } else if (name.startsWith("SQLITE_READONLY") || name.startsWith("SQLITE_PERM")) {
            said = "Nothing was recorded: " + path + " may not be written. Change its permissions.";
        } else if (name.startsWith("SQLITE_BUSY") || name.startsWith("SQLITE_LOCKED")) {
            said = "Nothing was recorded: another program holds " + path + ". Close it and try again.";
        } else if (name.startsWith("SQLITE_CORRUPT") || name.startsWith("SQLITE_NOTADB")) {
            said = "The file " + path + " is damaged (" + failed.getMessage()
                    + "). Do not delete it; put back a copy beside it and run verify on both.";
        } else {
            said = "The file " + path + " could not be used: " + failed.getMessage();
        }
        return new LogTrouble(said, failed);
    }
}
