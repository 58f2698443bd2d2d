package slabside.studio;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Comparator;
import java.util.List;
import java.util.stream.Stream;

/** Folders with everything in them. */
public final class WholeFolder {
    private WholeFolder() {}

    /** Takes a folder away with everything in it; links are not followed. */
    public static void delete(Path folder) throws IOException {
        List<Path> all;
        try (Stream<Path> found = Files.walk(folder)) {
            all = found.sorted(Comparator.reverseOrder()).toList();
        } catch (UncheckedIOException unreadable) {
            throw unreadable.getCause();
        }
        for (Path each : all) {
            Files.delete(each);
        }
    }
}
