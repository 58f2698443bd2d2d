package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import slabside.demo.Demo;
import slabside.event.EventId;
import slabside.event.LogEvent;
import slabside.event.ThingId;
import slabside.studio.Studio;

/** The pages over HTTP: what they show, and whom they answer. */
class ServerTest {
    @TempDir
    static Path folder;

    private static Studio studio;
    private static Server server;
    private static final HttpClient HTTP = HttpClient.newHttpClient();

    @BeforeAll
    static void start() {
        Path data = folder.resolve("data");
        Path config = folder.resolve("config");
        Demo.write(data, config, LocalDate.now(ZoneId.systemDefault()), ZoneId.systemDefault());
        studio = Studio.open(data, config, Clock.systemDefaultZone());
        server = Server.start(studio, 0);
    }

    @AfterAll
    static void stop() {
        server.close();
        studio.close();
    }

    private static HttpResponse<String> get(String path) throws IOException, InterruptedException {
        return HTTP.send(
                HttpRequest.newBuilder(URI.create(server.address() + path)).build(),
                HttpResponse.BodyHandlers.ofString());
    }

    private static HttpResponse<String> post(String path, String form, String... headers)
            throws IOException, InterruptedException {
        HttpRequest.Builder request = HttpRequest.newBuilder(URI.create(server.address() + path))
                .POST(HttpRequest.BodyPublishers.ofString(form));
        for (int i = 0; i < headers.length; i += 2) {
            request.header(headers[i], headers[i + 1]);
        }
        return HTTP.send(request.build(), HttpResponse.BodyHandlers.ofString());
    }

    /** Sends bytes as they are and returns the status line, since a polite client would not lie about its host. */
    private static String raw(String request) throws IOException {
        try (Socket socket =
                new Socket("127.0.0.1", URI.create(server.address()).getPort())) {
            socket.setSoTimeout(5_000);
            socket.getOutputStream().write(request.getBytes(StandardCharsets.ISO_8859_1));
            byte[] answer = socket.getInputStream().readNBytes(2_000);
            return new String(answer, StandardCharsets.ISO_8859_1);
        }
    }

