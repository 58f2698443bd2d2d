package slabside.bench;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.List;
import org.sqlite.SQLiteConfig;
import slabside.log.LogTrouble;
import slabside.log.Stored;

/** The floor: the same rows in the same columns and indexes, durably, with nothing around them. */
final class BareTable implements AutoCloseable {
    private final Connection connection;
    private final PreparedStatement insert;
    private long next;

    BareTable(Path file) {
        try {
            SQLiteConfig config = new SQLiteConfig();
            config.setGetGeneratedKeys(false);
            config.setJournalMode(SQLiteConfig.JournalMode.WAL);
            config.setSynchronous(SQLiteConfig.SynchronousMode.FULL);
            config.setTransactionMode(SQLiteConfig.TransactionMode.IMMEDIATE);
            connection = config.createConnection("jdbc:sqlite:" + file);
            try (Statement statement = connection.createStatement()) {
                statement.executeUpdate(
                        "CREATE TABLE IF NOT EXISTS event (pos INTEGER PRIMARY KEY AUTOINCREMENT, origin TEXT NOT NULL,"
                                + " oseq INTEGER NOT NULL, id TEXT NOT NULL UNIQUE, line TEXT NOT NULL, hash BLOB NOT NULL, UNIQUE (origin, oseq, hash)) STRICT");
            }
            connection.setAutoCommit(false);
            insert = connection.prepareStatement(
                    "INSERT INTO event (pos, origin, oseq, id, line, hash) VALUES (?, ?, ?, ?, ?, ?)");
        } catch (SQLException failed) {
            throw new LogTrouble("The bench table cannot be made: " + failed.getMessage(), failed);
        }
    }

    /** Adds rows in one transaction; returns when they are on the disk. */
    void insert(List<Stored> rows) {
        try {
            for (Stored row : rows) {
                next++;
                insert.setLong(1, next);
                insert.setString(2, row.line().substring(11, 27));
                insert.setLong(3, next);
                insert.setString(4, row.line().substring(0, 30) + next);
                insert.setString(5, row.line());
                insert.setBytes(6, hash(row.hash()));
                insert.executeUpdate();
            }
            connection.commit();
        } catch (SQLException failed) {
            throw new LogTrouble("The bench table cannot be written: " + failed.getMessage(), failed);
        }
    }

    private static byte[] hash(String hex) {
        return java.util.HexFormat.of().parseHex(hex);
    }

    /** Reads every line of a log's file; returns the bytes read. */
    static long scan(Path log) {
        SQLiteConfig config = new SQLiteConfig();
        config.setGetGeneratedKeys(false);
        config.setReadOnly(true);
        try (Connection connection = config.createConnection("jdbc:sqlite:" + log);
                Statement ask = connection.createStatement();
                ResultSet rows = ask.executeQuery("SELECT line, hash FROM event ORDER BY pos")) {
            long bytes = 0;
            while (rows.next()) {
                bytes += rows.getBytes(1).length + rows.getBytes(2).length;
            }
            return bytes;
        } catch (SQLException failed) {
            throw new LogTrouble("The log cannot be scanned: " + failed.getMessage(), failed);
        }
    }

    @Override
    public void close() {
        try {
            connection.close();
        } catch (SQLException failed) {
            throw new LogTrouble("The bench table cannot be closed: " + failed.getMessage(), failed);
        }
    }
}
