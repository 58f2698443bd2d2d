package slabside.views;

import java.sql.SQLException;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.Condition;
import java.util.concurrent.locks.ReentrantLock;
import org.jspecify.annotations.Nullable;
import slabside.event.ThingId;
import slabside.log.EventLog;
import slabside.log.LogTrouble;
import slabside.log.Prepared;
import slabside.log.Stored;

/** Brings the views up to date after each commit of the log, or makes them anew, on a thread of its own. */
final class Follower implements AutoCloseable {
    /** The disk may be waited for less often than SQLite would: what is written can be made anew. */
    private static final int PAGES_BETWEEN_CHECKPOINTS = 8_000;

    /** Is told what was brought in, before the position shows it and before those who wait go on. */
    interface Listener {
        /** @param movedOthers whether others got another place in the stories */
        void broughtIn(List<Stored> fresh, Set<ThingId> renamed, boolean movedOthers);
    }

    private final EventLog log;
    private final ViewsFile file;
    private final int atATime;
    private final Listener listener;
    private final boolean makesAnew;
    private final Thread thread;
    private final ReentrantLock reached = new ReentrantLock();
    private final Condition moved = reached.newCondition();

    private volatile long pos;
    private volatile boolean closed;
    /** Of the event at {@link #pos}; for the thread. */
    private String hash;

    /** Whether the log told of something new since it was last read. */
    private volatile boolean woken;

    private volatile @Nullable LogTrouble failure;

    /** @param atATime lines that are read at once */
    Follower(EventLog log, ViewsFile file, int atATime, Listener listener) throws SQLException {
        this.log = log;
        this.file = file;
        this.atATime = atATime;
        this.listener = listener;
        try (Prepared views = file.connect()) {
            ViewTables.State state = ViewTables.state(views);
            this.pos = state.pos();
            this.hash = state.hash();
            this.makesAnew = pos == 0 && log.last() > 0;
            if (!makesAnew) {
                ViewTables.index(views);
            }
        }
        this.thread = new Thread(this::run, "slabside-views");
        thread.setDaemon(true);
    }

    void start() {
        thread.start();
        log.follow(this::wake);
    }

    /** Up to where the log can be seen in the views. */
    long pos() {
        return pos;
    }

    /**
     * Waits until everything up to a position of the log can be seen.
     *
     * @param deadline by {@link System#nanoTime}
     * @throws LogTrouble when it cannot, or not before the deadline
     */
    void await(long position, long deadline) {
        reached.lock();
        try {
            if (failure instanceof LogReplaced replaced) {
                throw replaced;
            }
            while (pos < position) {
                LogTrouble failed = failure;
                if (failed != null) {
                    throw failed;
                }
                if (System.nanoTime() > deadline) {
                    throw behind(pos, position);
                }
                moved.await(200, TimeUnit.MILLISECONDS);
            }
        } catch (InterruptedException asked) {
            Thread.currentThread().interrupt();
        } finally {
            reached.unlock();
        }
    }

    static LogTrouble behind(long pos, long position) {
        return new LogTrouble(
                "The lists are still behind the log (at " + pos + " of " + position + "); try again in a moment.");
    }

    private void run() {
        try (Prepared views = file.connect()) {
            views.rows("PRAGMA wal_autocheckpoint = " + PAGES_BETWEEN_CHECKPOINTS, row -> row.getInt(1));
            EventLog patient = new PatientLog(log, () -> closed);
            Indexer indexer = new Indexer(views, patient);
            if (makesAnew) {
                List<Stored> last =
                        new MadeAnew(views, patient, indexer, file.beside("-heap"), atATime, () -> closed).make();
                if (!last.isEmpty()) {
                    reach(last, indexer);
                }
            }
            views.connection().setAutoCommit(false);
            while (!closed) {
                follow(views, patient, indexer);
            }
        } catch (LogReplaced replaced) {
            fail(replaced);
        } catch (SQLException | RuntimeException failed) {
            fail(new LogTrouble(
                    "The lists could not be brought up to date: " + failed.getMessage()
                            + ". Nothing recorded is lost; stop the program, delete " + file.path()
                            + " and start again.",
                    failed));
        }
    }

    private void fail(LogTrouble why) {
        failure = why;
        wake();
    }

    private void follow(Prepared views, EventLog patient, Indexer indexer) throws SQLException {
        woken = false;
        List<Stored> fresh = patient.read(pos, atATime);
        if (fresh.isEmpty()) {
            if (pos > 0 && !patient.at(pos).map(Stored::hash).equals(Optional.of(hash))) {
                throw new LogReplaced();
            }
            waitForMore();
            return;
        }
        indexer.index(fresh);
        views.connection().commit();
        reach(fresh, indexer);
    }

    /** A database can be put back from a copy while it is followed. */
    private static final class LogReplaced extends LogTrouble {
        private static final long serialVersionUID = 1L;

        LogReplaced() {
            super(
                    "The log is not the one that these lists were made from: it was put back from a copy, or another took its place. Start the program again.");
        }
    }

    private void reach(List<Stored> fresh, Indexer indexer) {
        reached.lock();
        try {
            listener.broughtIn(fresh, indexer.renamed(), indexer.movedOthers());
            Stored last = fresh.get(fresh.size() - 1);
            pos = last.pos();
            hash = last.hash();
            moved.signalAll();
        } finally {
            reached.unlock();
        }
    }

    private void wake() {
        reached.lock();
        try {
            woken = true;
            moved.signalAll();
        } finally {
            reached.unlock();
        }
    }

    private void waitForMore() {
        reached.lock();
        try {
            if (!woken && !closed) {
                moved.await(1, TimeUnit.SECONDS);
            }
        } catch (InterruptedException asked) {
            closed = true;
        } finally {
            reached.unlock();
        }
    }

    /** Stops after what is being done. */
    @Override
    public void close() {
        closed = true;
        wake();
        try {
            thread.join();
        } catch (InterruptedException asked) {
            Thread.currentThread().interrupt();
        }
    }
}
