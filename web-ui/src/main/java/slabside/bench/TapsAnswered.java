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
import slabside.event.Actor;
import slabside.event.EditionEvent;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.PaperEvent;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.Sheet;
import slabside.event.StudioEvent;
import slabside.event.Surface;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.log.LogTrouble;
import slabside.measure.Amount;
import slabside.studio.Studio;
import slabside.warning.Rule;

/** How long a tap takes until the next page is there: sent over HTTP, written down, and the page asked for again. */
final class TapsAnswered {
    private static final int TAPS = 400;
    private static final int NOT_COUNTED = 40;
    private static final int PULLS_OF_A_RUN = 60;
    private static final int ADDITIONS_OF_A_MIX = 15;
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
        List<String> cans = studio.shelf().cans().stream()
                .map(can -> can.thing().id().text())
                .toList();
        List<String> mixes = new ArrayList<>();
        for (int i = 0; i <= (TAPS + NOT_COUNTED) / ADDITIONS_OF_A_MIX; i++) {
            mixes.add(made("/bench/start", "name=bench+mix+" + i, "/bench/"));
        }
        Times additions = times("an addition answered with its page", i -> {
            String mix = mixes.get(i / ADDITIONS_OF_A_MIX);
            tap(mix + "/add", "way=square&grams=1" + i % 10 + ".0&from=" + cans.get(random.nextInt(cans.size())));
            get(mix);
        });
        String mix = mixes.get(0);
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
        ThingId edition = printed(studio, new ThingId(mix.substring("/bench/".length())), RUNS, SHEETS);
        ThingId many = printed(studio, new ThingId(mix.substring("/bench/".length())), 1, TAPS + 2 * NOT_COUNTED);
        List<String> sheets = studio.runs().edition(many).toCurate().stream()
                .map(sheet -> sheet.sheet().text())
                .toList();
        Times looked = times("the page of an edition of 300 pulls", i -> get("/edition/" + edition));
        Times curated = times("a sheet looked at, answered with the next", i -> {
            tap("/edition/" + many + "/curate", "grade=good&sheet=" + sheets.get(i));
            get("/edition/" + many + "/curate");
        });
        return List.of(additions, pulls, today, looked, curated);
    }

    /** Sets a planned run up and pulls prints of it. */
    void pulls(ThingId run, ThingId mix, int count) {
        String press = "/press/" + run;
        tap(press + "/set-up", "mix=" + mix + "&charge=50.0");
        for (int i = 0; i < count; i++) {
            tap(press + "/pull", "mode=edition&grade=good&passes=6");
            get(press);
        }
    }

    /** An edition, all its sheets through. */
    private static ThingId printed(Studio studio, ThingId mix, int runs, int count) {
        Actor bench = new Actor(Studio.SOMEBODY, "bench");
        ThingId edition = studio.ids().thing("edition");
        List<Sheet> sheets = new ArrayList<>();
        for (int i = 0; i < count; i++) {
            sheets.add(new Sheet(studio.ids().thing("sheet"), "BE-" + (10 + i)));
        }
        List<StudioEvent> events = new ArrayList<>();
        events.add(new EditionEvent.Planned(
                edition, "bench of five", null, 40, null, null, null, null, null, null, null, null, null));
        events.add(new PaperEvent.Torn(studio.ids().thing("paper"), sheets, null, null, edition, null));
        for (int order = 1; order <= runs; order++) {
            ThingId run = studio.ids().thing("run");
            ThingId load = studio.ids().thing("load");
            events.add(new EditionEvent.RunPlanned(run, edition, order, Surface.FLAT, null, null, null));
            events.add(new PressEvent.RunStarted(
                    run, List.of(new Load(load, "", null)), null, null, Surface.FLAT, null, null));
            events.add(new InkEvent.Moved(mix, load, Amount.net("grams", "20.0"), Why.CHARGED, null));
            sheets.forEach(sheet -> events.add(new PressEvent.Pulled(
                    run, sheet.sheet(), PullMode.EDITION, null, 6, PressGrade.GOOD, List.of(), null)));
            events.add(new PressEvent.CleanedUp(run, null));
        }
        studio.write(bench, events);
        return edition;
    }

    private static final int RUNS = 5;
    private static final int SHEETS = 60;

    static ThingId planned(Studio studio, ThingId run) {
        ThingId edition = studio.ids().thing("edition");
        studio.write(
                new Actor(Studio.SOMEBODY, "bench"),
                List.of(
                        new EditionEvent.Planned(
                                edition, "bench", null, null, null, null, null, null, null, null, null, null, null),
                        new EditionEvent.RunPlanned(run, edition, 1, Surface.FLAT, null, null, null)));
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
