package slabside.log;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Random;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A disk that is full, and one that may not be written: said in plain words, and the log is as it was. Needs root to mount. */
class FullDiskTest {
    @TempDir
    Path folder;

    private Path disk;
    private boolean mounted;
    private final Random random = new Random(5);

    private static boolean ran(String... command) {
        try {
            return new ProcessBuilder(command)
                            .redirectErrorStream(true)
                            .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                            .start()
                            .waitFor()
                    == 0;
        } catch (IOException | InterruptedException failed) {
            return false;
        }
    }

    @BeforeEach
    void mount() throws IOException {
        disk = Files.createDirectories(folder.resolve("small"));
        mounted = ran("mount", "-t", "tmpfs", "-o", "size=600k", "tmpfs", disk.toString());
        assumeTrue(mounted, "a small disk cannot be mounted by this user; the full-disk test is skipped");
    }

    @AfterEach
    void unmount() {
        if (mounted) {
            assertTrue(ran("umount", disk.toString()));
        }
    }

    private SqlEventLog open() {
        return SqlEventLog.open(disk.resolve("data"), folder.resolve("config"), Samples.CLOCK, random);
    }

    @Test
    void a_full_disk_is_named_and_nothing_of_what_was_acknowledged_is_lost() throws IOException {
        long last;
        try (SqlEventLog log = open()) {
            LogTrouble full = assertThrows(LogTrouble.class, () -> {
                for (int i = 0; i < 10_000; i++) {
                    log.append(Decision.of(Samples.drafts(random, 20)));
                }
            });
            assertTrue(
                    full.getMessage().contains("is full") || full.getMessage().contains("Free some space"),
                    full.getMessage());
            last = log.last();
            assertTrue(last > 20);
        }
        ran("mount", "-o", "remount,size=4m", disk.toString());
        try (SqlEventLog log = open()) {
            assertEquals(last, log.last());
            assertTrue(
                    log.verify().wrong().isEmpty(), () -> log.verify().wrong().toString());
            log.append(Decision.of(Samples.drafts(random, 20)));
            assertEquals(last + 20, log.last(), "once there is room it goes on");
        }
    }

    @Test
    void a_disk_that_may_not_be_written_is_read_and_not_written() {
        try (SqlEventLog log = open()) {
            log.append(Decision.of(Samples.drafts(random, 3)));
        }
        assertTrue(ran("mount", "-o", "remount,ro", disk.toString()));
        LogTrouble refused = assertThrows(LogTrouble.class, this::open);
        assertTrue(
                refused.getMessage().contains("cannot be used")
                        && refused.getMessage().contains("--data"),
                refused.getMessage());
        try (SqlEventLog log = SqlEventLog.openToRead(disk.resolve("data"), folder.resolve("config"), Samples.CLOCK)) {
            assertEquals(4, log.read(0, 100).size());
            assertTrue(log.verify().wrong().isEmpty());
        }
    }

    @Test
    void once_there_is_room_the_open_log_goes_on_and_what_was_refused_is_not_there() {
        try (SqlEventLog log = open()) {
            java.util.List<Draft> refused = Samples.drafts(random, 20);
            boolean full = false;
            while (!full) {
                refused = Samples.drafts(random, 20);
                try {
                    log.append(Decision.of(refused));
                } catch (LogTrouble said) {
                    full = true;
                }
            }
            long last = log.last();
            assertTrue(ran("mount", "-o", "remount,size=4m", disk.toString()));
            for (Draft draft : refused) {
                assertTrue(log.find(draft.id()).isEmpty(), "refused, but there");
            }
            log.append(Decision.of(refused));
            log.append(Decision.of(Samples.drafts(random, 5)));
            assertEquals(last + 25, log.last());
            assertTrue(
                    log.verify().wrong().isEmpty(), () -> log.verify().wrong().toString());
        }
    }
}
