package slabside.log;

import static java.util.Objects.requireNonNull;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.SQLException;
import java.time.Clock;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CompletionException;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import slabside.event.Actor;
import slabside.event.Catalogue;
import slabside.event.Envelope;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.Hlc;
import slabside.event.LogEvent;
import slabside.event.ThingId;
import slabside.measure.BadInput;

/**
 * The log in one SQLite file. One process writes, on one thread: requests that wait together are committed together, and
 * each is acknowledged after its commit is on the disk.
 */
public final class SqliteEventLog implements EventLog {
    private static final Pattern ORIGIN = Pattern.compile("[0-9a-f]{16}");
    private static final int MOST_TOGETHER = 1_000;
    private static final int LONGEST_BODY = 64 * 1024;
    /** Half of what can be read back, so that no line is ever written that cannot be read. */
    private static final int DEEPEST_BODY = 24;
    /** How far a device's clock may run ahead before an event counts as one of the future. */
    private static final long AHEAD = TimeUnit.MINUTES.toMillis(5);

    private static final ThingId PROGRAM = new ThingId("slabside");
    private static final String INSERT =
            "INSERT INTO event (pos, origin, oseq, id, line, hash) VALUES (?, ?, ?, ?, ?, ?)";

    private final SqliteFile file;
    private final Clock clock;
    private final Random random;
    private final String readOnlyBecause;
    private final @Nullable StudioLock lock;
    private final ChainWatch watch;
    /** Used by the writer thread only, once it runs; opened anew after a commit that failed. */
    private Prepared writing;

    private final BlockingQueue<Ticket<?>> waiting = new LinkedBlockingQueue<>();
    private final List<Runnable> followers = new CopyOnWriteArrayList<>();
    private final Thread writer = new Thread(this::write, "slabside-log");

    private volatile long last;
    private volatile boolean closed;

    // Touched by the writer thread only, once it runs.
    private @Nullable Head own;
    private Hlc hlc = Hlc.START;
    private final Chain chain = new Chain();

    private interface Request<R> {
        R carryOut(Batch batch) throws SQLException;
    }

    private record Ticket<R>(Request<R> request, CompletableFuture<R> answer) {}

    private SqliteEventLog(Path dataFolder, Path configFolder, Clock clock, Random random, boolean wantsToWrite)
            throws IOException, SQLException {
        this.file = new SqliteFile(dataFolder.resolve("studio.db"));
        this.clock = clock;
        this.random = random;
        this.lock = wantsToWrite ? SqliteFile.claim(dataFolder) : null;
        this.watch = new ChainWatch(new HeadFiles(configFolder, dataFolder));
        Prepared connection = null;
        try {
            String hindrance = wantsToWrite ? file.hindrance() : "it was opened for reading";
            if (hindrance.isEmpty()) {
                hindrance = file.migrate();
            }
            readOnlyBecause = hindrance;
            if (wantsToWrite && isReadOnly()) {
                watch.notice("This log is open for reading only: " + readOnlyBecause + ".");
            }
            connection = new Prepared(file.connect(isReadOnly()));
            writing = connection;
            last = SqliteFile.last(connection);
            if (isReadOnly()) {
                watch.compare(connection);
                return;
            }
            hlc = newestClock();
            own = watch.choose(connection).orElse(null);
        } catch (IOException | SQLException | RuntimeException failed) {
            release(connection);
            throw failed;
        }
    }

    private void release(@Nullable Prepared connection) throws IOException, SQLException {
        if (connection != null) {
            connection.close();
        }
        watch.close();
        if (lock != null) {
            lock.close();
        }
    }

    private Hlc newestClock() throws SQLException {
        Hlc newest = Hlc.START;
        for (Head head : SqliteFile.heads(writing)) {
            Stored stored =
                    SqliteFile.byHash(writing, Chain.HEX.parseHex(head.hash())).orElseThrow();
            newest = newest.later(stored.envelope().hlc());
        }
        return newest;
    }

    /**
     * Opens the log for writing, making it if there is none.
     *
     * @throws LogTrouble when another process is writing, the drive cannot be trusted, or the file is damaged
     */
    public static SqliteEventLog open(Path dataFolder, Path configFolder, Clock clock, Random random) {
        return opened(dataFolder, configFolder, clock, random, true);
    }

