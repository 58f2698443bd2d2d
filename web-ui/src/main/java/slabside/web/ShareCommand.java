package slabside.web;

import java.nio.file.Path;
import java.time.ZoneId;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.ParentCommand;
import slabside.host.Drawn;
import slabside.share.Exchanged;
import slabside.share.Sharing;
import slabside.studio.Studio;

/** One studio on several machines, through a folder that all reach. */
@Command(
        name = "share",
        description = {
            "One studio on several machines, through a folder that something carries between them.",
            "Without a further word, exchanges now and says what came from where and what is missing."
        },
        mixinStandardHelpOptions = true)
final class ShareCommand implements Callable<Integer> {
    @ParentCommand
    @Nullable
    Commands commands;

    @Mixin
    Where where = new Where();

    @Mixin
    Commands.Form form = new Commands.Form();

    private Commands commands() {
        return java.util.Objects.requireNonNull(commands);
    }

    @Override
    public Integer call() {
        return now(where, form);
    }

    @Command(description = "Exchanges now.", mixinStandardHelpOptions = true)
    int now(@Mixin Where folders, @Mixin Commands.Form as) {
        try (Studio studio = commands().forWriting(folders)) {
            Optional<Sharing> sharing = Sharing.of(studio);
            if (sharing.isEmpty()) {
                commands()
                        .out
                        .println(
                                "This studio is not shared. Begin with: slabside share make FOLDER --name \"the laptop\"; enter with: slabside share join FOLDER --name \"the tablet\"");
                return 0;
            }
            return told(studio, sharing.get(), as);
        }
    }

    @Command(description = "Shares this studio through an empty folder.", mixinStandardHelpOptions = true)
    int make(
            @Mixin Where folders,
            @Mixin Commands.Form as,
            @Parameters(paramLabel = "FOLDER") Path folder,
            @Option(names = "--name", required = true, description = "what to call this machine") String name) {
        try (Studio studio = commands().forWriting(folders)) {
            return told(studio, Sharing.make(studio, folder, name), as);
        }
    }

    @Command(description = "Enters a studio that is shared through a folder.", mixinStandardHelpOptions = true)
    int join(
            @Mixin Where folders,
            @Mixin Commands.Form as,
            @Parameters(paramLabel = "FOLDER") Path folder,
            @Option(names = "--name", required = true, description = "what to call this machine") String name,
            @Option(
                            names = "--merge",
                            description =
                                    "even if the two have nothing in common: they become one, which cannot be undone")
                    boolean merge) {
        try (Studio studio = commands().forWriting(folders)) {
            return told(studio, Sharing.join(studio, folder, name, merge), as);
        }
    }

    @Command(description = "Stops sharing from this machine; all that is here stays.", mixinStandardHelpOptions = true)
    int leave(
            @Mixin Where folders,
            @Option(names = "--anyway", description = "even when the shared folder is not reached") boolean anyway) {
        try (Studio studio = commands().forWriting(folders)) {
            Optional<Sharing> sharing = Sharing.of(studio);
            sharing.ifPresent(each -> each.leave(anyway));
            commands()
                    .out
                    .println(
                            sharing.isPresent()
                                    ? "This machine shares the studio no more; it keeps all that it has."
                                    : "This studio is not shared.");
            return 0;
        }
    }

    private int told(Studio studio, Sharing sharing, Commands.Form as) {
        Exchanged exchanged = sharing.last().at() == 0 ? sharing.now() : sharing.last();
        commands()
                .out
                .print(Drawn.as(
                        as.format,
                        new SharingWords(studio, ZoneId.systemDefault()).told(sharing.membership(), exchanged)));
        return exchanged.trouble().isEmpty() ? 0 : 1;
    }
}
