package slabside.log;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A plain script that shares none of our code verifies an exported log, so the stored form is what its description says. */
class IndependentCheckTest {
    @TempDir
    Path folder;

    private record Ran(int code, String said) {}

    private static Ran check(Path exported) throws IOException, InterruptedException {
        Path script = Path.of("src", "main", "resources", "slabside", "log", "check.py");
        Process process = new ProcessBuilder("python3", script.toString(), exported.toString())
                .redirectErrorStream(true)
                .start();
        String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        assertTrue(process.waitFor(60, TimeUnit.SECONDS));
        return new Ran(process.exitValue(), said);
    }

    private static boolean hasPython() {
        try {
            return new ProcessBuilder("python3", "--version").start().waitFor() == 0;
        } catch (IOException | InterruptedException none) {
            return false;
        }
    }

    @Test
    void the_script_finds_the_same_heads_and_any_change() throws IOException, InterruptedException {
        assumeTrue(hasPython(), "python3 is not on this machine; the independent check of the stored form is skipped");
        Path exported = folder.resolve("log.jsonl");
        Head head;
        try (SqlEventLog log =
                SqlEventLog.open(folder.resolve("data"), folder.resolve("config"), Samples.CLOCK, new Random(1))) {
            log.append(Decision.of(Samples.drafts(new Random(2), 40)));
            try (OutputStream out = Files.newOutputStream(exported)) {
                Transfer.export(log, out);
            }
            head = log.heads().get(0);
        }
        Ran good = check(exported);
        assertEquals(0, good.code, good.said);
        assertTrue(good.said.contains(head.origin() + " " + head.oseq() + " " + head.hash()), good.said);
        List<String> lines = Files.readAllLines(exported);
        Random random = new Random(3);
        for (int i = 0; i < 10; i++) {
            int at = random.nextInt(lines.size());
            StringBuilder changed = new StringBuilder(lines.get(at));
            int byteAt = random.nextInt(changed.length());
            changed.setCharAt(byteAt, changed.charAt(byteAt) == '7' ? '8' : '7');
            Path file = folder.resolve("changed.jsonl");
            List<String> copy = new java.util.ArrayList<>(lines);
            copy.set(at, changed.toString());
            Files.writeString(file, String.join("\n", copy) + "\n");
            Ran bad = check(file);
            assertEquals(1, bad.code, "line " + (at + 1) + ", byte " + byteAt + ": " + bad.said);
        }
    }
}