    /** Opens the log for reading beside a process that writes it. */
    public static SqliteEventLog openToRead(Path dataFolder, Path configFolder, Clock clock) {
        return opened(dataFolder, configFolder, clock, new Random(0), false);
    }

    private static SqliteEventLog opened(
            Path dataFolder, Path configFolder, Clock clock, Random random, boolean wantsToWrite) {
        try {
            SqliteEventLog log = new SqliteEventLog(dataFolder, configFolder, clock, random, wantsToWrite);
            log.start();
            return log;
        } catch (IOException failed) {
            throw new LogTrouble(
                    "The folder " + dataFolder + " cannot be used: " + failed.getMessage()
                            + "; choose another with --data.",
                    failed);
        } catch (SQLException failed) {
            throw SqliteFile.trouble(dataFolder.resolve("studio.db"), failed);
        }
    }

    /** Whether a process, this one included, holds the log in a folder for writing. */
    public static boolean isBeingWritten(Path dataFolder) {
        if (!Files.isWritable(dataFolder)) {
            return false;
        }
        try (StudioLock lock = StudioLock.take(dataFolder).orElse(null)) {
            return lock == null;
        } catch (IOException failed) {
            throw new LogTrouble("The folder " + dataFolder + " cannot be used: " + failed.getMessage(), failed);
        }
    }

    /** Chains that this machine has seen go further than this log does: cut off, or put back from an old copy. */
    public List<String> cut() {
        return watch.cut();
    }

    /** What was noticed on opening, for the user to read. */
    public List<String> notices() {
        return watch.notices();
    }

    /** Whether appending is refused, and {@link #append} would say why. */
    public boolean isReadOnly() {
        return !readOnlyBecause.isEmpty();
    }

    /** Tells other processes where this one can be reached. */
    public void announce(String where) {
        try {
            if (lock != null) {
                lock.announce(where);
            }
        } catch (IOException failed) {
            throw new LogTrouble(
                    "The lock file beside " + file.path() + " cannot be written: " + failed.getMessage(), failed);
        }
    }

    public Path file() {
        return file.path();
    }

    private void start() {
        if (!isReadOnly()) {
            writer.setDaemon(true);
            writer.start();
        }
    }

    private static Optional<Stored> byId(Prepared connection, EventId id) {
        try {
            return SqliteFile.byId(connection, id);
        } catch (SQLException failed) {
            throw new LogTrouble("The log cannot be read: " + failed.getMessage(), failed);
        }
    }

    @Override
    public List<Stored> read(long pos, int limit) {
        return file.reading(connection -> SqliteFile.after(connection, pos, limit));
    }

    @Override
    public Optional<Stored> at(long pos) {
        return file.reading(log -> SqliteFile.at(log, pos));
    }

    @Override
    public Optional<Stored> find(EventId id) {
        return file.reading(connection -> SqliteFile.byId(connection, id));
    }

    @Override
    public List<Head> heads() {
        return file.reading(SqliteFile::heads);
    }

    @Override
    public long last() {
        return isReadOnly() ? file.reading(SqliteFile::last) : last;
    }

    @Override
    public void follow(Runnable wakeUp) {
        followers.add(wakeUp);
    }

    /** Reads the whole file and says which event is the first that is not as it was written, if any. */
    public Verification verify() {
        try {
            return Verification.of(() -> new Prepared(file.connect(true)));
        } catch (SQLException failed) {
            throw SqliteFile.trouble(file.path(), failed);
        }
    }

    @Override
    public void close() {
        closed = true;
        try {
            if (!isReadOnly()) {
                writer.join();
            }
            file.close();
            release(writing);
        } catch (InterruptedException asked) {
            Thread.currentThread().interrupt();
        } catch (IOException | SQLException failed) {
            throw new LogTrouble("The log could not be closed properly: " + failed.getMessage(), failed);
        }
    }

    public Clock clock() {
        return clock;
    }

    @Override
    public Receipt append(Decision decision) {
        return submit(batch -> {
            List<Stored> stored = new ArrayList<>();
            for (Draft draft : decision.decide(batch)) {
                stored.add(batch.add(draft));
            }
            return new Receipt(stored);
        });
    }

    @Override
    public int adopt(List<ForeignLine> lines) {
        return submit(batch -> batch.adopt(lines));
    }

