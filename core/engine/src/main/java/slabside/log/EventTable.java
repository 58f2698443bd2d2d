package slabside.log;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import slabside.event.EventId;

/** The few questions that are put to the one table of events; every database understands them as they stand. */
final class EventTable {
    static final String INSERT =
            "INSERT INTO event (pos, origin, oseq, id, line, hash, again) VALUES (?, ?, ?, ?, ?, ?, ?)";

    private static final int AT_A_TIME = 2_000;

    private static final String COLUMNS = "SELECT pos, hash, line FROM event ";

    /** A first value and how many to read from there on. */
    static final String FROM = COLUMNS + "WHERE pos >= ? ORDER BY pos LIMIT ?";

    /** All lines of some events, whose ids come as an array, twice. */
    static final String BY_IDS =
            COLUMNS + "WHERE id = ANY (?) AND NOT again UNION ALL " + COLUMNS + "WHERE id = ANY (?) AND again";

    private EventTable() {}

    static Stored stored(ResultSet row) throws SQLException {
        return new Stored(row.getLong(1), Chain.HEX.formatHex(row.getBytes(2)), row.getString(3));
    }

    static List<Stored> after(Prepared log, long pos, int limit) throws SQLException {
        return log.rows(COLUMNS + "WHERE pos > ? ORDER BY pos LIMIT ?", EventTable::stored, pos, limit);
    }

    static Optional<Stored> at(Prepared log, long pos) throws SQLException {
        return log.rows(COLUMNS + "WHERE pos = ?", EventTable::stored, pos).stream()
                .findFirst();
    }

    /** Every line of an event; more than one when it came by several chains. */
    static List<Stored> allOf(Prepared log, EventId id) throws SQLException {
        List<Stored> found = log.rows(COLUMNS + "WHERE id = ? AND NOT again", EventTable::stored, id.text());
        // Nothing comes again that was not there; whether that is so, a full reading looks.
        if (!found.isEmpty()) {
            found.addAll(log.rows(COLUMNS + "WHERE id = ? AND again", EventTable::stored, id.text()));
        }
        return found;
    }

    static Set<EventId> twice(Prepared log) throws SQLException {
        return new HashSet<>(log.rows("SELECT id FROM event WHERE again", row -> new EventId(row.getString(1))));
    }

    static List<Stored> chain(Prepared log, String origin, long from, long to) throws SQLException {
        return log.rows(
                COLUMNS + "WHERE origin = ? AND oseq BETWEEN ? AND ? ORDER BY oseq, hash",
                EventTable::stored,
                origin,
                from,
                to);
    }

    static Optional<Stored> one(Prepared log, Head head) throws SQLException {
        return log
                .rows(
                        COLUMNS + "WHERE origin = ? AND oseq = ? AND hash = ?",
                        EventTable::stored,
                        head.origin(),
                        head.oseq(),
                        Chain.HEX.parseHex(head.hash()))
                .stream()
                .findFirst();
    }

    static long last(Prepared log) throws SQLException {
        return log.number("SELECT coalesce(max(pos), 0) FROM event");
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
                "SELECT oseq, hash FROM event WHERE origin = ? AND oseq = (SELECT max(oseq) FROM event WHERE origin = ?) ORDER BY hash",
                row -> new Head(origin, row.getLong(1), Chain.HEX.formatHex(row.getBytes(2))),
                origin,
                origin);
    }

    /** Whether a chain has two lines at one place. */
    static boolean isParted(Prepared log, String origin) throws SQLException {
        return log.number("SELECT count(*) - coalesce(max(oseq), 0) FROM event WHERE origin = ?", origin) > 0;
    }

    /** First line of every branch of a chain that parted. */
    static List<Head> forks(Prepared log) throws SQLException {
        return log.rows(
                "SELECT origin, oseq, hash FROM event WHERE (origin, oseq) IN (SELECT origin, min(oseq) FROM"
                        + " (SELECT origin, oseq FROM event GROUP BY origin, oseq HAVING count(*) > 1) AS parted GROUP BY origin)"
                        + " ORDER BY origin, hash",
                row -> new Head(row.getString(1), row.getLong(2), Chain.HEX.formatHex(row.getBytes(3))));
    }

    /** Writes everything into an empty table, as it stands. */
    static void copy(Prepared log, Prepared empty) throws SQLException {
        long last = last(log);
        for (long pos = 0; pos < last; pos += AT_A_TIME) {
            empty.updateAll(
                    INSERT,
                    log.rows(
                            "SELECT pos, origin, oseq, id, line, hash, again FROM event WHERE pos > ? AND pos <= ? ORDER BY pos",
                            row -> new Object[] {
                                row.getLong(1),
                                row.getString(2),
                                row.getLong(3),
                                row.getString(4),
                                row.getString(5),
                                row.getBytes(6),
                                row.getBoolean(7)
                            },
                            pos,
                            Math.min(last, pos + AT_A_TIME)));
        }
    }

    static Set<String> hashesAt(Prepared log, String origin, long oseq) throws SQLException {
        return new HashSet<>(log.rows(
                "SELECT hash FROM event WHERE origin = ? AND oseq = ?",
                row -> Chain.HEX.formatHex(row.getBytes(1)),
                origin,
                oseq));
    }
}
