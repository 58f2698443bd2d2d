package slabside.log;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.function.Predicate;

/**
 * Remembers, outside the data folder, how far each chain had come, so that a log that was cut or put back from an old copy
 * gives itself away. One small file for each chain: {@code oseq hash own|seen folder}. Written after every commit without waiting
 * for the disk; after a power cut it may be behind, which is normal.
 */
final class HeadFiles implements AutoCloseable {
    private static final String LOST = ".lost";

    private final Path folder;
    private final Path dataFolder;
    private final String mark;
    private final Map<String, RandomAccessFile> open = new HashMap<>();

    HeadFiles(Path configFolder, Path dataFolder) {
        this.folder = configFolder.resolve("heads");
        this.dataFolder = dataFolder.toAbsolutePath().normalize();
        this.mark =
                String.format(Locale.ROOT, "%08x", this.dataFolder.toString().hashCode());
    }

    /**
     * A remembered head.
     *
     * @param own whether this installation wrote the chain, rather than took it over from another device
     */
    record Remembered(Head head, boolean own) {}

    void write(Head head, boolean own) throws IOException {
        RandomAccessFile file = open.get(head.origin());
        if (file == null) {
            Files.createDirectories(folder);
            file = new RandomAccessFile(place(head.origin()).toFile(), "rw");
            open.put(head.origin(), file);
        }
        byte[] text = (String.format(
                                Locale.ROOT,
                                "%019d %s %s %s",
                                head.oseq(),
                                head.hash(),
                                own ? "own" : "seen",
                                dataFolder)
                        + "\n")
                .getBytes(StandardCharsets.UTF_8);
        file.seek(0);
        file.write(text);
        if (file.length() != text.length) {
            file.setLength(text.length);
        }
    }

    /** Remembers an end that the log does not reach any more, and goes on without. */
    void lose(Head head) throws IOException {
        Files.createDirectories(folder);
        Files.writeString(
                lost(head),
                String.format(Locale.ROOT, "%019d %s %s %s", head.oseq(), head.hash(), "lost", dataFolder) + "\n");
    }

    /** Such an end came back. */
    void find(Head head) throws IOException {
        Files.deleteIfExists(lost(head));
    }

    /** A chain may be lost more than once, at different places. */
    private Path lost(Head head) {
        return folder.resolve(head.origin() + "." + mark + "." + head.oseq() + LOST);
    }

    /** A copy of this log may lie in another folder of the same machine, so each has files of its own. */
    private Path place(String origin) throws IOException {
        Path known = folder.resolve(origin);
        return Files.exists(known) && remembered(known).isPresent() ? known : folder.resolve(origin + "." + mark);
    }

    /** The heads remembered for this data folder. */
    List<Remembered> read() throws IOException {
        return read(name -> !name.endsWith(LOST));
    }

    /** Ends that were lost and did not come back yet. */
    List<Head> lost() throws IOException {
        return read(name -> name.endsWith(LOST)).stream().map(Remembered::head).toList();
    }

    private List<Remembered> read(Predicate<String> named) throws IOException {
        List<Remembered> heads = new ArrayList<>();
        if (!Files.isDirectory(folder)) {
            return heads;
        }
        try (var files = Files.list(folder)) {
            for (Path file : files.filter(each -> named.test(each.getFileName().toString()))
                    .sorted()
                    .toList()) {
                remembered(file).ifPresent(heads::add);
            }
        }
        return heads;
    }

    /** What a file says, if it is of this data folder. */
    private Optional<Remembered> remembered(Path file) throws IOException {
        String[] parts = Files.readString(file).strip().split(" ", 4);
        return parts.length == 4
                        && parts[3].equals(dataFolder.toString())
                        && parts[0].matches("\\d{19}")
                        && parts[1].matches("[0-9a-f]{64}")
                ? Optional.of(new Remembered(
                        new Head(file.getFileName().toString().split("\\.")[0], Long.parseLong(parts[0]), parts[1]),
                        parts[2].equals("own")))
                : Optional.empty();
    }

    @Override
    public void close() throws IOException {
        for (RandomAccessFile file : open.values()) {
            file.close();
        }
    }
}
