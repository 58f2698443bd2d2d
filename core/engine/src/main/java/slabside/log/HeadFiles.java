package slabside.log;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
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
    private final Map<String, RandomAccessFile> open = new HashMap<>();

    HeadFiles(Path configFolder, Path dataFolder) {
        this.folder = configFolder.resolve("heads");
        this.dataFolder = dataFolder.toAbsolutePath().normalize();
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
            file = new RandomAccessFile(folder.resolve(head.origin()).toFile(), "rw");
            open.put(head.origin(), file);
        }
        byte[] text = (String.format("%019d %s %s %s", head.oseq(), head.hash(), own ? "own" : "seen", dataFolder)
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
                folder.resolve(head.origin() + LOST),
                String.format("%019d %s %s %s", head.oseq(), head.hash(), "lost", dataFolder) + "\n");
    }

    /** Such an end came back. */
    void find(Head head) throws IOException {
        Files.deleteIfExists(folder.resolve(head.origin() + LOST));
    }

    /** The heads remembered for this data folder. */
    List<Remembered> read() throws IOException {
        return read(name -> !name.endsWith(LOST));
    }

    /** Ends that were lost and did not come back yet. */
    List<Head> lost() throws IOException {
        return read(name -> name.endsWith(LOST)).stream()
                .map(Remembered::head)
                .map(head -> new Head(head.origin().replace(LOST, ""), head.oseq(), head.hash()))
                .toList();
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
                String[] parts = Files.readString(file).strip().split(" ", 4);
                if (parts.length == 4 && parts[3].equals(dataFolder.toString()) && parts[0].matches("\\d{19}")) {
                    heads.add(new Remembered(
                            new Head(file.getFileName().toString(), Long.parseLong(parts[0]), parts[1]),
                            parts[2].equals("own")));
                }
            }
        }
        return heads;
    }

    @Override
    public void close() throws IOException {
        for (RandomAccessFile file : open.values()) {
            file.close();
        }
    }
}
