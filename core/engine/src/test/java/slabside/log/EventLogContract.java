package slabside.log;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.SQLException;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.CountDownLatch;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.InkEvent;
import slabside.event.LogEvent;
import slabside.event.ThingId;
import slabside.measure.BadInput;
import slabside.studio.WholeFolder;

/** What every log must do, whatever database it stands in. */
abstract class EventLogContract {
    @TempDir
    Path folder;

    final Random random = new Random(1);

    /** Opens the log that the test is about. */
    abstract SqlEventLog open();

    /** The same log, as another machine opens it that has not seen it before. */
    abstract SqlEventLog openElsewhere();

    abstract SqlEventLog openToRead();

    /** Another log, always the same. */
    abstract SqlEventLog another(Random random);

    /** Says something to the database behind the log's back. */
    abstract void sql(String... statements) throws SQLException;

    /** Takes the seat belt off, as somebody who wants to forge would. */
    abstract String[] noTriggers();

    /** Statements that change what stands. */
    abstract List<String> changes();

    /** Bytes in the words of the database. */
    abstract String bytes(String hex);

    /** What is put together from bytes, as bytes again. */
    abstract String asBytes(String together);

    /** The character that comes so many places behind another. */
    abstract String character(String of, int further);

    @Test
    void append_then_read_is_identity() {
        try (EventLog log = open()) {
            Draft draft = Samples.draft(random, Samples.named(1));
            Receipt receipt = log.append(Decision.of(draft));
            Stored read = log.find(draft.id()).orElseThrow();
            assertEquals(draft.event(), read.event());
            assertEquals(receipt.stored().get(0), read);
            assertEquals(draft.happened(), read.envelope().happened());
            assertEquals(List.of(new ThingId("mix-1")), read.envelope().about());
        }
    }

    @Test
    void the_first_event_of_a_chain_says_that_it_begins_and_numbers_have_no_gaps() {
        try (EventLog log = open()) {
            log.append(Decision.of(Samples.drafts(random, 5)));
            List<Stored> all = log.read(0, 100);
            assertTrue(all.get(0).event() instanceof LogEvent.EpochBegun);
            for (int i = 0; i < all.size(); i++) {
                assertEquals(i + 1, all.get(i).envelope().oseq());
                assertEquals(i + 1, all.get(i).pos());
            }
        }
    }

    @Test
    void the_same_event_sent_again_adds_nothing_and_names_the_first_position() {
        try (EventLog log = open()) {
            Draft draft = Samples.draft(
                    random,
                    new InkEvent.Moved(
                            new ThingId("can-1"),
                            new ThingId("mix-1"),
                            slabside.measure.Amount.net("amount", "12.5"),
                            slabside.event.Why.ADDED,
                            null));
            long first = log.append(Decision.of(draft)).pos();
            long last = log.last();
            assertEquals(first, log.append(Decision.of(draft)).pos());
            assertEquals(last, log.last());
        }
    }

    @Test
    void an_id_used_for_something_else_is_refused_and_nothing_of_its_decision_is_recorded() {
        try (EventLog log = open()) {
            Draft draft = Samples.draft(random, Samples.named(1));
            log.append(Decision.of(draft));
            long last = log.last();
            Draft other = new Draft(draft.id(), draft.happened(), null, draft.actor(), Samples.named(2));
            BadInput refused = assertThrows(
                    BadInput.class,
                    () -> log.append(Decision.of(List.of(Samples.draft(random, Samples.named(3)), other))));
            assertTrue(refused.getMessage().contains(draft.id().text()), refused.getMessage());
            assertEquals(last, log.last());
        }
    }

    @Test
    void a_refused_decision_does_not_disturb_those_committed_with_it() throws InterruptedException {
        try (EventLog log = open()) {
            CountDownLatch done = new CountDownLatch(40);
            List<Throwable> refused = new ArrayList<>();
            for (int i = 0; i < 40; i++) {
                int number = i;
                Draft draft = Samples.draft(random, Samples.named(i));
                new Thread(() -> {
                            try {
                                log.append(state -> {
                                    if (number % 4 == 0) {
                                        throw new BadInput("number", number, "no fours");
                                    }
                                    return List.of(draft);
                                });
                            } catch (BadInput no) {
                                synchronized (refused) {
                                    refused.add(no);
                                }
                            } finally {
                                done.countDown();
                            }
                        })
                        .start();
            }
            done.await();
            assertEquals(10, refused.size());
            assertEquals(31, log.last());
            assertTrue(((SqlEventLog) log).verify().wrong().isEmpty());
        }
    }

