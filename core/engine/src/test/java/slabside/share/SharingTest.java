package slabside.share;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.event.Actor;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.InkEvent;
import slabside.event.LogEvent;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.log.Decision;
import slabside.log.Draft;
import slabside.log.Stored;
import slabside.measure.BadInput;
import slabside.studio.MediaFile;
import slabside.studio.Studio;
import slabside.studio.WholeFolder;

/** What two machines tell their people while they share a studio, case by case. */
class SharingTest {
    private static final Instant NOW = Instant.parse("2026-03-01T10:00:00Z");
    private static final Actor ACTOR = new Actor(new ThingId("person-a"), "test");
    private static final ThingId MIX = new ThingId("mix-1");

    @TempDir
    Path folder;

    private final Random random = new Random(11);
    private final List<Studio> open = new ArrayList<>();

    private Studio studio(String name) {
        return studio(name, Duration.ZERO);
    }

    private Studio studio(String name, Duration off) {
        Studio studio = Studio.open(
                folder.resolve(name).resolve("data"),
                folder.resolve(name).resolve("config"),
                Clock.offset(Clock.fixed(NOW, ZoneOffset.UTC), off));
        open.add(studio);
        return studio;
    }

    @AfterEach
    void close() {
        open.forEach(Studio::close);
    }

    private void closeNow(Studio studio) {
        open.remove(studio);
        studio.close();
    }

    private Path shared() {
        return folder.resolve("shared");
    }

    private EventId write(Studio studio, StudioEvent event) {
        return studio.write(ACTOR, List.of(event)).stored().get(0).envelope().id();
    }

    private EventId note(Studio studio, String words) {
        return write(studio, new LogEvent.Annotated(null, MIX, words));
    }

    private List<Path> pieces() throws IOException {
        try (Stream<Path> all = Files.walk(shared().resolve("chains"))) {
            return all.filter(Files::isRegularFile).sorted().toList();
        }
    }

    private record Two(Studio one, Sharing first, Studio other, Sharing second) {}

    private Two two() {
        Studio one = studio("one");
        note(one, "from the laptop");
        Sharing first = Sharing.make(one, shared(), "the laptop");
        Studio other = studio("other");
        Sharing second = Sharing.join(other, shared(), "the tablet", false);
        first.now();
        return new Two(one, first, other, second);
    }

    @Test
    void what_is_written_apart_comes_together() {
        Two two = two();
        EventId here = note(two.one, "one");
        EventId there = note(two.other, "two");
        assertEquals(1, two.first.now().given());
        Exchanged second = two.second.now();
        assertEquals(1, second.taken());
        assertEquals(2, second.given(), "its first entry begins a chain");
        Exchanged first = two.first.now();
        assertEquals(2, first.taken());
        assertTrue(two.one.log().find(there).isPresent()
                && two.other.log().find(here).isPresent());
        assertTrue(first.isQuiet() && two.second.now().isQuiet(), first.toString());
        assertEquals(0, two.first.now().given(), "again nothing goes");
    }

    @Test
    void a_cut_file_is_waited_for_and_hinders_nothing_else() throws IOException {
        Two two = two();
        note(two.one, "one");
        two.first.now();
        note(two.one, "two");
        two.first.now();
        Path last = pieces().get(pieces().size() - 1);
        byte[] whole = Files.readAllBytes(last);
        Files.write(last, java.util.Arrays.copyOf(whole, whole.length / 2));
        Exchanged second = two.second.now();
        assertEquals(1, second.taken(), "the other piece was taken");
        assertEquals(1, second.waiting().size());
        assertTrue(
                second.waiting().get(0).contains("its end is not there yet"),
                second.waiting().toString());
        assertEquals(1, second.missing().size());
        assertTrue(
                second.missing().get(0).contains("what the laptop wrote"),
                second.missing().toString());
        Files.write(last, whole);
        assertTrue(two.second.now().isQuiet());
    }

    @Test
    void a_piece_before_which_another_is_missing_waits_for_it() throws IOException {
        Two two = two();
        note(two.one, "one");
        two.first.now();
        Path middle = pieces().get(pieces().size() - 1);
        note(two.one, "two");
        two.first.now();
        Path aside = folder.resolve("aside");
        Files.move(middle, aside);
        Exchanged waiting = two.second.now();
        assertEquals(0, waiting.taken());
        assertTrue(
                waiting.waiting().get(0).contains("the events before it are not here yet"),
                waiting.waiting().toString());
        Files.move(aside, middle);
        assertEquals(2, two.second.now().taken());
    }

