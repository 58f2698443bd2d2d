package slabside.bench;

import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Map;
import java.util.jar.JarEntry;
import java.util.jar.JarOutputStream;
import java.util.stream.Stream;
import javax.tools.JavaCompiler;
import javax.tools.ToolProvider;
import slabside.host.DroppedIn;
import slabside.log.LogTrouble;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.studio.Studio;

/** How long a dropped-in plugin takes that reads a thousand entries: with its process to be started, and with it running. */
final class HelperTimed {
    private static final int ASKED = 101;
    private static final String JAR = "bench.jar";
    private static final String SOURCE = """
            package bench;
            import java.util.*;
            import slabside.plugin.*;
            public final class Reads implements Calculator {
                public Card card() { return new Card("bench-reads", "Reads", "How much is a thousand?"); }
                public List<Question<?>> questions() { return List.of(Question.count("times", "Times", 0, 2)); }
                public Answer answer(Replies replies, StudioView studio) {
                    int seen = 0;
                    String next = "";
                    for (int i = 0; i < (Integer) replies.to(questions().get(0)); i++) {
                        StudioView.Page page = studio.events("press.pulled", next);
                        seen += page.moments().size();
                        next = page.next();
                    }
                    return Answer.titled("seen").quantity("entries", seen, "", "");
                }
            }
            """;

    private HelperTimed() {}

    /**
     * @param first ns of a call of nothing that starts the process
     * @param nothing ns of a call of nothing, in the middle
     * @param thousand ns of a call that reads a thousand entries, in the middle
     * @param slow the same at the 99th percentile
     */
    record Times(long first, long nothing, long thousand, long slow) {}

    static Times measure(Studio studio) {
        DroppedIn dropped = studio.host().droppedIn();
        try {
            Path sources = Files.createTempDirectory("slabside-bench-plugin");
            drop(sources, Files.createDirectories(dropped.folder()).resolve(JAR));
        } catch (IOException failed) {
            throw new UncheckedIOException(failed);
        }
        dropped.approve(JAR);
        dropped.rest();
        long start = System.nanoTime();
        Calculator reads = studio.host().calculator("bench-reads");
        ask(studio, reads, 0, 0);
        long first = System.nanoTime() - start;
        // Whoever asks once asks again: both sides are warm after some calls.
        times(studio, reads, 2, 1_000);
        long[] nothing = times(studio, reads, 0, 0);
        long[] thousand = times(studio, reads, 2, 1_000);
        dropped.revoke(JAR);
        return new Times(first, nothing[ASKED / 2], thousand[ASKED / 2], thousand[ASKED * 99 / 100]);
    }

    private static long[] times(Studio studio, Calculator reads, int pages, int entries) {
        long[] times = new long[ASKED];
        for (int i = 0; i < ASKED; i++) {
            long start = System.nanoTime();
            ask(studio, reads, pages, entries);
            times[i] = System.nanoTime() - start;
        }
        Arrays.sort(times);
        return times;
    }

    private static void ask(Studio studio, Calculator reads, int pages, int entries) {
        Answer answer = studio.host().ask(reads, Map.of("times", String.valueOf(pages)));
        if (!(answer.blocks().get(0) instanceof Answer.Quantity seen) || seen.value() != entries) {
            throw new LogTrouble("the plugin did not see " + entries + " entries: " + answer);
        }
    }

    private static void drop(Path folder, Path jar) throws IOException {
        JavaCompiler compiler = ToolProvider.getSystemJavaCompiler();
        if (compiler == null) {
            throw new LogTrouble("The bench compiles a plugin; run it with a JDK.");
        }
        Path source = Files.writeString(folder.resolve("Reads.java"), SOURCE);
        int code = compiler.run(
                null,
                OutputStream.nullOutputStream(),
                OutputStream.nullOutputStream(),
                "-cp",
                System.getProperty("java.class.path"),
                "-proc:none",
                "-d",
                folder.toString(),
                source.toString());
        if (code != 0) {
            throw new LogTrouble("The plugin of the bench could not be compiled.");
        }
        try (JarOutputStream out = new JarOutputStream(Files.newOutputStream(jar));
                Stream<Path> classes = Files.list(folder.resolve("bench"))) {
            for (Path each : classes.toList()) {
                put(out, "bench/" + each.getFileName(), Files.readAllBytes(each));
            }
            put(out, "META-INF/services/slabside.plugin.Calculator", "bench.Reads".getBytes(StandardCharsets.UTF_8));
        }
    }

    private static void put(JarOutputStream out, String name, byte[] bytes) throws IOException {
        out.putNextEntry(new JarEntry(name));
        out.write(bytes);
        out.closeEntry();
    }
}
