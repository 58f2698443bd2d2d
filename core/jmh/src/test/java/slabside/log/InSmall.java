package slabside.log;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.NoSuchAlgorithmException;
import java.util.Collection;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.openjdk.jmh.results.RunResult;
import org.openjdk.jmh.runner.Runner;
import org.openjdk.jmh.runner.RunnerException;
import org.openjdk.jmh.runner.options.OptionsBuilder;
import org.openjdk.jmh.runner.options.TimeValue;

/** Runs the small measurements and writes their table to {@code target/in-small.md}; nothing is promised of times here. */
class InSmall {
    private static final String FLOOR = "Floor";

    @Test
    void table() throws RunnerException, IOException {
        Collection<RunResult> results = new Runner(new OptionsBuilder()
                        .include(OneEvent.class.getName())
                        .forks(1)
                        .shouldFailOnError(true)
                        .warmupIterations(3)
                        .warmupTime(TimeValue.seconds(1))
                        .measurementIterations(5)
                        .measurementTime(TimeValue.seconds(1))
                        .build())
                .run();
        Map<String, Double> micros = new TreeMap<>();
        results.forEach(result ->
                micros.put(result.getPrimaryResult().getLabel(), result.getPrimaryResult().getScore()));
        StringBuilder table = new StringBuilder("| what | µs | floor µs | ratio |\n|---|---|---|---|\n");
        micros.forEach((what, took) -> {
            Double floor = micros.get(what + FLOOR);
            if (floor != null) {
                table.append(String.format(
                        Locale.ROOT, "| %s | %.3f | %.3f | %.2f |%n", what, took, floor, took / floor));
            }
        });
        assertEquals(4, table.toString().lines().count() - 2, table.toString());
        Files.writeString(Path.of("target", "in-small.md"), table);
        System.out.println(table);
    }

    @Test
    void the_plain_loops_give_the_same_share() throws IOException, NoSuchAlgorithmException {
        OneEvent one = new OneEvent();
        one.prepare();
        assertEquals(one.shareThroughTenLevelsFloor(), one.shareThroughTenLevels(), 1e-9);
    }
}
