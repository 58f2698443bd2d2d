package slabside.host;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.BufferedInputStream;
import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.Method;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.time.Duration;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.concurrent.locks.ReentrantLock;
import java.util.stream.Collectors;
import slabside.helper.Helper;
import slabside.helper.ShownClasses;
import slabside.helper.Wire;
import slabside.measure.BadInput;
import slabside.plugin.Progress;
import slabside.plugin.StudioView;

/**
 * A plugin's process, with a deadline for each question. Whatever ends it (a deadline, an exit, a flood) ends nothing else; the
 * next question begins a new one.
 */
final class HelperProcess implements AutoCloseable {
    private static final int WORDS_KEPT = 2_000;
    private static final Duration LEARNING = Duration.ofSeconds(20);
    private static final Map<String, Method> SHOWN = Arrays.stream(StudioView.class.getMethods())
            .filter(each -> !each.isDefault())
            .collect(Collectors.toMap(Method::getName, each -> each));
    /** How often it is looked whether whoever asked still waits. */
    private static final long LOOK_MS = 50;
    /** Longest that work may take which says how far it has come. */
    private static final Duration LONGEST = Duration.ofMinutes(10);

    private static final ExecutorService WAITING = Executors.newCachedThreadPool(task -> {
        Thread thread = new Thread(task, "plugin");
        thread.setDaemon(true);
        return thread;
    });

    /** What ended a helper, in words for the one who approved its plugin. */
    static final class Ended extends RuntimeException {
        private static final long serialVersionUID = 1;

        Ended(String why) {
            super(why);
        }
    }

    /** It ended before it could be asked; a new one may be. */
    static final class Gone extends RuntimeException {
        private static final long serialVersionUID = 1;

        Gone() {
            super("its process had ended");
        }
    }

    private final ReentrantLock oneAtATime = new ReentrantLock();
    private final Process process;
    private final Wire wire;
    private final StringBuilder printed = new StringBuilder();
    private volatile long lastUsed = System.nanoTime();
    /** When the plugin last said how far it has come. */
    private volatile long lastSign;

    private volatile boolean busy;
    private volatile boolean closed;

    private HelperProcess(Process process) {
        this.process = process;
        this.wire = new Wire(
                new BufferedInputStream(process.getInputStream()), new BufferedOutputStream(process.getOutputStream()));
        WAITING.execute(this::listen);
    }

    /**
     * @param archive what was learned of starting such a process, where there is such a file
     */
    static HelperProcess start(Path jar, Path archive) {
        try {
            return new HelperProcess(new ProcessBuilder(
                            Files.exists(archive)
                                    ? command("-XX:SharedArchiveFile=" + archive, jar)
                                    : command("-Xshare:auto", jar))
                    .start());
        } catch (IOException failed) {
            throw new Ended("no process could be started for it: " + failed.getMessage());
        }
    }

    private static List<String> command(String sharing, Path jar) {
        return List.of(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-Xmx128m",
                "-Xss512k",
                "-XX:+UseSerialGC",
                "-XX:-UsePerfData",
                "-XX:-PrintWarnings",
                sharing,
                "-Djava.system.class.loader=" + ShownClasses.class.getName(),
                "-cp",
                System.getProperty("java.class.path"),
                Helper.class.getName(),
                jar.toAbsolutePath().toString());
    }

    /**
     * Starts and ends one such process, so that those to come start in half the time: the classes of the JDK that it needs are
     * kept in an archive. Where the JDK cannot do that, nothing is kept and nothing is lost.
     */
    static void learnToStart(Path jar, Path archive) {
        Path unfinished = archive.resolveSibling(archive.getFileName() + ".new");
        try {
            Process process = new ProcessBuilder(command("-XX:ArchiveClassesAtExit=" + unfinished, jar))
                    .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                    .redirectError(ProcessBuilder.Redirect.DISCARD)
                    .start();
            try (OutputStream to = process.getOutputStream()) {
                new Wire(InputStream.nullInputStream(), to)
                        .send(Wire.json().createObjectNode().put("ask", "offers"));
            }
            if (!process.waitFor(LEARNING.toMillis(), TimeUnit.MILLISECONDS)) {
                process.destroyForcibly();
            } else if (Files.exists(unfinished)) {
                Files.move(unfinished, archive, StandardCopyOption.REPLACE_EXISTING, StandardCopyOption.ATOMIC_MOVE);
            }
        } catch (IOException withoutIt) {
            throw new Ended("it could not be started once for practice: " + withoutIt.getMessage());
        } catch (InterruptedException stopped) {
            Thread.currentThread().interrupt();
        }
    }

    boolean isAlive() {
        return !closed && process.isAlive();
    }

    boolean idleFor(Duration time) {
        return !busy && System.nanoTime() - lastUsed > time.toNanos();
    }

    /**
     * Asks and answers what the plugin asks back, until its reply or the deadline, which begins anew whenever it says how far
     * it has come.
     *
     * @throws BadInput as the plugin said it
     * @throws Gone when its process had ended before it was asked
     * @throws Ended when there was no reply, or one of the plugin's own failures
     * @throws Progress.CalledOff when nobody waits any more
     */
    JsonNode ask(ObjectNode question, StudioView studio, Progress progress, Duration deadline) {
        try {
            oneAtATime.lockInterruptibly();
        } catch (InterruptedException stopped) {
            Thread.currentThread().interrupt();
            throw new Ended("it was stopped before it was asked");
        }
        try {
            if (!isAlive()) {
                throw new Gone();
            }
            return asked(question, studio, progress, deadline);
        } finally {
            oneAtATime.unlock();
        }
    }