    @Test
    void an_event_of_the_future_is_refused() {
        try (EventLog log = open()) {
            long ahead = Samples.NOW.toEpochMilli() + 3_600_000;
            Draft draft = new Draft(
                    EventId.at(ahead, random),
                    Happened.exactly(ahead, ZoneOffset.UTC),
                    null,
                    Samples.ACTOR,
                    Samples.named(1));
            BadInput refused = assertThrows(BadInput.class, () -> log.append(Decision.of(draft)));
            assertEquals("happened", refused.field());
            assertEquals(0, log.last());
        }
    }

    @Test
    void a_field_of_ten_megabytes_is_refused_by_its_name() {
        try (EventLog log = open()) {
            Draft draft = Samples.draft(random, new InkEvent.Named(new ThingId("mix-1"), "x".repeat(10_000_000)));
            BadInput refused = assertThrows(BadInput.class, () -> log.append(Decision.of(draft)));
            assertEquals("name", refused.field());
            assertTrue(refused.getMessage().length() < 300, "the message does not repeat the field");
            assertEquals(0, log.last());
        }
    }

    @Test
    void the_log_can_be_read_beside_its_writer() {
        try (SqlEventLog log = open();
                SqlEventLog reader = openToRead()) {
            log.append(Decision.of(Samples.drafts(random, 3)));
            assertEquals(4, reader.read(0, 100).size());
            assertThrows(LogTrouble.class, () -> reader.append(Decision.of(Samples.draft(random, Samples.named(9)))));
        }
    }

    @Test
    void rows_cannot_be_changed_removed_or_replaced() {
        try (EventLog log = open()) {
            log.append(Decision.of(Samples.drafts(random, 3)));
        }
        for (String statement : changes()) {
            SQLException refused = assertThrows(SQLException.class, () -> sql(statement), statement);
            assertTrue(refused.getMessage().contains("append-only"), refused.getMessage());
        }
    }

    void tenEvents() {
        try (EventLog log = open()) {
            log.append(Decision.of(Samples.drafts(random, 9)));
        }
    }

    Verification verified() {
        try (SqlEventLog log = openToRead()) {
            return log.verify();
        }
    }

    @Test
    void an_untouched_log_verifies() {
        tenEvents();
        assertEquals(10, verified().events());
        assertTrue(verified().wrong().isEmpty());
    }

    private String turned(int at, int further) {
        return "substr(line, 1, " + (at - 1) + ") || " + character("substr(line, " + at + ", 1)", further)
                + " || substr(line, " + (at + 1) + ")";
    }

    @Test
    void every_byte_of_a_line_and_of_a_hash_counts() throws SQLException {
        tenEvents();
        sql(noTriggers());
        int length;
        try (SqlEventLog log = openToRead()) {
            length = log.at(6).orElseThrow().line().length();
        }
        for (int at = 1; at <= length; at++) {
            sql("UPDATE event SET line = " + turned(at, 1) + " WHERE pos = 6");
            assertEquals(6, verified().wrong().orElseThrow().pos(), "byte " + at);
            sql("UPDATE event SET line = " + turned(at, -1) + " WHERE pos = 6");
        }
        assertTrue(verified().wrong().isEmpty(), "all put back");
        for (int at = 1; at <= 32; at++) {
            sql(
                    "CREATE TABLE kept AS SELECT hash FROM event WHERE pos = 6",
                    "UPDATE event SET hash = "
                            + asBytes("substr(hash, 1, " + (at - 1) + ") || " + bytes("5A") + " || substr(hash, "
                                    + (at + 1) + ")")
                            + " WHERE pos = 6 AND substr(hash, " + at + ", 1) <> " + bytes("5A"));
            long wrong = verified().wrong().map(Verification.Wrong::pos).orElse(6L);
            assertEquals(6, wrong, "byte " + at + " of the hash");
            sql("UPDATE event SET hash = (SELECT hash FROM kept) WHERE pos = 6", "DROP TABLE kept");
        }
    }

