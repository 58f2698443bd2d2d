package slabside.share;

import java.nio.file.Path;
import java.util.HexFormat;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import slabside.event.EventId;
import slabside.log.Head;
import slabside.log.LogTrouble;
import slabside.measure.BadInput;
import slabside.studio.Studio;

/**
 * A studio that is shared through a folder: joined, left, exchanged now or from time to time while pages are served.
 *
 * <pre>{@code
 * Sharing.make(studio, folder, "the laptop");
 * Sharing.of(studio).orElseThrow().now();
 * }</pre>
 */
public final class Sharing implements AutoCloseable {
    private static final long LOOKS_EVERY_S = 15;
    /** What was written lately is kept back so long, so that a shared folder does not fill with small files. */
    private static final long GIVES_EVERY_MS = TimeUnit.MINUTES.toMillis(1);

    private static final long LONGEST_FIRST_S = 10;

    private static final long LOOKS_OVER_EVERY_MS = TimeUnit.MINUTES.toMillis(10);
    private static final long LONGEST_LAST_S = 15;

    private static final int LONGEST_NAME = 40;

    private final Studio studio;
    private final Membership membership;
    private volatile @Nullable Exchange exchange;
    private volatile @Nullable ScheduledExecutorService clockwork;
    private boolean everGiven;
    private long givenUpTo = -1;
    private long givenAt;
    private volatile Exchanged last;

    private Sharing(Studio studio, Membership membership) {
        this.studio = studio;
        this.membership = membership;
        this.last = Exchanged.failed(0, "");
    }

    /** How an open studio is shared, if it is. */
    public static Optional<Sharing> of(Studio studio) {
        return Membership.of(studio.config(), studio.folder()).map(membership -> new Sharing(studio, membership));
    }

    /**
     * Makes a folder that this studio is shared through, and gives it everything.
     *
     * @param name what to call this machine, such as "the laptop"
     * @throws BadInput when the folder or the name cannot be taken, or the studio is shared already
     */
    public static Sharing make(Studio studio, Path folder, String name) {
        check(studio, folder, name);
        String share = random();
        SharedFolder.make(folder, share);
        return entered(studio, folder, share, name);
    }

    /**
     * Enters a studio that is shared through a folder, gives what is here and takes what is there.
     *
     * @param merge whether two studios that have nothing in common are to become one, which cannot be undone
     * @throws BadInput when the folder or the name cannot be taken, the studio is shared already, or the two have nothing in
     *     common and that was not asked for
     */
    public static Sharing join(Studio studio, Path folder, String name, boolean merge) {
        check(studio, folder, name);
        SharedFolder shared = SharedFolder.open(folder);
        SharedFolder.Seen seen = shared.look();
        if (seen.notes().stream().anyMatch(note -> !note.left() && note.name().equalsIgnoreCase(name.strip()))) {
            throw new BadInput("name", name, "another machine is called that; give this one a name of its own");
        }
        Set<String> here = studio.log().heads().stream().map(Head::origin).collect(Collectors.toSet());
        Set<String> there =
                seen.pieces().stream().map(piece -> piece.segment().origin()).collect(Collectors.toSet());
        if (!merge && there.isEmpty() && !here.isEmpty()) {
            throw new BadInput(
                    "folder",
                    folder,
                    "nothing of the shared studio lies in it yet; wait until it is copied, then join");
        }
        if (!merge && !here.isEmpty() && there.stream().noneMatch(here::contains)) {
            throw new BadInput(
                    "folder",
                    folder,
                    "the studio here (" + studio.log().last()
                            + " events) and the one there have nothing in common. Joining makes them one for ever; if that is meant, say so (--merge); else name an empty data folder with --data");
        }
        return entered(studio, folder, shared.share(), name);
    }

    private static Sharing entered(Studio studio, Path folder, String share, String name) {
        Membership.in(studio.folder(), folder, share, random(), name.strip()).keep(studio.config());
        Sharing sharing = of(studio).orElseThrow();
        sharing.now();
        return sharing;
    }

    private static void check(Studio studio, Path folder, String name) {
        if (name.isBlank() || name.strip().length() > LONGEST_NAME) {
            throw new BadInput("name", name, "say what to call this machine, in at most " + LONGEST_NAME + " letters");
        }
        Membership.of(studio.config(), studio.folder()).ifPresent(known -> {
            throw new BadInput(
                    "folder", folder, "this studio is shared through " + known.folder() + " already; leave that first");
        });
        Path inner = folder.toAbsolutePath().normalize();
        Path data = studio.folder().toAbsolutePath().normalize();
        if (inner.startsWith(data) || data.startsWith(inner)) {
            throw new BadInput(
                    "folder",
                    folder,
                    "the studio's own folder must not be carried about; give a folder beside it, which then holds copies only");
        }
        if (studio.log().isReadOnly()) {
            throw new LogTrouble("This log is open for reading only, so it cannot be shared from here.");
        }
    }

