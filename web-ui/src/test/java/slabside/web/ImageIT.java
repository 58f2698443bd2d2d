package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The app image as a user has it: commands, pages, a second start, and a plugin of a stranger inside it. Runs with -Pimage. */
class ImageIT {
    private static final Pattern ADDRESS = Pattern.compile("http://127\\.0\\.0\\.1:\\d+");
    private static final Path LAUNCHER =
            Path.of(System.getProperty("slabside.image")).toAbsolutePath();
    private static final String SOURCE = """
            package stranger;
            import java.util.List;
            import slabside.plugin.*;
            public final class Doubled implements Calculator {
                static final Question<Integer> HOW_MANY = Question.count("sheets", "Sheets", 1, 1000);
                public Card card() { return new Card("doubled", "Doubled", "How many are twice as many?"); }
                public List<Question<?>> questions() { return List.of(HOW_MANY); }
                public Answer answer(Replies replies, StudioView studio) {
                    return Answer.titled("Doubled").quantity("twice", replies.to(HOW_MANY) * 2, "sheets", "two of each");
                }
            }
            """;

    @TempDir
    Path folder;

    private record Ran(int code, String said) {}

    @BeforeEach
    void invent() throws IOException, InterruptedException {
        assertEquals(0, run("demo", "--no-serve").code);
    }

    private List<String> command(String... arguments) {
        List<String> command = new ArrayList<>(List.of(LAUNCHER.toString()));
        command.addAll(List.of(arguments));
        command.addAll(List.of(
                "--data",
                folder.resolve("data").toString(),
                "--config",
                folder.resolve("config").toString()));
        return command;
    }

    private Ran run(String... arguments) throws IOException, InterruptedException {
        Path said = folder.resolve("said.txt");
        Process process = new ProcessBuilder(command(arguments))
                .redirectErrorStream(true)
                .redirectOutput(said.toFile())
                .start();
        assertTrue(process.waitFor(120, TimeUnit.SECONDS), String.join(" ", arguments));
        return new Ran(process.exitValue(), Files.readString(said));
    }

    @Test
    void a_plugin_that_was_dropped_in_runs_inside_it() throws IOException, InterruptedException {
        Path jar = folder.resolve("doubled.jar");
        StrangersJar.write(jar, folder.resolve("made"), "Doubled", SOURCE, List.of("Calculator=Doubled"));
        assertEquals(0, run("plugins", "drop", jar.toString()).code);
        assertEquals(0, run("plugins", "approve", "doubled.jar").code);
        Ran answered = run("calculate", "doubled", "sheets=21");
        assertTrue(answered.code == 0 && answered.said.contains("42"), answered.said);
    }

    @Test
    void it_serves_and_a_second_start_finds_the_first() throws IOException, InterruptedException {
        Path said = folder.resolve("served.txt");
        Process serving = new ProcessBuilder(command("serve", "--port", "0"))
                .redirectErrorStream(true)
                .redirectOutput(said.toFile())
                .start();
        try {
            Matcher address = ADDRESS.matcher("");
            for (int i = 0; i < 600 && !address.find(); i++) {
                Thread.sleep(50);
                address = ADDRESS.matcher(Files.readString(said));
            }
            HttpResponse<String> page = HttpClient.newHttpClient()
                    .send(
                            HttpRequest.newBuilder(URI.create(address.group() + "/shelf"))
                                    .build(),
                            HttpResponse.BodyHandlers.ofString());
            assertTrue(page.statusCode() == 200 && page.body().contains("Heron grey"), page.body());
            Ran second = run("serve");
            assertEquals(0, second.code, second.said);
            assertTrue(second.said.contains("Slabside is at " + address.group() + " already"), second.said);
            assertTrue(run("rebuild", "Heron grey HG-2", "--grams", "90").said.contains("90"));
        } finally {
            serving.destroy();
            serving.waitFor();
        }
    }

    @Test
    void the_archive_of_its_start_was_made_for_this_folder() throws IOException {
        try (var all = Files.walk(LAUNCHER.getParent().getParent())) {
            Path place = all.filter(file -> file.endsWith("start.jsa.place"))
                    .findFirst()
                    .orElseThrow();
            assertEquals(place.getParent().toString(), Files.readString(place));
            assertTrue(Files.size(place.resolveSibling("start.jsa")) > 1_000_000);
            try (var laid = Files.list(place.resolveSibling("native"))) {
                assertEquals(1, laid.count(), "the part of SQLite that is machine code");
            }
        }
    }
}
