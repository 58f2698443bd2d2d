package slabside.web;

import java.io.File;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.regex.Pattern;
import slabside.log.NativeSqlite;

/**
 * Inside an app image: an archive of the classes that a start needs, from which the JDK starts in half the time, and the part of
 * SQLite that is machine code. The archive holds for the
 * folder that it was made in; where the image was moved, one start in that folder makes it anew, in a process of its own.
 */
final class StartArchive {
    private static final String NAME = "start.jsa";
    /** Named to SQLite's driver in the options of the image. */
    private static final String NATIVE = "native";

    private static final long LONGEST_MIN = 5;

    private final Path app;
    private volatile String trouble = "";

    private StartArchive(Path app) {
        this.app = app;
    }

    /** That of the image which this program was started from; empty when it was started otherwise. */
    static Optional<StartArchive> ofThisImage() {
        String launcher = System.getProperty("jpackage.app-path", "");
        String jar = System.getProperty("java.class.path", "").split(Pattern.quote(File.pathSeparator))[0];
        return launcher.isEmpty() || !jar.endsWith("slabside.jar")
                ? Optional.empty()
                : Optional.ofNullable(Path.of(jar).toAbsolutePath().getParent()).map(StartArchive::new);
    }

    /** Why it could not be made; empty when it could, or was not tried. */
    String trouble() {
        return trouble;
    }

    private Path place() {
        return app.resolve(NAME + ".place");
    }

    /** Whether it was made here. */
    boolean isHere() {
        try {
            return Files.exists(app.resolve(NAME))
                    && Files.exists(place())
                    && Files.readString(place()).equals(app.toString());
        } catch (IOException unreadable) {
            return false;
        }
    }

    /** Makes it anew in the background, where the folder may be written; a start without it is slower and nothing else. */
    void makeIfMissing() {
        if (!isHere() && Files.isWritable(app)) {
            Thread making = new Thread(this::make, "slabside-start-archive");
            making.setDaemon(true);
            making.setPriority(Thread.MIN_PRIORITY);
            making.start();
        }
    }

    /** Makes it anew; returns whether it is there now. */
    boolean make() {
        Path fresh = app.resolve(NAME + ".new");
        try {
            NativeSqlite.layInto(app.resolve(NATIVE));
            // The Java of an image comes without the archive of the JDK itself, on which the other stands.
            if (java("-Xshare:dump")
                    && java(
                            "-XX:ArchiveClassesAtExit=" + fresh,
                            "-XX:+UseSerialGC",
                            "-Dorg.sqlite.lib.path=" + app.resolve(NATIVE),
                            "-cp",
                            // The very same, or the JDK does not take the archive.
                            System.getProperty("java.class.path"),
                            Main.class.getName(),
                            "practice")
                    && Files.exists(fresh)) {
                Files.move(
                        fresh, app.resolve(NAME), StandardCopyOption.REPLACE_EXISTING, StandardCopyOption.ATOMIC_MOVE);
                Files.writeString(place(), app.toString(), StandardCharsets.UTF_8);
            }
        } catch (IOException withoutIt) {
            // The next start tries again; what it costs is a second.
            trouble = withoutIt.toString();
        } catch (InterruptedException stopped) {
            Thread.currentThread().interrupt();
        }
        return isHere();
    }

    private boolean java(String... arguments) throws IOException, InterruptedException {
        List<String> command = new ArrayList<>();
        command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
        command.addAll(List.of(arguments));
        Path said = Files.createTempFile("slabside-start-archive-", ".txt");
        try {
            Process process = new ProcessBuilder(command)
                    .redirectErrorStream(true)
                    .redirectOutput(said.toFile())
                    .start();
            if (!process.waitFor(LONGEST_MIN, TimeUnit.MINUTES)) {
                process.destroyForcibly();
                trouble = "it took longer than " + LONGEST_MIN + " minutes";
                return false;
            }
            if (process.exitValue() != 0) {
                trouble = Files.readString(said).strip();
            }
            return process.exitValue() == 0;
        } finally {
            Files.delete(said);
        }
    }
}