    @ParameterizedTest
    @ValueSource(strings = {"id = 'a' || substr(id, 2)", "origin = '0000000000000000'", "oseq = 77"})
    void a_column_that_says_something_else_than_its_line_is_found(String change) throws SQLException {
        tenEvents();
        sql(noTriggers());
        sql("UPDATE event SET " + change + " WHERE pos = 6");
        assertEquals(6, verified().wrong().orElseThrow().pos());
    }

    @Test
    void a_removed_row_is_found() throws SQLException {
        tenEvents();
        sql(noTriggers());
        sql("DELETE FROM event WHERE pos = 6");
        Verification.Wrong wrong = verified().wrong().orElseThrow();
        assertEquals(7, wrong.pos());
        assertTrue(wrong.what().contains("events 6 to 6 are missing"), wrong.what());
    }

    @Test
    void a_removed_row_is_found_even_when_positions_are_closed_up() throws SQLException {
        tenEvents();
        sql(noTriggers());
        sql("DELETE FROM event WHERE pos = 6", "UPDATE event SET pos = pos - 1 WHERE pos > 6");
        assertEquals(6, verified().wrong().orElseThrow().pos());
    }

    @Test
    void a_replaced_row_is_found_at_the_row_that_no_longer_follows() throws SQLException {
        tenEvents();
        sql(noTriggers());
        Stored sixth;
        Stored fifth;
        try (SqlEventLog log = openToRead()) {
            fifth = log.at(5).orElseThrow();
            sixth = log.at(6).orElseThrow();
        }
        String forged = sixth.line().replace("mix number", "mix  forged");
        byte[] hash = new Chain()
                .hash(Chain.HEX.parseHex(fifth.hash()), forged.getBytes(java.nio.charset.StandardCharsets.UTF_8));
        sql("UPDATE event SET line = '" + forged + "', hash = " + bytes(Chain.HEX.formatHex(hash)) + " WHERE pos = 6");
        assertEquals(7, verified().wrong().orElseThrow().pos());
    }

    @Test
    void reordered_rows_of_one_chain_are_found() throws SQLException {
        tenEvents();
        sql(noTriggers());
        sql(
                "UPDATE event SET pos = 600 WHERE pos = 6",
                "UPDATE event SET pos = 6 WHERE pos = 7",
                "UPDATE event SET pos = 7 WHERE pos = 600",
                "UPDATE event SET oseq = oseq + 1000 WHERE pos = 6");
        assertEquals(6, verified().wrong().orElseThrow().pos());
    }

    @Test
    void a_log_from_another_machine_is_said_to_be_new_here_and_its_chain_is_not_written_on() {
        tenEvents();
        try (SqlEventLog log = openElsewhere()) {
            assertEquals(1, log.notices().size());
            assertEquals(1, log.heads().size(), "opening writes nothing");
            assertTrue(log.cut().isEmpty());
        }
        try (SqlEventLog log = openElsewhere()) {
            assertTrue(log.notices().isEmpty(), "said once");
            log.append(Decision.of(Samples.draft(random, Samples.named(78))));
            assertEquals(2, log.heads().size());
        }
    }

    @Test
    void export_and_import_into_an_empty_log_give_the_same_bytes() throws IOException {
        tenEvents();
        byte[] exported;
        try (EventLog log = open()) {
            exported = exported(log);
        }
        Path copied = folder.resolve("exported.jsonl");
        Files.write(copied, exported);
        try (SqlEventLog other = another(new Random(2))) {
            assertEquals(10, Transfer.adopt(other, copied));
            assertEquals(0, Transfer.adopt(other, copied), "again adds nothing");
            assertArrayEquals(exported, exported(other));
            assertTrue(other.verify().wrong().isEmpty());
            other.append(Decision.of(Samples.draft(random, Samples.named(1))));
            assertEquals(2, other.heads().size(), "its own events go to a chain of its own");
        }
        try (SqlEventLog other = another(new Random(3))) {
            long oseq = other.heads().stream().mapToLong(Head::oseq).min().orElseThrow();
            other.append(Decision.of(Samples.draft(random, Samples.named(2))));
            assertEquals(2, other.heads().size(), "after reopening it goes on with its own chain");
            assertEquals(
                    oseq + 1, other.heads().stream().mapToLong(Head::oseq).min().orElseThrow());
        }
    }

