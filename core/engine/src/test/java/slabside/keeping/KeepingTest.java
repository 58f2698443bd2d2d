package slabside.keeping;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.Base64;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.event.Actor;
import slabside.event.LogEvent;
import slabside.event.PaperEvent;
import slabside.event.Sheet;
import slabside.event.ThingId;
import slabside.log.LogTrouble;
import slabside.log.Samples;
import slabside.log.Transfer;
import slabside.measure.BadInput;
import slabside.share.Sharing;
import slabside.studio.MediaFile;
import slabside.studio.Studio;

/** Copies: made, thinned out, put back; and a log put together from what is left of it. */
class KeepingTest {
    private static final Actor ACTOR = new Actor(new ThingId("person-a"), "test");
    private static final ThingId MIX = new ThingId("mix-1");

    @TempDir
    Path folder;

    private Instant now = Instant.parse("2026-03-01T10:00:00Z");

    private final Clock clock = Samples.clock(() -> now);

    private Path data() {
        return folder.resolve("data");
    }

    private Path config() {
        return folder.resolve("config");
    }

    private Studio open() {
        return Studio.open(data(), config(), clock);
    }

    private void note(Studio studio, int count) {
        for (int i = 0; i < count; i++) {
            now = now.plusSeconds(1);
            studio.write(ACTOR, List.of(new LogEvent.Annotated(null, MIX, "word " + i + " " + "long ".repeat(40))));
        }
    }

    /** Paper torn into many sheets is a line of several pages. */
    private void longLine(Studio studio) {
        now = now.plusSeconds(1);
        List<Sheet> sheets = new ArrayList<>();
        for (int i = 0; i < 250; i++) {
            sheets.add(new Sheet(new ThingId("sheet-" + i), "S-" + i));
        }
        studio.write(ACTOR, List.of(new PaperEvent.Torn(new ThingId("paper-1"), sheets, null, null, null, null)));
    }

