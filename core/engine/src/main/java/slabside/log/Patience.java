package slabside.log;

import java.util.concurrent.TimeUnit;

/** For how long a database that does not answer is tried again before those who wait are told. */
final class Patience {
    private static final long LONGEST_MS = 5_000;
    private static final long BETWEEN_TRIES_MS = 200;

    private final long end = System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(LONGEST_MS);

    boolean isOver() {
        return System.nanoTime() > end;
    }

    /** Waits between two tries. */
    void pause() {
        pause(BETWEEN_TRIES_MS);
    }

    /** Waits in a thread that was interrupted too, which stays so: whoever asks the database must not be made to hurry. */
    static void pause(long ms) {
        boolean interrupted = false;
        long until = System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(ms);
        for (long left = ms; left > 0; left = TimeUnit.NANOSECONDS.toMillis(until - System.nanoTime())) {
            try {
                Thread.sleep(left);
            } catch (InterruptedException asked) {
                interrupted = true;
            }
        }
        if (interrupted) {
            Thread.currentThread().interrupt();
        }
    }
}
