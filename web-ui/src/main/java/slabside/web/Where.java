package slabside.web;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;
import slabside.log.LogTrouble;
import slabside.log.PostgresAddress;
import slabside.log.SqlEventLog;
import slabside.measure.BadInput;
import slabside.studio.Studio;

/** Where the studio is. */
final class Where {
    @Option(names = "--data", paramLabel = "DIR", description = "folder of the studio (default: your data folder)")
    @Nullable
    Path data;

    @Option(
            names = "--config",
            paramLabel = "DIR",
            description = "folder in which this machine remembers how far each log had come")
    @Nullable
    Path config;

    @Option(
            names = "--log",
            paramLabel = "ADDRESS",
            description =
                    "PostgreSQL database that holds the log, such as jdbc:postgresql://server/studio; who and with which password as PostgreSQL's own programs are told it (default: a file in the folder)")
    @Nullable
    String log;

    private Optional<PostgresAddress> database() {
        return Optional.ofNullable(log).map(typed -> PostgresAddress.of(typed, System.getenv()));
    }

    /** Each database has folders of its own on this machine, beside those of the studio in a file. */
    private Path usual(Path folder) {
        return database()
                .map(address -> folder.resolveSibling(folder.getFileName() + "-on-" + address.name()))
                .orElse(folder);
    }

    Path data() {
        return data == null ? usual(Folders.usual().data()) : data;
    }

    Path config() {
        return config == null ? usual(Folders.usual().config()) : config;
    }

    void mustBeThere() {
        boolean there = database().map(SqlEventLog::isIn).orElseGet(() -> Files.exists(file()));
        if (!there) {
            throw new LogTrouble("There is no studio in " + this
                    + ". Make one with: slabside demo, or slabside serve; or name its folder with --data.");
        }
    }

    void mustBeFolder(String remedy) {
        if (log != null) {
            throw new BadInput("--log", database().orElseThrow(), remedy);
        }
    }

    boolean mayBeWritten() {
        return log != null || Files.isWritable(file());
    }

    private Path file() {
        return data().resolve(SqlEventLog.FILE);
    }

    Studio open(Clock clock) {
        Optional<PostgresAddress> database = database();
        return database.isPresent()
                ? Studio.open(database.get(), data(), config(), clock)
                : Studio.open(data(), config(), clock);
    }

    Studio openToRead(Clock clock) {
        Optional<PostgresAddress> database = database();
        return database.isPresent()
                ? Studio.openToRead(database.get(), data(), config(), clock)
                : Studio.openToRead(data(), config(), clock);
    }

    SqlEventLog openLogToRead(Clock clock) {
        Optional<PostgresAddress> database = database();
        return database.isPresent()
                ? SqlEventLog.openToRead(database.get(), data(), config(), clock)
                : SqlEventLog.openToRead(data(), config(), clock);
    }

    @Override
    public String toString() {
        return database().map(PostgresAddress::toString).orElseGet(() -> data().toString());
    }
}
