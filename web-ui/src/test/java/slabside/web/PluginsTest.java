package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.demo.Demo;
import slabside.studio.Studio;

/** A stranger's plugin from the dropped file to its page and its command: the numbers are the same. */
class PluginsTest {
    private static final String SOURCE = """
            package stranger;

            import java.util.List;
            import slabside.plugin.*;

            public final class PullsLeft implements Calculator {
                private static final Question<String> PACKET = Question.pick("packet", "Packet", "packet");
                private static final Question<Double> EACH =
                        Question.number("each", "Ink of one pull", "g", 0.001, 100);

                public Card card() {
                    return new Card("pulls-left", "Pulls left", "How many sheets can I still pull from this packet?");
                }

                public List<Question<?>> questions() {
                    return List.of(PACKET, EACH);
                }

                public Answer answer(Replies replies, StudioView studio) {
                    double grams = studio.composition(replies.to(PACKET)).grams().value();
                    return Answer.titled("Pulls left")
                            .quantity("pulls", Math.floor(grams / replies.to(EACH)), "", "grams in the packet / g a pull");
                }
            }
            """;

    @TempDir
    Path folder;

    private String run(String... arguments) {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        PrintStream stream = new PrintStream(out, true, StandardCharsets.UTF_8);
        Main.run(stream, stream, arguments);
        return out.toString(StandardCharsets.UTF_8);
    }

    private void drop() throws IOException {
        StrangersJar.write(
                folder.resolve("data/plugins/pulls-left.jar"),
                folder,
                "PullsLeft",
                SOURCE,
                List.of("Calculator=PullsLeft"));
    }

    @Test
    void a_strangers_calculator_gets_its_page_and_its_command() throws Exception {
        Demo.write(folder.resolve("data"), folder.resolve("config"), LocalDate.of(2026, 6, 15), ZoneOffset.UTC);
        drop();
        String[] where = {
            "--data",
            folder.resolve("data").toString(),
            "--config",
            folder.resolve("config").toString()
        };
        assertTrue(
                run("plugins", "list", where[0], where[1], where[2], where[3]).contains("nobody approved it"));
        HttpClient http = HttpClient.newHttpClient();
        String onThePage;
        String packet;
        try (Studio studio =
                        Studio.open(folder.resolve("data"), folder.resolve("config"), java.time.Clock.systemUTC());
                Server server = Server.start(studio, 0)) {
            studio.views().catchUp();
            packet = studio.shelf().packets().get(0).thing().id().text();
            String list = get(http, server.address() + "/plugins");
            assertTrue(list.contains("pulls-left.jar") && list.contains("isolates faults, not malice"), list);
            HttpResponse<String> approved = http.send(
                    HttpRequest.newBuilder(URI.create(server.address() + "/plugins/approve"))
                            .header("Content-Type", "application/x-www-form-urlencoded")
                            .header("Origin", server.address())
                            .POST(HttpRequest.BodyPublishers.ofString("file=pulls-left.jar"))
                            .build(),
                    HttpResponse.BodyHandlers.ofString());
            assertEquals(303, approved.statusCode(), approved.body());
            assertTrue(get(http, server.address() + "/plugins").contains("Pulls left"));
            assertTrue(get(http, server.address() + "/calculators").contains("How many sheets can I still pull"));
            onThePage = get(http, server.address() + "/calculators/pulls-left?packet=" + packet + "&each=0.5");
            assertTrue(onThePage.contains("grams in the packet / g a pull"), onThePage);
        }
        String told =
                run("calculate", "pulls-left", "packet=" + packet, "each=0.5", where[0], where[1], where[2], where[3]);
        String pulls = told.lines()
                .filter(line -> line.startsWith("pulls: "))
                .findFirst()
                .orElseThrow(() -> new AssertionError(told))
                .replaceAll("pulls: (\\d+).*", "$1");
        assertTrue(Integer.parseInt(pulls) > 0, told);
        assertTrue(onThePage.contains("<strong>" + pulls + "</strong>"), "the same number: " + pulls);
        String wrong =
                run("calculate", "pulls-left", "packet=" + packet, "each=0", where[0], where[1], where[2], where[3]);
        assertTrue(wrong.contains("give a value from 0.001 to 100 g"), wrong);
        assertTrue(run("plugins", "revoke", "pulls-left.jar", where[0], where[1], where[2], where[3])
                .contains("nobody approved it"));
        assertTrue(
                List.of(run("calculate", where[0], where[1], where[2], where[3]).split("\n")).stream()
                        .noneMatch(line -> line.startsWith("pulls-left")));
    }

    private static String get(HttpClient http, String address) throws Exception {
        HttpResponse<String> page =
                http.send(HttpRequest.newBuilder(URI.create(address)).build(), HttpResponse.BodyHandlers.ofString());
        assertEquals(200, page.statusCode(), page.body());
        return page.body();
    }
}
