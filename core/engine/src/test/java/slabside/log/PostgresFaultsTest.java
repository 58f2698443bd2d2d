package slabside.log;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.SQLException;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.event.EventId;

/**
 * Eight hands at two serving machines write one log, while machines, their connections and the database itself are killed at
 * random moments: nothing acknowledged is lost or stands twice, no follower skips anything, and all saw one order.
 */
class PostgresFaultsTest {
    private static final int EVENTS = Integer.getInteger("slabside.server-events", 4_000);
    private static final int HANDS = 4;
    private static final String URL_START = "jdbc:";

    @TempDir
    Path folder;

    /** One life of a serving machine. */
    private record Life(Process process, Path acknowledged, Path met, Path said) {
        long events() throws IOException {
            return Files.exists(acknowledged) ? Files.size(acknowledged) / 37 : 0;
        }
    }

    private final List<Life> lives = new ArrayList<>();

    @Test
    void nothing_acknowledged_is_lost_and_no_follower_skips_anything() throws Exception {
        int[] killed = new int[4];
        try (Postgres server = Postgres.ofItsOwn()) {
            PostgresAddress database = server.database();
            List<Life> alive = new ArrayList<>(List.of(live(database, 0), live(database, 1)));
            Random random = new Random(7);
            for (int round = 0; round < 2 * killed.length || acknowledged() < EVENTS; round++) {
                Thread.sleep(200 + random.nextInt(1_500));
                int what = round < 2 * killed.length ? round % killed.length : random.nextInt(killed.length);
                killed[what]++;
                switch (what) {
                    case 0 -> {
                        server.kill();
                        Thread.sleep(random.nextInt(1_500));
                        server.start();
                    }
                    case 1 -> {
                        server.stop();
                        server.start();
                    }
                    case 2 -> {
                        int which = random.nextInt(alive.size());
                        alive.get(which).process.destroyForcibly().waitFor();
                        alive.set(which, live(database, which));
                    }
                    default ->
                        Postgres.sql(
                                database,
                                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE application_name = 'slabside' AND pid <> pg_backend_pid() AND random() < 0.5");
                }
            }
            Thread.sleep(3_000);
            for (Life life : alive) {
                assertTrue(life.process.isAlive(), "a machine gave up: " + Files.readString(life.said));
                life.process.destroyForcibly().waitFor();
            }
            check(database);
        } finally {
            for (Life life : lives) {
                life.process.destroyForcibly().waitFor();
            }
        }
        System.out.println("Two machines on one database: kills of the database " + killed[0] + ", restarts of it "
                + killed[1] + ", kills of a machine " + killed[2] + ", of connections " + killed[3]
                + "; acknowledged events " + acknowledged() + ", lost 0, skipped 0");
    }

    private long acknowledged() throws IOException {
        long events = 0;
        for (Life life : lives) {
            events += life.events();
        }
        return events;
    }

    private Life live(PostgresAddress database, int machine) throws IOException {
        Path acknowledged = folder.resolve("acknowledged-" + lives.size());
        Path met = folder.resolve("met-" + lives.size());
        Path said = folder.resolve("said-" + lives.size());
        ProcessBuilder builder = new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-cp",
                System.getProperty("java.class.path"),
                PostgresAppender.class.getName(),
                URL_START + database,
                folder.resolve("data-" + machine).toString(),
                folder.resolve("config-" + machine).toString(),
                String.valueOf(HANDS),
                acknowledged.toString(),
                met.toString());
        builder.environment().putAll(Postgres.environment());
        Life life = new Life(
                builder.redirectErrorStream(true).redirectOutput(said.toFile()).start(), acknowledged, met, said);
        lives.add(life);
        return life;
    }

    private void check(PostgresAddress database) throws IOException, SQLException {
        try (SqlEventLog log = SqlEventLog.open(
                database, folder.resolve("data-0"), folder.resolve("config-0"), Clock.systemUTC(), new Random(1))) {
            assertEquals(Optional.empty(), log.verify().wrong());
            assertEquals(List.of(), log.cut());
            assertEquals(2, log.heads().size(), "each machine goes on with its own chain after every kill");
            List<Stored> all = log.read(0, Integer.MAX_VALUE);
            Set<EventId> ids =
                    all.stream().map(stored -> stored.envelope().id()).collect(Collectors.toSet());
            assertEquals(all.size(), ids.size(), "nothing stands twice");
            Map<Long, String> order = all.stream().collect(Collectors.toMap(Stored::pos, Stored::hash));
            for (Life life : lives) {
                for (String id : whole(life.acknowledged)) {
                    assertTrue(ids.contains(new EventId(id)), "acknowledged, but not there: " + id);
                }
                long expected = 1;
                for (String line : whole(life.met)) {
                    String[] met = line.split(" ");
                    assertEquals(expected, Long.parseLong(met[0]), "a follower skipped something");
                    assertEquals(order.get(expected), met[1], "and all see one order");
                    expected++;
                }
            }
        }
    }

    private static List<String> whole(Path file) throws IOException {
        String text = Files.exists(file) ? Files.readString(file) : "";
        return text.substring(0, text.lastIndexOf('\n') + 1).lines().toList();
    }
}