    private JsonNode asked(ObjectNode question, StudioView studio, Progress progress, Duration deadline) {
        busy = true;
        long start = System.nanoTime();
        lastSign = start;
        CompletableFuture<JsonNode> replying =
                CompletableFuture.supplyAsync(() -> talk(question, studio, progress), WAITING);
        try {
            while (true) {
                try {
                    return replying.get(LOOK_MS, TimeUnit.MILLISECONDS);
                } catch (TimeoutException notYet) {
                    long now = System.nanoTime();
                    if (now - lastSign > deadline.toNanos() || now - start > LONGEST.toNanos()) {
                        close();
                        throw new Ended("it gave no answer within "
                                + (now - start > LONGEST.toNanos() ? LONGEST : deadline).toSeconds()
                                + " s and was stopped");
                    }
                }
            }
        } catch (InterruptedException stopped) {
            close();
            Thread.currentThread().interrupt();
            throw new Ended("it was stopped while it was asked");
        } catch (ExecutionException failed) {
            if (failed.getCause() instanceof BadInput bad) {
                throw bad;
            }
            close();
            if (failed.getCause() instanceof Progress.CalledOff off) {
                throw off;
            }
            throw failed.getCause() instanceof Ended ended ? ended : new Ended(String.valueOf(failed.getCause()));
        } finally {
            lastUsed = System.nanoTime();
            busy = false;
        }
    }

    private JsonNode talk(ObjectNode question, StudioView studio, Progress progress) {
        try {
            wire.send(question);
            while (true) {
                JsonNode said = wire.receive();
                if (said.has("studio")) {
                    wire.send(shown(said, studio));
                } else if (said.has("progress")) {
                    lastSign = System.nanoTime();
                    progress.at(
                            said.path("progress").asDouble(), said.path("words").asText());
                } else if (said.has("remedy")) {
                    throw new BadInput(
                            said.path("field").asText(),
                            said.path("value").asText(),
                            said.path("remedy").asText());
                } else if (said.has("failed")) {
                    throw new Ended("it failed: " + said.path("failed").asText());
                } else {
                    return said;
                }
            }
        } catch (IOException gone) {
            throw new Ended("its process ended" + code() + words(gone));
        }
    }

    private String code() {
        try {
            return process.waitFor(500, TimeUnit.MILLISECONDS) ? " with code " + process.exitValue() : "";
        } catch (InterruptedException stopped) {
            Thread.currentThread().interrupt();
            return "";
        }
    }

    private String words(IOException gone) {
        synchronized (printed) {
            String said = printed.toString()
                    .lines()
                    .filter(line -> !line.startsWith("OpenJDK") && !line.startsWith("Picked up"))
                    .collect(Collectors.joining("\n"))
                    .strip();
            return !said.isEmpty()
                    ? "; it had printed: " + said.lines().findFirst().orElse("")
                    : gone.getMessage() == null ? "" : "; " + gone.getMessage();
        }
    }

    /** What the plugin wants to see of the studio; only what the contract has. */
    private static ObjectNode shown(JsonNode asked, StudioView studio) {
        ObjectNode reply = Wire.json().createObjectNode();
        Method method = SHOWN.get(asked.path("studio").asText());
        if (method == null || method.getParameterCount() != asked.path("given").size()) {
            return reply.put(
                    "failed",
                    "the studio has no such question: " + asked.path("studio").asText());
        }
        Object[] given = new Object[method.getParameterCount()];
        for (int i = 0; i < given.length; i++) {
            JsonNode each = asked.path("given").get(i);
            Class<?> type = method.getParameterTypes()[i];
            try {
                given[i] = type == long.class
                        ? (Object) each.asLong()
                        : type == String.class ? each.asText() : FromPlugin.read(each, type);
            } catch (JsonProcessingException wrong) {
                return reply.put("failed", "the studio was asked with no " + type.getSimpleName() + ": " + each);
            }
        }
        try {
            return reply.putPOJO("value", method.invoke(studio, given));
        } catch (InvocationTargetException failed) {
            return failed.getCause() instanceof BadInput bad
                    ? reply.put("field", bad.field()).put("value", bad.value()).put("remedy", bad.remedy())
                    : reply.put("failed", String.valueOf(failed.getCause()));
        } catch (IllegalAccessException hidden) {
            throw new IllegalStateException(hidden);
        }
    }

    /** Keeps the first of what it prints, and reads the rest away so that it never waits. */
    private void listen() {
        byte[] some = new byte[4_096];
        try (InputStream words = process.getErrorStream()) {
            for (int n = words.read(some); n >= 0; n = words.read(some)) {
                synchronized (printed) {
                    if (printed.length() < WORDS_KEPT) {
                        printed.append(new String(some, 0, Math.min(n, WORDS_KEPT), StandardCharsets.UTF_8));
                    }
                }
            }
        } catch (IOException ended) {
            synchronized (printed) {
                printed.append(' ');
            }
        }
    }

    @Override
    public void close() {
        closed = true;
        process.destroyForcibly();
    }
}
