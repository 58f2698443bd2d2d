package slabside.log;

import java.nio.file.Path;
import java.time.Clock;
import java.util.Random;

/** A process of its own that appends without end and says each id once it is acknowledged; made to be killed. */
final class Appender {
    private Appender() {}

    public static void main(String[] arguments) {
        Random random = new Random();
        try (SqlEventLog log =
                SqlEventLog.open(Path.of(arguments[0]), Path.of(arguments[1]), Clock.systemUTC(), random)) {
            for (int i = 0; ; i++) {
                var stored = log.append(Decision.of(Samples.drafts(random, 1 + i % 3)))
                        .stored();
                StringBuilder said = new StringBuilder();
                stored.forEach(s -> said.append(s.envelope().id()).append('\n'));
                System.out.print(said);
                System.out.flush();
            }
        }
    }
}
