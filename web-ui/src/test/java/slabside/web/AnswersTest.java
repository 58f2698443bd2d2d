package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.demo.Demo;
import slabside.event.EventId;
import slabside.event.LogEvent;
import slabside.studio.Studio;
import slabside.views.Told;

/** What every calculator gets for free: a link, other forms, being kept, its proposed entries written, long work, files. */
class AnswersTest {
    private static final String FORM = "application/x-www-form-urlencoded";

    /** An importer that reads densities of a run, line by line; and work that takes as long as it is told to. */
    private static final String SOURCE = """
            package stranger;
            import java.math.BigDecimal;
            import java.nio.charset.StandardCharsets;
            import java.util.*;
            import slabside.measure.*;
            import slabside.plugin.*;
            public final class Densities implements Importer {
                static final Question<String> RUN = Question.pick("run", "Run", "run");
                static final Question<Upload> FILE = Question.file("file", "Readings", ".txt");
                public Card card() { return new Card("densities", "Densities", "Which densities were read?"); }
                public List<Question<?>> questions() { return List.of(RUN, FILE); }
                public Answer answer(Replies replies, StudioView studio) {
                    List<Answer.Proposal> all = new ArrayList<>();
                    int line = 0;
                    for (String each : new String(replies.to(FILE).bytes(), StandardCharsets.UTF_8).lines().toList()) {
                        line++;
                        BigDecimal value = Typed.decimal("line " + line, each);
                        all.add(new Answer.Proposal("press.measured", 1, Json.fields().with("run", replies.to(RUN))
                                .with("quantity", "density").with("value", value.toPlainString()),
                                "", List.of(), OptionalLong.of(1_700_000_000_000L + line)));
                    }
                    return Answer.titled(replies.to(FILE).name()).with(new Answer.Proposed("densities", all));
                }
                public static final class Slow implements Calculator {
                    static final Question<Integer> STEPS = Question.count("steps", "Steps", 1, 1000);
                    static final Question<List<List<String>>> ROWS = Question.rows("rows", "Rows", "a", "b").optional();
                    public Card card() { return new Card("slow", "Slow", "How slow?"); }
                    public List<Question<?>> questions() { return List.of(STEPS, ROWS); }
                    public Answer answer(Replies replies, StudioView studio) { throw new AssertionError(); }
                    public Answer answer(Replies replies, StudioView studio, Progress progress) {
                        for (int i = 0; i < replies.to(STEPS); i++) {
                            progress.at((double) i / replies.to(STEPS), "step " + i);
                            try { Thread.sleep(100); } catch (InterruptedException e) { throw new IllegalStateException(e); }
                        }
                        return Answer.titled("Slow").quantity("rows", replies.maybe(ROWS).map(List::size).orElse(0), "", "")
                                .with(new Answer.Timer("rest", 60));
                    }
                }
            }
            """;

    @TempDir
    Path folder;

    private final HttpClient http = HttpClient.newHttpClient();
    private Studio studio;
    private Server server;
    private String run;
    private String program = SOURCE;

