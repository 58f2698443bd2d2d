package slabside.log;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.event.EventId;

/** Several processes that all want to write one log: one does, the others say who does, and readers see whole events only. */
class TwoProcessesTest {
    private static final int ROUNDS = Integer.getInteger("slabside.races", 2);
    private static final int RIVALS = 3;

    @TempDir
    Path folder;

    private record Rival(Process process, Path said, Path complained) {}

    @Test
    void one_writes_the_others_are_refused_and_readers_see_whole_events() throws IOException, InterruptedException {
        List<String> acknowledged = new ArrayList<>();
        int refused = 0;
        for (int round = 0; round < ROUNDS; round++) {
            List<Rival> rivals = new ArrayList<>();
            for (int i = 0; i < RIVALS; i++) {
                rivals.add(rival(round * RIVALS + i));
            }
            List<Rival> writing = settle(rivals);
            assertEquals(1, writing.size(), "exactly one writes, round " + round);
            try (SqlEventLog reader =
                    SqlEventLog.openToRead(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC())) {
                assertEquals(Optional.empty(), reader.verify().wrong(), "while another writes");
            }
            writing.get(0).process.destroyForcibly().waitFor();
            for (Rival rival : rivals) {
                String said = Files.readString(rival.said);
                acknowledged.addAll(
                        said.substring(0, said.lastIndexOf('\n') + 1).lines().toList());
                if (!writing.contains(rival)) {
                    refused++;
                    assertTrue(
                            Files.readString(rival.complained).contains("is being written by"),
                            Files.readString(rival.complained));
                }
            }
        }
        try (SqlEventLog log =
                SqlEventLog.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC(), new Random(1))) {
            assertEquals(Optional.empty(), log.verify().wrong());
            assertEquals(1, log.heads().size());
            for (String id : acknowledged) {
                assertTrue(log.find(new EventId(id)).isPresent(), "acknowledged and lost: " + id);
            }
        }
        System.out.println("Races of " + RIVALS + " processes for one log: " + ROUNDS + "; refused " + refused
                + ", acknowledged events " + acknowledged.size() + ", lost 0");
        assertEquals(ROUNDS * (RIVALS - 1), refused);
    }

    private Rival rival(int number) throws IOException {
        Path said = folder.resolve("said-" + number);
        Path complained = folder.resolve("complained-" + number);
        return new Rival(
                new ProcessBuilder(
                                Path.of(System.getProperty("java.home"), "bin", "java")
                                        .toString(),
                                "-cp",
                                System.getProperty("java.class.path"),
                                Appender.class.getName(),
                                folder.resolve("data").toString(),
                                folder.resolve("config").toString())
                        .redirectOutput(said.toFile())
                        .redirectError(complained.toFile())
                        .start(),
                said,
                complained);
    }

    /** Waits until all but one have given up and that one has written something. */
    private static List<Rival> settle(List<Rival> rivals) throws IOException, InterruptedException {
        long deadline = System.nanoTime() + TimeUnit.SECONDS.toNanos(60);
        while (System.nanoTime() < deadline) {
            List<Rival> alive =
                    rivals.stream().filter(rival -> rival.process.isAlive()).toList();
            if (alive.size() <= 1 && (alive.isEmpty() || Files.size(alive.get(0).said) > 0)) {
                return alive;
            }
            Thread.sleep(20);
        }
        throw new AssertionError("they did not settle who writes");
    }
}
