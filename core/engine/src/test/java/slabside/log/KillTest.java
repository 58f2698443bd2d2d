package slabside.log;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.event.EventId;

/** The writing process is killed at random moments: nothing acknowledged is lost, nothing stands twice. */
class KillTest {
    private static final int KILLS = Integer.getInteger("slabside.kills", 20);

    @TempDir
    Path folder;

    @Test
    void nothing_acknowledged_is_lost_and_nothing_stands_twice() throws IOException, InterruptedException {
        Random random = new Random(9);
        List<String> acknowledged = new ArrayList<>();
        for (int i = 0; i < KILLS; i++) {
            acknowledged.addAll(appendUntilKilled(random.nextInt(400)));
        }
        try (SqliteEventLog log =
                SqliteEventLog.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC(), random)) {
            assertTrue(
                    log.verify().wrong().isEmpty(), () -> log.verify().wrong().toString());
            assertTrue(log.cut().isEmpty(), () -> log.cut().toString());
            for (String id : acknowledged) {
                assertTrue(log.find(new EventId(id)).isPresent(), "acknowledged, but not there: " + id);
            }
            Set<String> ids = new HashSet<>();
            log.read(0, Integer.MAX_VALUE)
                    .forEach(s -> ids.add(s.envelope().id().text()));
            assertEquals(log.last(), ids.size());
            assertEquals(1, log.heads().size(), "the same chain goes on after every kill");
        }
        assertTrue(acknowledged.size() > KILLS, "too few were acknowledged to mean anything: " + acknowledged.size());
    }

    private List<String> appendUntilKilled(int millis) throws IOException, InterruptedException {
        Process process = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-cp",
                        System.getProperty("java.class.path"),
                        Appender.class.getName(),
                        folder.resolve("data").toString(),
                        folder.resolve("config").toString())
                .redirectError(ProcessBuilder.Redirect.INHERIT)
                .start();
        List<String> said = new ArrayList<>();
        try (BufferedReader reader =
                new BufferedReader(new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8))) {
            said.add(reader.readLine());
            Thread killer = new Thread(() -> {
                try {
                    Thread.sleep(millis);
                } catch (InterruptedException asked) {
                    Thread.currentThread().interrupt();
                }
                process.destroyForcibly();
            });
            killer.start();
            for (String line = reader.readLine(); line != null; line = reader.readLine()) {
                if (line.length() == 36) {
                    said.add(line);
                }
            }
            killer.join();
        }
        process.waitFor();
        return said;
    }
}