    private <R> R submit(Request<R> request) {
        if (isReadOnly()) {
            throw new LogTrouble(
                    "Nothing was recorded, because this log is open for reading only: " + readOnlyBecause + ".");
        }
        Ticket<R> ticket = new Ticket<>(request, new CompletableFuture<>());
        waiting.add(ticket);
        if (closed && waiting.remove(ticket)) {
            throw new LogTrouble("Nothing was recorded: the log is being closed. Start the program again.");
        }
        try {
            return ticket.answer.join();
        } catch (CompletionException failed) {
            if (failed.getCause() instanceof BadInput refused) {
                throw refused;
            }
            throw failed.getCause() instanceof LogTrouble trouble
                    ? trouble
                    : new LogTrouble("Nothing was recorded: " + failed.getCause(), failed);
        }
    }

    private void write() {
        List<Ticket<?>> together = new ArrayList<>();
        try {
            while (!closed || !waiting.isEmpty()) {
                Ticket<?> first = waiting.poll(200, TimeUnit.MILLISECONDS);
                if (first != null) {
                    together.add(first);
                    waiting.drainTo(together, MOST_TOGETHER - 1);
                    commit(together);
                    together.clear();
                }
            }
        } catch (InterruptedException asked) {
            Thread.currentThread().interrupt();
        } finally {
            // Whatever ended this thread, nobody is left waiting.
            closed = true;
            waiting.drainTo(together);
            together.forEach(
                    ticket -> ticket.answer.completeExceptionally(
                            new LogTrouble(
                                    "It is not known whether this was recorded. Start the program again and look before entering it once more.")));
        }
    }

    private void commit(List<Ticket<?>> together) {
        Batch batch = new Batch();
        List<Runnable> acknowledgements = new ArrayList<>();
        try {
            for (Ticket<?> ticket : together) {
                attempt(ticket, batch, acknowledgements);
            }
            commit(batch);
            acknowledgements.forEach(Runnable::run);
            if (batch.hasAdded()) {
                followers.forEach(Runnable::run);
            }
        } catch (SQLException | RuntimeException failed) {
            LogTrouble said = failed instanceof SQLException sql
                    ? SqliteFile.trouble(file.path(), sql)
                    : new LogTrouble("Nothing was recorded: " + failed.getMessage(), failed);
            together.forEach(ticket -> ticket.answer.completeExceptionally(said));
        }
    }

    /**
     * Commits, and where that failed finds out what the disk holds: SQLite may have taken the commit back or not, so the
     * file is opened anew and looked at before anybody is told.
     */
    private void commit(Batch batch) throws SQLException {
        try {
            batch.store();
        } catch (SQLException failed) {
            writing.close();
            writing = new Prepared(file.connect(false));
            if (!batch.isOnDisk()) {
                throw failed;
            }
        }
        batch.done();
    }

    private <R> void attempt(Ticket<R> ticket, Batch batch, List<Runnable> acknowledgements) throws SQLException {
        Batch.Mark mark = batch.mark();
        try {
            R result = ticket.request.carryOut(batch);
            acknowledgements.add(() -> ticket.answer.complete(result));
        } catch (SQLException disk) {
            throw disk;
        } catch (RuntimeException refused) {
            batch.backTo(mark);
            acknowledgements.add(() -> ticket.answer.completeExceptionally(refused));
        }
    }

    /** The rows of one commit. Rows are kept in memory until {@link #commit()}, so that a refusal costs nothing. */
    private final class Batch implements LogState {
        record Mark(int rows, @Nullable Head head, Hlc hlc) {}

        private record Row(long pos, Head head, EventId id, String text, byte[] hash) {}

        private final List<Row> rows = new ArrayList<>();
        private final Map<EventId, Row> added = new HashMap<>();
        private @Nullable Head head = own;
        private Hlc now = hlc;

        Mark mark() {
            return new Mark(rows.size(), head, now);
        }

        void backTo(Mark mark) {
            List<Row> dropped = rows.subList(mark.rows, rows.size());
            dropped.forEach(row -> added.remove(row.id));
            dropped.clear();
            head = mark.head;
            now = mark.hlc;
        }

        boolean hasAdded() {
            return !rows.isEmpty();
        }

        @Override
        public long last() {
            return rows.isEmpty() ? last : rows.get(rows.size() - 1).pos;
        }

