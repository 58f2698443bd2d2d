package slabside.log;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** A log written by every earlier form of the file, kept as it was, opens, says the same, and goes on. */
class EarlierFormsTest {
    @TempDir
    Path folder;

    private Path put(int form) throws IOException {
        Path data = Files.createDirectories(folder.resolve("data"));
        Files.copy(kept("studio-schema-" + form + ".db"), data.resolve("studio.db"));
        return data;
    }

    private static InputStream kept(String name) {
        return EarlierFormsTest.class.getResourceAsStream("/slabside/log/" + name);
    }

    private SqlEventLog open(Path data) {
        return SqlEventLog.open(data, folder.resolve("config"), Samples.CLOCK, new Random(3));
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 2})
    void says_the_same_and_goes_on(int form) throws IOException {
        Path data = put(form);
        try (SqlEventLog log = open(data)) {
            ByteArrayOutputStream now = new ByteArrayOutputStream();
            Transfer.export(log, now);
            try (InputStream then = kept("studio-schema-" + form + ".jsonl")) {
                assertArrayEquals(then.readAllBytes(), now.toByteArray());
            }
            assertTrue(
                    log.verify().wrong().isEmpty(), () -> log.verify().wrong().toString());
            log.append(Decision.of(Samples.drafts(new Random(4), 3)));
            assertEquals(
                    14 + 4, log.last(), "a new chain with its first event, since this machine does not know the log");
        }
        try (SqlEventLog log = open(data)) {
            assertTrue(log.verify().wrong().isEmpty());
        }
    }

    @Test
    void a_copy_is_kept_of_the_file_as_it_was() throws IOException, SQLException {
        Path data = put(1);
        open(data).close();
        try (Connection copy = DriverManager.getConnection("jdbc:sqlite:" + data.resolve("studio.db.before-form-2"));
                Statement ask = copy.createStatement();
                var rows = ask.executeQuery("SELECT count(*) FROM event")) {
            assertTrue(rows.next());
            assertEquals(14, rows.getInt(1));
        }
    }

    @Test
    void a_cut_end_is_still_found_after_the_file_was_brought_to_a_newer_form() throws IOException, SQLException {
        Path data = put(1);
        try (Connection raw = DriverManager.getConnection("jdbc:sqlite:" + data.resolve("studio.db"));
                Statement cut = raw.createStatement()) {
            cut.executeUpdate("DROP TRIGGER event_no_delete");
            cut.executeUpdate("DELETE FROM event WHERE pos > 12");
            cut.executeUpdate(
                    "CREATE TRIGGER event_no_delete BEFORE DELETE ON event BEGIN SELECT RAISE(ABORT, 'append-only'); END");
        }
        try (SqlEventLog log = open(data)) {
            assertFalse(log.verify().wrong().isEmpty());
        }
    }
}
