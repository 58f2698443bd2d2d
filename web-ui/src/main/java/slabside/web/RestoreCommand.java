package slabside.web;

import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.ParentCommand;
import slabside.keeping.Restore;

/** Puts a studio back from copies, or together again from whatever is left of it. */
@Command(
        name = "restore",
        description = {
            "Puts the log together again from the file as it is, from copies, exported logs and the shared folder:"
                    + " everything that proves itself by its chain.",
            "Without --write it is a rehearsal that changes nothing. Nothing is ever deleted: the file that was there is kept."
        },
        mixinStandardHelpOptions = true)
final class RestoreCommand implements Callable<Integer> {
    @ParentCommand
    @Nullable
    Commands commands;

    @Mixin
    Where where = new Where();

    @Parameters(
            paramLabel = "FILE",
            arity = "0..*",
            description = "copies, exported logs or folders of pieces, beside those that are found by themselves")
    List<Path> files = new ArrayList<>();

    @Option(names = "--write", description = "put the result in place; without this nothing is changed")
    boolean write;

    @Override
    public Integer call() {
        Commands all = java.util.Objects.requireNonNull(commands);
        where.mustBeFolder(
                "a database is put back with its own tools; or put the log together in a folder, and import its export with --log");
        Restore.Outcome outcome =
                new Restore(where.data(), where.config(), Clock.systemDefaultZone()).run(files, write);
        all.out.println("Looked into:");
        outcome.sources().forEach(source -> all.out.println("  " + source));
        all.out.println(
                outcome.before() < 0
                        ? "There is no log in " + where.data() + " yet."
                        : outcome.before() + " events of the present file stand whole from its beginning.");
        all.out.println(
                outcome.after() + " events stand in the log put together" + (write ? "." : ", if it is written."));
        outcome.gaps().forEach(gap -> all.out.println("Still missing: " + gap));
        if (outcome.unproven() > 0) {
            all.out.println(outcome.unproven()
                    + " lines could be read but do not prove themselves: what was before them is missing, or they were changed."
                    + outcome.rest().map(file -> " They are in " + file + ".").orElse(""));
        }
        outcome.aside().ifPresent(old -> all.out.println("The file that was there is now " + old));
        all.out.println(
                write
                        ? "Look at it with: slabside verify --data " + where.data()
                        : "Nothing was changed. Put it in place with --write.");
        return 0;
    }
}