    private static String exported(Studio studio) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        Transfer.export(studio.log(), out);
        return out.toString(StandardCharsets.UTF_8);
    }

    private Restore.Outcome restore(boolean write, Path... given) {
        return new Restore(data(), config(), clock).run(List.of(given), write);
    }

    private List<String> files() throws IOException {
        try (Stream<Path> all = Files.walk(data())) {
            return all.map(file -> data().relativize(file).toString())
                    .filter(name -> !name.startsWith("views.db") && !name.endsWith("-shm") && !name.endsWith(".lock"))
                    .sorted()
                    .toList();
        }
    }

    @Test
    void a_copy_is_made_each_day_that_something_was_written() {
        try (Studio studio = open()) {
            Backups backups = Backups.beside(data());
            assertTrue(backups.daily(studio).isEmpty(), "nothing to copy yet");
            note(studio, 3);
            Backups.Made made = backups.daily(studio).orElseThrow();
            assertEquals(4, made.verified().events());
            assertTrue(made.verified().wrong().isEmpty());
            note(studio, 1);
            assertTrue(backups.daily(studio).isEmpty(), "one a day");
            now = now.plus(Duration.ofDays(1));
            assertTrue(backups.daily(studio).isPresent());
            now = now.plus(Duration.ofDays(1));
            assertTrue(backups.daily(studio).isEmpty(), "nothing was written since");
            note(studio, 1);
            assertTrue(backups.daily(studio).isPresent());
            assertEquals(3, backups.all().size());
        }
    }

    @Test
    void copies_thin_out_with_age_and_those_asked_for_stay() {
        LocalDate today = LocalDate.of(2026, 3, 20);
        List<Backups.Copy> all = new ArrayList<>();
        for (int days = 0; days < 1_200; days++) {
            LocalDateTime at = today.minusDays(days).atTime(18, 0);
            all.add(new Backups.Copy(Path.of("daily-" + at), at, true));
        }
        Backups.Copy asked =
                new Backups.Copy(Path.of("studio"), today.minusDays(400).atTime(9, 0), false);
        all.add(asked);
        List<Backups.Copy> surplus = Backups.surplus(all, today);
        List<Backups.Copy> kept = new ArrayList<>(all);
        kept.removeAll(surplus);
        assertTrue(kept.contains(asked));
        List<LocalDate> days = kept.stream()
                .filter(Backups.Copy::daily)
                .map(copy -> copy.at().toLocalDate())
                .toList();
        for (int i = 0; i <= 7; i++) {
            assertTrue(days.contains(today.minusDays(i)), "day " + i);
        }
        assertEquals(
                Set.of(2022, 2023, 2024, 2025, 2026),
                new TreeSet<>(days.stream().map(LocalDate::getYear).toList()),
                "one a year for ever");
        assertTrue(days.size() <= 8 + 6 + 13 + 5, () -> "kept " + days.size() + ": " + days);
        for (int months = 0; months < 12; months++) {
            LocalDate month = today.minusMonths(months);
            assertTrue(
                    days.stream()
                            .anyMatch(day ->
                                    day.getMonthValue() == month.getMonthValue() && day.getYear() == month.getYear()),
                    "month " + month);
        }
        assertEquals(List.of(), Backups.surplus(kept, today), "thinned out once, they stay");
    }

    @Test
    void a_copy_takes_photos_and_names_along_and_gives_them_back() throws IOException {
        Path stick = folder.resolve("stick");
        String before;
        String sha;
        try (Studio studio = open()) {
            studio.people().name(new ThingId("person-a"), "Ada Fell");
            LogEvent.Attached kept = studio.attachments()
                    .keep(
                            MediaFile.of(
                                    Base64.getDecoder()
                                            .decode(
                                                    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==")),
                            new LogEvent.Attached(null, MIX, "", 0, "image/png", "slab"));
            sha = kept.sha256();
            studio.write(ACTOR, List.of(kept));
            note(studio, 5);
            assertEquals(1, Backups.in(stick).make(studio).files());
            note(studio, 1);
            assertEquals(0, Backups.in(stick).make(studio).files(), "it is there already");
            before = exported(studio);
        }
        for (String part : files()) {
            Path file = data().resolve(part);
            if (Files.isRegularFile(file)) {
                Files.delete(file);
            }
        }
        Path copy = Backups.in(stick).all().get(0).file();
        Restore.Outcome outcome = restore(true, copy);
        assertEquals(-1, outcome.before());
        assertEquals(8, outcome.after());
        try (Studio studio = open()) {
            assertEquals(before, exported(studio));
            assertEquals("Ada Fell", studio.name(new ThingId("person-a")));
            assertTrue(studio.attachments().file(sha).isPresent());
            assertEquals(List.of(), studio.log().cut());
        }
    }

    @Test
    void a_rehearsal_changes_nothing() throws IOException {
        try (Studio studio = open()) {
            note(studio, 5);
            Backups.beside(data()).make(studio);
            note(studio, 5);
        }
        byte[] bytes = Files.readAllBytes(data().resolve("studio.db"));
        List<String> before = files();
        Restore.Outcome outcome = restore(false);
        assertEquals(11, outcome.before());
        assertEquals(11, outcome.after(), "an old copy takes nothing away");
        assertEquals(before, files());
        assertEquals(
                new String(bytes, StandardCharsets.ISO_8859_1),
                Files.readString(data().resolve("studio.db"), StandardCharsets.ISO_8859_1));
    }

    @Test
    void an_open_studio_is_not_touched() {
        try (Studio studio = open()) {
            note(studio, 1);
            LogTrouble refused = assertThrows(LogTrouble.class, () -> restore(true));
            assertTrue(refused.getMessage().contains("is open"), refused.getMessage());
        }
    }

    @Test
    void a_file_whose_head_was_overwritten_is_put_together_from_its_own_bytes() throws IOException {
        String before;
        try (Studio studio = open()) {
            note(studio, 30);
            longLine(studio);
            note(studio, 29);
            before = exported(studio);
        }
        byte[] bytes = Files.readAllBytes(data().resolve("studio.db"));
        java.util.Arrays.fill(bytes, 0, 4096, (byte) 0);
        Files.write(data().resolve("studio.db"), bytes);
        Restore.Outcome outcome = restore(true);
        assertEquals(0, outcome.before());
        assertEquals(61, outcome.after());
        assertTrue(
                outcome.sources().toString().contains("damaged"),
                outcome.sources().toString());
        try (Studio studio = open()) {
            assertEquals(before, exported(studio));
            assertTrue(studio.log().verify().wrong().isEmpty());
            assertEquals(List.of(), studio.log().cut());
            note(studio, 1);
            assertEquals(1, studio.log().heads().size(), "its chain goes on");
        }
        assertTrue(files().stream().anyMatch(name -> name.startsWith("replaced-")), "the old file is kept: " + files());
    }

    @Test
    void a_hole_is_filled_from_a_copy_and_what_came_later_from_the_damaged_file() throws IOException {
        String before;
        try (Studio studio = open()) {
            note(studio, 100);
            Backups.beside(data()).make(studio);
            note(studio, 100);
            before = exported(studio);
        }
        Path file = data().resolve("studio.db");
        byte[] bytes = Files.readAllBytes(file);
        int early = new String(bytes, StandardCharsets.ISO_8859_1).indexOf("\"oseq\":40,");
        java.util.Arrays.fill(bytes, early / 4096 * 4096, (early / 4096 + 1) * 4096, (byte) 7);
        Files.write(file, bytes);
        Restore.Outcome outcome = restore(true);
        assertTrue(outcome.before() < 201, "the damage matters: " + outcome.before());
        assertEquals(201, outcome.after());
        assertEquals(List.of(), outcome.gaps());
        try (Studio studio = open()) {
            assertEquals(before, exported(studio));
        }
    }

    @Test
    void a_hole_that_nothing_fills_is_named_and_what_stands_behind_it_is_kept_aside() throws IOException {
        try (Studio studio = open()) {
            note(studio, 100);
        }
        Path file = data().resolve("studio.db");
        byte[] bytes = Files.readAllBytes(file);
        int early = new String(bytes, StandardCharsets.ISO_8859_1).indexOf("\"oseq\":40,");
        java.util.Arrays.fill(bytes, early / 4096 * 4096, (early / 4096 + 1) * 4096, (byte) 7);
        Files.write(file, bytes);
        Restore.Outcome outcome = restore(true);
        assertTrue(outcome.after() > 10 && outcome.after() < 40, "" + outcome.after());
        assertEquals(1, outcome.gaps().size());
        assertTrue(
                outcome.gaps().get(0).startsWith("events " + (outcome.after() + 1) + " to 101 of the chain"),
                outcome.gaps().toString());
        assertEquals(
                outcome.unproven(),
                Files.readAllLines(outcome.rest().orElseThrow()).size());
        assertTrue(outcome.unproven() > 40, "what stands behind the hole is not lost: " + outcome.unproven());
        try (Studio studio = open()) {
            assertEquals(1, studio.log().cut().size(), "the machine remembers that there was more");
        }
    }

    @Test
    void what_was_not_written_to_the_file_yet_is_found_beside_it() throws IOException {
        Path copied = folder.resolve("copied");
        String before;
        try (Studio studio = open()) {
            note(studio, 20);
            longLine(studio);
            note(studio, 9);
            before = exported(studio);
            // As a machine leaves it that goes off: most of it still stands in the unfinished file.
            Files.createDirectories(copied);
            for (String name : List.of("studio.db", "studio.db-wal")) {
                Files.copy(data().resolve(name), copied.resolve(name));
            }
        }
        byte[] bytes = Files.readAllBytes(copied.resolve("studio.db"));
        java.util.Arrays.fill(bytes, 0, bytes.length, (byte) 0);
        Files.write(copied.resolve("studio.db"), bytes);
        Restore.Outcome outcome =
                new Restore(folder.resolve("other"), config(), clock).run(List.of(copied.resolve("studio.db")), true);
        assertEquals(31, outcome.after());
        try (Studio studio = Studio.open(folder.resolve("other"), folder.resolve("other-config"), clock)) {
            assertEquals(before, exported(studio));
        }
    }

    @Test
    void the_shared_folder_gives_back_what_it_holds() throws IOException {
        String before;
        try (Studio studio = open()) {
            note(studio, 20);
            Sharing.make(studio, folder.resolve("shared"), "the laptop");
            before = exported(studio);
        }
        Files.delete(data().resolve("studio.db"));
        Restore.Outcome outcome = restore(true);
        assertEquals(21, outcome.after());
        try (Studio studio = open()) {
            assertEquals(before, exported(studio));
        }
    }

    @Test
    void lists_are_made_anew_after_a_restore_since_places_in_the_log_change() throws IOException {
        // Two chains, written in turns, so that the order of arrival is not that of the chains.
        Studio other = Studio.open(folder.resolve("other"), folder.resolve("other-config"), clock);
        try (Studio studio = open()) {
            note(studio, 1);
            Sharing here = Sharing.make(studio, folder.resolve("shared"), "the laptop");
            Sharing there = Sharing.join(other, folder.resolve("shared"), "the tablet", false);
            for (int i = 0; i < 6; i++) {
                note(i % 2 == 0 ? studio : other, 2);
                here.now();
                there.now();
                here.now();
            }
            studio.views().catchUp();
        }
        other.close();
        restore(true);
        try (Studio studio = open()) {
            studio.views().catchUp();
            var page = studio.views().timeline(slabside.views.Timeline.Filter.newest(100));
            assertEquals(studio.log().last(), page.events().size());
            for (var told : page.events()) {
                assertEquals(
                        told.pos(), studio.log().find(told.id()).orElseThrow().pos());
                assertEquals(
                        told.event(), studio.log().at(told.pos()).orElseThrow().event());
            }
            assertEquals(List.of(), studio.log().cut());
        }
    }

    @Test
    void changed_lines_do_not_come_in() throws IOException {
        Path exported = folder.resolve("log.jsonl");
        try (Studio studio = open()) {
            note(studio, 10);
            Files.writeString(exported, exported(studio).replace("word 5 long", "word 6 long"));
        }
        Restore.Outcome outcome = new Restore(folder.resolve("other"), config(), clock).run(List.of(exported), false);
        assertEquals(6, outcome.after());
        assertEquals(5, outcome.unproven());
        assertThrows(
                BadInput.class,
                () -> new Restore(folder.resolve("other"), config(), clock)
                        .run(List.of(folder.resolve("none")), false));
        Path empty = Files.createFile(folder.resolve("empty.db"));
        assertThrows(
                BadInput.class, () -> new Restore(folder.resolve("other"), config(), clock).run(List.of(empty), false));
        assertEquals(Optional.empty(), outcome.aside());
        assertFalse(Files.exists(folder.resolve("other").resolve("studio.db")));
    }
}
