package slabside.web;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.ParentCommand;
import slabside.host.Drawn;
import slabside.host.DroppedIn;
import slabside.measure.BadInput;
import slabside.studio.Studio;

/** What is done with plugins on the command line. */
@Command(
        name = "plugins",
        description = {
            "Plugins in the folder “plugins” of the data; without a further word, lists them.",
            "An approved plugin runs in a process of its own: its faults cannot reach the log. That isolates faults, not"
                    + " malice: it has the rights of whoever runs it. Approve what you trust."
        },
        mixinStandardHelpOptions = true)
final class PluginCommands implements Runnable {
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
    public void run() {
        list(where, form);
    }

    @Command(description = "Lists them: state, what each offers, last error.", mixinStandardHelpOptions = true)
    int list(@Mixin Where folders, @Mixin Commands.Form as) {
        return say(folders, as, DroppedIn::list);
    }

    @Command(description = "Lets a file run as it is now.", mixinStandardHelpOptions = true)
    int approve(@Mixin Where folders, @Mixin Commands.Form as, @Parameters(paramLabel = "FILE") String file) {
        return say(folders, as, dropped -> List.of(dropped.approve(file)));
    }

    @Command(description = "Takes an approval back; the file stays.", mixinStandardHelpOptions = true)
    int revoke(@Mixin Where folders, @Mixin Commands.Form as, @Parameters(paramLabel = "FILE") String file) {
        return say(folders, as, dropped -> List.of(dropped.revoke(file)));
    }

    @Command(
            description = "Looks a file through and asks what it offers, without approving it. This runs it.",
            mixinStandardHelpOptions = true)
    int check(@Mixin Where folders, @Mixin Commands.Form as, @Parameters(paramLabel = "FILE") String file) {
        return say(folders, as, dropped -> List.of(dropped.check(file)));
    }

    @Command(description = "Copies a JAR into the folder of plugins; it is off there.", mixinStandardHelpOptions = true)
    int drop(@Mixin Where folders, @Mixin Commands.Form as, @Parameters(paramLabel = "JAR") Path jar) {
        if (!Files.isRegularFile(jar) || !jar.getFileName().toString().endsWith(".jar")) {
            throw new BadInput("JAR", jar, "give a file that ends in .jar");
        }
        return say(folders, as, dropped -> {
            try {
                Files.createDirectories(dropped.folder());
                Path beside = dropped.folder().resolve(jar.getFileName() + ".new");
                Files.copy(jar, beside, java.nio.file.StandardCopyOption.REPLACE_EXISTING);
                Files.move(
                        beside,
                        dropped.folder().resolve(jar.getFileName()),
                        java.nio.file.StandardCopyOption.REPLACE_EXISTING,
                        java.nio.file.StandardCopyOption.ATOMIC_MOVE);
                return dropped.list();
            } catch (IOException failed) {
                throw new BadInput("JAR", jar, "it cannot be copied: " + failed.getMessage());
            }
        });
    }

    @Command(
            name = "new",
            description = "Writes a Maven project for a plugin: one class, one test, ready to build.",
            mixinStandardHelpOptions = true)
    int create(
            @Parameters(paramLabel = "NAME", description = "such as sheets-left") String name,
            @Option(names = "--in", paramLabel = "DIR", description = "where (default: here)") @Nullable Path in) {
        Path under = in == null ? Path.of("") : in;
        List<Path> files = NewPlugin.write(name, under);
        commands().out.println("Written: " + files.size() + " files in " + under.resolve(name));
        commands().out.println("Build it there:  mvn package");
        commands().out.println("Then:  slabside plugins drop " + under.resolve(Path.of(name, "target", name + ".jar")));
        commands().out.println("       slabside plugins approve " + name + ".jar");
        return 0;
    }

    private int say(Where folders, Commands.Form as, Function<DroppedIn, List<DroppedIn.Listed>> deed) {
        try (Studio studio = commands().forReading(folders)) {
            DroppedIn dropped = studio.host().droppedIn();
            commands().out.print(Drawn.as(as.format, PluginWords.answer(dropped.folder(), deed.apply(dropped))));
            return 0;
        }
    }
}
