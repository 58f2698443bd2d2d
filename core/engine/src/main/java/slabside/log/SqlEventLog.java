package slabside.log;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.SQLException;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import slabside.event.EventId;
import slabside.event.Hlc;

/**
 * The log in one table of a database: a file of SQLite, or a PostgreSQL server that several processes share. What waits for its
 * turn together is committed together, and each is acknowledged after its commit is on the disk.
 */
public final class SqlEventLog implements EventLog {
    /** Name of a log in a file, in its folder. */
    public static final String FILE = "studio.db";

    private static final int MOST_TRIES = 100;

    private final LogStore store;
    private final Clock clock;
    private final Random random;
    private final String readOnlyBecause;
    private final @Nullable StudioLock lock;
    private final ChainWatch watch;
    /** Used by whoever writes; null after a failure, until it is needed again. */
    private @Nullable Prepared writing;

    private final List<Runnable> followers = new CopyOnWriteArrayList<>();
    private final AtomicBoolean followed = new AtomicBoolean();

    /** Changed by whoever writes. */
    private volatile Batch.State state;

    private final Chain chain = new Chain();
    /** Whether nobody else added when this process last looked; for whoever writes. */
    private boolean isAlone;

    private final Turns turns = new Turns(this::commit);

    private SqlEventLog(
            LogStore store, Path dataFolder, Path configFolder, Clock clock, Random random, boolean wantsToWrite)
            throws IOException, SQLException {
        this.store = store;
        this.clock = clock;
        this.random = random;
        if (wantsToWrite) {
            Files.createDirectories(dataFolder);
        }
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
            if (isReadOnly()) {
                watch.compare(connection);
                state = new Batch.State(0, "", null, Hlc.START, "");
                return;
            }
            state = found(connection);
            store.settleIn(dataFolder);
        } catch (IOException | SQLException | RuntimeException failed) {
            release(connection);
            throw failed;
        }
    }

    /** Where the log stands, and on which chain this process goes on. */
    private Batch.State found(Prepared connection) throws IOException, SQLException {
        // The end first, so that no clock before it is missed while others write.
        long last = EventTable.last(connection);
        String hash = EventTable.at(connection, last).map(Stored::hash).orElse("");
        Head own = watch.choose(connection).orElse(null);
        Hlc newest = Hlc.START;
        for (Head head : EventTable.heads(connection)) {
            newest = newest.later(
                    EventTable.one(connection, head).orElseThrow().envelope().hlc());
        }
        store.end(connection);
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

    /** Whether there is a log in a database. */
    public static boolean isIn(PostgresAddress database) {
        PostgresTable table = new PostgresTable(database);
        try {
            return table.holdsLog();
        } finally {
            table.close();
        }
    }

    private static SqlEventLog opened(
            LogStore store, Path dataFolder, Path configFolder, Clock clock, Random random, boolean wantsToWrite) {
        try {
            return new SqlEventLog(store, dataFolder, configFolder, clock, random, wantsToWrite);
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

    /** Whether other processes may write it too. */
    public boolean isShared() {
        return store.isShared();
    }

    /** Where the log lies: a file, or the address of a database. */
    public String place() {
        return store.place();
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
        if (followed.compareAndSet(false, true)) {
            store.follow(this::wake);
        }
    }

    private void wake() {
        followers.forEach(Runnable::run);
    }

    /**
     * Reads the whole log and says which event is the first that is not as it was written, if any; then looks through the pages
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
        boolean interrupted = turns.close();
        try {
            try {
                store.close();
            } finally {
                release(writing);
            }
        } catch (IOException | SQLException failed) {
            throw new LogTrouble("The log could not be closed properly: " + failed.getMessage(), failed);
        }
        if (interrupted) {
            Thread.currentThread().interrupt();
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
        return submit(
                batch -> {
                    List<Stored> stored = new ArrayList<>();
                    for (Draft draft : decision.decide(batch)) {
                        stored.add(batch.add(draft));
                    }
                    return new Receipt(stored);
                },
                decision.ids());
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

    private <R> R submit(Turns.Request<R> request) {
        return submit(request, Set.of());
    }

    private <R> R submit(Turns.Request<R> request, Set<EventId> ids) {
        if (isReadOnly()) {
            throw new LogTrouble(
                    "Nothing was recorded, because this log is open for reading only: " + readOnlyBecause + ".");
        }
        return turns.submit(request, ids);
    }

    private void commit(List<Turns.Ticket<?>> together) {
        List<Runnable> acknowledgements = new ArrayList<>();
        try {
            long before = state.last();
            Turns.Ticket<?> first = together.get(0);
            boolean done = isAlone
                    && together.size() == 1
                    && first.ids().size() == 1
                    && isCommittedAtOnce(first, acknowledgements);
            for (int i = 0; !done; i++) {
                if (i == MOST_TRIES) {
                    throw new LogTrouble(
                            "Nothing was recorded: others write so much, or the connection breaks so often, that this found no place. Enter it again.");
                }
                acknowledgements.clear();
                done = isCommittedInTurn(together, acknowledgements);
            }
            acknowledgements.forEach(Runnable::run);
            if (state.last() > before) {
                wake();
            }
        } catch (SQLException | RuntimeException failed) {
            letGo(failed);
            LogTrouble said = refusal(failed);
            together.forEach(ticket -> ticket.refuse(said));
        } catch (Error broken) {
            // The memory ran out, or worse: at least nothing is left half done.
            letGo(broken);
            throw broken;
        }
    }

    private LogTrouble refusal(Exception failed) {
        if (failed instanceof LogTrouble trouble) {
            return trouble;
        }
        if (failed instanceof SQLException sql) {
            LogTrouble trouble = store.trouble(sql);
            return trouble instanceof LogAway
                    ? new LogAway(
                            trouble.getMessage() + " Nothing was recorded just now; enter it again when it is back.",
                            sql)
                    : trouble;
        }
        return new LogTrouble("Nothing was recorded: " + failed.getMessage(), failed);
    }

    /** Decides with the log held, so that it cannot change meanwhile; false where it must be done again all the same. */
    private boolean isCommittedInTurn(List<Turns.Ticket<?>> together, List<Runnable> acknowledgements)
            throws SQLException {
        List<Head> met = new ArrayList<>();
        Batch batch = begun(
                together.stream()
                        .flatMap(ticket -> ticket.ids().stream())
                        .distinct()
                        .toList(),
                met);
        isAlone = store.isShared() && batch.state().last() == state.last();
        for (Turns.Ticket<?> ticket : together) {
            acknowledgements.add(ticket.attempt(batch));
        }
        if (batch.hasAdded() && !stored(batch, () -> store.add(writing(), batch.rows()))) {
            store.end(writing());
            return false;
        }
        committed(batch, met);
        return true;
    }

    /**
     * Most often one entry comes alone, and nobody else has written since the last: then it is decided on first, and goes to the
     * database in one journey, on condition that the log still stands as it did.
     */
    private boolean isCommittedAtOnce(Turns.Ticket<?> ticket, List<Runnable> acknowledgements) throws SQLException {
        Map<EventId, List<Stored>> none = ticket.ids().stream().collect(Collectors.toMap(id -> id, id -> List.of()));
        isAlone = false;
        Batch batch;
        try {
            batch = new Batch(new Batch.Means(writing(), none, clock, random, chain), state);
            acknowledgements.add(ticket.attempt(batch));
            List<Object[]> rows = batch.rows();
            if (rows.size() != 1 || !stored(batch, () -> store.addAtOnce(writing(), state, rows.get(0)))) {
                store.end(writing());
                return false;
            }
        } catch (SQLException failed) {
            if (!store.isAway(failed)) {
                throw failed;
            }
            // It is not there; with the log held it is tried again, and with patience.
            letGo(failed);
            return false;
        }
        isAlone = true;
        committed(batch, List.of());
        return true;
    }

    /** A database that was started again is found again. */
    private Batch begun(List<EventId> ids, List<Head> met) throws SQLException {
        Patience patience = new Patience();
        while (true) {
            try {
                Prepared connection = writing();
                LogStore.Begun begun = store.begin(connection, state, ids);
                met.addAll(begun.met());
                return new Batch(new Batch.Means(connection, begun.known(), clock, random, chain), begun.state());
            } catch (SQLException failed) {
                letGo(failed);
                if (!store.isAway(failed) || patience.isOver()) {
                    throw failed;
                }
                patience.pause();
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
    private void letGo(Throwable failed) {
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

    /**
     * Remembers what was committed. From here on it stands, whatever else goes wrong.
     *
     * @param met newest events of chains that others added to
     */
    private void committed(Batch batch, List<Head> met) {
        boolean leaves = state.own() != null && batch.state().own() == null;
        state = batch.state();
        try {
            if (leaves) {
                watch.left(writing());
            }
            if (batch.hasAdded() || !met.isEmpty()) {
                watch.written(
                        writing(),
                        Stream.concat(met.stream(), batch.heads().stream()).toList(),
                        state.own());
                if (state.own() == null && !watch.cut().isEmpty()) {
                    state = state.owning(watch.chosen(writing())).because(watch.whyBegin());
                }
            }
            store.end(writing());
        } catch (SQLException failed) {
            // The next to write opens another connection.
            letGo(failed);
        }
    }

    private interface Storing {
        boolean store() throws SQLException;
    }

    /**
     * Commits, and where that failed finds out what the disk holds: the database may have taken the commit back or not, so it
     * is opened anew and looked at before anybody is told.
     *
     * @return false where nothing was recorded, and it may be tried again
     */
    private boolean stored(Batch batch, Storing how) throws SQLException {
        try {
            return how.store();
        } catch (SQLException failed) {
            letGo(failed);
            boolean there;
            try {
                there = begun(List.of(), new ArrayList<>()).isOnDisk(batch);
            } catch (SQLException away) {
                failed.addSuppressed(away);
                throw new LogTrouble(
                        "It is not known whether this was recorded: "
                                + store.trouble(failed).getMessage()
                                + " Enter it again later; what was recorded counts once.",
                        failed);
            }
            if (!there && !store.isAway(failed)) {
                throw failed;
            }
            return there;
        }
    }
}
