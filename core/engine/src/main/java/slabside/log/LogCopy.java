package slabside.log;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.sql.SQLException;
import java.util.List;

/** Copies of a whole log, each a file of its own: made, verified, looked into. */
public final class LogCopy {
    private static final String UNFINISHED = ".unfinished";
    private static final long RESERVE = 100_000_000;

    private LogCopy() {}

    /** Copies under another name, waits for the disk, reads and verifies it, then gives it its name. */
    static Verification make(LogStore store, Path copy) {
        if (Files.exists(copy)) {
            throw new LogTrouble("There is a file " + copy + " already; nothing was copied over it.");
        }
        Path fresh = copy.resolveSibling(copy.getFileName() + UNFINISHED);
        try {
            Files.deleteIfExists(fresh);
            needRoom(store, copy);
            store.copyTo(fresh);
            try (FileChannel written = FileChannel.open(fresh, StandardOpenOption.WRITE)) {
                written.force(true);
            }
            Verification verified = verify(fresh);
            if (verified.wrong().isPresent()) {
                throw new LogTrouble("The copy for " + copy + " is not whole ("
                        + verified.wrong().get().what()
                        + "), so it was not kept. Verify the log itself, and look at the disk.");
            }
            Files.move(fresh, copy, StandardCopyOption.ATOMIC_MOVE);
            return verified;
        } catch (IOException | SQLException failed) {
            throw new LogTrouble(
                    "No copy could be made at " + copy + ": " + failed.getMessage()
                            + ". Look whether the folder is there, may be written and has room.",
                    failed);
        } finally {
            takeAway(fresh);
        }
    }

    /** Half a copy takes the room that the log itself needs. */
    private static void takeAway(Path unfinished) {
        try {
            Files.deleteIfExists(unfinished);
        } catch (IOException failed) {
            throw new LogTrouble(
                    "The unfinished copy " + unfinished + " cannot be deleted: " + failed.getMessage()
                            + ". Delete it by hand.",
                    failed);
        }
    }

    /** A copy must not take the last room from the log it is of. */
    private static void needRoom(LogStore store, Path copy) throws IOException, SQLException {
        Path folder = java.util.Objects.requireNonNull(copy.toAbsolutePath().getParent());
        long need = store.size() + RESERVE;
        long there = Files.getFileStore(folder).getUsableSpace();
        if (there < need) {
            throw new LogTrouble("No copy was made at " + copy + ": it needs " + need / 1_000_000
                    + " MB with some to spare, and the disk has " + there / 1_000_000
                    + " MB. Make room, or copy to another disk with backup --to.");
        }
    }

    /** Reads a copy from end to end. */
    public static Verification verify(Path copy) {
        if (!Files.isRegularFile(copy)) {
            throw new LogTrouble("There is no file " + copy + ".");
        }
        SqliteFile file = new SqliteFile(copy);
        try {
            return Verification.of(file, file::connectToCopy);
        } catch (SQLException failed) {
            throw SqliteFile.trouble(copy, failed);
        }
    }

    /** Newest events of every chain in a copy. */
    public static List<Head> heads(Path copy) {
        try (Prepared log = new SqliteFile(copy).connectToCopy()) {
            return EventTable.heads(log);
        } catch (SQLException failed) {
            throw SqliteFile.trouble(copy, failed);
        }
    }
}
