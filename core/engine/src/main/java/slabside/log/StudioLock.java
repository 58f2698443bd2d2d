package slabside.log;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.channels.OverlappingFileLockException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;

/** Lets one process at a time use the folder of a studio; says where it can be reached. The system frees it on any death. */
public final class StudioLock implements AutoCloseable {
    /** The lock lies far behind the text, so that others may read the text while it is held. */
    private static final long LOCKED_BYTE = 1L << 40;

    /**
     * What this process holds, with what it announced. Closing any second handle of a file would free the lock on some
     * systems, so a folder held here is never opened again.
     */
    private static final Map<Path, String> HELD_HERE = new ConcurrentHashMap<>();

    private final Path path;
    private final FileChannel channel;
    private final FileLock lock;

    private StudioLock(Path path, FileChannel channel, FileLock lock) {
        this.path = path;
        this.channel = channel;
        this.lock = lock;
    }

    /** Makes the folder if there is none, and keeps every other process from using it until closed; empty when one does. */
    public static Optional<StudioLock> take(Path dataFolder) throws IOException {
        Files.createDirectories(dataFolder);
        Path path = file(dataFolder);
        if (HELD_HERE.putIfAbsent(path, "this process") != null) {
            return Optional.empty();
        }
        Optional<StudioLock> taken = Optional.empty();
        try {
            taken = lock(path);
        } finally {
            if (taken.isEmpty()) {
                HELD_HERE.remove(path);
            }
        }
        return taken;
    }

    static StudioLock claim(Path dataFolder) throws IOException {
        return take(dataFolder)
                .orElseThrow(() -> new LogTrouble("The studio in " + dataFolder + " is being written by "
                        + holder(dataFolder) + ". Use that, or stop it first."));
    }

    /** Whether a process, this one included, uses a folder. */
    public static boolean isHeld(Path dataFolder) {
        if (!Files.isWritable(dataFolder)) {
            return false;
        }
        try (StudioLock lock = take(dataFolder).orElse(null)) {
            return lock == null;
        } catch (IOException failed) {
            throw new LogTrouble("The folder " + dataFolder + " cannot be used: " + failed.getMessage(), failed);
        }
    }

    private static Optional<StudioLock> lock(Path path) throws IOException {
        FileChannel channel =
                FileChannel.open(path, StandardOpenOption.CREATE, StandardOpenOption.READ, StandardOpenOption.WRITE);
        try {
            FileLock lock = channel.tryLock(LOCKED_BYTE, 1, false);
            if (lock != null) {
                StudioLock taken = new StudioLock(path, channel, lock);
                taken.announce("process " + ProcessHandle.current().pid());
                return Optional.of(taken);
            }
        } catch (OverlappingFileLockException heldByThisProcess) {
            channel.close();
            return Optional.empty();
        }
        channel.close();
        return Optional.empty();
    }

    /** Says where the holder can be reached, such as an address on this machine. */
    void announce(String where) throws IOException {
        HELD_HERE.put(path, where);
        channel.truncate(0);
        channel.write(ByteBuffer.wrap(where.getBytes(StandardCharsets.UTF_8)), 0);
    }

    /** What the process that uses a folder said of where it can be reached, such as the address of its pages. */
    public static String holder(Path dataFolder) {
        String here = HELD_HERE.get(file(dataFolder));
        if (here != null) {
            return here;
        }
        try {
            String said = Files.readString(file(dataFolder)).strip();
            return said.isEmpty() ? "another process" : said;
        } catch (IOException unreadable) {
            return "another process";
        }
    }

    private static Path file(Path dataFolder) {
        return dataFolder.toAbsolutePath().normalize().resolve("studio.lock");
    }

    @Override
    public void close() throws IOException {
        lock.release();
        channel.close();
        HELD_HERE.remove(path);
    }
}
