package slabside.log;

import java.io.IOException;
import java.nio.file.Files;
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
 * The log in one SQLite file. One process writes, on one thread: requests that wait together are committed together, and
 * each is acknowledged after its commit is on the disk.
 */
public final class SqliteEventLog implements EventLog {
    private static final int MOST_TOGETHER = 1_000;

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

    /** Changed by the writer thread only, once it runs. */
    private volatile Batch.State state;

    private final Chain chain = new Chain();
    private volatile boolean closed;

    private interface Request<R> {
        R carryOut(Batch batch) throws SQLException;
    }

    private record Ticket<R>(Request<R> request, CompletableFuture<R> answer) {}

    private SqliteEventLog(
            Path dataFolder,
            Path configFolder,
            Clock clock,
            Random random,
            boolean wantsToWrite,
            SqliteFile.Driver driver)
            throws IOException, SQLException {
        this.file = new SqliteFile(dataFolder.resolve("studio.db"), driver);
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
            if (isReadOnly()) {
                file.refuseEarlierForm();
            }
            connection = new Prepared(file.connect(isReadOnly()));
            writing = connection;
            long last = SqliteFile.last(connection);
            if (isReadOnly()) {
                watch.compare(connection);
                state = new Batch.State(last, null, Hlc.START, "");
                return;
            }
            Head own = watch.choose(connection).orElse(null);
            state = new Batch.State(last, own, newestClock(), watch.whyBegin());
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
            Stored stored = SqliteFile.one(writing, head).orElseThrow();
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
        return open(dataFolder, configFolder, clock, random, SqliteFile.Driver.PLAIN);
    }

    static SqliteEventLog open(
            Path dataFolder, Path configFolder, Clock clock, Random random, SqliteFile.Driver driver) {
        return opened(dataFolder, configFolder, clock, random, true, driver);
    }

    /** Opens the log for reading beside a process that writes it. */
    public static SqliteEventLog openToRead(Path dataFolder, Path configFolder, Clock clock) {
        return opened(dataFolder, configFolder, clock, new Random(0), false, SqliteFile.Driver.PLAIN);
    }

    private static SqliteEventLog opened(
            Path dataFolder,
            Path configFolder,
            Clock clock,
            Random random,
            boolean wantsToWrite,
            SqliteFile.Driver driver) {
        try {
            SqliteEventLog log = new SqliteEventLog(dataFolder, configFolder, clock, random, wantsToWrite, driver);
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

    /** A folder that no other process may write, until closed. */
    public interface Held extends AutoCloseable {
        @Override
        void close() throws IOException;
    }

    /** Keeps every process from writing the log in a folder, until closed; empty when one does. */
    public static Optional<Held> hold(Path dataFolder) {
        try {
            Files.createDirectories(dataFolder);
            return StudioLock.take(dataFolder).map(lock -> lock);
        } catch (IOException failed) {
            throw new LogTrouble("The folder " + dataFolder + " cannot be used: " + failed.getMessage(), failed);
        }
    }

    /** What the process that holds the log said of where it can be reached, such as the address of its pages. */
    public static String holder(Path dataFolder) {
        return StudioLock.holder(dataFolder);
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

    @Override
    public List<Stored> read(long pos, int limit) {
        return file.reading(connection -> SqliteFile.after(connection, pos, limit));
    }

    @Override
    public Optional<Stored> at(long pos) {
        return file.reading(log -> SqliteFile.at(log, pos));
    }

    @Override
    public List<Stored> lines(EventId id) {
        return file.reading(log -> SqliteFile.allOf(log, id)).stream()
                .sorted(Stored.KNOWN_ORDER)
                .toList();
    }

    @Override
    public Set<EventId> twice() {
        return file.reading(SqliteFile::twice);
    }

    @Override
    public List<Stored> chain(String origin, long from, long to) {
        return file.reading(log -> SqliteFile.chain(log, origin, from, to));
    }

    @Override
    public List<Head> forks() {
        return file.reading(SqliteFile::forks);
    }

    @Override
    public boolean holds(Head head) {
        return file.reading(log -> SqliteFile.one(log, head)).isPresent();
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
        return file.reading(SqliteFile::heads);
    }

    @Override
    public long last() {
        return isReadOnly() ? file.reading(SqliteFile::last) : state.last();
    }

    @Override
    public void follow(Runnable wakeUp) {
        followers.add(wakeUp);
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
        Verification of(Verification.Opening opening) throws SQLException;
    }

    private Verification verified(Verifying how) {
        try {
            return how.of(() -> new Prepared(file.connect(true)));
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
        return LogCopy.make(file, copy);
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
        Batch batch = new Batch(new Batch.Means(writing, clock, random, chain), state);
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
            if (!batch.isOnDisk(writing)) {
                throw failed;
            }
        }
        boolean leaves = state.own() != null && batch.state().own() == null;
        state = batch.state();
        if (leaves) {
            watch.left(writing);
        }
        if (batch.hasAdded()) {
            watch.written(writing, batch.heads(), state.own());
            if (state.own() == null && !watch.cut().isEmpty()) {
                state = new Batch.State(state.last(), watch.chosen(writing), state.hlc(), watch.whyBegin());
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
            batch.backTo(mark);
            acknowledgements.add(() -> ticket.answer.completeExceptionally(refused));
        }
    }
}
