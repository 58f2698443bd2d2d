package slabside.log;

import java.nio.charset.StandardCharsets;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import slabside.event.Envelope;
import slabside.event.EventCodec;
import slabside.measure.BadInput;

/**
 * What a reading of the whole file found.
 *
 * @param events read
 * @param heads newest verified event of each chain
 * @param wrong the first event that is not as it was written; empty when all are
 */
public record Verification(long events, List<Head> heads, Optional<Wrong> wrong) {
    /**
     * @param pos position of the event, or of the one behind a gap
     * @param what is wrong, in one sentence
     */
    public record Wrong(long pos, String what) {}

    /** Where a line still waits for the one before it, and where each chain stands. */
    private static final class Walk {
        private final Chain chain = new Chain();
        private final Map<String, Map<Long, List<byte[]>>> seen = new HashMap<>();
        private final Map<String, List<Row>> waiting = new LinkedHashMap<>();
        private final Map<String, Head> heads = new LinkedHashMap<>();

        private record Row(long pos, String origin, long oseq, byte[] line, byte[] hash) {}

        /** Takes a row when its predecessor was seen; says what is wrong, if anything. */
        private Optional<Wrong> take(Row row) {
            List<byte[]> before = row.oseq == 1
                    ? List.of(Chain.BEGINNING)
                    : seen.getOrDefault(row.origin, Map.of()).getOrDefault(row.oseq - 1, List.of());
            if (before.isEmpty()) {
                waiting.computeIfAbsent(row.origin, o -> new ArrayList<>()).add(row);
                return Optional.empty();
            }
            if (before.stream().noneMatch(b -> Arrays.equals(chain.hash(b, row.line), row.hash))) {
                return Optional.of(new Wrong(
                        row.pos,
                        "event " + row.pos + " (number " + row.oseq + " of chain " + row.origin
                                + ") is not what was written there, or does not follow the event before it"));
            }
            Map<Long, List<byte[]>> chainSeen = seen.computeIfAbsent(row.origin, o -> new HashMap<>());
            chainSeen.computeIfAbsent(row.oseq, n -> new ArrayList<>(1)).add(row.hash);
            chainSeen.remove(row.oseq - KEPT);
            Head head = heads.get(row.origin);
            if (head == null || head.oseq() <= row.oseq) {
                heads.put(row.origin, new Head(row.origin, row.oseq, Chain.HEX.formatHex(row.hash)));
            }
            List<Row> others = waiting.remove(row.origin);
            if (others != null) {
                for (Row other : others) {
                    Optional<Wrong> wrong = take(other);
                    if (wrong.isPresent()) {
                        return wrong;
                    }
                }
            }
            return Optional.empty();
        }
    }

    /** How far back a branch may fork off and still be followed without a second reading. */
    private static final long KEPT = 100_000;

    static Verification of(Connection connection) throws SQLException {
        Walk walk = new Walk();
        long events = 0;
        long expected = 1;
        try (PreparedStatement ask = connection.prepareStatement(
                        "SELECT pos, origin, oseq, id, line, hash FROM event ORDER BY pos");
                ResultSet rows = ask.executeQuery()) {
            while (rows.next()) {
                long pos = rows.getLong(1);
                byte[] line = rows.getBytes(5);
                byte[] hash = rows.getBytes(6);
                Optional<Wrong> wrong = columns(pos, rows.getString(2), rows.getLong(3), rows.getString(4), line);
                if (wrong.isEmpty() && pos != expected) {
                    wrong = Optional.of(new Wrong(
                            pos, "events " + expected + " to " + (pos - 1) + " are missing: rows were removed"));
                }
                if (wrong.isEmpty()) {
                    wrong = walk.take(new Walk.Row(pos, rows.getString(2), rows.getLong(3), line, hash));
                }
                if (wrong.isPresent()) {
                    return new Verification(events, List.copyOf(walk.heads.values()), wrong);
                }
                events++;
                expected = pos + 1;
            }
        } catch (SQLException damaged) {
            return new Verification(
                    events,
                    List.copyOf(walk.heads.values()),
                    Optional.of(new Wrong(
                            expected,
                            "the file is damaged from about event " + expected + " on: " + damaged.getMessage())));
        }
        return new Verification(events, List.copyOf(walk.heads.values()), ending(connection, walk, expected));
    }

    private static Optional<Wrong> ending(Connection connection, Walk walk, long expected) throws SQLException {
        if (!walk.waiting.isEmpty()) {
            Walk.Row row = walk.waiting.values().iterator().next().get(0);
            return Optional.of(new Wrong(
                    row.pos,
                    "event " + row.pos + " is number " + row.oseq + " of chain " + row.origin
                            + ", but the one before it is missing"));
        }
        long given =
                SqliteFile.number(connection, "SELECT ifnull(max(seq), 0) FROM sqlite_sequence WHERE name = 'event'");
        return given < expected
                ? Optional.empty()
                : Optional.of(new Wrong(
                        expected,
                        "positions up to " + given + " were given out, but the log ends at " + (expected - 1)
                                + ": its end was cut off"));
    }

    /** The columns that repeat the line must say what it says; reads only the beginning of the line. */
    private static Optional<Wrong> columns(long pos, String origin, long oseq, String id, byte[] line) {
        String expected = "{\"origin\":\"" + origin + "\",\"oseq\":" + oseq + ",\"id\":\"" + id + "\",";
        byte[] beginning = expected.getBytes(StandardCharsets.UTF_8);
        if (line != null
                && line.length > beginning.length
                && Arrays.equals(beginning, 0, beginning.length, line, 0, beginning.length)) {
            return Optional.empty();
        }
        return slowColumns(pos, origin, oseq, id, line);
    }

    private static Optional<Wrong> slowColumns(long pos, String origin, long oseq, String id, byte[] line) {
        try {
            Envelope envelope = EventCodec.envelope(new String(line, StandardCharsets.UTF_8));
            if (envelope.origin().equals(origin)
                    && envelope.oseq() == oseq
                    && envelope.id().text().equals(id)) {
                return Optional.empty();
            }
        } catch (BadInput unreadable) {
            return Optional.of(new Wrong(pos, "event " + pos + " is not readable: " + unreadable.getMessage()));
        }
        return Optional.of(new Wrong(pos, "the columns of event " + pos + " say something else than its line"));
    }
}
