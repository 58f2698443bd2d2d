package slabside.bench;

import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.time.Clock;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.stream.Collectors;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.ThingId;
import slabside.log.LogTrouble;
import slabside.studio.Studio;
import slabside.warning.Rule;

/** How long a tap takes until the next page is there: sent over HTTP, written down, and the page asked for again. */
final class TapsAnswered {
    private static final int TAPS = 400;
    private static final int NOT_COUNTED = 40;
    private static final int PULLS_OF_A_RUN = 60;
    /** Whatever a rule asks is confirmed, so that every tap is written. */
    private static final String CONFIRMED = Arrays.stream(Rule.values())
            .map(rule -> "&confirmed=" + EventCodec.word(rule))
            .collect(Collectors.joining());

    private final String address;
    private final HttpClient http = HttpClient.newHttpClient();
    private final Random random = new Random(11);

    TapsAnswered(String address) {
        this.address = address;
    }

    /**
     * One kind of tap.
     *
     * @param sorted in ns
     */
    record Times(String what, long[] sorted) {
        double millis(int percent) {
            return sorted[Math.min(sorted.length - 1, sorted.length * percent / 100)] / 1e6;
        }
    }

    List<Times> measure(Studio studio) {
        String mix = made("/bench/start", "name=bench+mix", "/bench/");
        Times additions = times("an addition answered with its page", i -> {
            tap(mix + "/add", "way=square&grams=1" + i % 10 + ".0&from=can-" + random.nextInt(120));
            get(mix);
        });
        List<String> presses = new ArrayList<>();
        for (int i = 0; i <= 2 * (TAPS + NOT_COUNTED) / PULLS_OF_A_RUN; i++) {
            String press = "/press/" + planned(studio, studio.ids().thing("run"));
            tap(press + "/set-up", "mix=" + mix.substring("/bench/".length()) + "&charge=50.0");
            presses.add(press);
        }
        Times pulls = times("a pull answered with its page", i -> {
            String press = presses.get(i / PULLS_OF_A_RUN);
            tap(press + "/pull", "mode=edition&grade=good&passes=6");
            get(press);
        });
        Times today = times("the page Today after a pull", i -> {
            tap(presses.get((i + TAPS + NOT_COUNTED) / PULLS_OF_A_RUN) + "/pull", "mode=edition&grade=good&passes=6");
            get("/today");
        });
        return List.of(additions, pulls, today);
    }

    private static ThingId planned(Studio studio, ThingId run) {
        ThingId edition = studio.ids().thing("edition");
        studio.write(
                new slabside.event.Actor(Studio.SOMEBODY, "bench"),
                List.of(
                        new slabside.event.EditionEvent.Planned(
                                edition, "bench", null, null, null, null, null, null, null, null, null, null, null),
                        new slabside.event.EditionEvent.RunPlanned(
                                run, edition, 1, slabside.event.Surface.FLAT, null, null, null)));
        return run;
    }

    private interface Deed {
        void tap(int i);
    }

    private static Times times(String what, Deed deed) {
        long[] times = new long[TAPS];
        for (int i = -NOT_COUNTED; i < TAPS; i++) {
            long start = System.nanoTime();
            deed.tap(i + NOT_COUNTED);
            if (i >= 0) {
                times[i] = System.nanoTime() - start;
            }
        }
        Arrays.sort(times);
        return new Times(what, times);
    }

    private String made(String path, String form, String prefix) {
        String body = tap(path, form);
        int at = body.indexOf(prefix);
        return body.substring(at, body.indexOf('"', at));
    }

    private String tap(String path, String form) {
        String id = EventId.tapAt(Clock.systemUTC().millis(), random).text();
        return send(HttpRequest.newBuilder(URI.create(address + path))
                .header("Origin", address)
                .header("Slabside-Tap", "1")
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.ofString(form + CONFIRMED + "&tap=" + id))
                .build());
    }

    private void get(String path) {
        send(HttpRequest.newBuilder(URI.create(address + path)).build());
    }

    private String send(HttpRequest request) {
        try {
            HttpResponse<String> answer =
                    http.send(request, HttpResponse.BodyHandlers.ofString(StandardCharsets.UTF_8));
            if (answer.statusCode() != 200) {
                throw new LogTrouble("The bench was answered " + answer.statusCode() + ": " + answer.body());
            }
            return answer.body();
        } catch (IOException failed) {
            throw new LogTrouble("The bench was not answered: " + failed.getMessage(), failed);
        } catch (InterruptedException stopped) {
            Thread.currentThread().interrupt();
            throw new LogTrouble("The bench was stopped", stopped);
        }
    }
}
