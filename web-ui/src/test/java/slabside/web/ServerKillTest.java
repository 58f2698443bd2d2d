package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.net.ServerSocket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CompletionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.edition.Run;
import slabside.event.Actor;
import slabside.event.EditionEvent;
import slabside.event.EventId;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.MaterialRole;
import slabside.event.PaperEvent;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.Sheet;
import slabside.event.ShelfEvent;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.measure.Amount;
import slabside.studio.Studio;

/**
 * The studio is killed between a tap and its answer, at random moments. The page keeps an unanswered tap and sends it
 * again, and so does this test; afterwards every pull and every gram is there, once.
 */
class ServerKillTest {
    private static final int KILLS = Integer.getInteger("slabside.kills", 20) / 2;
    private static final int SHEETS_A_LINE = 500;
    private static final int TAPS_A_KILL = 6;

    @TempDir
    Path folder;

    private final Random random = new Random(20_261_125);
    private final HttpClient http =
            HttpClient.newBuilder().connectTimeout(Duration.ofSeconds(5)).build();
    private final ThingId mix = new ThingId("mix-1");
    private final ThingId run = new ThingId("run-1");
    private int port;
    private Process serving;

    /** A tap as the page keeps it. */
    private record Tap(String to, String form) {}

    @Test
    void every_pull_and_every_gram_is_there_once_however_often_the_studio_was_killed()
            throws IOException, InterruptedException {
        stock();
        try (ServerSocket free = new ServerSocket(0)) {
            port = free.getLocalPort();
        }
        int pulls = 0;
        int spoiled = 0;
        long mg = 0;
        int unanswered = 0;
        start();
        for (int kill = 0; kill < KILLS; kill++) {
            List<Tap> waiting = new ArrayList<>();
            for (int i = 0; i < TAPS_A_KILL; i++) {
                if (random.nextBoolean()) {
                    boolean bad = random.nextInt(4) == 0;
                    pulls++;
                    spoiled += bad ? 1 : 0;
                    waiting.add(tap(
                            "/press/" + run + "/pull",
                            "mode=edition&grade=" + (bad ? "spoiled" : "good") + "&sheet=sheet-" + pulls));
                } else {
                    int tenths = 1 + random.nextInt(90);
                    mg += tenths * 100L;
                    waiting.add(tap(
                            "/bench/" + mix + "/add",
                            "way=square&from=can-1&grams=" + tenths / 10 + "." + tenths % 10
                                    + "&confirmed=another-job"));
                }
            }
            unanswered += sentAndKilled(waiting, random.nextInt(250));
            start();
            for (Tap tap : waiting) {
                HttpResponse<String> answer = send(tap).join();
                assertEquals(200, answer.statusCode(), answer.body());
            }
        }
        stop();
        assertTrue(unanswered > KILLS / 2, "only " + unanswered + " taps were without an answer");
        try (Studio studio = open()) {
            studio.views().catchUp();
            Run told = studio.runs().run(run).orElseThrow();
            assertEquals(pulls, told.printed());
            assertEquals(pulls, told.pulls().size());
            assertEquals(spoiled, told.graded(PressGrade.SPOILED));
            assertEquals(mg / 1000.0, studio.ledger().now(mix).grams().value(), 1e-9);
            assertTrue(studio.log().verify().wrong().isEmpty());
        }
        System.out.println("Kills of a studio between tap and answer: " + KILLS + "; taps without an answer "
                + unanswered + ", pulls " + pulls + " and " + mg + " mg, each there once");
    }

