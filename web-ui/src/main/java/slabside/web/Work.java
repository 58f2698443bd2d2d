package slabside.web;

import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.Clock;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.concurrent.CancellationException;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.concurrent.atomic.AtomicBoolean;
import slabside.host.Host;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Progress;

/**
 * What calculators are asked now, and what they answered lately: an answer may take longer than a page waits, and may be kept or
 * written down after it was read. Answers are held for a quarter of an hour, the last 50 of them.
 */
final class Work implements AutoCloseable {
    /** Most of them wait for a process of a plugin. */
    private static final int AT_ONCE = 16;

    private static final int HELD = 50;
    private static final long HELD_MS = 15 * 60_000;

    private final Host host;
    private final Clock clock;
    private final Map<String, Piece> pieces = new LinkedHashMap<>();
    private final ExecutorService hands = Executors.newFixedThreadPool(AT_ONCE, task -> {
        Thread thread = new Thread(task, "calculator");
        thread.setDaemon(true);
        return thread;
    });

    Work(Host host, Clock clock) {
        this.host = host;
        this.clock = clock;
    }

    /** One question that is worked on, or its answer. */
    final class Piece implements Progress {
        private final String key;
        private final String calculator;
        private final Map<String, String> replies;
        private final long asked = clock.millis();
        private final Future<Answer> answer;
        private final AtomicBoolean written = new AtomicBoolean();
        private volatile boolean calledOff;
        private volatile double share;
        private volatile String words = "";

        private Piece(String key, Calculator calculator, Map<String, String> replies) {
            this.key = key;
            this.calculator = calculator.card().id();
            this.replies = new TreeMap<>(replies);
            this.answer = hands.submit(() -> host.ask(calculator, replies, this));
        }

        String key() {
            return key;
        }

        String calculator() {
            return calculator;
        }

        /** By the ids of the questions, picks by their ids. */
        Map<String, String> replies() {
            return replies;
        }

        double share() {
            return share;
        }

        /** What is being done, as the plugin said it. */
        String words() {
            return words;
        }

        @Override
        public void at(double done, String doing) {
            share = Math.max(0, Math.min(1, done));
            words = doing;
            if (calledOff) {
                throw new CalledOff();
            }
        }

        /** Remembers that its entries were written down; false when they were before. */
        boolean write() {
            return written.compareAndSet(false, true);
        }

        boolean isWritten() {
            return written.get();
        }

        /** Whether asking the same again may get this: not one that failed, was called off, or was written down. */
        private boolean isOfUse() {
            if (written.get() || answer.isCancelled()) {
                return false;
            }
            if (!answer.isDone()) {
                return true;
            }
            try {
                answer.get();
                return true;
            } catch (ExecutionException failed) {
                return false;
            } catch (InterruptedException stopped) {
                Thread.currentThread().interrupt();
                return false;
            }
        }

        void callOff() {
            calledOff = true;
            answer.cancel(true);
        }

        /**
         * The answer; empty when it is not there within the time.
         *
         * @throws BadInput as the calculator said it, or when it was called off
         */
        Optional<Answer> within(long millis) {
            try {
                return Optional.of(answer.get(millis, TimeUnit.MILLISECONDS));
            } catch (TimeoutException notYet) {
                return Optional.empty();
            } catch (CancellationException off) {
                throw new BadInput("question", calculator, "it was called off; ask again");
            } catch (InterruptedException stopped) {
                Thread.currentThread().interrupt();
                throw new BadInput("question", calculator, "the studio was closed meanwhile; ask again");
            } catch (ExecutionException failed) {
                if (failed.getCause() instanceof RuntimeException because) {
                    throw because;
                }
                throw new IllegalStateException(failed.getCause());
            }
        }
    }

    /** The question with a key; empty when it is held no more. */
    synchronized Optional<Piece> find(String key) {
        forget();
        return Optional.ofNullable(pieces.get(key));
    }

    /** Asks, unless the same is asked now or was answered since the log last changed. */
    synchronized Piece ask(Calculator calculator, Map<String, String> replies, long log) {
        forget();
        // A plugin that was approved anew is another one.
        String key = key(calculator.card().id() + " " + System.identityHashCode(calculator), replies, log);
        return pieces.compute(
                key,
                (any, before) -> before != null && before.isOfUse() ? before : new Piece(key, calculator, replies));
    }

    private void forget() {
        pieces.values().removeIf(piece -> piece.answer.isDone() && clock.millis() - piece.asked > HELD_MS);
        var oldest = pieces.entrySet().iterator();
        while (pieces.size() > HELD && oldest.hasNext()) {
            if (oldest.next().getValue().answer.isDone()) {
                oldest.remove();
            }
        }
    }

    private static String key(String calculator, Map<String, String> replies, long log) {
        try {
            MessageDigest digest = MessageDigest.getInstance("SHA-256");
            digest.update((calculator + "\n" + log + "\n").getBytes(StandardCharsets.UTF_8));
            new TreeMap<>(replies)
                    .forEach((id, text) -> digest.update(
                            (id + " " + text.length() + " " + text + "\n").getBytes(StandardCharsets.UTF_8)));
            return HexFormat.of().formatHex(digest.digest(), 0, 16);
        } catch (NoSuchAlgorithmException missing) {
            throw new IllegalStateException("every Java has SHA-256", missing);
        }
    }

    @Override
    public void close() {
        hands.shutdownNow();
    }
}
