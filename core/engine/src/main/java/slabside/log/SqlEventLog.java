package slabside.log;

import java.io.IOException;
import java.nio.file.Path;
import java.sql.SQLException;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CompletionException;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
import slabside.event.EventId;
import slabside.event.Hlc;
import slabside.measure.BadInput;

/**
 * The log in one table of a database: a file of SQLite, or a PostgreSQL server that several processes share. Each process writes on
 * one thread: requests that wait together are committed together, and each is acknowledged after its commit is on the disk.
 */
public final class SqlEventLog implements EventLog {
    /** Name of a log in a file, in its folder. */
    public static final String FILE = "studio.db";

    private static final int MOST_TOGETHER = 1_000;
    /** For so long a database that does not answer is tried again before those who wait are told. */
    private static final long PATIENCE_MS = 5_000;

    private static final long BETWEEN_TRIES_MS = 200;

    private final LogStore store;
    private final Clock clock;
    private final Random random;
    private final String readOnlyBecause;
    private final @Nullable StudioLock lock;
    private final ChainWatch watch;
    /** Used by the writer thread only, once it runs; null after a failure, until it is needed again. */
    private @Nullable Prepared writing;

    private final BlockingQueue<Ticket<?>> waiting = new LinkedBlockingQueue<>();
    private final List<Runnable> followers = new CopyOnWriteArrayList<>();
    private final Thread writer = new Thread(this::write, "slabside-log");

    /** Changed by the writer thread only, once it runs. */
    private volatile Batch.State state;

    private final Chain chain = new Chain();
    private volatile boolean closed;

    private interface Request<R> {
        R carryOut(Batch batch) throws SQLException;
    }

    private record Ticket<R>(Request<R> request, CompletableFuture<R> answer) {}

    /** Wakes the writer. */
    private static final Ticket<?> NOTHING = new Ticket<>(batch -> 0, new CompletableFuture<>());

    private SqlEventLog(
            LogStore store, Path dataFolder, Path configFolder, Clock clock, Random random, boolean wantsToWrite)
            throws IOException, SQLException {
        this.store = store;
        this.clock = clock;
        this.random = random;
        store.mayLieIn(dataFolder);
        this.lock = wantsToWrite ? StudioLock.claim(dataFolder) : null;
        this.watch = new ChainWatch(new HeadFiles(configFolder, dataFolder));
        Prepared connection = null;
        try {
            readOnlyBecause = store.prepare(wantsToWrite);
            if (wantsToWrite && isReadOnly()) {
                watch.notice("This log is open for reading only: " + readOnlyBecause + ".");
            }
            connection = store.connect(isReadOnly());
            writing = connection;
            store.settleIn(dataFolder);
            if (isReadOnly()) {
                watch.compare(connection);
                state = new Batch.State(0, "", null, Hlc.START, "");
                return;
            }
            state = found(connection);
        } catch (IOException | SQLException | RuntimeException failed) {
            release(connection);
            throw failed;
        }
    }

