package slabside.web;

import java.nio.file.Path;
import java.util.Locale;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParentCommand;
import slabside.studio.Studio;

/** Puts a whole studio into one folder that can be read without this program. */
@Command(
        name = "archive",
        description =
                "Puts the whole studio into one folder: log, tables, photos, papers, and a text that says what is what.",
        mixinStandardHelpOptions = true)
final class ArchiveCommand implements Callable<Integer> {
    @ParentCommand
    @Nullable
    Commands commands;

    @Mixin
    Where where = new Where();

    @Option(names = "--to", paramLabel = "FOLDER", required = true, description = "a folder that is not there yet")
    @Nullable
    Path to;

    @Option(names = "--no-papers", description = "leave the PDFs out")
    boolean noPapers;

    @Override
    public Integer call() {
        Commands all = java.util.Objects.requireNonNull(commands);
        Path folder = java.util.Objects.requireNonNull(to);
        try (Studio studio = all.forReading(where)) {
            Archive.Made made = new Archive(
                            studio, (share, words) -> all.err.printf(Locale.ROOT, "%3.0f %% %s%n", share * 100, words))
                    .into(folder, !noPapers);
            all.out.println(made.events() + " events, " + made.attached() + " photos and memos, " + made.papers()
                    + " papers are in " + folder);
            made.notMade().forEach(line -> all.out.println("not made: " + line));
            all.out.println("Check it with: python3 " + folder.resolve("check.py") + " " + folder);
            return 0;
        }
    }
}
