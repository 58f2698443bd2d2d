package slabside.bench;

import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.util.ArrayList;
import java.util.List;
import slabside.event.Actor;
import slabside.event.EditionEvent;
import slabside.event.ImpressionKind;
import slabside.event.InkEvent;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.log.LogTrouble;
import slabside.measure.Amount;
import slabside.studio.Studio;

/** How long papers take and how large they are: a large edition with every run and sheet, and many labels. */
final class PapersTimed {
    private static final int LABELS = 500;
    private static final int NUMBERED = 100;
    private static final int AT_ONCE = 200;
    private static final Actor BENCH = new Actor(Studio.SOMEBODY, "bench");

    private final Studio studio;
    private final String address;
    private final HttpClient http = HttpClient.newHttpClient();

    /**
     * @param address at which the pages are served
     */
    PapersTimed(Studio studio, String address) {
        this.studio = studio;
        this.address = address;
    }

    /** Time in ns and size in bytes. */
    record Made(long time, long bytes) {}

    /** The documentation sheet of an edition with its register, and the run sheet of each of its runs. */
    Made edition(ThingId edition) {
        List<ThingId> sheets = studio.runs().edition(edition).toNumber().stream()
                .map(sheet -> sheet.sheet())
                .limit(NUMBERED)
                .toList();
        List<StudioEvent> events = new ArrayList<>();
        for (int i = 0; i < sheets.size(); i++) {
            events.add(
                    new EditionEvent.Numbered(edition, sheets.get(i), ImpressionKind.NUMBERED, i + 1, NUMBERED, null));
        }
        write(events);
        long start = System.nanoTime();
        long bytes = pdf("documentation-sheet?edition=" + edition);
        for (String run : studio.host().view().runsOf(edition.text())) {
            bytes += pdf("run-sheet?run=" + run);
        }
        return new Made(System.nanoTime() - start, bytes);
    }

    /** Labels of as many packets, each wrapped from a mix of its own. */
    Made labels() {
        List<StudioEvent> events = new ArrayList<>();
        for (int i = 0; i < LABELS; i++) {
            ThingId mix = studio.ids().thing("mix");
            ThingId packet = studio.ids().thing("packet");
            events.add(new InkEvent.MixStarted(mix, "labelled " + i, null, null, null, null));
            events.add(moved(new ThingId("can-1"), mix, Why.ADDED));
            events.add(new InkEvent.Wrapped(packet, studio.ids().label(), "drawer " + i % 9, null));
            events.add(moved(mix, packet, Why.WRAPPED));
        }
        write(events);
        long start = System.nanoTime();
        long bytes = pdf("labels?_asked=1");
        return new Made(System.nanoTime() - start, bytes);
    }

    private static StudioEvent moved(ThingId from, ThingId to, Why why) {
        return new InkEvent.Moved(from, to, Amount.net("grams", "12.0"), why, null);
    }

    private void write(List<StudioEvent> events) {
        for (int from = 0; from < events.size(); from += AT_ONCE) {
            studio.write(BENCH, events.subList(from, Math.min(events.size(), from + AT_ONCE)));
        }
        studio.views().catchUp();
    }

    private long pdf(String asked) {
        String path = "/calculators/" + asked.replace("?", "/as/pdf?");
        try {
            HttpResponse<byte[]> got = http.send(
                    HttpRequest.newBuilder(URI.create(address + path)).build(),
                    HttpResponse.BodyHandlers.ofByteArray());
            if (got.statusCode() != 200 || got.body().length < 1_000) {
                throw new LogTrouble(path + " answered " + got.statusCode() + ": " + new String(got.body()));
            }
            return got.body().length;
        } catch (IOException failed) {
            throw new LogTrouble(path + " did not answer: " + failed.getMessage(), failed);
        } catch (InterruptedException stopped) {
            Thread.currentThread().interrupt();
            throw new LogTrouble("the bench was stopped", stopped);
        }
    }
}
