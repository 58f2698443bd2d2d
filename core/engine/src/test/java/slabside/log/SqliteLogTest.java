package slabside.log;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import slabside.event.LogEvent;

/** A log in a file of SQLite. */
class SqliteLogTest extends EventLogContract {
    @Override
    SqlEventLog open() {
        return SqlEventLog.open(folder.resolve("data"), folder.resolve("config"), Samples.CLOCK, random);
    }

    @Override
    SqlEventLog openElsewhere() {
        return SqlEventLog.open(folder.resolve("data"), folder.resolve("other-config"), Samples.CLOCK, random);
    }

    @Override
    SqlEventLog openToRead() {
        return SqlEventLog.openToRead(folder.resolve("data"), folder.resolve("config"), Samples.CLOCK);
    }

    @Override
    SqlEventLog another(Random chance) {
        return SqlEventLog.open(folder.resolve("b"), folder.resolve("config-b"), Samples.CLOCK, chance);
    }

    private Path file() {
        return folder.resolve("data").resolve("studio.db");
    }

    @Override
    void sql(String... statements) throws SQLException {
        try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file());
                Statement statement = connection.createStatement()) {
            for (String each : statements) {
                statement.executeUpdate(each);
            }
        }
    }

    @Override
    String[] noTriggers() {
        return new String[] {
            "DROP TRIGGER event_no_update", "DROP TRIGGER event_no_delete", "DROP TRIGGER event_no_replace"
        };
    }

    @Override
    List<String> changes() {
        return List.of(
                "UPDATE event SET line = 'x' WHERE pos = 2",
                "DELETE FROM event WHERE pos = 2",
                "INSERT OR REPLACE INTO event SELECT pos, origin, oseq, id, line || ' ', hash, 0 FROM event WHERE pos = 2",
                "INSERT OR REPLACE INTO event SELECT pos + 100, origin, oseq, id, line, zeroblob(32), 0 FROM event WHERE pos = 2");
    }

    @Override
    String bytes(String hex) {
        return "x'" + hex + "'";
    }

    @Override
    String asBytes(String together) {
        return "CAST(" + together + " AS BLOB)";
    }

    @Override
    String character(String of, int further) {
        return "char(unicode(" + of + ") + " + further + ")";
    }

    @Test
    void a_second_process_cannot_write_and_is_told_who_does() {
        try (SqlEventLog log = open()) {
            log.announce("the pages at http://127.0.0.1:4173");
            LogTrouble refused = assertThrows(LogTrouble.class, this::open);
            assertTrue(refused.getMessage().contains("http://127.0.0.1:4173"), refused.getMessage());
        }
    }

    @Test
    void a_cut_tail_is_found_by_the_file_itself() throws SQLException {
        tenEvents();
        sql(noTriggers());
        sql("DELETE FROM event WHERE pos > 7");
        assertTrue(verified().wrong().orElseThrow().what().contains("its end was cut off"));
    }

    @Test
    void an_old_copy_put_back_is_found_by_what_this_machine_remembers_and_a_new_chain_begins() throws IOException {
        tenEvents();
        Path copy = folder.resolve("copy.db");
        Files.copy(file(), copy);
        try (EventLog log = open()) {
            log.append(Decision.of(Samples.drafts(random, 3)));
        }
        for (String ending : List.of("", "-wal", "-shm")) {
            Files.deleteIfExists(Path.of(file() + ending));
        }
        Files.copy(copy, file());
        try (SqlEventLog log = open()) {
            assertEquals(1, log.cut().size());
            assertTrue(
                    log.notices().toString().contains("old copy was put back"),
                    log.notices().toString());
            assertEquals(10, log.last(), "opening writes nothing");
            log.append(Decision.of(Samples.draft(random, Samples.named(77))));
            assertTrue(log.at(11).orElseThrow().event() instanceof LogEvent.EpochBegun);
            assertEquals(1, log.at(11).orElseThrow().envelope().oseq());
            assertNotEquals(
                    log.at(10).orElseThrow().envelope().origin(),
                    log.at(11).orElseThrow().envelope().origin());
            assertTrue(log.verify().wrong().isEmpty(), "what is there is whole");
        }
        try (SqlEventLog log = open()) {
            assertTrue(log.cut().isEmpty(), "said until a new chain has begun, and then no more as a warning");
            assertEquals(
                    List.of("Events 11 to 13 of the chain "
                            + log.at(1).orElseThrow().envelope().origin() + " were once here and are not any more"),
                    log.gone(),
                    "but never forgotten");
            assertEquals(2, log.heads().size());
            log.append(Decision.of(Samples.draft(random, Samples.named(79))));
            assertEquals(2, log.heads().size(), "the new chain goes on");
        }
    }

    @Test
    void both_branches_of_a_fork_can_stand() throws IOException {
        tenEvents();
        Path branch = folder.resolve("branch");
        Files.createDirectories(branch.resolve("data"));
        Files.copy(file(), branch.resolve("data").resolve("studio.db"));
        Path config = folder.resolve("config").resolve("heads");
        String head = Files.readString(Files.list(config).findFirst().orElseThrow());
        // The copy is made to believe that it is the same installation, as a restored machine would.
        Path otherHeads = Files.createDirectories(branch.resolve("config").resolve("heads"));
        Files.writeString(
                otherHeads.resolve(Files.list(config).findFirst().orElseThrow().getFileName()),
                head.replace(
                        folder.resolve("data").toString(),
                        branch.resolve("data").toString()));
        byte[] theirs;
        try (SqlEventLog other =
                SqlEventLog.open(branch.resolve("data"), branch.resolve("config"), Samples.CLOCK, random)) {
            other.append(Decision.of(Samples.draft(random, Samples.named(100))));
            theirs = exported(other);
        }
        Path file = folder.resolve("theirs.jsonl");
        Files.write(file, theirs);
        try (SqlEventLog log = open()) {
            log.append(Decision.of(Samples.draft(random, Samples.named(200))));
            assertEquals(1, Transfer.adopt(log, file));
            assertTrue(
                    log.verify().wrong().isEmpty(), () -> log.verify().wrong().toString());
            assertEquals(2, log.heads().size());
            List<Stored> both = log.chain(log.forks().get(0).origin(), 1, Long.MAX_VALUE);
            Stored last = both.get(both.size() - 1);
            List<Stored> one = both.stream()
                    .filter(line -> line.envelope().oseq() < last.envelope().oseq() || line.equals(last))
                    .toList();
            assertEquals(both.size() - 1, one.size());
            assertNotEquals(
                    Segment.of(both, "device").fileName(),
                    Segment.of(one, "device").fileName(),
                    "a piece with both branches is never written over by one of a single branch");
        }
    }

    @Test
    void a_network_drive_and_an_old_library_are_refused_with_the_remedy() {
        LogTrouble drive = assertThrows(LogTrouble.class, () -> SqliteFile.refuseNetworkDrive(Path.of("/x"), "NFS4"));
        assertTrue(drive.getMessage().contains("--data"), drive.getMessage());
        SqliteFile.refuseNetworkDrive(Path.of("/x"), "ext4");
        assertThrows(LogTrouble.class, () -> SqliteFile.refuseOldSqlite("3.51.2"));
        assertThrows(LogTrouble.class, () -> SqliteFile.refuseOldSqlite("3.9.9"));
        SqliteFile.refuseOldSqlite("3.51.3");
        SqliteFile.refuseOldSqlite("4.0");
    }

    @Test
    void a_file_that_is_no_database_is_named_and_left_alone() throws IOException {
        Files.createDirectories(folder.resolve("data"));
        byte[] garbage = "this is not a database, but somebody's letter, long enough to have a header"
                .getBytes(java.nio.charset.StandardCharsets.UTF_8);
        Files.write(file(), garbage);
        LogTrouble refused = assertThrows(LogTrouble.class, this::open);
        assertTrue(refused.getMessage().contains("studio.db"), refused.getMessage());
        assertArrayEquals(garbage, Files.readAllBytes(file()));
        assertFalse(Files.exists(Path.of(file() + "-wal")));
    }

    @Test
    void a_newer_log_opens_for_reading_only() throws SQLException {
        tenEvents();
        sql(
                "INSERT INTO flyway_schema_history (installed_rank, version, description, type, script, installed_by, execution_time, success)"
                        + " VALUES (99, '99', 'of the future', 'SQL', 'V99.sql', 'x', 1, 1)");
        try (SqlEventLog log = open()) {
            assertTrue(log.isReadOnly());
            assertEquals(10, log.read(0, 100).size());
            LogTrouble refused = assertThrows(
                    LogTrouble.class, () -> log.append(Decision.of(Samples.draft(random, Samples.named(1)))));
            assertTrue(refused.getMessage().contains("newer version"), refused.getMessage());
        }
    }
}
