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

    private LogCopy() {}

    /** {@code VACUUM INTO} another name, wait for the disk, read and verify it, then give it its name. */
    static Verification make(SqliteFile file, Path copy) {
        if (Files.exists(copy)) {
            throw new LogTrouble("There is a file " + copy + " already; nothing was copied over it.");
        }
        Path fresh = copy.resolveSibling(copy.getFileName() + UNFINISHED);
        try {
            Files.deleteIfExists(fresh);
            file.copyTo(fresh);
            try (FileChannel written = FileChannel.open(fresh, StandardOpenOption.WRITE)) {
                written.force(true);
            }
            Verification verified = verify(fresh);
            if (verified.wrong().isPresent()) {
                Files.delete(fresh);
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
        }
    }

    /** Reads a copy from end to end. */
    public static Verification verify(Path copy) {
        if (!Files.isRegularFile(copy)) {
            throw new LogTrouble("There is no file " + copy + ".");
        }
        SqliteFile file = new SqliteFile(copy);
        try {
            return Verification.of(() -> new Prepared(file.connectToCopy()));
        } catch (SQLException failed) {
            throw SqliteFile.trouble(copy, failed);
        }
    }

    /** Newest events of every chain in a copy. */
    public static List<Head> heads(Path copy) {
        try (Prepared log = new Prepared(new SqliteFile(copy).connectToCopy())) {
            return SqliteFile.heads(log);
        } catch (SQLException failed) {
            throw SqliteFile.trouble(copy, failed);
        }
    }
}
