package slabside.studio;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import slabside.log.LogTrouble;

/**
 * Whether the folder of a studio looks like one that a file synchroniser carries to other machines. One that copies a database
 * while it is written can put a torn or an old one back. It is a guess by names, so it is asked about once.
 */
public final class Synchronised {
    private static final Pattern NAME = Pattern.compile("(?i).*(cloud|sync).*|.*drive");
    private static final Pattern MARK = Pattern.compile("(?i)\\.(.*(cloud|sync).*|.*folder)");
    /** Folders do not become synchronised while a program runs, or it is said at its next start. */
    private static final Map<Path, Optional<String>> SIGNS = new ConcurrentHashMap<>();

    private static final String CONFIRMED = "may-stay-where-it-is";

    private Synchronised() {}

    /** What to tell of the folder of a studio, if it looks like that and nobody said that it may stay there. */
    public static Optional<String> warning(Path data, Path config) {
        Path folder = data.toAbsolutePath().normalize();
        if (confirmed(config).contains(folder.toString())) {
            return Optional.empty();
        }
        return SIGNS.computeIfAbsent(folder, Synchronised::sign)
                .map(sign -> "The folder " + folder
                        + " looks as if something keeps it the same on several machines (" + sign
                        + "). What copies a log while it is written may put a torn one back. Keep the studio in a folder of"
                        + " this machine alone, and share it through “Several machines” on the page Safekeeping.");
    }

    /** Somebody said that it may stay there. */
    public static void confirm(Path data, Path config) {
        List<String> known = confirmed(config);
        String folder = data.toAbsolutePath().normalize().toString();
        if (!known.contains(folder)) {
            String all = String.join(
                    "\n", Stream.concat(known.stream(), Stream.of(folder)).toList());
            try {
                Files.createDirectories(config);
                SafeFile.write(config.resolve(CONFIRMED), all.getBytes(StandardCharsets.UTF_8));
            } catch (IOException failed) {
                throw new LogTrouble(
                        "The folder " + config + " cannot be written: " + failed.getMessage() + ".", failed);
            }
        }
    }

    private static List<String> confirmed(Path config) {
        try {
            return Files.exists(config.resolve(CONFIRMED))
                    ? Files.readAllLines(config.resolve(CONFIRMED), StandardCharsets.UTF_8)
                    : List.of();
        } catch (IOException unreadable) {
            // Then it is asked once more.
            return List.of();
        }
    }

    /** What lies above somebody's own folder, or above all that is temporary, says nothing of this one. */
    private static boolean isLookedInto(Path folder) {
        return folder.getFileName() != null
                && !folder.equals(named("user.home"))
                && !folder.equals(named("java.io.tmpdir"));
    }

    private static Path named(String property) {
        return Path.of(System.getProperty(property, "")).toAbsolutePath().normalize();
    }

    private static Optional<String> sign(Path folder) {
        for (Path each = folder; each != null && isLookedInto(each); each = each.getParent()) {
            String name = each.getFileName().toString();
            if (NAME.matcher(name).matches()) {
                return Optional.of("its path has the name “" + name + "”");
            }
            Optional<String> mark = mark(each, "." + name.toLowerCase(Locale.ROOT));
            if (mark.isPresent()) {
                return mark;
            }
        }
        return Optional.empty();
    }

    private static Optional<String> mark(Path folder, String named) {
        if (!Files.isReadable(folder)) {
            return Optional.empty();
        }
        try (Stream<Path> inside = Files.list(folder)) {
            return inside.map(file -> file.getFileName().toString())
                    .filter(name -> name.equals(named) || MARK.matcher(name).matches())
                    .sorted()
                    .findFirst()
                    .map(name -> "in " + folder + " lies “" + name + "”");
        } catch (IOException | UncheckedIOException gone) {
            // A folder above that cannot be looked into says nothing.
            return Optional.empty();
        }
    }
}
