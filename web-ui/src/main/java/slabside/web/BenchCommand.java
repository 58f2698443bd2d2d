package slabside.web;

import static java.util.Objects.requireNonNull;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParentCommand;
import slabside.bench.Bench;
import slabside.bench.ServerTimed;
import slabside.host.Drawn;
import slabside.log.PostgresAddress;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.studio.WholeFolder;

/** Measures what a user waits for. */
@Command(
        name = "bench",
        description = "Makes a large log in a temporary folder and measures what a user waits for, beside its floor.",
        mixinStandardHelpOptions = true)
final class BenchCommand implements Callable<Integer> {
    private static final int FEWEST_EVENTS = 10_000;

    @ParentCommand
    @Nullable
    Commands commands;

    @Mixin
    Commands.Form form = new Commands.Form();

    @Option(
            names = "--events",
            paramLabel = "N",
            defaultValue = "1000000",
            description = "size of the log (default: ${DEFAULT-VALUE})")
    int events;

    @Option(
            names = "--under",
            paramLabel = "DIR",
            description = "where to make it (default: the system's temporary folder)")
    @Nullable
    Path under;

    @Option(
            names = "--log",
            paramLabel = "ADDRESS",
            description =
                    "measure a log in this PostgreSQL database instead, in a schema of its own that is taken away again")
    @Nullable
    String log;

    @Override
    public Integer call() throws IOException {
        Answer measured = log == null ? inFile() : onServer(PostgresAddress.of(log, System.getenv()));
        requireNonNull(commands).out.print(Drawn.as(form.format, measured));
        return 0;
    }

    private Answer inFile() {
        if (events < FEWEST_EVENTS) {
            throw new BadInput("--events", events, "give at least " + FEWEST_EVENTS + ", or the figures mean nothing");
        }
        Path folder = under == null ? Path.of(System.getProperty("java.io.tmpdir", ".")) : under;
        return Bench.run(folder, events, ServedPages::of);
    }

    private static Answer onServer(PostgresAddress database) throws IOException {
        Path folder = Files.createTempDirectory("slabside-bench-");
        try {
            return ServerTimed.run(database, folder);
        } finally {
            WholeFolder.delete(folder);
        }
    }
}
