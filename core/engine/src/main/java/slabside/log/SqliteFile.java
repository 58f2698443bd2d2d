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

    private static final int NEWEST_SCHEMA = 1;
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
    private final ConcurrentLinkedQueue<Connection> idle = new ConcurrentLinkedQueue<>();

    SqliteFile(Path path) {
        this.path = path;
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
            Flyway.configure(SqliteFile.class.getClassLoader())
                    .dataSource("jdbc:sqlite:" + path, "", "")
                    .locations("classpath:db/migration")
                    .load()
                    .migrate();
        }
        return "";
    }

    private int schema() throws SQLException {
        try (Connection connection = connect(true)) {
            if (number(connection, "SELECT count(*) FROM sqlite_schema WHERE name = 'flyway_schema_history'") == 0) {
                return 0;
            }
            return (int) number(
                    connection,
                    "SELECT ifnull(max(CAST(version AS INTEGER)), 0) FROM flyway_schema_history WHERE success");
        }
    }

    Connection connect(boolean readOnly) throws SQLException {
        if (readOnly && !Files.exists(path)) {
            throw new LogTrouble(
                    "There is no studio in " + path.getParent()
                            + ". Make one with the demo or import command, or by serving it, or name another folder with --data.");
        }
        SQLiteConfig config = new SQLiteConfig();
        config.setReadOnly(readOnly);
        config.setBusyTimeout(10_000);
        if (!readOnly) {
            config.setJournalMode(SQLiteConfig.JournalMode.WAL);
            config.setSynchronous(SQLiteConfig.SynchronousMode.FULL);
            config.setTransactionMode(SQLiteConfig.TransactionMode.IMMEDIATE);
        }
        Connection connection = config.createConnection("jdbc:sqlite:" + path);
        try {
            refuseOldSqlite(text(connection, "SELECT sqlite_version()"));
            connection.setAutoCommit(readOnly);
            return connection;
        } catch (SQLException | RuntimeException failed) {
            connection.close();
            throw failed;
        }
    }

    interface Query<R> {
        R on(Connection connection) throws SQLException;
    }

    /** Runs a query on a connection of its own. */
    <R> R reading(Query<R> query) {
        Connection connection = idle.poll();
        try {
            if (connection == null) {
                connection = connect(true);
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
        for (Connection connection = idle.poll(); connection != null; connection = idle.poll()) {
            connection.close();
        }
    }

    static List<Stored> after(Connection connection, long pos, int limit) throws SQLException {
        try (PreparedStatement ask =
                connection.prepareStatement("SELECT pos, hash, line FROM event WHERE pos > ? ORDER BY pos LIMIT ?")) {
            ask.setLong(1, pos);
            ask.setInt(2, limit);
            return stored(ask);
        }
    }

    static Optional<Stored> byId(Connection connection, EventId id) throws SQLException {
        try (PreparedStatement ask = connection.prepareStatement("SELECT pos, hash, line FROM event WHERE id = ?")) {
            ask.setString(1, id.text());
            return stored(ask).stream().findFirst();
        }
    }

    static Optional<Stored> byHash(Connection connection, byte[] hash) throws SQLException {
        try (PreparedStatement ask = connection.prepareStatement("SELECT pos, hash, line FROM event WHERE hash = ?")) {
            ask.setBytes(1, hash);
            return stored(ask).stream().findFirst();
        }
    }

    private static List<Stored> stored(PreparedStatement ask) throws SQLException {
        List<Stored> found = new ArrayList<>();
        try (ResultSet rows = ask.executeQuery()) {
            while (rows.next()) {
                found.add(new Stored(rows.getLong(1), Chain.HEX.formatHex(rows.getBytes(2)), rows.getString(3)));
            }
        }
        return found;
    }

    /** The newest event of every chain; both where a fork ended at the same length. */
    static List<Head> heads(Connection connection) throws SQLException {
        List<Head> heads = new ArrayList<>();
        for (String origin : texts(
                connection,
                "WITH RECURSIVE chain(origin) AS (SELECT min(origin) FROM event UNION ALL"
                        + " SELECT (SELECT min(origin) FROM event WHERE origin > chain.origin) FROM chain WHERE origin IS NOT NULL)"
                        + " SELECT origin FROM chain WHERE origin IS NOT NULL")) {
            heads.addAll(tips(connection, origin));
        }
        return heads;
    }

    static List<Head> tips(Connection connection, String origin) throws SQLException {
        List<Head> tips = new ArrayList<>();
        try (PreparedStatement ask = connection.prepareStatement(
                "SELECT oseq, hash FROM event WHERE origin = ?1 AND oseq = (SELECT max(oseq) FROM event WHERE origin = ?1) ORDER BY hash")) {
            ask.setString(1, origin);
            try (ResultSet rows = ask.executeQuery()) {
                while (rows.next()) {
                    tips.add(new Head(origin, rows.getLong(1), Chain.HEX.formatHex(rows.getBytes(2))));
                }
            }
        }
        return tips;
    }

    static Set<String> hashesAt(Connection connection, String origin, long oseq) throws SQLException {
        Set<String> hashes = new HashSet<>();
        try (PreparedStatement ask =
                connection.prepareStatement("SELECT hash FROM event WHERE origin = ? AND oseq = ?")) {
            ask.setString(1, origin);
            ask.setLong(2, oseq);
            try (ResultSet rows = ask.executeQuery()) {
                while (rows.next()) {
                    hashes.add(Chain.HEX.formatHex(rows.getBytes(1)));
                }
            }
        }
        return hashes;
    }

    static long number(Connection connection, String sql) throws SQLException {
        return Long.parseLong(text(connection, sql));
    }

    private static String text(Connection connection, String sql) throws SQLException {
        return texts(connection, sql).get(0);
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
