package slabside.host;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.BufferedInputStream;
import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.Method;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Arrays;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.stream.Collectors;
import slabside.helper.Helper;
import slabside.helper.Wire;
import slabside.measure.BadInput;
import slabside.plugin.StudioView;

/**
 * A plugin's process, with a deadline for each question. Whatever ends it (a deadline, an exit, a flood) ends nothing else; the
 * next question begins a new one.
 */
final class HelperProcess implements AutoCloseable {
    private static final int WORDS_KEPT = 2_000;
    private static final Map<String, Method> SHOWN =
            Arrays.stream(StudioView.class.getMethods()).collect(Collectors.toMap(Method::getName, each -> each));
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

    private final Process process;
    private final Wire wire;
    private final StringBuilder printed = new StringBuilder();
    private long lastUsed = System.nanoTime();

    private HelperProcess(Process process) {
        this.process = process;
        this.wire = new Wire(
                new BufferedInputStream(process.getInputStream()), new BufferedOutputStream(process.getOutputStream()));
        WAITING.execute(this::listen);
    }

    static HelperProcess start(Path jar) {
        try {
            return new HelperProcess(new ProcessBuilder(
                            Path.of(System.getProperty("java.home"), "bin", "java")
                                    .toString(),
                            "-Xmx128m",
                            "-Xss512k",
                            "-XX:TieredStopAtLevel=1",
                            "-XX:+UseSerialGC",
                            "-Xshare:auto",
                            "-cp",
                            System.getProperty("java.class.path"),
                            Helper.class.getName(),
                            jar.toAbsolutePath().toString())
                    .start());
        } catch (IOException failed) {
            throw new Ended("no process could be started for it: " + failed.getMessage());
        }
    }

    boolean isAlive() {
        return process.isAlive();
    }

    boolean idleFor(Duration time) {
        return System.nanoTime() - lastUsed > time.toNanos();
    }

    /**
     * Asks and answers what the plugin asks back, until its reply or the deadline.
     *
     * @throws BadInput as the plugin said it
     * @throws Ended when there was no reply, or one of the plugin's own failures
     */
    synchronized JsonNode ask(ObjectNode question, StudioView studio, Duration deadline) {
        CompletableFuture<JsonNode> replying = CompletableFuture.supplyAsync(() -> talk(question, studio), WAITING);
        try {
            return replying.get(deadline.toMillis(), TimeUnit.MILLISECONDS);
        } catch (TimeoutException late) {
            close();
            throw new Ended("it gave no answer within " + deadline.toSeconds() + " s and was stopped");
        } catch (InterruptedException stopped) {
            close();
            Thread.currentThread().interrupt();
            throw new Ended("it was stopped while it was asked");
        } catch (ExecutionException failed) {
            if (failed.getCause() instanceof BadInput bad) {
                throw bad;
            }
            close();
            throw failed.getCause() instanceof Ended ended ? ended : new Ended(String.valueOf(failed.getCause()));
        } finally {
            lastUsed = System.nanoTime();
        }
    }

    private JsonNode talk(ObjectNode question, StudioView studio) {
        try {
            wire.send(question);
            while (true) {
                JsonNode said = wire.receive();
                if (said.has("studio")) {
                    wire.send(shown(said, studio));
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
            String said = printed.toString().strip();
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
            given[i] = asked.path("given").get(i).asText();
        }
        try {
            return reply.set("value", Wire.json().valueToTree(method.invoke(studio, given)));
        } catch (InvocationTargetException failed) {
            return reply.put("failed", String.valueOf(failed.getCause()));
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
        process.destroyForcibly();
    }
}
