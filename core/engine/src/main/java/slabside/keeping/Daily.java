package slabside.keeping;

import java.util.Optional;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import slabside.log.LogTrouble;
import slabside.studio.Studio;

/** Makes the copy of the day while a studio is open, and remembers what came of it. */
public final class Daily implements AutoCloseable {
    private static final long FIRST_MIN = 1;
    private static final long EVERY_MIN = 60;
    private static final long LONGEST_END_S = 30;

    private final Studio studio;
    private final Backups backups;
    private final ScheduledExecutorService clockwork = Executors.newSingleThreadScheduledExecutor(work -> {
        Thread thread = new Thread(work, "slabside-copies");
        thread.setDaemon(true);
        thread.setPriority(Thread.MIN_PRIORITY);
        return thread;
    });
    private volatile String trouble = "";

    public Daily(Studio studio) {
        this.studio = studio;
        this.backups = Backups.beside(studio.folder());
        if (!studio.log().isReadOnly()) {
            clockwork.scheduleWithFixedDelay(this::look, FIRST_MIN, EVERY_MIN, TimeUnit.MINUTES);
        }
    }

    /** Makes a copy if one is due. */
    void look() {
        try {
            backups.daily(studio);
            trouble = "";
        } catch (LogTrouble failed) {
            trouble = String.valueOf(failed.getMessage());
        } catch (RuntimeException unforeseen) {
            trouble = "The copy of the day failed in a way that was not foreseen: " + unforeseen;
        }
    }

    public Backups backups() {
        return backups;
    }

    /** Why the last copy of the day was not made; empty when it was, or none is due. */
    public Optional<String> trouble() {
        return trouble.isEmpty() ? Optional.empty() : Optional.of(trouble);
    }

    /** Lets a copy that is being made come to its end, if that is soon; an unfinished one is taken away before the next. */
    @Override
    public void close() {
        clockwork.shutdown();
        try {
            if (!clockwork.awaitTermination(LONGEST_END_S, TimeUnit.SECONDS)) {
                clockwork.shutdownNow();
            }
        } catch (InterruptedException asked) {
            clockwork.shutdownNow();
            Thread.currentThread().interrupt();
        }
    }
}