    @Test
    void a_copy_under_another_name_is_read() throws IOException {
        Two two = two();
        EventId id = note(two.one, "one");
        two.first.now();
        Path last = pieces().get(pieces().size() - 1);
        Files.move(last, last.resolveSibling("piece (copy of the laptop 2026-03-01).txt"));
        two.second.now();
        assertTrue(two.other.log().find(id).isPresent());
    }

    @Test
    void a_file_that_rotted_is_written_again_by_whoever_has_what_was_in_it() throws IOException {
        Two two = two();
        EventId id = note(two.one, "one");
        two.first.now();
        Path last = pieces().get(pieces().size() - 1);
        byte[] bytes = Files.readAllBytes(last);
        bytes[bytes.length / 2] ^= 1;
        Files.write(last, bytes);
        Exchanged second = two.second.now();
        assertTrue(
                second.waiting().toString().contains("not as it was sealed"),
                second.waiting().toString());
        assertEquals(1, two.first.now().given(), "given once more, beside the broken file or in its place");
        two.second.now();
        assertTrue(two.other.log().find(id).isPresent());
    }

    @Test
    void a_changed_and_newly_sealed_piece_is_refused_by_its_chain() throws IOException {
        Two two = two();
        note(two.one, "a true word");
        two.first.now();
        Path last = pieces().get(pieces().size() - 1);
        String text = Files.readString(last).replace("a true word", "a lying one");
        String body = text.substring(0, text.lastIndexOf("end\t"));
        Files.writeString(last, body + "end\t" + sha256(body) + "\n");
        Exchanged second = two.second.now();
        assertEquals(0, second.taken());
        assertTrue(
                second.waiting().get(0).contains("its hash does not follow"),
                second.waiting().toString());
    }

    private static String sha256(String text) {
        try {
            return java.util.HexFormat.of()
                    .formatHex(java.security.MessageDigest.getInstance("SHA-256")
                            .digest(text.getBytes(StandardCharsets.UTF_8)));
        } catch (java.security.NoSuchAlgorithmException everyJavaHasIt) {
            throw new IllegalStateException(everyJavaHasIt);
        }
    }

    @Test
    void what_a_machine_lost_with_its_disk_comes_back_and_its_chain_goes_on() throws IOException {
        Two two = two();
        note(two.other, "kept");
        Path copy = folder.resolve("copy.db");
        closeNow(two.other);
        Files.copy(folder.resolve("other/data/studio.db"), copy);
        Studio again = studio("other");
        EventId lost = note(again, "written after the copy");
        Sharing.of(again).orElseThrow().now();
        String chain = again.log().own().orElseThrow().origin();
        closeNow(again);
        Files.copy(copy, folder.resolve("other/data/studio.db"), java.nio.file.StandardCopyOption.REPLACE_EXISTING);
        Studio restored = studio("other");
        assertEquals(1, restored.log().cut().size());
        assertTrue(restored.log().find(lost).isEmpty());
        Exchanged healed = Sharing.of(restored).orElseThrow().now();
        assertEquals(1, healed.taken());
        assertTrue(restored.log().find(lost).isPresent());
        assertEquals(List.of(), restored.log().cut(), "nothing is missing any more");
        assertTrue(
                restored.log().notices().isEmpty(),
                () -> restored.log().notices().toString());
        note(restored, "and on");
        assertEquals(chain, restored.log().own().orElseThrow().origin(), "no new chain is needed");
        assertTrue(restored.log().verify().wrong().isEmpty());
    }

    @Test
    void a_machine_put_back_with_all_that_it_remembered_does_not_write_over_what_others_have() throws IOException {
        Two two = two();
        note(two.other, "kept");
        closeNow(two.other);
        Machine.copyFolder(folder.resolve("other"), folder.resolve("disk"));
        Studio again = studio("other");
        EventId lost = note(again, "written after the copy");
        Sharing.of(again).orElseThrow().now();
        closeNow(again);
        WholeFolder.delete(folder.resolve("other"));
        Machine.copyFolder(folder.resolve("disk"), folder.resolve("other"));
        Studio restored = studio("other");
        assertEquals(List.of(), restored.log().cut(), "nothing here knows of it");
        note(restored, "written before the folder is reached");
        Exchanged exchanged = Sharing.of(restored).orElseThrow().now();
        assertEquals(1, exchanged.parted().size());
        assertEquals("what this machine wrote", exchanged.parted().get(0).machine());
        assertEquals(2, exchanged.parted().get(0).firsts().size());
        assertTrue(restored.log().find(lost).isPresent(), "both branches stay");
        String before = exchanged.machines().get(0).name();
        note(restored, "and on");
        assertEquals("the tablet", before);
        Stored begun = restored.log().read(restored.log().last() - 2, 1).get(0);
        assertTrue(begun.event() instanceof LogEvent.EpochBegun, begun.line());
        assertTrue(begun.line().contains("written on in two places"), begun.line());
        assertTrue(restored.log().verify().wrong().isEmpty());
        closeNow(restored);
        Studio reopened = studio("other");
        note(reopened, "after a restart");
        assertEquals(
                begun.envelope().origin(), reopened.log().own().orElseThrow().origin(), "the new chain goes on");
    }

