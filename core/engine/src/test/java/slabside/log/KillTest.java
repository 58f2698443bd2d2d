package slabside.log;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
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
        try (SqlEventLog log =
                SqlEventLog.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC(), random)) {
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
        System.out.println("Kills of a writer: " + KILLS + "; acknowledged events " + acknowledged.size() + ", lost 0");
        assertTrue(acknowledged.size() > KILLS, "too few were acknowledged to mean anything: " + acknowledged.size());
    }

    /** Lets a process append for a while after its first acknowledgement; returns the ids it had acknowledged. */
    private List<String> appendUntilKilled(int millis) throws IOException, InterruptedException {
        Path said = folder.resolve("said.txt");
        Process process = new ProcessBuilder(
                        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                        "-cp",
                        System.getProperty("java.class.path"),
                        Appender.class.getName(),
                        folder.resolve("data").toString(),
                        folder.resolve("config").toString())
                .redirectError(ProcessBuilder.Redirect.INHERIT)
                .redirectOutput(said.toFile())
                .start();
        while (Files.size(said) == 0 && process.isAlive()) {
            Thread.sleep(5);
        }
        Thread.sleep(millis);
        assertTrue(process.isAlive(), "the appender must still be at work when it is killed");
        process.destroyForcibly().waitFor();
        String text = Files.readString(said);
        return text.substring(0, text.lastIndexOf('\n') + 1).lines().toList();
    }
}
