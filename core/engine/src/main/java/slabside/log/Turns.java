package slabside.log;

import java.sql.SQLException;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.List;
import java.util.Queue;
import java.util.Set;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CompletionException;
import slabside.event.EventId;
import slabside.measure.BadInput;

/**
 * Who of this process writes, and when. Whoever asks while nobody is writing writes; those who ask meanwhile wait, and the first
 * of them then writes for all.
 */
final class Turns {
    private static final int MOST_TOGETHER = 1_000;

    /** What one who asked wants done to the log. */
    interface Request<R> {
        R carryOut(Batch batch) throws SQLException;
    }

    /** Commits for some who asked and answers each; leaves nothing half done, whatever it throws. */
    interface Writing {
        void commit(List<Ticket<?>> together);
    }

    /** What somebody asked for, and waits for. */
    static final class Ticket<R> {
        private final Request<R> request;
        private final Set<EventId> ids;

        private final CompletableFuture<R> answer = new CompletableFuture<>();
        /** True when it is this one's turn to write, false when it is answered. */
        private final CompletableFuture<Boolean> called = new CompletableFuture<>();

        private Ticket(Request<R> request, Set<EventId> ids) {
            this.request = request;
            this.ids = ids;
            answer.whenComplete((any, failed) -> called.complete(false));
        }

        /** What it will look up, as far as known. */
        Set<EventId> ids() {
            return ids;
        }

        /**
         * Adds its rows, or none.
         *
         * @return what to run once they are on the disk: it tells the one who asked, of a refusal too
         */
        Runnable attempt(Batch batch) throws SQLException {
            Batch.Mark mark = batch.mark();
            try {
                R result = request.carryOut(batch);
                return () -> answer.complete(result);
            } catch (SQLException disk) {
                throw disk;
            } catch (RuntimeException refused) {
                if (refused.getCause() instanceof SQLException disk) {
                    throw disk;
                }
                batch.backTo(mark);
                return () -> answer.completeExceptionally(refused);
            }
        }

        void refuse(LogTrouble why) {
            answer.completeExceptionally(why);
        }
    }

    private final Writing writing;
    /** Those who wait; guarded by this, as are the next two. */
    private final Queue<Ticket<?>> waiting = new ArrayDeque<>();

    private boolean writes;
    private boolean closed;

    Turns(Writing writing) {
        this.writing = writing;
    }

    /**
     * Returns when it is written.
     *
     * @throws BadInput as the request refused
     * @throws LogTrouble when it could not be written
     */
    <R> R submit(Request<R> request, Set<EventId> ids) {
        Ticket<R> ticket = new Ticket<>(request, ids);
        boolean mine;
        synchronized (this) {
            if (closed) {
                throw new LogTrouble("Nothing was recorded: the log is being closed. Start the program again.");
            }
            waiting.add(ticket);
            mine = !writes;
            writes = true;
        }
        if (mine || ticket.called.join()) {
            write();
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

    /** Writes for all who wait, and calls the first of those who came meanwhile. */
    private void write() {
        List<Ticket<?>> together = new ArrayList<>();
        synchronized (this) {
            while (!waiting.isEmpty() && together.size() < MOST_TOGETHER) {
                together.add(waiting.remove());
            }
        }
        boolean ended = false;
        try {
            writing.commit(together);
            ended = true;
        } finally {
            // Whatever ended this, nobody is left waiting.
            together.forEach(ticket -> ticket.refuse(new LogTrouble(
                    "It is not known whether this was recorded. Enter it again; what was recorded counts once.")));
            synchronized (this) {
                // What went wrong is not known, so nobody writes here any more until the program starts again.
                closed |= !ended;
                Ticket<?> next = waiting.peek();
                if (next == null) {
                    writes = false;
                    notifyAll();
                } else {
                    next.called.complete(true);
                }
            }
        }
    }

    /**
     * Takes no more, and waits until those who waited are answered.
     *
     * @return whether this thread was asked to stop meanwhile; the caller says so again when it is done
     */
    synchronized boolean close() {
        closed = true;
        boolean interrupted = false;
        while (writes) {
            try {
                wait();
            } catch (InterruptedException asked) {
                interrupted = true;
            }
        }
        return interrupted;
    }
}