        @Override
        public Optional<Stored> find(EventId id) {
            Row row = added.get(id);
            return row != null ? Optional.of(new Stored(row.pos, row.head.hash(), row.text)) : byId(writing, id);
        }

        Stored add(Draft draft) {
            long wall = clock.millis();
            check(draft, wall);
            if (head == null) {
                begin();
            }
            Optional<Stored> before = find(draft.id());
            if (before.isPresent()) {
                return sameAsBefore(draft, before.get());
            }
            return append(draft, wall);
        }

        private void begin() {
            Head before = rows.isEmpty() && last == 0 ? null : newest();
            long wall = clock.millis();
            head = new Head(newOrigin(), 0, Chain.HEX.formatHex(Chain.BEGINNING));
            append(
                    new Draft(
                            EventId.at(wall, random),
                            Happened.exactly(wall, clock.getZone()),
                            null,
                            new Actor(PROGRAM, "this"),
                            new LogEvent.EpochBegun(
                                    before == null ? null : before.origin(),
                                    before == null ? null : before.oseq(),
                                    before == null ? null : before.hash(),
                                    watch.whyBegin())),
                    wall);
        }

        private @Nullable Head newest() {
            try {
                return SqliteFile.heads(writing).stream()
                        .max(Comparator.comparingLong(Head::oseq))
                        .orElse(null);
            } catch (SQLException failed) {
                throw SqliteFile.trouble(file.path(), failed);
            }
        }

        private Stored sameAsBefore(Draft draft, Stored before) {
            if (before.envelope().sameContent(envelope(draft, 0))) {
                return before;
            }
            throw new BadInput(
                    "event id",
                    draft.id(),
                    "this id already stands for something else (event " + before.pos()
                            + "); make a new id for a new event");
        }

        private Envelope envelope(Draft draft, long wall) {
            Head at = requireNonNull(head);
            return new Envelope(
                    at.origin(),
                    at.oseq() + 1,
                    draft.id(),
                    draft.happened(),
                    draft.after(),
                    wall,
                    now,
                    draft.actor(),
                    Catalogue.type(draft.event()),
                    Catalogue.version(draft.event()),
                    EventCodec.about(draft.event()),
                    EventCodec.body(draft.event()));
        }

        private Stored append(Draft draft, long wall) {
            now = now.next(wall);
            Envelope envelope = envelope(draft, wall);
            String text = EventCodec.line(envelope);
            if (depth(envelope.body()) > DEEPEST_BODY) {
                throw new BadInput(
                        "event",
                        envelope.type(),
                        "its values lie one in the other more than " + DEEPEST_BODY + " deep; lay them out flat");
            }
            if (envelope.body().toString().length() > LONGEST_BODY) {
                throw tooLong(envelope);
            }
            byte[] hash =
                    chain.hash(Chain.HEX.parseHex(requireNonNull(head).hash()), text.getBytes(StandardCharsets.UTF_8));
            head = new Head(envelope.origin(), envelope.oseq(), Chain.HEX.formatHex(hash));
            return keep(new Row(last() + 1, head, draft.id(), text, hash));
        }

        private static int depth(com.fasterxml.jackson.databind.JsonNode node) {
            int deepest = 0;
            for (com.fasterxml.jackson.databind.JsonNode inner : node) {
                deepest = Math.max(deepest, depth(inner));
            }
            return deepest + 1;
        }

        private Stored keep(Row row) {
            rows.add(row);
            added.put(row.id, row);
            return new Stored(row.pos, row.head.hash(), row.text);
        }