    @Test
    void one_id_with_two_meanings_is_told_and_both_lines_stay() {
        Two two = two();
        EventId id = EventId.at(NOW.toEpochMilli(), random);
        for (Studio each : List.of(two.one, two.other)) {
            each.append(Decision.of(new Draft(
                    id,
                    Happened.exactly(NOW.toEpochMilli(), ZoneOffset.UTC),
                    null,
                    ACTOR,
                    new InkEvent.Named(MIX, each == two.one ? "grey" : "green"))));
        }
        two.first.now();
        two.second.now();
        Exchanged first = two.first.now();
        Exchanged second = two.second.now();
        assertEquals(1, first.differing().size());
        assertEquals(2, first.differing().get(0).positions().size());
        assertEquals(
                two.one.views().name(MIX), two.other.views().name(MIX), "whichever counts, it is the same on both");
        assertEquals(1, second.differing().size());
    }

    @Test
    void one_entry_that_came_by_two_chains_is_read_once() {
        Two two = two();
        List<Draft> page = List.of(new Draft(
                EventId.at(NOW.toEpochMilli(), random),
                Happened.exactly(NOW.toEpochMilli(), ZoneOffset.UTC),
                null,
                ACTOR,
                new InkEvent.Moved(
                        new ThingId("can-1"),
                        MIX,
                        slabside.measure.Amount.net("grams", "12.5"),
                        slabside.event.Why.ADDED,
                        null)));
        two.one.append(Decision.of(page));
        two.other.append(Decision.of(page));
        two.first.now();
        two.second.now();
        two.first.now();
        assertTrue(two.first.last().differing().isEmpty());
        for (Studio each : List.of(two.one, two.other)) {
            each.views().catchUp();
            assertEquals(1, each.log().twice().size());
            assertEquals(12.5, each.ledger().now(MIX).grams().value(), 1e-9);
        }
    }

    @Test
    void a_clock_that_is_wrong_is_flagged_and_hinders_nothing() {
        Studio one = studio("one");
        note(one, "right");
        Sharing first = Sharing.make(one, shared(), "the laptop");
        Studio fast = studio("fast", Duration.ofHours(3));
        Sharing second = Sharing.join(fast, shared(), "the tablet", false);
        note(fast, "from the future");
        second.now();
        Exchanged exchanged = first.now();
        assertEquals(2, exchanged.taken());
        assertTrue(
                exchanged.machines().toString().contains("its clock is 3 hours ahead"),
                exchanged.machines().toString());
        EventId mine = note(one, "after it");
        assertTrue(
                one.log().find(mine).orElseThrow().envelope().hlc().millis()
                        > NOW.plus(Duration.ofHours(2)).toEpochMilli(),
                "what is written after something seen counts as later");
    }

    @Test
    void names_photos_and_what_was_taken_out_travel() {
        Two two = two();
        ThingId ada = new ThingId("person-ada");
        two.one.people().name(ada, "Ada Fell");
        MediaFile photo = MediaFile.of(png());
        LogEvent.Attached kept =
                two.one.attachments().keep(photo, new LogEvent.Attached(null, MIX, "", 0, "image/png", "the slab"));
        write(two.one, kept);
        two.first.now();
        two.second.now();
        assertEquals("Ada Fell", two.other.name(ada));
        assertTrue(two.other.attachments().file(kept.sha256()).isPresent());
        assertEquals(List.of(), two.other.attachments().check(two.other.log()).wrong());

        two.other.forget(ACTOR, new LogEvent.Forgotten(ada, null, null, "she asked for it"));
        two.other.forget(ACTOR, new LogEvent.Forgotten(null, kept.sha256(), null, null));
        two.second.now();
        two.first.now();
        for (Studio each : List.of(two.one, two.other)) {
            assertFalse(each.people().all().containsKey(ada.text()));
            assertEquals("somebody whose name was taken out", each.name(ada));
            assertTrue(each.attachments().file(kept.sha256()).isEmpty());
            assertEquals(1, each.attachments().check(each.log()).forgotten());
            assertEquals(List.of(), each.attachments().check(each.log()).wrong());
        }
        assertFalse(Files.exists(shared().resolve("attached").resolve(kept.sha256())));
        assertTrue(two.first.now().isQuiet() && two.second.now().isQuiet());
    }