    private Studio open() {
        return Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC());
    }

    private void stock() {
        try (Studio studio = open()) {
            ThingId edition = new ThingId("edition-1");
            ThingId material = new ThingId("material-1");
            List<StudioEvent> events = new ArrayList<>(List.of(
                    new ShelfEvent.MaterialListed(material, "base", MaterialRole.BASE, null, null, null, null),
                    new ShelfEvent.CanReceived(
                            new ThingId("can-1"), material, "L-1", null, Amount.net("grams", "9000"), null, null, null),
                    new EditionEvent.Planned(
                            edition, "Invented", null, 40, null, null, null, null, null, null, null, null, null),
                    new EditionEvent.RunPlanned(run, edition, 1, null, null, null, null),
                    new InkEvent.MixStarted(mix, "the ink", null, run, null, null),
                    new PressEvent.RunStarted(
                            run, List.of(new Load(new ThingId("load-1"), "", null)), null, null, null, null, null),
                    new InkEvent.Moved(
                            new ThingId("can-1"),
                            new ThingId("load-1"),
                            Amount.net("grams", "500.0"),
                            Why.CHARGED,
                            null)));
            // As many as there are taps; a line holds some hundreds of them.
            for (int first = 1; first <= KILLS * TAPS_A_KILL; first += SHEETS_A_LINE) {
                List<Sheet> sheets = new ArrayList<>();
                for (int i = first; i < first + SHEETS_A_LINE; i++) {
                    sheets.add(new Sheet(new ThingId("sheet-" + i), "K-" + i));
                }
                events.add(new PaperEvent.Torn(new ThingId("paper-1"), sheets, null, null, edition, null));
            }
            studio.write(new Actor(Studio.SOMEBODY, "this"), events);
        }
    }

    private Tap tap(String to, String form) {
        return new Tap(
                to,
                form + "&tap="
                        + EventId.tapAt(System.currentTimeMillis(), random).text());
    }

    /** Sends taps one after the other and kills the studio while one of them is on its way. */
    private int sentAndKilled(List<Tap> taps, int millis) throws InterruptedException {
        long at = System.nanoTime() + millis * 1_000_000L;
        int unanswered = 0;
        for (Tap tap : taps) {
            CompletableFuture<HttpResponse<String>> answer = send(tap);
            try {
                answer.get(Math.max(1, at - System.nanoTime()), TimeUnit.NANOSECONDS);
            } catch (TimeoutException nowIsTheMoment) {
                serving.destroyForcibly().waitFor();
                unanswered += answered(answer) ? 0 : 1;
            } catch (java.util.concurrent.ExecutionException killedBefore) {
                unanswered++;
            }
        }
        serving.destroyForcibly().waitFor();
        return unanswered;
    }

    private static boolean answered(CompletableFuture<HttpResponse<String>> answer) {
        try {
            return answer.join().statusCode() == 200;
        } catch (CompletionException cut) {
            return false;
        }
    }

    private CompletableFuture<HttpResponse<String>> send(Tap tap) {
        String address = "http://127.0.0.1:" + port;
        return http.sendAsync(
                HttpRequest.newBuilder(URI.create(address + tap.to))
                        .header("Origin", address)
                        .header("Slabside-Tap", "1")
                        .header("Content-Type", "application/x-www-form-urlencoded")
                        .POST(HttpRequest.BodyPublishers.ofString(tap.form))
                        .build(),
                HttpResponse.BodyHandlers.ofString());
    }

    private void start() throws IOException, InterruptedException {
        serving = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-XX:TieredStopAtLevel=1",
                        "-cp",
                        System.getProperty("java.class.path"),
                        "slabside.web.Main",
                        "serve",
                        "--port",
                        String.valueOf(port),
                        "--data",
                        folder.resolve("data").toString(),
                        "--config",
                        folder.resolve("config").toString())
                .redirectError(ProcessBuilder.Redirect.INHERIT)
                .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                .start();
        long deadline = System.nanoTime() + 30_000_000_000L;
        while (System.nanoTime() < deadline) {
            assertTrue(serving.isAlive(), "the studio did not start again");
            try (java.net.Socket knock = new java.net.Socket("127.0.0.1", port)) {
                assertTrue(knock.isConnected());
                return;
            } catch (IOException notYet) {
                Thread.sleep(10);
            }
        }
        throw new AssertionError("the studio did not answer");
    }

    private void stop() throws InterruptedException {
        serving.destroy();
        assertTrue(serving.waitFor(20, TimeUnit.SECONDS), "it ends when it is asked to");
    }
}
