package slabside.log;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentLinkedQueue;
import org.flywaydb.core.Flyway;
import org.sqlite.SQLiteConfig;
import org.sqlite.SQLiteErrorCode;
import org.sqlite.SQLiteException;
import slabside.event.EventId;

/** The SQLite file of the log: what it may lie on, its connections, its few queries, and its errors in plain words. */
final class SqliteFile implements AutoCloseable {
    /** SQLite before this had faults that could lose a committed page. */
    private static final String OLDEST_SQLITE = "3.51.3";

    private static final int NEWEST_SCHEMA = 2;
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

    Path path() {
        return path;
    }

    /** Makes the folder if needed and takes the lock of the one writer. */
    static StudioLock claim(Path dataFolder) throws IOException {
        Files.createDirectories(dataFolder);
        refuseNetworkDrive(dataFolder, Files.getFileStore(dataFolder).type());
        return StudioLock.take(dataFolder)
                .orElseThrow(() -> new LogTrouble("The studio in " + dataFolder + " is being written by "
                        + StudioLock.holder(dataFolder) + ". Use that, or stop it first."));
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

    /** Why this file may not be written; empty when it may. */
    String hindrance() {
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
    String migrate() throws SQLException {
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
            Flyway.configure(SqliteFile.class.getClassLoader())
                    .dataSource("jdbc:sqlite:" + path, "", "")
                    .locations("classpath:db/migration")
                    .load()
                    .migrate();
        }
        return "";
    }

    /** A copy in a file of its own, which must not be there, without what is unfinished. */
    void copyTo(Path copy) throws SQLException {
        try (Connection connection = connect(true);
                PreparedStatement vacuum = connection.prepareStatement("VACUUM INTO ?")) {
            vacuum.setString(1, copy.toString());
            vacuum.execute();
        }
    }

    /** A log of an earlier form is read only after it was brought to this one. */
    void refuseEarlierForm() throws SQLException {
        if (Files.exists(path) && schema() < NEWEST_SCHEMA) {
            throw new LogTrouble(
                    "The log " + path
                            + " is of an earlier form. Open it once where it may be written, with this program and no other at work on it; or copy its folder to such a place.");
        }
    }

    private int schema() throws SQLException {
        try (Connection connection = connect(true)) {
            if (texts(connection, "SELECT count(*) FROM sqlite_schema WHERE name = 'flyway_schema_history'")
                    .get(0)
                    .equals("0")) {
                return 0;
            }
            return Integer.parseInt(texts(
                            connection,
                            "SELECT ifnull(max(CAST(version AS INTEGER)), 0) FROM flyway_schema_history WHERE success")
                    .get(0));
        }
    }

    /** A copy is read as it lies there, with what is unfinished beside it, and nothing is written beside it. */
    Connection connectToCopy() throws SQLException {
        SQLiteConfig config = new SQLiteConfig();
        config.setGetGeneratedKeys(false);
        config.setReadOnly(true);
        config.setBusyTimeout(10_000);
        boolean unfinished =
                path.resolveSibling(path.getFileName() + "-wal").toFile().length() > 0;
        return config.createConnection("jdbc:sqlite:" + (unfinished ? path.toString() : path.toUri() + "?immutable=1"));
    }

    Connection connect(boolean readOnly) throws SQLException {
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
            refuseOldSqlite(texts(connection, "SELECT sqlite_version()").get(0));
            connection.setAutoCommit(readOnly);
            return driver.through(connection);
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

    interface Query<R> {
        R on(Prepared log) throws SQLException;
    }

    /** Runs a query on a connection of its own. */
    <R> R reading(Query<R> query) {
        Prepared connection = idle.poll();
        try {
            if (connection == null) {
                connection = new Prepared(connect(true));
            }
            R result = query.on(connection);
            idle.add(connection);
            return result;
        } catch (SQLException failed) {
            throw trouble(path, failed);
        }
    }

    @Override
    public void close() throws SQLException {
        for (Prepared connection = idle.poll(); connection != null; connection = idle.poll()) {
            connection.close();
        }
    }

    private static final String COLUMNS = "SELECT pos, hash, line FROM event ";

    private static Stored stored(ResultSet row) throws SQLException {
        return new Stored(row.getLong(1), Chain.HEX.formatHex(row.getBytes(2)), row.getString(3));
    }

    static List<Stored> after(Prepared log, long pos, int limit) throws SQLException {
        return log.rows(COLUMNS + "WHERE pos > ? ORDER BY pos LIMIT ?", SqliteFile::stored, pos, limit);
    }

    static Optional<Stored> at(Prepared log, long pos) throws SQLException {
        return log.rows(COLUMNS + "WHERE pos = ?", SqliteFile::stored, pos).stream()
                .findFirst();
    }

    /** Every line of an event; more than one when it came by several chains. */
    static List<Stored> allOf(Prepared log, EventId id) throws SQLException {
        List<Stored> found = log.rows(COLUMNS + "WHERE id = ? AND NOT again", SqliteFile::stored, id.text());
        // Nothing comes again that was not there; whether that is so, a full reading looks.
        if (!found.isEmpty()) {
            found.addAll(log.rows(COLUMNS + "WHERE id = ? AND again", SqliteFile::stored, id.text()));
        }
        return found;
    }

    static Set<EventId> twice(Prepared log) throws SQLException {
        return new HashSet<>(log.rows("SELECT id FROM event WHERE again", row -> new EventId(row.getString(1))));
    }

    static List<Stored> chain(Prepared log, String origin, long from, long to) throws SQLException {
        return log.rows(
                COLUMNS + "WHERE origin = ? AND oseq BETWEEN ? AND ? ORDER BY oseq, hash",
                SqliteFile::stored,
                origin,
                from,
                to);
    }

    static Optional<Stored> one(Prepared log, Head head) throws SQLException {
        return log
                .rows(
                        COLUMNS + "WHERE origin = ? AND oseq = ? AND hash = ?",
                        SqliteFile::stored,
                        head.origin(),
                        head.oseq(),
                        Chain.HEX.parseHex(head.hash()))
                .stream()
                .findFirst();
    }

    static long last(Prepared log) throws SQLException {
        return log.number("SELECT ifnull(max(pos), 0) FROM event");
    }

    /** The newest event of every chain; both where a fork ended at the same length. */
    static List<Head> heads(Prepared log) throws SQLException {
        List<Head> heads = new ArrayList<>();
        List<String> origins = log.rows(
                "WITH RECURSIVE chain(origin) AS (SELECT min(origin) FROM event UNION ALL"
                        + " SELECT (SELECT min(origin) FROM event WHERE origin > chain.origin) FROM chain WHERE origin IS NOT NULL)"
                        + " SELECT origin FROM chain WHERE origin IS NOT NULL",
                row -> row.getString(1));
        for (String origin : origins) {
            heads.addAll(tips(log, origin));
        }
        return heads;
    }

    static List<Head> tips(Prepared log, String origin) throws SQLException {
        return log.rows(
                "SELECT oseq, hash FROM event WHERE origin = ?1 AND oseq = (SELECT max(oseq) FROM event WHERE origin = ?1) ORDER BY hash",
                row -> new Head(origin, row.getLong(1), Chain.HEX.formatHex(row.getBytes(2))),
                origin);
    }

    /** Whether a chain has two lines at one place. */
    static boolean isParted(Prepared log, String origin) throws SQLException {
        return log.number("SELECT count(*) > ifnull(max(oseq), 0) FROM event WHERE origin = ?", origin) == 1;
    }

    /** First line of every branch of a chain that parted. */
    static List<Head> forks(Prepared log) throws SQLException {
        return log.rows(
                "SELECT e.origin, e.oseq, e.hash FROM (SELECT origin, min(oseq) AS oseq FROM"
                        + " (SELECT origin, oseq FROM event GROUP BY origin, oseq HAVING count(*) > 1) GROUP BY origin) AS parted"
                        + " CROSS JOIN event e ON e.origin = parted.origin AND e.oseq = parted.oseq ORDER BY e.origin, e.hash",
                row -> new Head(row.getString(1), row.getLong(2), Chain.HEX.formatHex(row.getBytes(3))));
    }

    static Set<String> hashesAt(Prepared log, String origin, long oseq) throws SQLException {
        return new HashSet<>(log.rows(
                "SELECT hash FROM event WHERE origin = ? AND oseq = ?",
                row -> Chain.HEX.formatHex(row.getBytes(1)),
                origin,
                oseq));
    }

    private static List<String> texts(Connection connection, String sql) throws SQLException {
        try (Statement ask = connection.createStatement();
                ResultSet rows = ask.executeQuery(sql)) {
            List<String> found = new ArrayList<>();
            while (rows.next()) {
                found.add(rows.getString(1));
            }
            return found;
        }
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
