package slabside.views;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.concurrent.CompletableFuture;
import java.util.function.BooleanSupplier;
import org.jspecify.annotations.Nullable;
import org.sqlite.SQLiteConfig;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.ThingId;
import slabside.log.EventLog;
import slabside.log.LogTrouble;
import slabside.log.Prepared;
import slabside.log.Stored;

/**
 * Makes the lists from the whole log at once. Nobody sees anything before all of it is there, so the disk need not be waited for.
 * One thread reads what the lines say and puts their edges into a heap, a file of its own, from which they are sorted in at the
 * end; the other puts down the events. What directly follows, corrects or repeats another event comes last, one by one, as it
 * would while following.
 */
final class MadeAnew {
    private static final int BATCHES_COMMITTED = 10;
    /** Threads that SQLite may take to sort, besides its own. */
    private static final int SORTING_BESIDE = 2;

    private final Prepared views;
    private final EventLog log;
    private final Indexer indexer;
    private final Path heap;
    private final int atATime;
    private final BooleanSupplier stopped;

    /**
     * @param heap a file that is made and taken away again
     * @param atATime lines that are read at once
     * @param stopped whether to give up
     */
    MadeAnew(Prepared views, EventLog log, Indexer indexer, Path heap, int atATime, BooleanSupplier stopped) {
        this.views = views;
        this.log = log;
        this.indexer = indexer;
        this.heap = heap;
        this.atATime = atATime;
        this.stopped = stopped;
    }

    /** Makes everything; returns the last lines that are in it, none when it was given up. */
    List<Stored> make() throws SQLException {
        views.update("PRAGMA synchronous = OFF");
        ViewTables.number(views, ViewTables.UNFINISHED);
        List<Stored> last;
        try {
            takeHeapAway();
            views.connection().setAutoCommit(false);
            last = all();
            views.connection().commit();
            views.connection().setAutoCommit(true);
            if (!stopped.getAsBoolean()) {
                sortIn();
            }
        } finally {
            takeHeapAway();
        }
        if (last.isEmpty() || stopped.getAsBoolean()) {
            return List.of();
        }
        ViewTables.index(views);
        indexer.reached(last.get(last.size() - 1));
        views.update("PRAGMA synchronous = NORMAL");
        // What was written without waiting is on the disk before it counts.
        views.rows("PRAGMA wal_checkpoint(FULL)", row -> row.getInt(1));
        ViewTables.number(views, ViewTables.NUMBER);
        return last;
    }

    /** Lines with what is put down of each; nothing of one that must wait. */
    private record Read(List<Stored> lines, List<Plain> plain) {
        static final Read NOTHING = new Read(List.of(), List.of());
    }

    /** An event that says nothing of another one. */
    record Plain(Told told, byte[] key, List<ThingId> defines) {}

    private List<Stored> all() throws SQLException {
        ManyRows items = new ManyRows(views, "item", 7);
        ManyRows search = new ManyRows(views, "search (rowid, text)", 2);
        List<Stored> last = List.of();
        try (Heap edges = new Heap()) {
            int batches = 0;
            CompletableFuture<Read> next = CompletableFuture.supplyAsync(() -> edges.read(0));
            try {
                for (Read fresh = next.join(); !fresh.lines.isEmpty() && !stopped.getAsBoolean(); fresh = next.join()) {
                    last = fresh.lines;
                    long after = last.get(last.size() - 1).pos();
                    next = CompletableFuture.supplyAsync(() -> edges.read(after));
                    for (Plain plain : fresh.plain) {
                        indexer.putPlainly(plain, items, search);
                    }
                    batches++;
                    if (batches % BATCHES_COMMITTED == 0) {
                        views.connection().commit();
                    }
                }
            } finally {
                // Nobody writes into the heap any more when it is closed.
                next.exceptionally(failed -> Read.NOTHING).join();
            }
            items.flush();
            search.flush();
            edges.flush();
        }
        return last;
    }

    private void sortIn() throws SQLException {
        views.rows("PRAGMA threads = " + SORTING_BESIDE, row -> row.getInt(1));
        views.update("ATTACH '" + heap.toString().replace("'", "''") + "' AS heap");
        ViewTables.sortIn(views);
        List<Long> later = views.numbers("SELECT pos FROM heap.later ORDER BY pos");
        views.update("DETACH heap");
        views.connection().setAutoCommit(false);
        indexer.putInLater(later);
        views.connection().commit();
        views.connection().setAutoCommit(true);
    }

    /** Unsorted edges, as they come. */
    private final class Heap implements AutoCloseable {
        private final Prepared file;
        private final ManyRows mentions;
        private final ManyRows parts;
        private final ManyRows later;

        Heap() throws SQLException {
            SQLiteConfig config = new SQLiteConfig();
            config.setGetGeneratedKeys(false);
            config.setJournalMode(SQLiteConfig.JournalMode.OFF);
            config.setSynchronous(SQLiteConfig.SynchronousMode.OFF);
            file = new Prepared(config.createConnection("jdbc:sqlite:" + heap));
            file.update("CREATE TABLE mention (thing TEXT, key BLOB, pos INTEGER)");
            file.update("CREATE TABLE part (thing TEXT, role INTEGER, key BLOB, pos INTEGER)");
            file.update("CREATE TABLE later (pos INTEGER)");
            file.connection().setAutoCommit(false);
            mentions = new ManyRows(file, "mention", 3);
            parts = new ManyRows(file, "part", 4);
            later = new ManyRows(file, "later", 1);
        }

        Read read(long after) {
            List<Stored> lines = log.read(after, atATime);
            Set<EventId> twice = log.twice();
            List<Plain> plain = new ArrayList<>(lines.size());
            try {
                for (Stored stored : lines) {
                    Plain alone = put(stored, twice);
                    if (alone != null) {
                        plain.add(alone);
                    }
                }
            } catch (SQLException failed) {
                throw new LogTrouble("The file " + heap + " cannot be written: " + failed.getMessage(), failed);
            }
            return new Read(lines, plain);
        }

        private @Nullable Plain put(Stored stored, Set<EventId> twice) throws SQLException {
            if (stored.envelope().after() != null
                    || MemoryStories.target(stored.event()).isPresent()
                    || twice.contains(stored.envelope().id())) {
                later.add(stored.pos());
                return null;
            }
            StoryKey place = StoryKey.of(stored.envelope(), stored.envelope().happened());
            byte[] key = place.bytes();
            for (ThingId thing : EventCodec.about(stored.event())) {
                mentions.add(thing.text(), key, stored.pos());
            }
            List<ThingId> defines = new ArrayList<>();
            for (Role.Part part : Role.parts(stored.event())) {
                parts.add(part.thing().text(), part.role().ordinal(), key, stored.pos());
                if (part.role() == Role.DEFINES) {
                    defines.add(part.thing());
                }
            }
            return new Plain(Teller.plain(stored, place), key, defines);
        }

        void flush() throws SQLException {
            mentions.flush();
            parts.flush();
            later.flush();
            file.connection().commit();
        }

        @Override
        public void close() throws SQLException {
            file.close();
        }
    }

    private void takeHeapAway() {
        try {
            Files.deleteIfExists(heap);
        } catch (IOException failed) {
            throw new LogTrouble("The file " + heap + " cannot be taken away: " + failed.getMessage(), failed);
        }
    }
}