    @Test
    void chains_are_named_alike_wherever_they_came_in_first_also_one_that_parted() throws IOException {
        List<Path> machines = new ArrayList<>();
        for (int seed = 10; seed < 14; seed++) {
            machines.add(machine(seed, folder.resolve("machine" + seed)));
        }
        // A disk put back as it was: the same chain goes on in another way, and ends at the same length.
        Path parted = folder.resolve("parted");
        machine(14, parted);
        Path before = folder.resolve("before");
        copy(parted, before);
        machines.add(machine(15, parted));
        WholeFolder.delete(parted);
        copy(before, parted);
        machines.add(machine(16, parted));
        try (SqlEventLog forward = open();
                SqlEventLog backward = another(new Random(2))) {
            for (int i = 0; i < machines.size(); i++) {
                Transfer.adopt(forward, machines.get(i));
                Transfer.adopt(backward, machines.get(machines.size() - 1 - i));
            }
            assertEquals(5, forward.verify().heads().size());
            assertEquals(2, forward.forks().size(), "two branches of one chain");
            assertEquals(forward.verify().heads(), backward.verify().heads());
        }
    }

    /** Writes one event on a machine, and exports all it has. */
    private Path machine(int seed, Path data) throws IOException {
        try (SqlEventLog log = SqlEventLog.open(data, data.resolve("config"), Samples.CLOCK, new Random(seed))) {
            log.append(Decision.of(Samples.draft(new Random(seed), Samples.named(seed))));
            return Files.write(folder.resolve("exported" + seed + ".jsonl"), exported(log));
        }
    }

    private static void copy(Path from, Path to) throws IOException {
        try (Stream<Path> all = Files.walk(from)) {
            for (Path each : all.toList()) {
                Files.copy(each, to.resolve(from.relativize(each)));
            }
        }
    }

    @Test
    void of_several_events_those_that_are_there_already_keep_their_places() throws IOException {
        List<Draft> three = Samples.drafts(random, 3);
        Draft other = Samples.draft(random, Samples.named(70));
        try (SqlEventLog log = open()) {
            long there = log.append(Decision.of(three.get(1))).pos();
            List<Stored> stored = log.append(Decision.of(three)).stored();
            assertEquals(List.of(there + 1, there, there + 2), positions(stored));
            List<Stored> twice =
                    log.append(Decision.of(List.of(other, three.get(0), other))).stored();
            assertEquals(List.of(there + 3, there + 1, there + 3), positions(twice));
        }
    }

    @Test
    void of_several_events_one_that_came_by_two_chains_is_there_already() throws IOException {
        Draft both = Samples.draft(new Random(20), Samples.named(20));
        try (SqlEventLog log = open()) {
            for (int machine = 1; machine <= 2; machine++) {
                Path data = folder.resolve("machine" + machine);
                try (SqlEventLog one =
                        SqlEventLog.open(data, data.resolve("config"), Samples.CLOCK, new Random(machine))) {
                    one.append(Decision.of(both));
                    Transfer.adopt(log, Files.write(data.resolve("exported.jsonl"), exported(one)));
                }
            }
            assertEquals(Set.of(both.id()), log.twice());
            long last = log.last();
            List<Stored> stored = log.append(Decision.of(List.of(both, Samples.draft(random, Samples.named(21)))))
                    .stored();
            assertEquals(log.find(both.id()).orElseThrow().pos(), stored.get(0).pos());
            assertEquals(last + 2, log.last(), "the beginning of its own chain, and one event");
        }
    }

    private static List<Long> positions(List<Stored> stored) {
        return stored.stream().map(Stored::pos).toList();
    }