    /** Where the log stands, and on which chain this process goes on. */
    private Batch.State found(Prepared connection) throws IOException, SQLException {
        Head own = watch.choose(connection).orElse(null);
        Hlc newest = Hlc.START;
        for (Head head : EventTable.heads(connection)) {
            newest = newest.later(
                    EventTable.one(connection, head).orElseThrow().envelope().hlc());
        }
        long last = EventTable.last(connection);
        String hash = EventTable.at(connection, last).map(Stored::hash).orElse("");
        connection.connection().rollback();
        return new Batch.State(last, hash, own, newest, watch.whyBegin());
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

    /**
     * Opens the log in a folder for writing, making it if there is none.
     *
     * @throws LogTrouble when another process is writing, the drive cannot be trusted, or the file is damaged
     */
    public static SqlEventLog open(Path dataFolder, Path configFolder, Clock clock, Random random) {
        return open(dataFolder, configFolder, clock, random, SqliteFile.Driver.PLAIN);
    }

    static SqlEventLog open(Path dataFolder, Path configFolder, Clock clock, Random random, SqliteFile.Driver driver) {
        return opened(new SqliteFile(dataFolder.resolve(FILE), driver), dataFolder, configFolder, clock, random, true);
    }

    /** Opens the log in a folder for reading beside a process that writes it. */
    public static SqlEventLog openToRead(Path dataFolder, Path configFolder, Clock clock) {
        return opened(new SqliteFile(dataFolder.resolve(FILE)), dataFolder, configFolder, clock, new Random(0), false);
    }

    /**
     * Opens the log in a database for writing, making its table if there is none.
     *
     * @param dataFolder for what this machine keeps beside it; no other process may hold it
     * @throws LogTrouble when the database cannot be reached or used, with what to do
     */
    public static SqlEventLog open(
            PostgresAddress database, Path dataFolder, Path configFolder, Clock clock, Random random) {
        return opened(new PostgresTable(database), dataFolder, configFolder, clock, random, true);
    }

    /** Opens the log in a database for reading. */
    public static SqlEventLog openToRead(PostgresAddress database, Path dataFolder, Path configFolder, Clock clock) {
        return opened(new PostgresTable(database), dataFolder, configFolder, clock, new Random(0), false);
    }

    private static SqlEventLog opened(
            LogStore store, Path dataFolder, Path configFolder, Clock clock, Random random, boolean wantsToWrite) {
        try {
            SqlEventLog log = new SqlEventLog(store, dataFolder, configFolder, clock, random, wantsToWrite);
            log.start();
            return log;
        } catch (IOException failed) {
            throw new LogTrouble(
                    "The folder " + dataFolder + " cannot be used: " + failed.getMessage()
                            + "; choose another with --data.",
                    failed);
        } catch (SQLException failed) {
            throw store.trouble(failed);
        }
    }

    /** Chains that this machine has seen go further than this log does: cut off, or put back from an old copy. */
    public List<String> cut() {
        return watch.cut();
    }

    /** Ends of chains that this log once had, lost, and went on without; none once they came back from elsewhere. */
    public List<String> gone() {
        return watch.gone();
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
                    "The lock file in the folder of the studio cannot be written: " + failed.getMessage(), failed);
        }
    }

    /** Where the log lies: a file, or the address of a database. */
    public String place() {
        return store.place();
    }

    private void start() {
        store.follow(this::wake);
        if (!isReadOnly()) {
            writer.setDaemon(true);
            writer.start();
        }
    }

    @Override
    public List<Stored> read(long pos, int limit) {
        return store.reading(connection -> EventTable.after(connection, pos, limit));
    }

    @Override
    public Optional<Stored> at(long pos) {
        return store.reading(log -> EventTable.at(log, pos));
    }

    @Override
    public List<Stored> lines(EventId id) {
        return store.reading(log -> EventTable.allOf(log, id)).stream()
                .sorted(Stored.KNOWN_ORDER)
                .toList();
    }

    @Override
    public Set<EventId> twice() {
        return store.reading(EventTable::twice);
    }

    @Override
    public List<Stored> chain(String origin, long from, long to) {
        return store.reading(log -> EventTable.chain(log, origin, from, to));
    }

    @Override
    public List<Head> forks() {
        return store.reading(EventTable::forks);
    }

    @Override
    public boolean holds(Head head) {
        return store.reading(log -> EventTable.one(log, head)).isPresent();
    }

    /** The end of the chain that this installation writes; empty when its next event begins one. */
    public Optional<Head> own() {
        return Optional.ofNullable(state.own());
    }

    /** Makes the next event begin a new chain, because the present one may have gone on elsewhere. */
    public void leaveChain(String why) {
        submit(batch -> {
            batch.leave(why);
            return true;
        });
    }

    @Override
    public List<Head> heads() {
        return store.reading(EventTable::heads);
    }

    @Override
    public long last() {
        return isReadOnly() || store.isShared() ? store.reading(EventTable::last) : state.last();
    }

    @Override
    public void follow(Runnable wakeUp) {
        followers.add(wakeUp);
    }

    private void wake() {
        followers.forEach(Runnable::run);
    }

    /**
     * Reads the whole file and says which event is the first that is not as it was written, if any; then looks through the pages
     * and indexes around them.
     */
    public Verification verify() {
        return verified(Verification::of);
    }

    /** The first half of {@link #verify}: every event against its chain. */
    public Verification verifyChains() {
        return verified(Verification::ofChains);
    }

    private interface Verifying {
        Verification of(LogStore store, Verification.Opening opening) throws SQLException;
    }

    private Verification verified(Verifying how) {
        try {
            return how.of(store, () -> store.connect(true));
        } catch (SQLException failed) {
            throw store.trouble(failed);
        }
    }

    @Override
    public void close() {
        closed = true;
        try {
            if (!isReadOnly()) {
                waiting.add(NOTHING);
                writer.join();
            }
            store.close();
            release(writing);
        } catch (InterruptedException asked) {
            Thread.currentThread().interrupt();
        } catch (IOException | SQLException failed) {
            throw new LogTrouble("The log could not be closed properly: " + failed.getMessage(), failed);
        }
    }

    /** The clock on the wall, or the newest that was seen in the log where that is later; in ms. */
    public long now() {
        return Math.max(clock.millis(), state.hlc().millis());
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

    /**
     * Adds those of some lines that follow what is here, or one another; for putting a damaged log together again.
     *
     * @return the others
     */
    List<ForeignLine> adoptWhatFollows(List<ForeignLine> lines) {
        return submit(batch -> batch.adoptWhatFollows(lines));
    }

    /**
     * Makes a copy of the whole log in one file, which is read and verified before it gets its name. Others may write meanwhile.
     *
     * @throws LogTrouble when the disk would not take it, or the copy is not whole; there is no file of that name then
     */
    public Verification copyTo(Path copy) {
        return LogCopy.make(store, copy);
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
                together.add(waiting.take());
                waiting.drainTo(together, MOST_TOGETHER - 1);
                together.remove(NOTHING);
                if (!together.isEmpty()) {
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

    private void commit(List<Ticket<?>> together) throws InterruptedException {
        List<Runnable> acknowledgements = new ArrayList<>();
        try {
            Batch batch = begun();
            for (Ticket<?> ticket : together) {
                attempt(ticket, batch, acknowledgements);
            }
            commit(batch);
            acknowledgements.forEach(Runnable::run);
            if (batch.hasAdded()) {
                wake();
            }
        } catch (SQLException | RuntimeException failed) {
            letGo(failed);
            LogTrouble said = failed instanceof SQLException sql
                    ? store.trouble(sql)
                    : failed instanceof LogTrouble trouble
                            ? trouble
                            : new LogTrouble("Nothing was recorded: " + failed.getMessage(), failed);
            together.forEach(ticket -> ticket.answer.completeExceptionally(said));
        }
    }

    /** A database that was started again is found again. */
    private Batch begun() throws SQLException, InterruptedException {
        long deadline = System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(PATIENCE_MS);
        while (true) {
            try {
                Prepared connection = writing();
                return new Batch(new Batch.Means(connection, clock, random, chain), store.begin(connection, state));
            } catch (SQLException failed) {
                letGo(failed);
                if (!store.isAway(failed) || System.nanoTime() > deadline) {
                    throw failed;
                }
                Thread.sleep(BETWEEN_TRIES_MS);
            }
        }
    }

    private Prepared writing() throws SQLException {
        Prepared connection = writing;
        if (connection == null) {
            connection = store.connect(false);
            writing = connection;
        }
        return connection;
    }

    /** What failed may have left a connection in any state. */
    private void letGo(Exception failed) {
        Prepared connection = writing;
        writing = null;
        if (connection != null) {
            try {
                connection.close();
            } catch (SQLException more) {
                failed.addSuppressed(more);
            }
        }
    }

    private void commit(Batch batch) throws SQLException, InterruptedException {
        if (batch.hasAdded()) {
            store(batch);
        } else {
            store.end(writing());
        }
        boolean leaves = state.own() != null && batch.state().own() == null;
        state = batch.state();
        if (leaves) {
            watch.left(writing());
        }
        if (batch.hasAdded()) {
            watch.written(writing(), batch.heads(), state.own());
            if (state.own() == null && !watch.cut().isEmpty()) {
                state = state.owning(watch.chosen(writing())).because(watch.whyBegin());
            }
        }
        store.end(writing());
    }

    /**
     * Commits, and where that failed finds out what the disk holds: the database may have taken the commit back or not, so it
     * is opened anew and looked at before anybody is told.
     */
    private void store(Batch batch) throws SQLException, InterruptedException {
        try {
            batch.store();
        } catch (SQLException failed) {
            letGo(failed);
            boolean there;
            try {
                there = begun().isOnDisk(batch);
            } catch (SQLException away) {
                failed.addSuppressed(away);
                throw new LogTrouble(
                        "It is not known whether this was recorded: "
                                + store.trouble(failed).getMessage()
                                + " Enter it again later; what was recorded counts once.",
                        failed);
            }
            if (!there) {
                throw failed;
            }
        }
    }

    private <R> void attempt(Ticket<R> ticket, Batch batch, List<Runnable> acknowledgements) throws SQLException {
        Batch.Mark mark = batch.mark();
        try {
            R result = ticket.request.carryOut(batch);
            acknowledgements.add(() -> ticket.answer.complete(result));
        } catch (SQLException disk) {
            throw disk;
        } catch (RuntimeException refused) {
            if (refused.getCause() instanceof SQLException disk) {
                throw disk;
            }
            batch.backTo(mark);
            acknowledgements.add(() -> ticket.answer.completeExceptionally(refused));
        }
    }
}
