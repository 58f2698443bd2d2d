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
import java.util.Optional;

/** Lets one process at a time write to a studio; says where that process can be reached. The system frees it on any death. */
final class StudioLock implements AutoCloseable {
    /** The lock lies far behind the text, so that others may read the text while it is held. */
    private static final long LOCKED_BYTE = 1L << 40;

    private final FileChannel channel;
    private final FileLock lock;

    private StudioLock(FileChannel channel, FileLock lock) {
        this.channel = channel;
        this.lock = lock;
    }

    static Optional<StudioLock> take(Path dataFolder) throws IOException {
        FileChannel channel = FileChannel.open(
                file(dataFolder), StandardOpenOption.CREATE, StandardOpenOption.READ, StandardOpenOption.WRITE);
        try {
            FileLock lock = channel.tryLock(LOCKED_BYTE, 1, false);
            if (lock != null) {
                StudioLock taken = new StudioLock(channel, lock);
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
        channel.truncate(0);
        channel.write(ByteBuffer.wrap(where.getBytes(StandardCharsets.UTF_8)), 0);
    }

    /** What the holder last said. */
    static String holder(Path dataFolder) {
        try {
            String said = Files.readString(file(dataFolder)).strip();
            return said.isEmpty() ? "another process" : said;
        } catch (IOException unreadable) {
            return "another process";
        }
    }

    private static Path file(Path dataFolder) {
        return dataFolder.resolve("studio.lock");
    }

    @Override
    public void close() throws IOException {
        lock.release();
        channel.close();
    }
}