    @BeforeEach
    void open() throws IOException {
        Demo.write(folder.resolve("data"), folder.resolve("config"), LocalDate.of(2026, 6, 15), ZoneOffset.UTC);
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC());
        studio.views().catchUp();
        server = Server.start(studio, 0);
        run = studio.views().named("run", "Weir, Slack Water").id().text();
    }

    @AfterEach
    void close() {
        server.close();
        studio.close();
    }

    private void drop() throws IOException {
        StrangersJar.write(
                studio.host().droppedIn().folder().resolve("densities.jar"),
                folder,
                "Densities",
                program,
                List.of("Importer=Densities", "Calculator=Densities$Slow"));
        studio.host().droppedIn().approve("densities.jar");
    }

    private HttpResponse<byte[]> get(String path) throws IOException, InterruptedException {
        return http.send(
                HttpRequest.newBuilder(URI.create(server.address() + path)).build(),
                HttpResponse.BodyHandlers.ofByteArray());
    }

    private String page(String path) throws IOException, InterruptedException {
        HttpResponse<byte[]> page = get(path);
        assertEquals(200, page.statusCode(), path + new String(page.body(), StandardCharsets.UTF_8));
        return new String(page.body(), StandardCharsets.UTF_8);
    }

    private HttpResponse<String> post(String path, String type, byte[] body) throws IOException, InterruptedException {
        return http.send(
                HttpRequest.newBuilder(URI.create(server.address() + path))
                        .header("Content-Type", type)
                        .header("Origin", server.address())
                        .POST(HttpRequest.BodyPublishers.ofByteArray(body))
                        .build(),
                HttpResponse.BodyHandlers.ofString());
    }

    private HttpResponse<String> post(String path, Map<String, String> form) throws IOException, InterruptedException {
        return post(
                path,
                FORM,
                form.entrySet().stream()
                        .map(each -> each.getKey() + "=" + URLEncoder.encode(each.getValue(), StandardCharsets.UTF_8))
                        .collect(Collectors.joining("&"))
                        .getBytes(StandardCharsets.UTF_8));
    }

    /** Id of a packet with ink in it. */
    private String packet() {
        return studio.shelf().packets().get(0).thing().id().text();
    }

    private static String key(String page) {
        Matcher key = Pattern.compile("name=\"_held\" value=\"([0-9a-f]+)\"").matcher(page);
        assertTrue(key.find(), page);
        return key.group(1);
    }

    private String command(String... arguments) {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        PrintStream stream = new PrintStream(out, true, StandardCharsets.UTF_8);
        String[] all = Stream.concat(
                        Stream.of(arguments),
                        Stream.of(
                                "--data",
                                folder.resolve("data").toString(),
                                "--config",
                                folder.resolve("config").toString()))
                .toArray(String[]::new);
        Main.run(stream, stream, all);
        return out.toString(StandardCharsets.UTF_8);
    }

    @Test
    void an_answer_has_a_link_and_is_the_same_in_every_form() throws Exception {
        String mix = packet();
        String page = page("/calculators/let-down?mix="
                + studio.shelf().packets().get(0).thing().label() + "&times=3");
        assertTrue(page.contains("/calculators/let-down?mix=" + mix + "&amp;times=3\">Link to this answer"), page);
        String query = "?mix=" + mix + "&times=3";
        JsonNode json = new ObjectMapper()
                .readTree(get("/calculators/let-down/as/json" + query).body());
        String text = new String(get("/calculators/let-down/as/text" + query).body(), StandardCharsets.UTF_8);
        String csv = new String(get("/calculators/let-down/as/csv" + query).body(), StandardCharsets.UTF_8);
        HttpResponse<byte[]> pdf = get("/calculators/let-down/as/pdf" + query);
        assertEquals("application/pdf", pdf.headers().firstValue("Content-Type").orElseThrow());
        String printed;
        try (PDDocument document = Loader.loadPDF(pdf.body())) {
            assertEquals("en", document.getDocumentCatalog().getLanguage());
            printed = new PDFTextStripper().getText(document).replaceAll("\\s+", " ");
        }
        assertEquals(json.path("title").asText(), text.lines().findFirst().orElseThrow());
        int quantities = 0;
        for (JsonNode block : json.path("blocks")) {
            if (block.path("kind").asText().equals("quantity")) {
                quantities++;
                String shown = slabside.host.Drawn.number(
                        block.path("value").asDouble(), block.path("u").asDouble());
                String label = block.path("label").asText();
                assertTrue(text.contains(label + ": " + shown), label + " " + shown + " in " + text);
                assertTrue(printed.contains(label + ": " + shown), label + " " + shown + " in " + printed);
                assertTrue(page.contains("<strong>" + shown), label + " " + shown + " in " + page);
                assertTrue(csv.contains(label), csv);
            }
        }
        assertTrue(quantities > 0, "an answer with numbers");
        assertEquals(text, command("calculate", "let-down", "mix=" + mix, "times=3"));
        assertEquals(400, get("/calculators/let-down/as/json").statusCode());
        assertEquals(400, get("/calculators/let-down/as/docx" + query).statusCode());
    }

    @Test
    void an_answer_is_kept_with_its_mix_and_can_be_asked_again() throws Exception {
        String mix = packet();
        String page = page("/calculators/let-down?mix=" + mix + "&times=3");
        String tap = EventId.tapAt(System.currentTimeMillis(), EventId.chance()).text();
        Map<String, String> form = Map.of("_held", key(page), "thing", mix, "tap", tap);
        assertEquals(303, post("/calculators/let-down/keep", form).statusCode());
        assertEquals(303, post("/calculators/let-down/keep", form).statusCode(), "sent again");
        studio.views().catchUp();
        List<Told> kept = studio.views().ofType("log.answer-kept", 10);
        assertEquals(1, kept.size(), "kept once");
        LogEvent.AnswerKept event = (LogEvent.AnswerKept) kept.get(0).event();
        assertEquals(Map.of("mix", mix, "times", "3"), event.replies());
        assertEquals(command("calculate", "let-down", "mix=" + mix, "times=3"), event.text());
        assertTrue(page("/thing/" + mix).contains("kept an answer on"), "in the story of the mix");
        String again = page("/calculators/let-down");
        assertTrue(again.contains("Kept before") && again.contains("times=3\">Ask again"), again);
        assertTrue(page("/event/" + kept.get(0).id()).contains("As it was answered then"));
        assertEquals(
                400,
                post("/calculators/let-down/keep", Map.of("_held", "0123456789abcdef"))
                        .statusCode(),
                "held no more");
        assertEquals(
                400,
                post("/calculators/scale-a-mix/keep", Map.of("_held", key(page)))
                        .statusCode(),
                "the answer of another calculator");
    }

    @Test
    void a_file_is_read_shown_and_written_down_only_when_confirmed() throws Exception {
        drop();
        String boundary = "----boundary";
        byte[] body = ("--" + boundary + "\r\nContent-Disposition: form-data; name=\"run\"\r\n\r\n" + run + "\r\n--"
                        + boundary
                        + "\r\nContent-Disposition: form-data; name=\"file\"; filename=\"read.txt\"\r\nContent-Type: text/plain\r\n\r\n"
                        + "1.41\n1,42\n\r\n--" + boundary + "--\r\n")
                .getBytes(StandardCharsets.UTF_8);
        long before = studio.log().last();
        HttpResponse<String> asked = post("/calculators/densities", "multipart/form-data; boundary=" + boundary, body);
        assertEquals(303, asked.statusCode(), asked.body());
        String answer = page(asked.headers().firstValue("Location").orElseThrow());
        assertTrue(answer.contains("read.txt") && answer.contains("2 entries are proposed above"), answer);
        assertEquals(before, studio.log().last(), "nothing is written yet");
        assertEquals(
                303,
                post("/calculators/densities/write", Map.of("_held", key(answer)))
                        .statusCode());
        studio.views().catchUp();
        assertEquals(before + 2, studio.log().last());
        HttpResponse<String> again = post("/calculators/densities/write", Map.of("_held", key(answer)));
        assertEquals(400, again.statusCode(), "written once");
        assertTrue(again.body().contains("were written down already"), again.body());
        assertEquals(
                1_700_000_000_002L,
                studio.views()
                        .told(studio.log()
                                .at(before + 2)
                                .orElseThrow()
                                .envelope()
                                .id())
                        .orElseThrow()
                        .key()
                        .millis());
        Path file = Files.writeString(folder.resolve("bad.txt"), "1.41\nabout two\n");
        assertTrue(
                command("calculate", "densities", "run=" + run, "file=@" + file).contains("line 2 is \"about two\""));
        assertTrue(command("calculate", "densities", "run=" + run, "file=@" + folder.resolve("none"))
                .contains("give a file"));
        server.close();
        studio.close();
        Files.writeString(file, "1.43\n");
        String said = command("calculate", "densities", "run=" + run, "file=@" + file, "--write", "--keep-with", run);
        assertTrue(said.contains("2 written down"), said);
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC());
        studio.views().catchUp();
        assertEquals(before + 4, studio.log().last(), "the reading and the answer");
        LogEvent.AnswerKept kept = (LogEvent.AnswerKept)
                studio.views().ofType("log.answer-kept", 1).get(0).event();
        assertEquals(run, kept.replies().get("run"));
        server = Server.start(studio, 0);
    }

    /** What nothing needs to be replied to can be asked, linked and printed all the same. */
    @Test
    void an_answer_without_replies_has_its_links_too() throws Exception {
        String form = page("/calculators/common-factors");
        assertTrue(form.contains("name=\"_asked\""), form);
        String answer = page("/calculators/common-factors?_asked=1&lost=20&also=");
        assertTrue(answer.contains("Not given: "), "what stayed as the form had it: " + answer);
        assertTrue(answer.contains("/calculators/common-factors?_asked=1\">Link to this answer"), answer);
        assertEquals(200, get("/calculators/common-factors/as/text?_asked=1").statusCode());
        assertEquals(200, get("/calculators/common-factors/as/pdf?_asked=1").statusCode());
    }

    /** What was approved anew answers at once, and what failed may be asked again. */
    @Test
    void an_answer_of_a_plugin_that_was_changed_is_not_given_again() throws Exception {
        drop();
        assertTrue(page("/calculators/slow?steps=1").contains("data-timer=\"60\""));
        Path jar = studio.host().droppedIn().folder().resolve("densities.jar");
        Files.delete(jar);
        Files.delete(folder.resolve("src/stranger/Densities.java"));
        program = SOURCE.replace("new Answer.Timer(\"rest\", 60)", "new Answer.Timer(\"rest\", 61)");
        drop();
        assertTrue(page("/calculators/slow?steps=1").contains("data-timer=\"61\""));
    }

    @Test
    void long_work_is_waited_for_and_can_be_called_off() throws Exception {
        drop();
        String working = page("/calculators/slow?steps=70");
        assertTrue(working.contains("Being worked out") && working.contains("step "), working);
        String key = key(working);
        assertEquals(
                303, post("/calculators/slow/call-off", Map.of("_held", key)).statusCode());
        String off = page("/calculators/slow?_held=" + key);
        assertTrue(off.contains("it was called off; ask again"), off);
        assertTrue(off.contains("value=\"70\""), "the form keeps what was asked");
        assertTrue(page("/calculators/slow?steps=70").contains("Being worked out"), "and may be asked again");
        String shortly = page("/calculators/slow?steps=2");
        assertTrue(shortly.contains("data-timer=\"60\""), shortly);
        HttpResponse<String> rows = post("/calculators/slow", Map.of("steps", "1", "rows", "1; 2\n3; 4\n5; 6"));
        String answer = page(rows.headers().firstValue("Location").orElseThrow());
        assertTrue(answer.contains("<span>rows</span> <strong>3</strong>"), answer);
        assertTrue(answer.contains(">1; 2\n3; 4\n5; 6</textarea>"), answer);
        String wrong = page(post("/calculators/slow", Map.of("steps", "1", "rows", "1; 2; 3"))
                .headers()
                .firstValue("Location")
                .orElseThrow());
        assertTrue(wrong.contains("has 3 cells; write a; b"), wrong);
    }
}
