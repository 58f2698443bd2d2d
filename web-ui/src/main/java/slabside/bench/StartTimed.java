package slabside.bench;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import slabside.event.ThingId;
import slabside.log.LogTrouble;

/** The program as a user starts it, in a process of its own: until its first page, and the memory it takes. */
final class StartTimed {
    private static final Pattern ADDRESS = Pattern.compile("http://[0-9.:]+");
    private static final Pattern RESIDENT = Pattern.compile("VmRSS:\\s+(\\d+) kB");
    private static final int STARTS = 5;
    private static final int PULLS = 200;

    /** A heap of 64 MB, kept clean by the collector that needs least. */
    static final List<String> SMALL_HEAP = List.of("-Xmx64m", "-XX:+UseSerialGC");

    /** As the README starts it where memory is scarce. */
    static final List<String> SCARCE_MEMORY =
            List.of("-Xms16m", "-Xmx64m", "-XX:+UseSerialGC", "-XX:TieredStopAtLevel=1");

    private final Path data;
    private final Path config;

    StartTimed(Path data, Path config) {
        this.data = data;
        this.config = config;
    }

    /** Milliseconds from the start of the process until the first page was there, in the middle of several. */
    double untilFirstPage() {
        List<Long> took = new ArrayList<>();
        for (int i = 0; i < STARTS; i++) {
            took.add(once());
        }
        took.sort(null);
        return took.get(STARTS / 2) / 1e6;
    }

    /** The same in seconds, once, where the lists must be made anew from the log before. */
    double withListsMadeAnew() throws IOException {
        for (String ending : List.of("", "-wal", "-shm")) {
            Files.deleteIfExists(data.resolve("views.db" + ending));
        }
        return once() / 1e9;
    }

    private long once() {
        long start = System.nanoTime();
        Served served = start(List.of());
        try {
            new PagesTimed(served.address).get("/timeline");
            return System.nanoTime() - start;
        } finally {
            served.stop();
        }
    }

    /**
     * Resident memory in MB after pages of the timeline and pulls; negative where the system does not tell.
     *
     * @param options of the Java machine
     * @param run planned and not set up
     * @param mix to set it up with
     */
    double residentMegabytes(List<String> options, ThingId run, ThingId mix) {
        Served served = start(options);
        try {
            PagesTimed pages = new PagesTimed(served.address);
            for (int i = 0; i < PULLS; i++) {
                pages.get("/timeline");
            }
            new TapsAnswered(served.address).pulls(run, mix, PULLS);
            Path told = Path.of("/proc", String.valueOf(served.process.pid()), "status");
            Matcher resident = RESIDENT.matcher(Files.exists(told) ? Files.readString(told) : "");
            return resident.find() ? Long.parseLong(resident.group(1)) * 1024 / 1e6 : -1;
        } catch (IOException failed) {
            throw new LogTrouble("The memory cannot be read: " + failed.getMessage(), failed);
        } finally {
            served.stop();
        }
    }

    private record Served(Process process, String address) {
        void stop() {
            process.destroy();
            try {
                if (!process.waitFor(30, TimeUnit.SECONDS)) {
                    throw new LogTrouble("The program that was started does not stop.");
                }
            } catch (InterruptedException stopped) {
                Thread.currentThread().interrupt();
                throw new LogTrouble("the bench was stopped", stopped);
            }
        }
    }

    private Served start(List<String> options) {
        List<String> command = new ArrayList<>();
        command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
        command.addAll(options);
        command.addAll(
                List.of("-cp", System.getProperty("java.class.path"), "slabside.web.Main", "serve", "--port", "0"));
        command.addAll(List.of("--data", data.toString(), "--config", config.toString()));
        try {
            Process process =
                    new ProcessBuilder(command).redirectErrorStream(true).start();
            BufferedReader said = process.inputReader(StandardCharsets.UTF_8);
            List<String> lines = new ArrayList<>();
            for (String line = said.readLine(); line != null; line = said.readLine()) {
                lines.add(line);
                Matcher address = ADDRESS.matcher(line);
                if (address.find()) {
                    return new Served(process, address.group());
                }
            }
            throw new LogTrouble("The program did not start: " + String.join(" ", lines));
        } catch (IOException failed) {
            throw new LogTrouble("The program cannot be started: " + failed.getMessage(), failed);
        }
    }
}
