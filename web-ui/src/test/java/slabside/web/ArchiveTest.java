package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVParser;
import org.apache.commons.csv.CSVRecord;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.demo.Demo;
import slabside.event.Actor;
import slabside.event.LogEvent;
import slabside.measure.BadInput;
import slabside.plugin.Progress;
import slabside.studio.MediaFile;
import slabside.studio.Studio;

/** A studio in a folder that needs nothing of ours to be read and checked. */
class ArchiveTest {
    @TempDir
    Path folder;

    private Studio studio;
    private Path archive;

    @BeforeEach
    void open() throws IOException {
        Demo.write(folder.resolve("data"), folder.resolve("config"), LocalDate.of(2026, 6, 15), ZoneOffset.UTC);
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC());
        studio.views().catchUp();
        archive = folder.resolve("archive");
    }

    @AfterEach
    void close() {
        studio.close();
    }

    private void photo() throws IOException {
        java.io.ByteArrayOutputStream png = new java.io.ByteArrayOutputStream();
        javax.imageio.ImageIO.write(
                new java.awt.image.BufferedImage(20, 20, java.awt.image.BufferedImage.TYPE_INT_RGB), "png", png);
        LogEvent.Attached attached = studio.attachments()
                .keep(
                        MediaFile.of(png.toByteArray()),
                        new LogEvent.Attached(
                                null,
                                studio.views().named("mix", "Heron grey HG-2").id(),
                                "0".repeat(64),
                                1,
                                "image/png",
                                "a dab"));
        studio.write(new Actor(Studio.SOMEBODY, "this"), List.of(attached));
        studio.views().catchUp();
    }

    private record Ran(int code, String said) {}

    private Ran check() throws IOException, InterruptedException {
        Process process = new ProcessBuilder(
                        "python3", archive.resolve("check.py").toString(), archive.toString())
                .redirectErrorStream(true)
                .start();
        String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        assertTrue(process.waitFor(60, TimeUnit.SECONDS));
        return new Ran(process.exitValue(), said);
    }

    private static boolean hasPython() {
        try {
            return new ProcessBuilder("python3", "--version").start().waitFor() == 0;
        } catch (IOException | InterruptedException none) {
            return false;
        }
    }

    /** With the script that lies in the archive itself and shares no line with this program. */
    @Test
    void the_script_that_lies_beside_it_finds_any_change() throws IOException, InterruptedException {
        assumeTrue(hasPython(), "python3 is not on this machine; the check of an archive is skipped");
        photo();
        Archive.Made made = new Archive(studio, Progress.NONE).into(archive, false);
        assertEquals(studio.log().last(), made.events());
        assertEquals(1, made.attached());
        Ran whole = check();
        assertEquals(0, whole.code, whole.said);
        assertTrue(whole.said.contains(made.events() + " events verified"), whole.said);
        assertTrue(whole.said.contains("1 photos and memos verified, 0 named and not here"), whole.said);
        Path photo;
        try (var files = Files.list(archive.resolve("attached"))) {
            photo = files.findFirst().orElseThrow();
        }
        byte[] bytes = Files.readAllBytes(photo);
        bytes[bytes.length / 2] ^= 1;
        Files.write(photo, bytes);
        assertEquals(1, check().code, "a changed photo");
        Files.delete(photo);
        Ran gone = check();
        assertEquals(0, gone.code, "a photo that was taken out is a named gap");
        assertTrue(gone.said.contains("1 named and not here"), gone.said);
        List<String> lines = Files.readAllLines(archive.resolve("log.jsonl"));
        List<String> hashes = Files.readAllLines(archive.resolve("log.hashes"));
        write("log.jsonl", lines.subList(0, lines.size() - 1));
        assertEquals(1, check().code, "a line less than hashes");
        write("log.hashes", hashes.subList(0, hashes.size() - 1));
        assertTrue(check().said.contains("does not reach"), "both cut at their end");
        List<String> changed = new ArrayList<>(lines);
        changed.set(7, changed.get(7).replaceFirst("\"recorded\":1", "\"recorded\":2"));
        assertFalse(changed.equals(lines));
        write("log.jsonl", changed);
        write("log.hashes", hashes);
        assertTrue(check().said.contains("line 8:"), "a changed line is named");
    }

    private void write(String file, List<String> lines) throws IOException {
        Files.writeString(archive.resolve(file), String.join("\n", lines) + "\n");
    }

    private List<CSVRecord> table(String name) throws IOException {
        try (CSVParser parsed = CSVParser.parse(
                archive.resolve("tables").resolve(name),
                StandardCharsets.UTF_8,
                CSVFormat.RFC4180
                        .builder()
                        .setHeader()
                        .setSkipHeaderRecord(true)
                        .get())) {
            return parsed.getRecords();
        }
    }

    @Test
    void every_column_is_in_the_dictionary_and_the_tables_add_up() throws IOException {
        photo();
        new Archive(studio, Progress.NONE).into(archive, false);
        Map<String, Set<String>> told = new HashMap<>();
        table("dictionary.csv")
                .forEach(row -> told.computeIfAbsent(row.get("table"), any -> new LinkedHashSet<>())
                        .add(row.get("column")));
        try (var files = Files.list(archive.resolve("tables"))) {
            for (Path file :
                    files.filter(each -> !each.endsWith("dictionary.csv")).toList()) {
                String name = file.getFileName().toString();
                String head = Files.readAllLines(file).get(0);
                assertEquals(told.get(name), new LinkedHashSet<>(List.of(head.split(","))), name);
            }
        }
        assertEquals(studio.log().last(), table("events.csv").size());
        assertEquals("yes", table("attached.csv").get(0).get("here"));
        // The trade's made-up edition: 48 impressions, the OK proof and three colour trial proofs.
        assertEquals(52, table("impressions.csv").size());
        assertEquals(
                60,
                table("pulls.csv").stream()
                        .filter(row -> row.get("run name").contains("the shallows")
                                && !row.get("number").isEmpty())
                        .count());
        Set<String> moves = new LinkedHashSet<>();
        double base = 0;
        for (CSVRecord row : table("moves.csv")) {
            assertTrue(moves.add(row.get("event")), "each move once: " + row);
            if (row.get("from name").contains("TB-2408")
                    && !row.get("into name").contains("Slack")) {
                base += Double.parseDouble(row.get("grams"));
            }
        }
        assertEquals(231.8, base, 0.05, "base in the five runs of that edition");
        long moved = table("events.csv").stream()
                .filter(row -> List.of("ink.moved", "shelf.can-received").contains(row.get("type"))
                        && row.get("taken back").isEmpty())
                .count();
        assertEquals(moved, moves.size());
        String names = Files.readString(archive.resolve("people.txt"));
        for (String name : studio.people().all().values()) {
            assertTrue(names.contains(name));
            assertFalse(Files.readString(archive.resolve("tables/events.csv")).contains(name), name);
            assertFalse(Files.readString(archive.resolve("log.jsonl")).contains(name), name);
        }
    }

    @Test
    void nothing_that_is_there_is_written_over() throws IOException {
        Files.createDirectories(archive);
        assertThrows(BadInput.class, () -> new Archive(studio, Progress.NONE).into(archive, false));
        Path other = folder.resolve("other");
        Files.createDirectories(folder.resolve("other.part"));
        BadInput begun = assertThrows(BadInput.class, () -> new Archive(studio, Progress.NONE).into(other, false));
        assertTrue(begun.getMessage().contains("begun there before"), begun.getMessage());
        assertFalse(Files.exists(other));
    }

    @Test
    void the_text_beside_it_says_what_is_what() throws IOException {
        Archive.Made made = new Archive(studio, Progress.NONE).into(archive, true);
        String readme = Files.readString(archive.resolve("README.txt"));
        assertFalse(readme.matches("(?s).*\\{[a-zA-Z]+\\}.*"), readme);
        assertTrue(readme.contains(studio.log().heads().get(0).hash()) && readme.contains("it was whole"), readme);
        assertEquals(List.of(), made.notMade());
        try (var files = Files.walk(archive.resolve("papers"))) {
            assertEquals(
                    made.papers(),
                    files.filter(file -> file.toString().endsWith(".pdf")).count());
        }
        assertTrue(Files.exists(archive.resolve("papers/editions/tidewrack-four-fathoms-documentation-sheet.pdf")));
    }
}