    @Test
    void an_entry_that_names_another_file_than_a_photo_takes_nothing_out() throws IOException {
        Two two = two();
        for (String name : List.of("../studio.db", "", "/etc/hostname", "..")) {
            write(two.one, new LogEvent.Forgotten(null, name, null, null));
            write(two.one, new LogEvent.Attached(null, MIX, name, 1, "image/png", null));
        }
        two.first.now();
        assertEquals("", two.second.now().trouble());
        assertTrue(two.second.last().isQuiet(), two.second.last().toString());
        for (Studio each : List.of(two.one, two.other)) {
            assertEquals(List.of(), each.takeOutForgotten());
            assertTrue(Files.exists(each.folder().resolve("studio.db")));
        }
    }

    @Test
    void a_note_or_a_piece_made_of_anything_hinders_nobody() throws IOException {
        Two two = two();
        EventId id = note(two.one, "one");
        two.first.now();
        List<String> odd = List.of(
                "",
                "null",
                "{}",
                "{\"device\":null}",
                "{\"device\":\"../../x\",\"name\":\"n\",\"at\":1,\"chains\":[],\"heads\":[],\"people\":{},\"left\":false}",
                "{\"device\":\"0123456789abcdef\",\"name\":\"n\",\"at\":1,\"chains\":[],\"heads\":[{\"origin\":\"0123456789abcdef\",\"oseq\":3,\"hash\":\"xyz\"}],\"people\":{},\"left\":false}");
        for (int i = 0; i < odd.size(); i++) {
            byte[] bytes = odd.get(i).getBytes(StandardCharsets.UTF_8);
            Files.write(shared().resolve("devices").resolve("odd-" + i), bytes);
            Files.write(shared().resolve("devices").resolve("sealed-" + i), slabside.log.Segment.sealed(bytes));
            Files.write(shared().resolve("chains").resolve("odd-" + i), bytes);
            Files.write(
                    shared().resolve("chains").resolve("sealed-" + i),
                    slabside.log.Segment.sealed(
                            ("slabside segment 1\t" + odd.get(i)).getBytes(StandardCharsets.UTF_8)));
        }
        Exchanged second = two.second.now();
        assertEquals("", second.trouble());
        assertEquals(4 * odd.size(), second.waiting().size(), second.waiting().toString());
        assertTrue(two.other.log().find(id).isPresent());
    }

    @Test
    void a_name_that_was_taken_out_does_not_come_back_whatever_the_clocks_say() throws IOException {
        Two two = two();
        Studio fast = studio("fast", Duration.ofDays(1));
        Sharing third = Sharing.join(fast, shared(), "the fast one", false);
        ThingId ada = new ThingId("person-ada");
        fast.people().name(ada, "Ada Fell");
        note(fast, "one");
        third.now();
        two.first.now();
        assertEquals("Ada Fell", two.one.name(ada));
        two.one.people().name(ada, "Ada Fellow");
        two.first.now();
        third.now();
        assertEquals("Ada Fellow", fast.name(ada), "what was said later counts, though the other's clock runs ahead");
        two.one.forget(ACTOR, new LogEvent.Forgotten(ada, null, null, null));
        third.leave(false);
        two.first.now();
        two.second.now();
        two.first.now();
        for (Studio each : List.of(two.one, two.other)) {
            assertFalse(each.people().all().containsKey(ada.text()));
        }
        try (Stream<Path> notes = Files.list(shared().resolve("devices"))) {
            for (Path note : notes.toList()) {
                assertFalse(Files.readString(note).contains("Ada"), "who left leaves no names behind: " + note);
            }
        }
    }

    @Test
    void a_folder_that_was_away_at_the_start_is_given_to_when_it_comes() throws Exception {
        Two two = two();
        closeNow(two.one);
        Files.move(shared(), folder.resolve("away"));
        Studio again = studio("one");
        try (Sharing sharing = Sharing.of(again).orElseThrow()) {
            sharing.look();
            assertTrue(
                    sharing.last().trouble().contains("not there yet"),
                    sharing.last().trouble());
            note(again, "meanwhile");
            Files.move(folder.resolve("away"), shared());
            sharing.look();
            assertEquals("", sharing.last().trouble());
            assertEquals(1, sharing.last().given(), "the first time it can, it gives, with nobody asking for it");
        }
    }

