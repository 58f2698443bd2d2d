package slabside.fuzz;

import com.code_intelligence.jazzer.api.FuzzedDataProvider;
import com.code_intelligence.jazzer.junit.FuzzTest;
import java.io.IOException;
import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import slabside.demo.Demo;
import slabside.web.Main;

/** Forms sent to the pages with anything in them: taken or refused, never a fault of the program. */
class FormsFuzz {
    private static final Pattern ADDRESS = Pattern.compile("http://127\\.0\\.0\\.1:\\d+");
    private static final HttpClient HTTP = HttpClient.newHttpClient();
    private static final String AT = served();
    private static final List<String> PATHS = List.of(
            "/bench/start",
            "/write/shelf.material-listed",
            "/write/shelf.can-received",
            "/write/ink.moved",
            "/write/ink.recipe-planned",
            "/write/test.spread-measured",
            "/write/paper.torn",
            "/write/edition.planned",
            "/write/log.annotated",
            "/event/3/put-right",
            "/event/3/take-back",
            "/event/3/settle",
            "/event/3/forget",
            "/safekeeping/forget",
            "/at",
            "/devices/invite",
            "/calculators/ink-for-an-edition",
            "/sharing/leave",
            "/plugins/approve");

    private static final List<String> FIELDS = List.of(
            "tap", "back", "name", "mix", "from", "to", "amount", "grams", "why", "words", "thing", "event", "run", "edition",
            "material", "can", "role", "lot", "net", "label", "sheets", "lengthsUm", "portions", "readings", "day", "time",
            "was-day", "was-time", "when", "how", "reason", "amendment", "sure", "person", "seen", "replies", "surface", "width",
            "height", "code", "may", "file", "folder", "merge", "mode", "sheet", "grade", "faults", "number", "order", "price");
    private static final List<String> VALUES = List.of(
            "", "1", "0", "-1", "12.5", "3–4", "1e999", "999999999999999999999", "12,5 g", "35.2 → 93.7", "rest", "?", "1",
            "2024-05-31", "24:00", "10:40", "load", "mix-1", "can-1", "supply", "ink", "flat", "keep", "added", "TD-01…TD-99999999",
            "TD-01…TD-02", "[{\"afterMs\":1}]", "[]", "null", "{}", "transparent base 65", "white 0\nblack 0", "NaN", "Infinity",
            "018f0000-0000-7000-8000-000000000000", "../../etc", "\u0000", "\ud800");

    private static String served() {
        try {
            Path folder = Files.createTempDirectory("slabside-fuzz-");
            Demo.write(folder.resolve("data"), folder.resolve("config"), LocalDate.of(2026, 6, 15), ZoneOffset.UTC);
            Path said = folder.resolve("said");
            Process process = new ProcessBuilder(
                            Path.of(System.getProperty("java.home"), "bin", "java")
                                    .toString(),
                            "-cp",
                            System.getProperty("java.class.path"),
                            Main.class.getName(),
                            "serve",
                            "--port",
                            "0",
                            "--data",
                            folder.resolve("data").toString(),
                            "--config",
                            folder.resolve("config").toString())
                    .redirectOutput(said.toFile())
                    .redirectError(folder.resolve("complained").toFile())
                    .start();
            Runtime.getRuntime().addShutdownHook(new Thread(process::destroyForcibly));
            while (true) {
                Matcher address = ADDRESS.matcher(Files.readString(said));
                if (address.find()) {
                    return address.group();
                }
                if (!process.isAlive()) {
                    throw new IllegalStateException(Files.readString(folder.resolve("complained")));
                }
                Thread.sleep(50);
            }
        } catch (IOException | InterruptedException failed) {
            throw new IllegalStateException(failed);
        }
    }

    @FuzzTest(maxDuration = "60s")
    void send(FuzzedDataProvider data) throws IOException, InterruptedException {
        String path = data.pickValue(PATHS);
        StringBuilder body = new StringBuilder("x=1");
        for (int fields = data.consumeInt(0, 8); fields > 0; fields--) {
            String value = data.consumeBoolean() ? data.pickValue(VALUES) : data.consumeString(60);
            body.append('&').append(data.pickValue(FIELDS)).append('=').append(URLEncoder.encode(value, StandardCharsets.UTF_8));
        }
        HttpResponse<String> answer = HTTP.send(
                HttpRequest.newBuilder(URI.create(AT + path))
                        .header("Content-Type", "application/x-www-form-urlencoded")
                        .header("Origin", AT)
                        .POST(HttpRequest.BodyPublishers.ofString(body.toString()))
                        .build(),
                HttpResponse.BodyHandlers.ofString());
        if (answer.statusCode() >= 500) {
            throw new AssertionError(path + " answered " + answer.statusCode() + ": " + answer.body());
        }
    }
}