        int adopt(List<ForeignLine> lines) throws SQLException {
            int fresh = 0;
            Map<String, Set<String>> known = new HashMap<>();
            for (ForeignLine foreign : lines) {
                Envelope envelope;
                byte[] claimed;
                try {
                    envelope = EventCodec.envelope(foreign.line());
                    claimed = Chain.HEX.parseHex(foreign.hash());
                } catch (IllegalArgumentException broken) {
                    throw new BadInput(
                            "line " + foreign.number(),
                            foreign.line(),
                            "not a line of an exported log; nothing was imported (" + broken.getMessage() + ")");
                }
                wellFormed(foreign, envelope);
                byte[] bytes = foreign.line().getBytes(StandardCharsets.UTF_8);
                if (predecessors(envelope, known).stream()
                        .noneMatch(p -> Arrays.equals(chain.hash(Chain.HEX.parseHex(p), bytes), claimed))) {
                    throw new BadInput(
                            "line " + foreign.number(),
                            foreign.line(),
                            "its hash does not follow from the line before it of the same origin; the file was changed or a line is missing, nothing was imported");
                }
                known.computeIfAbsent(envelope.origin() + " " + envelope.oseq(), k -> new HashSet<>())
                        .add(foreign.hash());
                Optional<Stored> before = find(envelope.id());
                if (before.isPresent()) {
                    if (!before.get().envelope().sameContent(envelope)) {
                        throw new BadInput(
                                "line " + foreign.number(),
                                envelope.id(),
                                "this id already stands for something else here; nothing was imported");
                    }
                    if (before.get().hash().equals(foreign.hash())) {
                        continue;
                    }
                    throw new BadInput(
                            "line " + foreign.number(),
                            envelope.id(),
                            "the same event stands in two chains; nothing was imported");
                }
                now = now.later(envelope.hlc());
                keep(new Row(
                        last() + 1,
                        new Head(envelope.origin(), envelope.oseq(), foreign.hash()),
                        envelope.id(),
                        foreign.line(),
                        claimed));
                if (head != null && head.origin().equals(envelope.origin()) && head.oseq() < envelope.oseq()) {
                    head = new Head(envelope.origin(), envelope.oseq(), foreign.hash());
                }
                fresh++;
            }
            return fresh;
        }

        /** Only the form that this program writes: an origin that is a number, and the fields that verify reads first. */
        private static void wellFormed(ForeignLine foreign, Envelope envelope) {
            String beginning = "{\"origin\":\"" + envelope.origin() + "\",\"oseq\":" + envelope.oseq() + ",\"id\":\""
                    + envelope.id() + "\",";
            if (!ORIGIN.matcher(envelope.origin()).matches()
                    || envelope.oseq() < 1
                    || !foreign.line().startsWith(beginning)) {
                throw new BadInput(
                        "line " + foreign.number(),
                        foreign.line(),
                        "not written as a log writes its lines; nothing was imported");
            }
        }

        private Set<String> predecessors(Envelope envelope, Map<String, Set<String>> known) throws SQLException {
            if (envelope.oseq() == 1) {
                return Set.of(Chain.HEX.formatHex(Chain.BEGINNING));
            }
            Set<String> hashes = SqliteFile.hashesAt(writing, envelope.origin(), envelope.oseq() - 1);
            hashes.addAll(known.getOrDefault(envelope.origin() + " " + (envelope.oseq() - 1), Set.of()));
            return hashes;
        }

        void store() throws SQLException {
            if (rows.isEmpty()) {
                return;
            }
            for (Row row : rows) {
                writing.update(INSERT, row.pos, row.head.origin(), row.head.oseq(), row.id.text(), row.text, row.hash);
            }
            writing.connection().commit();
        }

        /** Whether every row of this batch stands in the file, as a transaction leaves all or none. */
        boolean isOnDisk() throws SQLException {
            for (Row row : rows) {
                if (!SqliteFile.at(writing, row.pos).map(Stored::hash).equals(Optional.of(row.head.hash()))) {
                    return false;
                }
            }
            return true;
        }

        void done() throws SQLException {
            if (!rows.isEmpty()) {
                last = last();
                own = head;
                hlc = now;
                watch.written(writing, rows.stream().map(Row::head).toList(), own);
            }
        }
    }

    private void check(Draft draft, long wall) {
        Long from = draft.happened().from();
        if (from != null && from > wall + AHEAD) {
            throw new BadInput(
                    "happened",
                    Instant.ofEpochMilli(from),
                    "this lies in the future; it is now " + Instant.ofEpochMilli(wall)
                            + ". Correct the date, or the clock of the device");
        }
    }

    private static BadInput tooLong(Envelope envelope) {
        String longest = "";
        String field = "body";
        for (var each : envelope.body().properties()) {
            String text = each.getValue().isTextual()
                    ? each.getValue().asText()
                    : each.getValue().toString();
            if (text.length() > longest.length()) {
                longest = text;
                field = each.getKey();
            }
        }
        return new BadInput(field, longest, "an event holds at most 64 kB; shorten this, or attach it as a file");
    }

    private String newOrigin() {
        byte[] bytes = new byte[8];
        random.nextBytes(bytes);
        return Chain.HEX.formatHex(bytes);
    }
}