    @Test
    void an_entry_that_came_by_two_chains_counts_once_in_what_was_known_then_too() {
        Two two = two();
        Draft move = new Draft(
                EventId.at(NOW.toEpochMilli(), random),
                Happened.exactly(NOW.toEpochMilli() - 1_000, ZoneOffset.UTC),
                null,
                ACTOR,
                new InkEvent.Moved(
                        new ThingId("can-1"),
                        MIX,
                        slabside.measure.Amount.net("grams", "12.5"),
                        slabside.event.Why.ADDED,
                        null));
        two.one.append(Decision.of(move));
        two.other.append(Decision.of(move));
        two.second.now();
        two.first.now();
        two.second.now();
        for (Studio each : List.of(two.one, two.other)) {
            each.views().catchUp();
            assertEquals(
                    1,
                    each.views()
                            .asKnown(NOW.toEpochMilli() + 1_000)
                            .of(MIX, List.of(slabside.views.Role.IN), slabside.views.StoryKey.LAST)
                            .size());
        }
    }

    @Test
    void a_photo_that_is_not_here_is_told_as_missing() throws IOException {
        Two two = two();
        LogEvent.Attached kept = two.one
                .attachments()
                .keep(MediaFile.of(png()), new LogEvent.Attached(null, MIX, "", 0, "image/png", "the slab"));
        write(two.one, kept);
        two.first.now();
        Files.delete(shared().resolve("attached").resolve(kept.sha256()));
        assertEquals(
                List.of("1 photo or memo that the log names"), two.second.now().missing());
        two.first.now();
        assertTrue(two.second.now().missing().isEmpty(), "it was given again");
    }

    private static byte[] png() {
        return java.util.Base64.getDecoder()
                .decode(
                        "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==");
    }

    @Test
    void many_small_pieces_become_one_and_nothing_is_missing_in_between() throws IOException {
        Two two = two();
        for (int i = 0; i < 60; i++) {
            note(two.one, "word " + i);
            two.first.now();
        }
        assertTrue(pieces().size() < 45, () -> {
            try {
                return pieces().toString();
            } catch (IOException failed) {
                throw new java.io.UncheckedIOException(failed);
            }
        });
        assertEquals(60, two.second.now().taken());
        assertTrue(two.second.last().isQuiet());
        assertEquals(0, two.first.now().given());
    }

    @Test
    void two_studios_that_have_nothing_in_common_become_one_only_when_that_is_said() {
        Studio one = studio("one");
        note(one, "here");
        Sharing.make(one, shared(), "the laptop");
        Studio other = studio("other");
        note(other, "there");
        BadInput refused = assertThrows(BadInput.class, () -> Sharing.join(other, shared(), "the tablet", false));
        assertTrue(refused.getMessage().contains("nothing in common"), refused.getMessage());
        Sharing.join(other, shared(), "the tablet", true);
        assertEquals(4, other.log().last());
    }

    @Test
    void folders_and_names_that_cannot_be_are_refused_with_the_reason() throws IOException {
        Studio one = studio("one");
        note(one, "here");
        assertEquals(
                "folder",
                assertThrows(
                                BadInput.class,
                                () -> Sharing.make(one, one.folder().resolve("in"), "a"))
                        .field());
        assertEquals(
                "name",
                assertThrows(BadInput.class, () -> Sharing.make(one, shared(), " "))
                        .field());
        Path full = Files.createDirectories(folder.resolve("full"));
        Files.writeString(full.resolve("letter.txt"), "dear");
        assertTrue(assertThrows(BadInput.class, () -> Sharing.make(one, full, "a"))
                .getMessage()
                .contains("not empty"));
        assertTrue(assertThrows(BadInput.class, () -> Sharing.join(one, full, "a", false))
                .getMessage()
                .contains("no studio is shared through it"));
        Sharing sharing = Sharing.make(one, shared(), "the laptop");
        Studio other = studio("other");
        assertEquals(
                "name",
                assertThrows(BadInput.class, () -> Sharing.join(other, shared(), "The Laptop", false))
                        .field());
        sharing.leave(false);
        assertTrue(Sharing.of(one).isEmpty());
        Sharing joined = Sharing.join(other, shared(), "the laptop", false);
        assertTrue(
                joined.last().machines().toString().contains("the laptop, which left"),
                joined.last().machines().toString());
    }

    @Test
    void a_folder_that_is_away_is_said_and_the_exchange_goes_on_when_it_is_back() throws IOException {
        Two two = two();
        Files.move(shared(), folder.resolve("away"));
        note(two.one, "meanwhile");
        assertTrue(
                two.first.now().trouble().contains("not there yet"),
                two.first.last().trouble());
        Files.move(folder.resolve("away"), shared());
        assertEquals("", two.first.now().trouble());
        assertEquals(1, two.first.last().given());
    }
}