    @Test
    void where_the_machine_fails_in_the_middle_nothing_is_half_done_nobody_waits_and_no_more_is_taken()
            throws InterruptedException {
        try (SqlEventLog log = open()) {
            log.append(Decision.of(Samples.draft(random, Samples.named(1))));
            CountDownLatch inside = new CountDownLatch(1);
            CountDownLatch goOn = new CountDownLatch(1);
            List<Throwable> seen = new CopyOnWriteArrayList<>();
            Thread dying = new Thread(() -> log.append(state -> {
                inside.countDown();
                waitFor(goOn);
                throw new StackOverflowError("made up");
            }));
            dying.setUncaughtExceptionHandler((thread, why) -> seen.add(why));
            dying.start();
            waitFor(inside);
            Draft draft = Samples.draft(random, Samples.named(2));
            Thread behind = new Thread(() -> log.append(Decision.of(draft)));
            behind.setUncaughtExceptionHandler((thread, why) -> seen.add(why));
            behind.start();
            while (behind.getState() != Thread.State.WAITING) {
                Thread.onSpinWait();
            }
            goOn.countDown();
            dying.join();
            behind.join();
            assertEquals(1, seen.size(), seen::toString);
            assertTrue(seen.get(0) instanceof StackOverflowError, seen::toString);
            assertTrue(log.find(draft.id()).isPresent(), "who waited behind it is written");
            LogTrouble refused = assertThrows(
                    LogTrouble.class, () -> log.append(Decision.of(Samples.draft(random, Samples.named(3)))));
            assertTrue(refused.getMessage().contains("Start the program again"), refused::getMessage);
        }
        assertEquals(3, verified().events());
        assertTrue(verified().wrong().isEmpty());
    }

    private static void waitFor(CountDownLatch latch) {
        try {
            latch.await();
        } catch (InterruptedException asked) {
            throw new IllegalStateException(asked);
        }
    }

    static byte[] exported(EventLog log) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        Transfer.export(log, out);
        return out.toByteArray();
    }

    @Test
    void a_changed_line_in_an_exported_file_is_refused_by_its_number_and_nothing_is_imported() throws IOException {
        tenEvents();
        byte[] exported;
        try (EventLog log = open()) {
            exported = exported(log);
        }
        String text =
                new String(exported, java.nio.charset.StandardCharsets.UTF_8).replace("mix number 4", "mix number 5");
        Path changed = folder.resolve("changed.jsonl");
        Files.writeString(changed, text);
        try (EventLog other = another(new Random(2))) {
            BadInput refused = assertThrows(BadInput.class, () -> Transfer.adopt(other, changed));
            assertEquals("line 6", refused.field());
            assertEquals(0, other.last());
        }
    }

    @Test
    void unknown_events_are_stored_exported_and_come_back_as_they_were() {
        try (EventLog log = open()) {
            var unknown = new slabside.event.UnknownEvent("guild.toasted", 3, "{\"with\":\"tea\",\"cups\":4}");
            Draft draft = Samples.draft(random, unknown);
            log.append(Decision.of(draft));
            assertEquals(unknown, log.find(draft.id()).orElseThrow().event());
        }
    }

    @Test
    void a_log_that_is_being_written_verifies_all_the_while() throws InterruptedException {
        try (SqlEventLog log = open()) {
            Thread writer = new Thread(() -> {
                for (int i = 0; i < 150; i++) {
                    log.append(Decision.of(Samples.drafts(random, 3)));
                }
            });
            writer.start();
            int times = 0;
            while (writer.isAlive()) {
                assertTrue(
                        log.verify().wrong().isEmpty(),
                        () -> log.verify().wrong().toString());
                times++;
            }
            assertTrue(times > 1, "verified " + times + " times beside the writer");
        }
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "{\"origin\":\"../../escape\",\"oseq\":1,\"id\":\"018f0000-0000-7000-8000-000000000001\",",
                "{ \"origin\":\"0123456789abcdef\",\"oseq\":1,\"id\":\"018f0000-0000-7000-8000-000000000001\",",
                "{\"oseq\":1,\"origin\":\"0123456789abcdef\",\"id\":\"018f0000-0000-7000-8000-000000000001\","
            })
    void lines_that_hash_rightly_but_are_not_written_as_a_log_writes_them_are_not_taken(String beginning) {
        String line = beginning
                + "\"happened\":{\"precision\":\"unknown\",\"zone\":\"UTC\"},\"recorded\":1,\"hlc\":[1,0],"
                + "\"actor\":{\"person\":\"p\",\"device\":\"d\"},\"type\":\"x.y\",\"version\":1,\"about\":[],\"body\":{}}";
        String hash = Chain.HEX.formatHex(
                new Chain().hash(Chain.BEGINNING, line.getBytes(java.nio.charset.StandardCharsets.UTF_8)));
        try (EventLog log = open()) {
            assertThrows(BadInput.class, () -> log.adopt(List.of(new ForeignLine(1, hash, line))));
            assertEquals(0, log.last());
        }
    }
}