    private static String heron() {
        return "/thing/" + studio.views().named("mix", "Heron grey HG-2").id();
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "/timeline",
                "/timeline?q=heron",
                "/timeline?kind=press",
                "/timeline?view=recorded",
                "/timeline?view=difference",
                "/timeline?known=2026-01-01",
                "/event/5",
                "/shelf",
                "/calculators",
                "/documents",
                "/find",
                "/calculators/let-down",
                "/safekeeping",
                "/no-such-page",
                "/event/999999",
                "/event/x",
                "/thing/nobody",
                "/timeline?view=upside-down",
                "/timeline?from=yesterday",
                "/thing/%3Cscript%3E"
            })
    void every_answer_errors_included_has_the_headers_that_keep_it_here(String path)
            throws IOException, InterruptedException {
        HttpResponse<String> answer = get(path);
        String policy = answer.headers().firstValue("Content-Security-Policy").orElse("");
        assertTrue(policy.startsWith("default-src 'none'"), path + ": " + policy);
        assertFalse(policy.contains("unsafe"), policy);
        assertEquals(
                "nosniff", answer.headers().firstValue("X-Content-Type-Options").orElse(""));
        assertEquals(
                "same-origin", answer.headers().firstValue("Referrer-Policy").orElse(""));
        assertEquals(
                "text/html;charset=utf-8",
                answer.headers()
                        .firstValue("Content-Type")
                        .orElse("")
                        .toLowerCase(java.util.Locale.ROOT)
                        .replace(" ", ""));
        assertTrue(
                answer.statusCode() == 200 || answer.body().contains("role=\"alert\""),
                path + " " + answer.statusCode());
        assertFalse(
                answer.body().matches("(?s).*(<script>| style=\"| onclick=|https?://(?!127)).*"),
                "inline code or an outside address on " + path);
        assertFalse(answer.body().contains("\tat "), "a stack trace");
    }

    @Test
    void the_timeline_goes_on_page_by_page_to_the_first_event() throws IOException, InterruptedException {
        Pattern older = Pattern.compile("href=\"(/timeline\\?before=[^\"]+)\"");
        String path = "/timeline?kind=shelf";
        int events = 0;
        while (!path.isEmpty()) {
            String body = get(path).body();
            events += body.split("class=\"event", -1).length - 1;
            Matcher next = older.matcher(body);
            path = next.find() ? next.group(1).replace("&amp;", "&") : "";
        }
        long expected = studio.log().read(0, 100_000).stream()
                .filter(s -> s.envelope().type().startsWith("shelf."))
                .count();
        assertEquals(expected, events);
    }

    @Test
    void a_mix_shows_its_shares_steps_origins_and_tests() throws IOException, InterruptedException {
        String body = get(heron()).body();
        for (String expected : List.of(
                "72.892",
                "set aside → packet",
                "+80.00",
                "Where it came from and went",
                "agreed the colour",
                "Make it again")) {
            assertTrue(body.contains(expected), expected);
        }
    }

    @Test
    void a_rebuild_becomes_a_new_mix_that_is_linked_to_the_old() throws IOException, InterruptedException {
        assertTrue(get(heron() + "/rebuild?grams=90").body().contains("Lay out 65.73 g of transparent base"));
        HttpResponse<String> made = post(
                heron() + "/rebuild",
                "grams=90&at=",
                "Origin",
                server.address(),
                "Content-Type",
                "application/x-www-form-urlencoded");
        assertEquals(303, made.statusCode(), made.body());
        String body = get(made.headers().firstValue("Location").orElseThrow()).body();
        assertTrue(body.contains("Heron grey HG-2, again"), body);
        assertTrue(get(heron() + "/rebuild?grams=1,500").body().contains("write 1500 or 1.500"));
    }

    @ParameterizedTest
    @ValueSource(strings = {"evil.example", "127.0.0.1", "localhost", "127.0.0.1:1", "127.0.0.1.evil.example:80", ""})
    void another_name_for_this_machine_is_not_answered(String host) throws IOException {
        String answer = raw("GET /timeline HTTP/1.1\r\nHost: " + host + "\r\nConnection: close\r\n\r\n");
        assertTrue(
                answer.startsWith("HTTP/1.1 421") || answer.startsWith("HTTP/1.1 400"),
                host + ": " + answer.lines().findFirst().orElse(""));
    }

    @Test
    void a_write_from_another_page_is_refused_and_writes_nothing() throws IOException, InterruptedException {
        long before = studio.log().last();
        String form = "application/x-www-form-urlencoded";
        String path = heron() + "/rebuild";
        assertEquals(403, post(path, "grams=90", "Content-Type", form).statusCode(), "no origin");
        assertEquals(
                403,
                post(path, "grams=90", "Origin", "http://evil.example", "Content-Type", form)
                        .statusCode());
        assertEquals(
                403,
                post(path, "grams=90", "Origin", "null", "Content-Type", form).statusCode());
        assertEquals(
                415,
                post(path, "{}", "Origin", server.address(), "Content-Type", "application/json")
                        .statusCode());
        assertEquals(
                413,
                post(path, "grams=" + "9".repeat(200_000), "Origin", server.address(), "Content-Type", form)
                        .statusCode());
        assertEquals(
                400,
                post(path, "grams=", "Origin", server.address(), "Content-Type", form)
                        .statusCode());
        assertEquals(before, studio.log().last());
    }

    @Test
    void a_refusal_reaches_whoever_is_still_sending() throws IOException, InterruptedException {
        String form = "application/x-www-form-urlencoded";
        for (int i = 0; i < 300; i++) {
            int size = 1 << i % 20;
            assertEquals(
                    403,
                    post("/write/adjust.mix-made", "a=" + "9".repeat(size), "Content-Type", form)
                            .statusCode(),
                    "no origin, " + size);
            assertEquals(
                    415,
                    post(
                                    "/write/adjust.mix-made",
                                    "9".repeat(size),
                                    "Origin",
                                    server.address(),
                                    "Content-Type",
                                    "text/csv")
                            .statusCode(),
                    "no form, " + size);
        }
    }

    @Test
    void a_wrong_method_is_refused() throws IOException, InterruptedException {
        HttpRequest delete = HttpRequest.newBuilder(URI.create(server.address() + "/timeline"))
                .header("Origin", server.address())
                .header("Content-Type", "application/x-www-form-urlencoded")
                .DELETE()
                .build();
        assertEquals(
                405, HTTP.send(delete, HttpResponse.BodyHandlers.ofString()).statusCode());
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "/static/../slabside.css",
                "/static/..%2f..%2fMETA-INF/MANIFEST.MF",
                "/static/no-such.css",
                "/static/fonts",
                "/static/pom.xml"
            })
    void only_the_files_of_the_pages_are_served(String path) throws IOException, InterruptedException {
        assertTrue(get(path).statusCode() >= 400, path);
    }

    @Test
    void style_script_and_fonts_are_served_from_here() throws IOException, InterruptedException {
        for (String file :
                List.of("slabside.css", "htmx.js", "mark.svg", "fonts/source-serif-4-latin-600-normal.woff2")) {
            assertEquals(200, get("/static/" + file).statusCode(), file);
        }
    }

    @Test
    void what_was_typed_is_shown_as_text_and_never_as_markup() throws IOException, InterruptedException {
        String body = get("/timeline?q="
                        + java.net.URLEncoder.encode("\"><script>alert(1)</script>", StandardCharsets.UTF_8))
                .body();
        assertFalse(body.contains("<script>alert"), "markup came through");
    }

    @Test
    void the_log_is_verified_from_its_page() throws IOException, InterruptedException {
        HttpResponse<String> answer = post(
                "/safekeeping/verify",
                "",
                "Origin",
                server.address(),
                "Content-Type",
                "application/x-www-form-urlencoded");
        assertTrue(answer.body().contains("events are as they were written"), answer.body());
    }

    @Test
    void a_calculator_answers_on_its_page_and_says_what_is_wrong_beside_the_form()
            throws IOException, InterruptedException {
        String good = get("/calculators/ink-for-an-edition?surface=flat&width=38&height=52&sheets=60")
                .body();
        assertTrue(good.contains("From this studio") && good.contains("assumption"), good);
        String bad = get("/calculators/ink-for-an-edition?surface=velvet&width=38&height=52&sheets=60")
                .body();
        assertTrue(bad.contains("choose one of flat, wash, crayon, key, blend"), bad);
        assertTrue(bad.contains("value=\"38\""), "what was typed stays");
    }

    @Test
    void a_run_shows_what_was_on_the_load_at_each_pull() throws IOException, InterruptedException {
        String id = studio.views().things("run", "the water", 10).stream()
                .filter(t -> studio.name(t.id()).equals("Weir, Slack Water, run 1, the water"))
                .findFirst()
                .orElseThrow()
                .id()
                .text();
        String body = get("/thing/" + id).body();
        assertTrue(body.contains("tack reducer %") && body.contains("3.13"), "the reducer on the load");
    }

    @Test
    void a_mix_can_be_seen_and_made_again_as_it_was_after_any_of_its_steps() throws IOException, InterruptedException {
        String body = get(heron()).body();
        Matcher steps = Pattern.compile("href=\"(/thing/mix-[a-z0-9]+\\?after=[0-9a-f-]{36})\"")
                .matcher(body);
        assertTrue(steps.find(), "the first step is a link");
        String first = get(steps.group(1)).body();
        assertTrue(
                first.contains("100.000")
                        && first.contains("As it was just after this: added: 80.0 g of transparent base"),
                first);
        assertTrue(get(steps.group(1).replace("?", "/rebuild?grams=30&"))
                .body()
                .contains("Lay out 30.00 g of transparent base"));
        assertTrue(get(heron() + "?after=018f0000-0000-7000-8000-000000000001")
                .body()
                .contains("there is no event with this id"));
    }

    @Test
    void an_edition_leads_to_the_ink_of_its_ok_proof() throws IOException, InterruptedException {
        String id =
                studio.views().named("edition", "Tidewrack, Four Fathoms").id().text();
        String edition = "/edition/" + id;
        assertEquals(302, get("/thing/" + id).statusCode(), "an edition has a page of its own");
        Matcher ink = Pattern.compile("href=\"(/thing/load-[a-z0-9]+\\?after=[0-9a-f-]{36})\"")
                .matcher(get(edition).body());
        int found = 0;
        String last = "";
        while (ink.find()) {
            found++;
            last = ink.group(1);
        }
        assertEquals(6, found, "five runs, one of them with two inks");
        assertTrue(get(last.replace("?", "/rebuild?grams=45&")).body().contains("black"), "the key");
    }

    /** Two devices number two prints at the same moment: what is checked still holds when it is written down. */
    @Test
    void two_devices_never_issue_the_same_number() throws Exception {
        ThingId edition =
                studio.views().named("edition", "Heron, Standing Water").id();
        List<String> codes = studio.runs().edition(edition).printed().stream()
                .map(slabside.event.Sheet::code)
                .toList();
        var pool = java.util.concurrent.Executors.newFixedThreadPool(4);
        try {
            for (int number = 1; number <= 10; number++) {
                List<java.util.concurrent.Callable<Integer>> hands = new ArrayList<>();
                for (int hand = 0; hand < 4; hand++) {
                    String form =
                            "kind=numbered&of=50&number=" + number + "&which=" + codes.get((number - 1) * 4 + hand);
                    hands.add(() -> post(
                                    "/edition/" + edition + "/number",
                                    form,
                                    "Origin",
                                    server.address(),
                                    "Content-Type",
                                    "application/x-www-form-urlencoded",
                                    "Slabside-Tap",
                                    "1")
                            .statusCode());
                }
                List<Integer> answers = new ArrayList<>();
                for (var answer : pool.invokeAll(hands)) {
                    answers.add(answer.get());
                }
                java.util.Collections.sort(answers);
                assertEquals(List.of(200, 400, 400, 400), answers, "number " + number);
            }
        } finally {
            pool.shutdownNow();
        }
        assertTrue(studio.runs().register(edition).issuedTwice().isEmpty());
        assertEquals(10, studio.runs().register(edition).numbered());
    }

    /** Laid-on sheets, torn-down sheets, lay and marks, a stone from black to colour, a proof after days under gum. */
    @Test
    void the_odd_jobs_of_an_edition_can_be_written_down_and_read_again() throws IOException, InterruptedException {
        ThingId weir = studio.views()
                .named("edition", "Weir, Slack Water (over-charged instead)")
                .id();
        ThingId run = studio.runs().runOf(weir, 1).id();
        ThingId stone = studio.views().named("stone", "stone 12").id();
        written("paper.received", "name", "thin kozo");
        written("paper.conditioned", "lot", "thin kozo", "words", "damped overnight");
        written(
                "paper.laid-on",
                "lot",
                "thin kozo",
                "sheets",
                "P-02",
                "paste",
                "wheat starch",
                "run",
                studio.runs()
                        .runOf(
                                studio.views()
                                        .named("edition", "Tidewrack, Four Fathoms")
                                        .id(),
                                2)
                        .id()
                        .text());
        written("paper.torn", "lot", "thin kozo", "sheets", "Z-01…Z-04", "afterPrinting", "yes");
        written("press.lay-set", "run", run.text(), "words", "T-and-bar, moved 0.5 mm to the left");
        written("stone.treated", "stone", "stone 12", "treatment", "washed-out", "words", "out of black");
        written("stone.treated", "stone", "stone 12", "treatment", "rolled-up", "words", "into colour");
        written("stone.treated", "stone", "stone 12", "treatment", "closed");
        assertTrue(studio.runs().matrix(stone).gummed().isPresent());
        written("stone.treated", "stone", "stone 12", "treatment", "opened", "words", "after nine days");
        written("press.pulled", "run", run.text(), "mode", "proof", "grade", "good");
        assertEquals(
                slabside.event.PullMode.PROOF,
                studio.runs()
                        .run(run)
                        .orElseThrow()
                        .pulls()
                        .get(studio.runs().run(run).orElseThrow().pulls().size() - 1)
                        .event()
                        .mode());
        assertTrue(get("/thing/" + stone).body().contains("into colour"));
        ThingId proof = studio.views().named("sheet", "P-02").id();
        assertTrue(get("/thing/" + proof).body().contains("wheat starch"));
        String paper =
                get("/thing/" + studio.views().named("paper", "thin kozo").id()).body();
        assertTrue(paper.contains("damped overnight") && paper.contains("torn into 0 sheets so far"), paper);
    }

    private static void written(String type, String... fields) throws IOException, InterruptedException {
        StringBuilder form = new StringBuilder();
        for (int i = 0; i < fields.length; i += 2) {
            form.append(i == 0 ? "" : "&")
                    .append(fields[i])
                    .append('=')
                    .append(java.net.URLEncoder.encode(fields[i + 1], StandardCharsets.UTF_8));
        }
        HttpResponse<String> answer = sent(type, form.toString());
        assertEquals(200, answer.statusCode(), () -> type + ": " + answer.body());
        studio.views().catchUp();
    }

    private static HttpResponse<String> sent(String type, String form) throws IOException, InterruptedException {
        return post(
                "/write/" + type,
                form,
                "Origin",
                server.address(),
                "Content-Type",
                "application/x-www-form-urlencoded",
                "Slabside-Tap",
                "1");
    }

    /** Percentages where factors belong, and a film that weighs nothing, are refused before they are in the log. */
    @Test
    void a_reading_that_cannot_be_is_refused_where_it_is_written() throws Exception {
        String spectrum = "{\"startNm\":400,\"stepNm\":20,\"values\":["
                + String.join(",", java.util.Collections.nCopies(16, "\"55\"")) + "]}";
        String of = "tap=018f0000-0000-7000-8000-000000000000&of="
                + studio.views().named("mix", "Heron grey HG-2").id();
        HttpResponse<String> percent = sent(
                "test.colour-read", of + "&spectrum=" + java.net.URLEncoder.encode(spectrum, StandardCharsets.UTF_8));
        assertEquals(400, percent.statusCode(), percent.body());
        assertTrue(percent.body().contains("not a percentage"), percent.body());
        HttpResponse<String> weightless = sent("test.colour-read", of + "&density=1.2&filmMgPerM2=0");
        assertEquals(400, weightless.statusCode(), weightless.body());
        assertTrue(weightless.body().contains("give one above 0"), weightless.body());
    }

    @Test
    void a_sheet_tells_what_it_became_and_what_it_went_through() throws IOException, InterruptedException {
        ThingId edition =
                studio.views().named("edition", "Tidewrack, Four Fathoms").id();
        String found = get("/edition/" + edition + "?number=7").body();
        assertTrue(found.contains("7/40 is sheet TD-11"), found);
        String sheet = get("/thing/"
                        + studio.runs().edition(edition).which("number", "7").get(0))
                .body();
        assertTrue(sheet.contains("run 5, pull 7"), sheet);
        assertTrue(sheet.contains("released"), sheet);
        assertTrue(get("/edition/" + edition + "?number=41").body().contains("no impression of this edition"));
    }

    @Test
    void a_can_of_which_an_unknown_amount_was_used_has_a_page() {
        String drawn = Pictures.flow(
                List.of(new slabside.ink.Ledger.Arrow(
                        new slabside.event.ThingId("can-1"), new slabside.event.ThingId("mix-1"), 0.0)),
                new slabside.event.ThingId("can-1"),
                slabside.event.ThingId::text);
        assertTrue(drawn.contains(">?</text>"), drawn);
    }

    @Test
    void what_the_log_knew_on_a_day_is_shown_page_after_page() throws IOException, InterruptedException {
        String body = get("/timeline?known="
                        + LocalDate.now(ZoneId.systemDefault()).minusDays(40))
                .body();
        assertEquals(51, body.split("class=\"event", -1).length, "a whole page");
        assertTrue(body.contains("Older"), "and more behind it");
    }

    /** A path that a route answers, with things of the demo in its gaps. */
    private static String weir() {
        return studio.views().things("run", "", 100).stream()
                .filter(t -> studio.name(t.id()).equals("Weir, Slack Water, run 1, the water"))
                .findFirst()
                .orElseThrow()
                .id()
                .text();
    }

    private static HttpResponse<String> tap(String path, String form) throws IOException, InterruptedException {
        return post(
                path,
                form,
                "Origin",
                server.address(),
                "Content-Type",
                "application/x-www-form-urlencoded",
                "Slabside-Tap",
                "1");
    }

    private static String fresh() {
        return EventId.tapAt(System.currentTimeMillis(), EventId.chance()).text();
    }

    @Test
    void a_tap_sent_again_adds_nothing_and_its_undo_takes_all_of_it_back() throws IOException, InterruptedException {
        long begin = studio.log().last();
        String start = fresh();
        HttpResponse<String> made = tap("/bench/start", "name=twice&tap=" + start);
        assertEquals(200, made.statusCode(), made.body());
        long after = studio.log().last();
        assertEquals(begin + 1, after);
        HttpResponse<String> again = tap("/bench/start", "name=twice&tap=" + start);
        assertEquals(200, again.statusCode());
        assertTrue(again.body().contains("Already written down"), again.body());
        Matcher bench = Pattern.compile("/bench/mix-[a-z0-9]+").matcher(again.body());
        assertTrue(bench.find(), "it leads to the same mix: " + again.body());
        assertEquals(after, studio.log().last());

        String can = studio.views().named("can", "TB-2408").id().text();
        String page = bench.group();
        assertEquals(
                200,
                tap(page + "/add", "way=square&grams=40.0&from=" + can + "&tap=" + fresh())
                        .statusCode());
        assertEquals(200, tap(page + "/wrap", "place=drawer+9&tap=" + fresh()).statusCode());
        ThingId mix = new ThingId(page.substring("/bench/".length()));
        assertTrue(studio.ledger().now(mix).isEmpty());
        assertEquals(200, tap(page + "/undo", "tap=" + fresh()).statusCode());
        assertEquals(40.0, studio.ledger().now(mix).grams().value(), 1e-9);
        assertTrue(
                studio.views().things("packet", "", 50).stream()
                        .noneMatch(packet -> studio.shelf().packets().stream()
                                .anyMatch(p -> p.place().equals("drawer 9")
                                        && p.thing().equals(packet))),
                "the packet is gone with the move");
    }

    @Test
    void a_stop_writes_nothing_until_it_is_confirmed_and_is_then_logged() throws IOException, InterruptedException {
        String where = tap("/bench/start", "name=too+much&tap=" + fresh())
                .body()
                .replaceAll(".*(/bench/mix-[a-z0-9]+).*", "$1");
        String base = studio.views().named("can", "TB-2408").id().text();
        String reducer = studio.views().named("can", "TR-06").id().text();
        tap(where + "/add", "way=square&grams=20.0&from=" + base + "&tap=" + fresh());
        long before = studio.log().last();
        String id = fresh();
        String form = "way=square&grams=2.0&from=" + reducer + "&tap=" + id;
        HttpResponse<String> stopped = tap(where + "/add", form);
        assertEquals(409, stopped.statusCode());
        assertTrue(stopped.body().contains("above-the-limit") && stopped.body().contains("9.1 %"), stopped.body());
        assertEquals(before, studio.log().last());
        HttpResponse<String> plain = post(
                where + "/add", form, "Origin", server.address(), "Content-Type", "application/x-www-form-urlencoded");
        assertEquals(409, plain.statusCode());
        assertTrue(plain.body().contains("name=\"confirmed\" value=\"above-the-limit\""), "works without script");
        assertEquals(
                200, tap(where + "/add", form + "&confirmed=above-the-limit").statusCode());
        assertEquals(before + 2, studio.log().last(), "the move and the warning");
    }

    @Test
    void what_was_forgotten_is_written_down_for_when_it_happened() throws IOException, InterruptedException {
        String where =
                tap("/bench/start", "name=late&tap=" + fresh()).body().replaceAll(".*(/bench/mix-[a-z0-9]+).*", "$1");
        String base = studio.views().named("can", "TB-2408").id().text();
        String late = "way=square&grams=5.0&day=yesterday&time=10:40&from=" + base + "&tap=" + fresh();
        assertEquals(200, tap(where + "/add", late).statusCode());
        var told = studio.views()
                .told(studio.log()
                        .at(studio.log().last())
                        .orElseThrow()
                        .envelope()
                        .id())
                .orElseThrow();
        assertEquals(slabside.event.Precision.MINUTE, told.happened().precision());
        HttpResponse<String> bad = tap(where + "/add", "way=square&grams=0&from=" + base + "&tap=" + fresh());
        assertEquals(400, bad.statusCode());
        assertTrue(bad.body().contains("amount above zero"), bad.body());
        assertEquals(
                400,
                tap(where + "/add", "way=eye&low=3&high=2&from=" + base + "&tap=" + fresh())
                        .statusCode());
        assertEquals(
                400,
                tap(where + "/add", "way=square&grams=5&label=AAAA&tap=" + fresh())
                        .statusCode());
        assertEquals(400, tap(where + "/fly", "tap=" + fresh()).statusCode());
    }

    private static HttpResponse<String> attach(String tap, byte[] file) throws IOException, InterruptedException {
        String edge = "----edge";
        java.io.ByteArrayOutputStream body = new java.io.ByteArrayOutputStream();
        String head = "";
        for (String field : List.of("tap=" + tap, "thing=" + heron().substring("/thing/".length()), "name=the dab")) {
            head += "--" + edge + "\r\nContent-Disposition: form-data; name=\"" + field.replaceAll("=.*", "")
                    + "\"\r\n\r\n" + field.replaceAll("^[^=]*=", "") + "\r\n";
        }
        head += "--" + edge
                + "\r\nContent-Disposition: form-data; name=\"file\"; filename=\"x.html\"\r\nContent-Type: text/html\r\n\r\n";
        body.writeBytes(head.getBytes(StandardCharsets.UTF_8));
        body.writeBytes(file);
        body.writeBytes(("\r\n--" + edge + "--\r\n").getBytes(StandardCharsets.UTF_8));
        return HTTP.send(
                HttpRequest.newBuilder(URI.create(server.address() + "/attach"))
                        .header("Origin", server.address())
                        .header("Slabside-Tap", "1")
                        .header("Content-Type", "multipart/form-data; boundary=" + edge)
                        .POST(HttpRequest.BodyPublishers.ofByteArray(body.toByteArray()))
                        .build(),
                HttpResponse.BodyHandlers.ofString());
    }

    @Test
    void a_photo_is_known_by_its_content_kept_once_and_shown_where_it_belongs()
            throws IOException, InterruptedException {
        java.awt.image.BufferedImage picture =
                new java.awt.image.BufferedImage(8, 8, java.awt.image.BufferedImage.TYPE_INT_RGB);
        java.io.ByteArrayOutputStream photo = new java.io.ByteArrayOutputStream();
        assertTrue(javax.imageio.ImageIO.write(picture, "jpg", photo));
        long before = studio.log().last();
        String tap = fresh();
        assertEquals(200, attach(tap, photo.toByteArray()).statusCode());
        assertEquals(200, attach(tap, photo.toByteArray()).statusCode());
        assertEquals(before + 1, studio.log().last(), "sent twice, kept once");
        LogEvent.Attached kept = (LogEvent.Attached)
                studio.views().ofType("log.attached", 1).get(0).event();
        assertEquals("image/jpeg", kept.mediaType(), "whatever the sender called it");
        assertTrue(get(heron()).body().contains("/attached/" + kept.sha256()));
        HttpResponse<String> shown = get("/attached/" + kept.sha256());
        assertEquals("image/jpeg", shown.headers().firstValue("Content-Type").orElse(""));
        assertTrue(
                shown.headers().firstValue("Content-Security-Policy").orElse("").contains("sandbox"));
        HttpResponse<String> refused =
                attach(fresh(), "<html><script>alert(1)</script>".getBytes(StandardCharsets.UTF_8));
        assertEquals(400, refused.statusCode());
        assertTrue(refused.body().contains("no photo"), refused.body());
        assertEquals(before + 1, studio.log().last());
        assertEquals(404, get("/attached/" + "0".repeat(64)).statusCode());
        assertEquals(400, get("/attached/..%2Fstudio.db").statusCode());
    }

    @Test
    void a_run_set_up_on_another_stone_than_planned_says_so_and_the_first_plan_stays_in_the_log()
            throws IOException, InterruptedException {
        ThingId run = new ThingId(weir());
        ThingId stone = studio.views().things("stone", "", 1).get(0).id();
        String mix = studio.views().named("mix", "Slack water B1").id().text();
        assertEquals(
                200,
                tap(
                                "/press/" + run + "/set-up",
                                "mix=" + mix + "&stone=" + stone + "&confirmed=of-another-job&tap=" + fresh())
                        .statusCode());
        assertEquals(stone, studio.runs().stone(run).orElseThrow());
        assertTrue(get("/press/" + run).body().contains("on <a href=\"/thing/" + stone));
        assertTrue(studio.views().ofType("edition.run-planned", 50).stream().anyMatch(told -> told.amended()));
        long setUp = studio.views().ofType("press.run-started", 1).get(0).pos();
        assertEquals(
                200, tap("/event/" + setUp + "/take-back", "tap=" + fresh()).statusCode());
        assertFalse(studio.runs().stone(run).filter(stone::equals).isPresent(), "taken back with its set-up");
    }
}
