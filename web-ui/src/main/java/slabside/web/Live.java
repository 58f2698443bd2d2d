package slabside.web;

import io.javalin.http.sse.SseClient;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.Semaphore;
import slabside.event.ThingId;
import slabside.log.LogTrouble;
import slabside.log.Stored;
import slabside.studio.Studio;

/** Tells every page that watches a run when something was written about it. */
final class Live implements AutoCloseable {
    private static final int AT_A_TIME = 1_000;
    private static final long AFTER_TROUBLE_MS = 5_000;

    private final Studio studio;
    private final Map<ThingId, List<SseClient>> watching = new ConcurrentHashMap<>();
    private final Semaphore wake = new Semaphore(0);
    private final Thread teller = new Thread(this::run, "slabside-live");
    private volatile boolean closed;

    Live(Studio studio) {
        this.studio = studio;
        teller.setDaemon(true);
        teller.start();
        studio.log().follow(wake::release);
    }

    /** Keeps a page told until it goes away. */
    void watch(SseClient client, ThingId run) {
        client.keepAlive();
        List<SseClient> clients = watching.computeIfAbsent(run, each -> new CopyOnWriteArrayList<>());
        clients.add(client);
        client.onClose(() -> clients.remove(client));
        client.sendEvent("watching", run.text());
    }

    private void run() {
        long pos = studio.log().last();
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
        watching.forEach((run, clients) -> {
            // A correction names an event, not the run; those are few, so every page looks again.
            boolean concerned = fresh.stream()
                    .anyMatch(stored -> stored.envelope().about().contains(run)
                            || stored.envelope().type().startsWith("log.")
                            || stored.envelope().type().equals("ink.moved"));
            if (concerned) {
                new ArrayList<>(clients).forEach(client -> client.sendEvent("changed", run.text()));
            }
        });
    }

    @Override
    public void close() {
        closed = true;
        teller.interrupt();
        watching.values().forEach(clients -> clients.forEach(SseClient::close));
    }
}
