package slabside.studio;

import static java.util.Objects.requireNonNull;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.util.UUID;

/** Writes a file so that after any death it is there whole, as it was before, or not at all. */
public final class SafeFile {
    /** Ending of what is not finished; nobody reads such a file. */
    public static final String UNFINISHED = ".part";

    private SafeFile() {}

    /** Writes under another name, waits for the disk, and gives it its name in one step; replaces what bore it. */
    public static void write(Path file, byte[] content) throws IOException {
        Path folder = requireNonNull(file.toAbsolutePath().getParent(), "a file in a folder");
        // With the rights that any new file has here: others may have to read it.
        Path fresh = folder.resolve("coming-" + UUID.randomUUID() + UNFINISHED);
        try {
            try (FileChannel out = FileChannel.open(fresh, StandardOpenOption.WRITE, StandardOpenOption.CREATE_NEW)) {
                ByteBuffer bytes = ByteBuffer.wrap(content);
                while (bytes.hasRemaining()) {
                    out.write(bytes);
                }
                out.force(true);
            }
            Files.move(fresh, file, StandardCopyOption.REPLACE_EXISTING, StandardCopyOption.ATOMIC_MOVE);
        } finally {
            Files.deleteIfExists(fresh);
        }
        sync(folder);
    }

    /** So that the names in a folder outlive a power cut too; a system that cannot be told does it by itself. */
    public static void sync(Path folder) throws IOException {
        if (folder.getFileSystem().supportedFileAttributeViews().contains("posix")) {
            try (FileChannel itself = FileChannel.open(folder, StandardOpenOption.READ)) {
                itself.force(true);
            }
        }
    }
}
