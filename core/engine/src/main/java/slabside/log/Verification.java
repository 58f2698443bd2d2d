package slabside.log;

import java.nio.charset.StandardCharsets;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CompletionException;
import java.util.function.BinaryOperator;

/**
 * What a reading of the whole log found.
 *
 * @param events read
 * @param heads newest verified event of each chain, by the chain's name; of two branches that ended at the same length the one
 *     with the greater hash, so that they are the same wherever the log lies
 * @param wrong the first event that is not as it was written; empty when all are
 */
public record Verification(long events, List<Head> heads, Optional<Wrong> wrong) {
    /**
     * @param pos position of the event, or of the one behind a gap
     * @param what is wrong, in one sentence
     */
    public record Wrong(long pos, String what) {}

    /** Fewer rows than this are not worth a second processor. */
    private static final long FEWEST_ROWS = 4_000;

    private static final int ROWS_AT_A_TIME = 1_000;
    private static final Comparator<Head> FURTHEST =
            Comparator.comparingLong(Head::oseq).thenComparing(Head::hash);

    private static final byte[] FIRST_FIELD = "{\"origin\":\"".getBytes(StandardCharsets.US_ASCII);
    private static final byte[] SECOND_FIELD = "\",\"oseq\":".getBytes(StandardCharsets.US_ASCII);

    /** Opens a connection for reading. */
    interface Opening {
        Prepared open() throws SQLException;
    }

    /**
     * Reads the whole log, in as many stretches at once as there are processors: whether a row follows depends only on the
     * stored hash of the row before it, which is itself checked in its own place.
     */
    static Verification of(LogStore store, Opening opening) throws SQLException {
        Verification chains = ofChains(store, opening);
        if (chains.wrong.isPresent()) {
            return chains;
        }
        try (Prepared log = opening.open()) {
            return new Verification(chains.events, chains.heads, store.around(log, chains.events));
        } catch (SQLException damaged) {
            refuseAway(store, damaged);
            return new Verification(
                    chains.events,
                    chains.heads,
                    Optional.of(new Wrong(0, "the log is damaged: " + damaged.getMessage())));
        }
    }

    /** The events alone, without the pages and indexes around them. */
    static Verification ofChains(LogStore store, Opening opening) throws SQLException {
        try (Prepared log = opening.open()) {
            long last = EventTable.last(log);
            int stretches = (int) Math.max(1, Math.min(Runtime.getRuntime().availableProcessors(), last / FEWEST_ROWS));
            List<CompletableFuture<Walk>> walks = new ArrayList<>();
            for (int i = 0; i < stretches; i++) {
                long after = last * i / stretches;
                long until = i == stretches - 1 ? Long.MAX_VALUE : last * (i + 1) / stretches;
                walks.add(CompletableFuture.supplyAsync(() -> Walk.through(store, opening, after, until)));
            }
            long events = 0;
            Map<String, Head> heads = new TreeMap<>();
            for (CompletableFuture<Walk> walking : walks) {
                Walk walk = joined(walking);
                events += walk.events;
                walk.heads().forEach(head -> heads.merge(head.origin(), head, BinaryOperator.maxBy(FURTHEST)));
                if (walk.wrong.isPresent()) {
                    return new Verification(events, List.copyOf(heads.values()), walk.wrong);
                }
            }
            return new Verification(events, List.copyOf(heads.values()), store.ending(log));
        } catch (SQLException damaged) {
            refuseAway(store, damaged);
            return new Verification(
                    0, List.of(), Optional.of(new Wrong(0, "the log is damaged: " + damaged.getMessage())));
        }
    }

    /** A database that does not answer is not damaged. */
    private static void refuseAway(LogStore store, SQLException failed) {
        if (store.isAway(failed)) {
            throw store.trouble(failed);
        }
    }

    private static Walk joined(CompletableFuture<Walk> walking) {
        try {
            return walking.join();
        } catch (CompletionException failed) {
            throw failed.getCause() instanceof LogTrouble trouble ? trouble : failed;
        }
    }

    /** Of the lines of one entry exactly one is not marked as coming again, or nobody reads it. */
    static Optional<Wrong> neverRead(Prepared log) throws SQLException {
        return log
                .numbers("SELECT pos FROM event e WHERE again AND NOT EXISTS"
                        + " (SELECT 1 FROM event f WHERE f.id = e.id AND NOT f.again) LIMIT 1")
                .stream()
                .findFirst()
                .map(pos -> new Wrong(pos, "event " + pos + " is marked as coming again, but it is nowhere else"));
    }

    /** Goes through the rows and remembers where each chain stands. */
    private static final class Walk {
        private final Prepared log;
        private final Chain chain = new Chain();
        private final Map<String, Tip> tips = new LinkedHashMap<>();
        private Tip current = new Tip(new byte[0]);
        private long events;
        private long expected;
        private Optional<Wrong> wrong = Optional.empty();

        /** Where a chain stands: its last row in order. */
        private static final class Tip {
            private final byte[] origin;
            private long oseq;
            private byte[] hash = Chain.BEGINNING;

            Tip(byte[] origin) {
                this.origin = origin;
            }
        }

        private Walk(Prepared log, long after) {
            this.log = log;
            this.expected = after + 1;
        }

        static Walk through(LogStore store, Opening opening, long after, long until) {
            try (Prepared log = opening.open()) {
                Walk walk = new Walk(log, after);
                if (store.isShared()) {
                    // Only in a transaction does the driver fetch rows a piece at a time.
                    log.connection().setAutoCommit(false);
                }
                walk.read(store, after, until);
                return walk;
            } catch (SQLException damaged) {
                refuseAway(store, damaged);
                throw new LogTrouble("The log cannot be read: " + damaged.getMessage(), damaged);
            }
        }

        /** Reads forward once, without a copy of the rows. */
        private void read(LogStore store, long after, long until) {
            try (PreparedStatement ask = log.connection()
                    .prepareStatement("SELECT pos, line, hash, "
                            + store.lineBeginsWith(
                                    "'{\"origin\":\"' || origin || '\",\"oseq\":' || oseq || ',\"id\":\"' || id || '\",'")
                            + " FROM event WHERE pos > ? AND pos <= ? ORDER BY pos")) {
                ask.setFetchSize(ROWS_AT_A_TIME);
                ask.setLong(1, after);
                ask.setLong(2, until);
                try (ResultSet rows = ask.executeQuery()) {
                    while (wrong.isEmpty() && rows.next()) {
                        wrong = take(rows.getLong(1), rows.getBytes(2), rows.getBytes(3), rows.getBoolean(4));
                    }
                }
            } catch (SQLException damaged) {
                refuseAway(store, damaged);
                wrong = wrong(
                        expected, "the log is damaged from about event " + expected + " on: " + damaged.getMessage());
            }
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
            if (oseq > tip.oseq || oseq == tip.oseq && Arrays.compareUnsigned(hash, tip.hash) > 0) {
                tip.oseq = oseq;
                tip.hash = hash;
            }
            events++;
            expected = pos + 1;
            return Optional.empty();
        }

        /** A row that came out of order, or from another branch: its predecessor stands elsewhere in the table. */
        private Optional<Wrong> lookedUp(long pos, String origin, long oseq, byte[] line, byte[] hash)
                throws SQLException {
            Set<String> before = oseq == 1
                    ? Set.of(Chain.HEX.formatHex(Chain.BEGINNING))
                    : EventTable.hashesAt(log, origin, oseq - 1);
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

        private static Optional<Wrong> wrong(long pos, String what) {
            return Optional.of(new Wrong(pos, what));
        }
    }
}
