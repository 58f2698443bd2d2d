package slabside.log;

import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import slabside.studio.WholeFolder;

/**
 * A real PostgreSQL server for this run of tests alone, on loopback, from the programs of this machine. Every test makes a database
 * of its own in it. Where the programs are missing the tests are skipped with a line, but never in continuous integration.
 */
public final class Postgres implements AutoCloseable {
    private static final String USER = "studio";
    private static final String PASSWORD = "only for tests";
    private static final Map<String, String> ENVIRONMENT = Map.of("PGUSER", USER, "PGPASSWORD", PASSWORD);

    private static Postgres shared;

    private final Path programs;
    private final Path folder;
    private final int port;
    private int databases;

    private Postgres(Path programs) throws IOException {
        this.programs = programs;
        this.folder = Files.createTempDirectory("slabside-postgres-");
        try (ServerSocket free = new ServerSocket(0)) {
            this.port = free.getLocalPort();
        }
        Path password = Files.writeString(folder.resolve("password"), PASSWORD);
        if (isRoot()) {
            run(List.of("chown", "-R", "postgres", folder.toString()));
        }
        run(asServer(
                "initdb",
                "--pgdata=" + data(),
                "--username=" + USER,
                "--auth=scram-sha-256",
                "--pwfile=" + password,
                "--encoding=UTF8",
                "--locale=C",
                "--no-sync"));
        start();
        Runtime.getRuntime().addShutdownHook(new Thread(this::close));
    }

    /** The one server that the tests of this run share. */
    public static synchronized Postgres shared() {
        if (shared == null) {
            shared = ofItsOwn();
        }
        return shared;
    }

    /** A server that a test may stop and kill. */
    public static Postgres ofItsOwn() {
        Optional<Path> programs = programs();
        if (System.getenv("CI") == null) {
            assumeTrue(
                    programs.isPresent(), "No PostgreSQL server is installed; the tests of a log on one are skipped.");
        }
        try {
            return new Postgres(programs.orElseThrow());
        } catch (IOException failed) {
            throw new UncheckedIOException(failed);
        }
    }

    /** Where Debian puts them, one folder for each version; or whoever else, on the path. */
    private static Optional<Path> programs() {
        List<Path> places = new ArrayList<>();
        try (Stream<Path> versions = Files.isDirectory(Path.of("/usr/lib/postgresql"))
                ? Files.list(Path.of("/usr/lib/postgresql"))
                : Stream.empty()) {
            versions.map(version -> version.resolve("bin")).forEach(places::add);
        } catch (IOException failed) {
            throw new UncheckedIOException(failed);
        }
        places.sort(Comparator.reverseOrder());
        for (String place : System.getenv("PATH").split(java.io.File.pathSeparator)) {
            places.add(Path.of(place));
        }
        return places.stream()
                .filter(place -> Files.isExecutable(place.resolve("initdb")))
                .findFirst();
    }

    private static boolean isRoot() {
        return System.getProperty("user.name").equals("root");
    }

    private Path data() {
        return folder.resolve("data");
    }

    /** The server refuses to run as root. */
    private List<String> asServer(String program, String... arguments) {
        List<String> command = new ArrayList<>();
        if (isRoot()) {
            command.addAll(List.of("runuser", "-u", "postgres", "--"));
        }
        command.add(programs.resolve(program).toString());
        command.addAll(List.of(arguments));
        return command;
    }

    private void run(List<String> command) throws IOException {
        Path said = Files.createTempFile("slabside-postgres-", ".log");
        try {
            Process process = new ProcessBuilder(command)
                    .directory(folder.toFile())
                    .redirectErrorStream(true)
                    .redirectOutput(said.toFile())
                    .start();
            if (!process.waitFor(60, TimeUnit.SECONDS) || process.exitValue() != 0) {
                throw new IOException(command + " failed: " + Files.readString(said));
            }
        } catch (InterruptedException asked) {
            Thread.currentThread().interrupt();
        } finally {
            Files.delete(said);
        }
    }

    /** Starts the server, after a kill too, and waits until it answers. */
    public void start() {
        try {
            run(asServer(
                    "pg_ctl",
                    "--pgdata=" + data(),
                    "--log=" + folder.resolve("server.log"),
                    "--wait",
                    "--options=-p " + port + " -c listen_addresses=127.0.0.1 -c unix_socket_directories=",
                    "start"));
        } catch (IOException failed) {
            throw new UncheckedIOException(failed);
        }
    }

    /** Stops the server as an operator does who restarts it. */
    public void stop() {
        try {
            run(asServer("pg_ctl", "--pgdata=" + data(), "--mode=fast", "--wait", "stop"));
        } catch (IOException failed) {
            throw new UncheckedIOException(failed);
        }
    }

    /** A server that was killed leaves its file behind. */
    private boolean isRunning() throws IOException {
        Path file = data().resolve("postmaster.pid");
        return Files.exists(file)
                && ProcessHandle.of(
                                Long.parseLong(Files.readAllLines(file).get(0).strip()))
                        .isPresent();
    }

    /** Kills every process of the server at once. */
    public void kill() {
        try {
            long pid = Long.parseLong(
                    Files.readAllLines(data().resolve("postmaster.pid")).get(0).strip());
            ProcessHandle server = ProcessHandle.of(pid).orElseThrow();
            List<ProcessHandle> all = new ArrayList<>(server.descendants().toList());
            all.add(0, server);
            all.forEach(ProcessHandle::destroyForcibly);
            for (ProcessHandle each : all) {
                each.onExit().get(30, TimeUnit.SECONDS);
            }
        } catch (IOException failed) {
            throw new UncheckedIOException(failed);
        } catch (InterruptedException asked) {
            Thread.currentThread().interrupt();
        } catch (java.util.concurrent.ExecutionException | java.util.concurrent.TimeoutException stays) {
            throw new IllegalStateException("The server does not die", stays);
        }
    }

    int port() {
        return port;
    }

    /** Makes an empty database; returns its address. */
    public synchronized PostgresAddress database() {
        String name = "studio_" + ++databases;
        try {
            sql(address("postgres"), "CREATE DATABASE " + name);
        } catch (SQLException failed) {
            throw new IllegalStateException(failed);
        }
        return address(name);
    }

    public PostgresAddress address(String database) {
        return PostgresAddress.of("jdbc:postgresql://127.0.0.1:" + port + "/" + database, ENVIRONMENT);
    }

    /** Address and password file for whoever is not given them by the environment. */
    public String url(PostgresAddress database) {
        return "jdbc:" + database + "?user=" + USER;
    }

    public static String passwordLine() {
        return "127.0.0.1:*:*:" + USER + ":" + PASSWORD + "\n";
    }

    /** What a process needs in its environment to come in. */
    public static Map<String, String> environment() {
        return ENVIRONMENT;
    }

    /** Says something to a database behind the log's back. */
    public static void sql(PostgresAddress database, String... statements) throws SQLException {
        try (Connection connection = database.source().getConnection();
                Statement statement = connection.createStatement()) {
            for (String each : statements) {
                statement.execute(each);
            }
        }
    }

    @Override
    public void close() {
        try {
            if (!Files.exists(folder)) {
                return;
            }
            if (isRunning()) {
                run(asServer("pg_ctl", "--pgdata=" + data(), "--mode=immediate", "stop"));
            }
            WholeFolder.delete(folder);
        } catch (IOException failed) {
            throw new UncheckedIOException(failed);
        }
    }
}
