package slabside.log;

import java.nio.charset.StandardCharsets;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

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

    private static final String ROWS = "SELECT pos, line, hash,"
            + " instr(line, '{\"origin\":\"' || origin || '\",\"oseq\":' || oseq || ',\"id\":\"' || id || '\",') = 1"
            + " FROM event ORDER BY pos";

    private static final byte[] FIRST_FIELD = "{\"origin\":\"".getBytes(StandardCharsets.US_ASCII);
    private static final byte[] SECOND_FIELD = "\",\"oseq\":".getBytes(StandardCharsets.US_ASCII);

    static Verification of(Prepared log) throws SQLException {
        Walk walk = new Walk(log);
        // Read forward once, without a copy of the rows: this is the only query here that may be large.
        try (PreparedStatement ask = log.connection().prepareStatement(ROWS);
                ResultSet rows = ask.executeQuery()) {
            while (rows.next()) {
                Optional<Wrong> wrong =
                        walk.take(rows.getLong(1), rows.getBytes(2), rows.getBytes(3), rows.getBoolean(4));
                if (wrong.isPresent()) {
                    return new Verification(walk.events, walk.heads(), wrong);
                }
            }
        } catch (SQLException damaged) {
            return new Verification(
                    walk.events,
                    walk.heads(),
                    Optional.of(new Wrong(
                            walk.expected,
                            "the file is damaged from about event " + walk.expected + " on: " + damaged.getMessage())));
        }
        return new Verification(walk.events, walk.heads(), walk.ending());
    }

    /** Goes through the rows and remembers where each chain stands. */
    private static final class Walk {
        private final Prepared log;
        private final Chain chain = new Chain();
        private final Map<String, Tip> tips = new LinkedHashMap<>();
        private Tip current = new Tip(new byte[0]);
        private long events;
        private long expected = 1;

        /** Where a chain stands: its last row in order. */
        private static final class Tip {
            private final byte[] origin;
            private long oseq;
            private byte[] hash = Chain.BEGINNING;

            Tip(byte[] origin) {
                this.origin = origin;
            }
        }

        Walk(Prepared log) {
            this.log = log;
        }

        List<Head> heads() {
            return tips.values().stream()
                    .map(tip -> new Head(
                            new String(tip.origin, StandardCharsets.UTF_8), tip.oseq, Chain.HEX.formatHex(tip.hash)))
                    .toList();
        }

        Optional<Wrong> take(long pos, byte[] line, byte[] hash, boolean columnsAgree) throws SQLException {
            if (pos != expected) {
                return wrong(pos, "events " + expected + " to " + (pos - 1) + " are missing: rows were removed");
            }
            int end = line == null ? -1 : originEnd(line);
            long oseq = end < 0 ? -1 : oseq(line, end);
            if (oseq < 1 || !columnsAgree || hash == null) {
                return wrong(pos, "event " + pos + " is not readable, or its columns say something else than its line");
            }
            Tip tip = tip(line, end);
            boolean follows = oseq == tip.oseq + 1 && Arrays.equals(chain.hash(tip.hash, line), hash);
            if (!follows) {
                Optional<Wrong> wrong = lookedUp(pos, new String(tip.origin, StandardCharsets.UTF_8), oseq, line, hash);
                if (wrong.isPresent()) {
                    return wrong;
                }
            }
            if (oseq > tip.oseq) {
                tip.oseq = oseq;
                tip.hash = hash;
            }
            events++;
            expected = pos + 1;
            return Optional.empty();
        }

        /** A row that came out of order, or from another branch: its predecessor stands elsewhere in the file. */
        private Optional<Wrong> lookedUp(long pos, String origin, long oseq, byte[] line, byte[] hash)
                throws SQLException {
            Set<String> before = oseq == 1
                    ? Set.of(Chain.HEX.formatHex(Chain.BEGINNING))
                    : SqliteFile.hashesAt(log, origin, oseq - 1);
            if (before.isEmpty()) {
                return wrong(
                        pos,
                        "event " + pos + " is number " + oseq + " of chain " + origin
                                + ", but the one before it is missing");
            }
            return before.stream().anyMatch(b -> Arrays.equals(chain.hash(Chain.HEX.parseHex(b), line), hash))
                    ? Optional.empty()
                    : wrong(
                            pos,
                            "event " + pos + " (number " + oseq + " of chain " + origin
                                    + ") is not what was written there, or does not follow the event before it");
        }

        private Tip tip(byte[] line, int end) {
            if (!Arrays.equals(line, FIRST_FIELD.length, end, current.origin, 0, current.origin.length)) {
                byte[] origin = Arrays.copyOfRange(line, FIRST_FIELD.length, end);
                current = tips.computeIfAbsent(new String(origin, StandardCharsets.UTF_8), o -> new Tip(origin));
            }
            return current;
        }

        private static int originEnd(byte[] line) {
            if (line.length < FIRST_FIELD.length
                    || !Arrays.equals(line, 0, FIRST_FIELD.length, FIRST_FIELD, 0, FIRST_FIELD.length)) {
                return -1;
            }
            for (int i = FIRST_FIELD.length; i < line.length; i++) {
                if (line[i] == '"') {
                    return i;
                }
            }
            return -1;
        }

        private static long oseq(byte[] line, int end) {
            int from = end + SECOND_FIELD.length;
            if (from >= line.length || !Arrays.equals(line, end, from, SECOND_FIELD, 0, SECOND_FIELD.length)) {
                return -1;
            }
            long number = 0;
            for (int i = from; i < line.length && line[i] >= '0' && line[i] <= '9'; i++) {
                number = number * 10 + line[i] - '0';
            }
            return number;
        }

        /** Positions are given out once and for all, so a cut end leaves a trace in the file itself. */
        Optional<Wrong> ending() throws SQLException {
            long given = log.number("SELECT ifnull(max(seq), 0) FROM sqlite_sequence WHERE name = 'event'");
            return given < expected
                    ? Optional.empty()
                    : wrong(
                            expected,
                            "positions up to " + given + " were given out, but the log ends at " + (expected - 1)
                                    + ": its end was cut off");
        }

        private static Optional<Wrong> wrong(long pos, String what) {
            return Optional.of(new Wrong(pos, what));
        }
    }
}