    static String random() {
        byte[] bytes = new byte[8];
        EventId.chance().nextBytes(bytes);
        return HexFormat.of().formatHex(bytes);
    }

    /**
     * Gives everything once more and stops sharing from this machine; what is in the folder and in the log stays.
     *
     * @param anyway even when the folder is not reached, so that what was written since the last exchange is only here
     * @throws LogTrouble when it is not reached and that was not asked for
     */
    public synchronized void leave(boolean anyway) {
        stopClockwork();
        try {
            exchange().leave();
        } catch (LogTrouble | BadInput notReached) {
            if (!anyway) {
                begin();
                throw new LogTrouble(
                        "The shared folder is not reached (" + notReached.getMessage()
                                + "), so what was written here lately would stay here alone. Leave when it is there, or say that you want to leave anyway.",
                        notReached);
            }
        }
        membership().forget(studio.config());
    }

    private Exchange exchange() {
        Exchange known = exchange;
        if (known == null) {
            known = new Exchange(studio, membership);
            exchange = known;
        }
        return known;
    }

    public Membership membership() {
        Exchange known = exchange;
        return known == null ? membership : known.membership();
    }

    /** What the last exchange did; one at the time 0 that did nothing when there was none yet. */
    public Exchanged last() {
        return last;
    }

    /** Exchanges everything now. */
    public Exchanged now() {
        return run(true);
    }

    private synchronized Exchanged run(boolean giveAll) {
        long now = studio.log().clock().millis();
        try {
            long since = (System.nanoTime() - givenAt) / 1_000_000;
            boolean news = studio.log().last() > givenUpTo && since >= GIVES_EVERY_MS;
            // Now and then without news, since what lies in the folder may have been spoiled or lost.
            boolean give = giveAll || !everGiven || news || since >= LOOKS_OVER_EVERY_MS;
            last = exchange().run(give);
            if (give) {
                everGiven = true;
                givenUpTo = studio.log().last();
                givenAt = System.nanoTime();
            }
        } catch (LogTrouble | BadInput failed) {
            last = Exchanged.failed(now, String.valueOf(failed.getMessage()));
        }
        return last;
    }

    /**
     * Exchanges now and from time to time until closed. Waits for the first exchange a little, since what this machine had lost
     * may come back by it, and is better here before anything new is written.
     */
    public void keepOn() {
        Future<?> first = begin();
        try {
            first.get(LONGEST_FIRST_S, TimeUnit.SECONDS);
        } catch (TimeoutException late) {
            last = Exchanged.failed(
                    studio.log().clock().millis(),
                    "The shared folder " + membership.folder() + " takes its time; the exchange goes on meanwhile.");
        } catch (ExecutionException unforeseen) {
            throw new IllegalStateException(unforeseen);
        } catch (InterruptedException asked) {
            Thread.currentThread().interrupt();
        }
    }

    private Future<?> begin() {
        ScheduledExecutorService every = Executors.newSingleThreadScheduledExecutor(work -> {
            Thread thread = new Thread(work, "slabside-share");
            thread.setDaemon(true);
            return thread;
        });
        clockwork = every;
        Future<?> first = every.submit(() -> watched(true));
        every.scheduleWithFixedDelay(() -> watched(false), LOOKS_EVERY_S, LOOKS_EVERY_S, TimeUnit.SECONDS);
        return first;
    }

    /** Looks as the clockwork does. */
    void look() {
        watched(false);
    }

    /** What was not foreseen is told too, and the clockwork goes on. */
    private void watched(boolean giveAll) {
        try {
            run(giveAll);
        } catch (RuntimeException | OutOfMemoryError unforeseen) {
            last = Exchanged.failed(
                    studio.log().clock().millis(), "The exchange failed in a way that was not foreseen: " + unforeseen);
        }
    }

    /** Gives what was kept back, and stops. */
    @Override
    public void close() {
        ScheduledExecutorService every = clockwork;
        if (every == null) {
            return;
        }
        Future<?> lastTime = every.submit(() -> {
            try {
                if (studio.log().last() > givenUpTo) {
                    watched(true);
                }
            } catch (LogTrouble away) {
                last = Exchanged.failed(
                        studio.log().clock().millis(), "There was no last exchange: " + away.getMessage());
            }
        });
        try {
            lastTime.get(LONGEST_LAST_S, TimeUnit.SECONDS);
        } catch (TimeoutException slow) {
            last = Exchanged.failed(
                    studio.log().clock().millis(),
                    "The shared folder was too slow for a last exchange; what was written lately goes there at the next start.");
        } catch (ExecutionException unforeseen) {
            throw new IllegalStateException(unforeseen);
        } catch (InterruptedException asked) {
            Thread.currentThread().interrupt();
        }
        stopClockwork();
    }

    private void stopClockwork() {
        ScheduledExecutorService every = clockwork;
        if (every != null) {
            every.shutdown();
            clockwork = null;
        }
    }
}
