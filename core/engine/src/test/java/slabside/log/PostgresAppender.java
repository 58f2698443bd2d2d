package slabside.log;

import java.io.FileOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;

/**
 * A serving machine on a log in a database, made to be killed: several hands write without end, each entering the same again until
 * it is acknowledged, and say each id then; a follower reads forward and says each position it meets, with the hash there.
 */
final class PostgresAppender {
    private PostgresAppender() {}

    /** Arguments: address, data folder, configuration folder, hands, file of ids, file of positions. */
    public static void main(String[] arguments) throws IOException {
        PostgresAddress address = PostgresAddress.of(arguments[0], System.getenv());
        int hands = Integer.parseInt(arguments[3]);
        try (SqlEventLog log = open(address, Path.of(arguments[1]), Path.of(arguments[2]));
                OutputStream acknowledged = new FileOutputStream(arguments[4]);
                OutputStream met = new FileOutputStream(arguments[5])) {
            List<Thread> threads = new ArrayList<>();
            threads.add(new Thread(() -> follow(log, met)));
            for (int i = 0; i < hands; i++) {
                threads.add(new Thread(() -> append(log, acknowledged)));
            }
            threads.forEach(Thread::start);
            for (Thread thread : threads) {
                thread.join();
            }
        } catch (InterruptedException asked) {
            Thread.currentThread().interrupt();
        }
    }

    private static SqlEventLog open(PostgresAddress address, Path data, Path config) throws InterruptedException {
        while (true) {
            try {
                return SqlEventLog.open(address, data, config, Clock.systemUTC(), new Random());
            } catch (LogAway away) {
                Thread.sleep(100);
            }
        }
    }

    private static void append(SqlEventLog log, OutputStream acknowledged) {
        Random random = new Random();
        for (int i = 0; ; i++) {
            List<Draft> drafts = Samples.drafts(random, 1 + i % 3);
            StringBuilder said = new StringBuilder();
            entered(log, drafts).forEach(s -> said.append(s.envelope().id()).append('\n'));
            say(acknowledged, said.toString());
        }
    }

    private static List<Stored> entered(SqlEventLog log, List<Draft> drafts) {
        while (true) {
            try {
                return log.append(Decision.of(drafts)).stored();
            } catch (LogTrouble again) {
                pause();
            }
        }
    }

    private static void follow(SqlEventLog log, OutputStream met) {
        Semaphore wake = new Semaphore(1);
        log.follow(wake::release);
        long pos = 0;
        while (true) {
            try {
                List<Stored> fresh = log.read(pos, 500);
                StringBuilder said = new StringBuilder();
                for (Stored stored : fresh) {
                    said.append(stored.pos()).append(' ').append(stored.hash()).append('\n');
                    pos = stored.pos();
                }
                say(met, said.toString());
                if (fresh.isEmpty()) {
                    wake.tryAcquire(1, TimeUnit.SECONDS);
                    wake.drainPermits();
                }
            } catch (LogTrouble again) {
                pause();
            } catch (InterruptedException asked) {
                return;
            }
        }
    }

    private static void pause() {
        try {
            Thread.sleep(50);
        } catch (InterruptedException asked) {
            Thread.currentThread().interrupt();
        }
    }

    private static synchronized void say(OutputStream to, String text) {
        try {
            to.write(text.getBytes(StandardCharsets.US_ASCII));
        } catch (IOException failed) {
            throw new UncheckedIOException(failed);
        }
    }
}
