package slabside.web;

import io.javalin.http.sse.SseClient;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.Semaphore;
import slabside.event.LogEvent;
import slabside.event.ThingId;
import slabside.log.LogTrouble;
import slabside.log.Stored;
import slabside.studio.Studio;

/** Tells every page that watches a run when something was written about it. */
final class Live implements AutoCloseable {
    private static final int AT_A_TIME = 1_000;
    private static final long AFTER_TROUBLE_MS = 5_000;

    private final Studio studio;
    private final Map<ThingId, List<Watcher>> watching = new ConcurrentHashMap<>();
    /** Devices that are told nothing more; their ids are never given again. */
    private final Set<String> gone = ConcurrentHashMap.newKeySet();

    private final Semaphore wake = new Semaphore(0);
    private final Thread teller = new Thread(this::run, "slabside-live");
    private volatile boolean closed;

    Live(Studio studio) {
        this.studio = studio;
        teller.setDaemon(true);
        teller.start();
        studio.log().follow(wake::release);
    }

    /** A page that watches, and the device it is open on. */
    private record Watcher(SseClient client, String device) {}

    /** Keeps a page told until it goes away. */
    void watch(SseClient client, ThingId run, String device) {
        client.keepAlive();
        List<Watcher> watchers = watching.computeIfAbsent(run, each -> new CopyOnWriteArrayList<>());
        Watcher watcher = new Watcher(client, device);
        watchers.add(watcher);
        client.onClose(() -> watchers.remove(watcher));
        // So that a page that was made before something was written, and watches only since, looks again.
        client.sendEvent("watching", Long.toString(studio.log().last()));
        if (gone.contains(device) || closed) {
            // Shut out, or everything ended, between its question and this answer.
            client.close();
        }
    }

    /** Tells a device nothing more. */
    void leave(String device) {
        gone.add(device);
        watching.values()
                .forEach(watchers -> watchers.stream()
                        .filter(watcher -> watcher.device.equals(device))
                        .forEach(watcher -> watcher.client.close()));
    }

    private void run() {
        // What the lists showed when the pages began to be served.
        long pos = studio.views().version();
        while (!closed) {
            try {
                wake.acquire();
                wake.drainPermits();
                pos = tellFrom(pos);
            } catch (InterruptedException asked) {
                return;
            } catch (LogTrouble trouble) {
                // The pages say the same themselves; who watches is told again when the log can be read.
                if (!closed) {
                    Trouble.keep(trouble);
                    wake.release();
                    pause();
                }
            }
        }
    }

    private long tellFrom(long from) {
        long pos = from;
        List<Stored> fresh = studio.log().read(pos, AT_A_TIME);
        while (!fresh.isEmpty() && !closed) {
            pos = fresh.get(fresh.size() - 1).pos();
            studio.views().await(pos);
            if (fresh.stream().anyMatch(stored -> stored.event() instanceof LogEvent.Forgotten)) {
                // It may have been said at another server of the same log.
                studio.takeOutForgotten().forEach(stays -> Trouble.keep(new LogTrouble(stays)));
            }
            tell(fresh);
            fresh = studio.log().read(pos, AT_A_TIME);
        }
        return pos;
    }

    private void pause() {
        try {
            Thread.sleep(AFTER_TROUBLE_MS);
        } catch (InterruptedException asked) {
            Thread.currentThread().interrupt();
        }
    }

    private void tell(List<Stored> fresh) {
        watching.forEach((run, watchers) -> {
            // A correction names an event, not the run; those are few, so every page looks again.
            boolean concerned = fresh.stream()
                    .anyMatch(stored -> stored.envelope().about().contains(run)
                            || stored.envelope().type().startsWith("log.")
                            || stored.envelope().type().equals("ink.moved"));
            if (concerned) {
                watchers.forEach(watcher -> watcher.client.sendEvent("changed", run.text()));
            }
        });
    }

    @Override
    public void close() {
        closed = true;
        teller.interrupt();
        watching.values().forEach(watchers -> watchers.forEach(watcher -> watcher.client.close()));
    }
}
