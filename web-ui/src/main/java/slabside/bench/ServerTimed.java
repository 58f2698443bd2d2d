package slabside.bench;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Clock;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Random;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.atomic.AtomicLong;
import slabside.log.Decision;
import slabside.log.Draft;
import slabside.log.LogTrouble;
import slabside.log.PostgresAddress;
import slabside.log.SqlEventLog;
import slabside.log.Stored;
import slabside.plugin.Answer;

/**
 * The log on a PostgreSQL server beside bare durable inserts into the same server, in a schema of its own that is taken away
 * again; to a studio in the same database nothing is added, but it may have to wait.
 */
public final class ServerTimed {
    private static final String SCHEMA = "slabside_bench";
    private static final int SINGLES = 4_000;
    private static final int WARMING = 5_000;
    private static final int CLIENTS = 64;
    private static final int EACH = 400;
    private static final long SEED = 7;

    private final PostgresAddress address;
    private final SqlEventLog log;
    private final BusyStudio studio = LogTimed.studio();
    private final Figures figures = new Figures();

    private ServerTimed(PostgresAddress address, SqlEventLog log) {
        this.address = address;
        this.log = log;
    }

    /** Measures, with files under a folder that the caller takes away. */
    public static Answer run(PostgresAddress database, Path folder) {
        PostgresAddress address = database.inSchema(SCHEMA);
        try (Connection connection = database.source().getConnection();
                Statement statement = connection.createStatement()) {
            statement.execute("CREATE SCHEMA " + SCHEMA);
            try (SqlEventLog log = SqlEventLog.open(
                    address, folder.resolve("data"), folder.resolve("config"), Clock.systemUTC(), new Random(SEED))) {
                statement.execute(
                        "CREATE TABLE " + SCHEMA + ".bare (pos bigint PRIMARY KEY, origin text NOT NULL,"
                                + " oseq bigint NOT NULL, id text NOT NULL UNIQUE, line text NOT NULL, hash bytea NOT NULL, UNIQUE (origin, oseq, hash))");
                // As a serving machine does, so that what listening costs is in the figures.
                log.follow(() -> {});
                ServerTimed timed = new ServerTimed(address, log);
                timed.singles();
                timed.clients();
                return timed.answer(connection.getMetaData().getDatabaseProductVersion());
            } finally {
                statement.execute("DROP SCHEMA " + SCHEMA + " CASCADE");
            }
        } catch (SQLException failed) {
            throw new LogTrouble(
                    "The bench could not use " + database + ": " + failed.getMessage()
                            + ". It needs the right to make a schema; where one that was stopped left its own behind, take that away with: DROP SCHEMA "
                            + SCHEMA + " CASCADE",
                    failed);
        }
    }

    private Answer answer(String version) {
        return Answer.titled("Bench on a server")
                .text("PostgreSQL " + version + " at " + address + "; Java " + Runtime.version() + ", "
                        + Runtime.getRuntime().availableProcessors() + " processors here.")
                .with(figures.table());
    }

    /** A connection that inserts and waits for the disk, one row at a time. */
    private final class Bare implements AutoCloseable {
        private final Connection connection;
        private final PreparedStatement insert;

        Bare() throws SQLException {
            connection = address.source().getConnection();
            try (Statement say = connection.createStatement()) {
                say.execute("SET synchronous_commit = on");
            }
            insert = connection.prepareStatement(
                    "INSERT INTO bare (pos, origin, oseq, id, line, hash) VALUES (?, ?, ?, ?, ?, ?)");
        }

        void insert(Stored row, long number) throws SQLException {
            insert.setLong(1, number);
            insert.setString(2, row.line().substring(11, 27));
            insert.setLong(3, number);
            insert.setString(4, row.line().substring(0, 30) + number);
            insert.setString(5, row.line());
            insert.setBytes(6, HexFormat.of().parseHex(row.hash()));
            insert.executeUpdate();
        }

        @Override
        public void close() throws SQLException {
            connection.close();
        }
    }

    private void singles() throws SQLException {
        try (Bare bare = new Bare()) {
            AtomicLong number = new AtomicLong();
            SinglesTimed times = SinglesTimed.measure(
                    log, studio, WARMING, SINGLES, row -> bare.insert(row, number.getAndIncrement()));
            figures.singles(times, "");
        }
    }

    /** What a client does over and over. */
    private interface Client {
        void once(int number) throws SQLException;
    }

    private void clients() throws SQLException {
        List<Draft> drafts = studio.next(CLIENTS * EACH);
        double ours = perSecond(client -> log.append(Decision.of(drafts.get(client))));
        Stored row = log.at(log.last()).orElseThrow();
        List<Bare> all = new ArrayList<>();
        try {
            for (int i = 0; i < CLIENTS; i++) {
                all.add(new Bare());
            }
            double floor = perSecond(number -> all.get(number / EACH).insert(row, 1_000_000 + number));
            figures.compared(
                    CLIENTS + " clients, one event at a time each",
                    ours,
                    floor,
                    "events/s",
                    floor / ours,
                    "at least 5,000/s if the floor allows it");
        } finally {
            for (Bare each : all) {
                each.close();
            }
        }
    }

    private static double perSecond(Client client) {
        ExecutorService pool = Executors.newFixedThreadPool(CLIENTS);
        try {
            CountDownLatch begin = new CountDownLatch(1);
            List<CompletableFuture<Void>> running = new ArrayList<>();
            for (int i = 0; i < CLIENTS; i++) {
                int first = i * EACH;
                running.add(CompletableFuture.runAsync(
                        () -> {
                            try {
                                begin.await();
                                for (int number = first; number < first + EACH; number++) {
                                    client.once(number);
                                }
                            } catch (InterruptedException asked) {
                                Thread.currentThread().interrupt();
                            } catch (SQLException failed) {
                                throw new LogTrouble("A client of the bench failed: " + failed.getMessage(), failed);
                            }
                        },
                        pool));
            }
            long start = System.nanoTime();
            begin.countDown();
            running.forEach(CompletableFuture::join);
            return CLIENTS * EACH / ((System.nanoTime() - start) / 1e9);
        } finally {
            pool.shutdown();
        }
    }
}
