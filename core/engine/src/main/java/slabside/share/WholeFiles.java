package slabside.share;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.Map;
import slabside.studio.Attachments;

/**
 * Which photos and memos are still what their name says. A file is read when it is new or changed, and of a large store a part
 * at each exchange, so that a start does not read all of it at once; what was not read yet is taken for whole.
 */
final class WholeFiles {
    private static final long READ_AT_ONCE = 32L << 20;

    private final Map<Path, Stamp> whole = new HashMap<>();
    private long left = READ_AT_ONCE;

    /** Another exchange begins. */
    void begin() {
        left = READ_AT_ONCE;
    }

    boolean seems(Path file, String sha) throws IOException {
        if (!Files.isRegularFile(file)) {
            return false;
        }
        Stamp stamp = Stamp.of(file);
        if (stamp.equals(whole.get(file)) || left <= 0) {
            return true;
        }
        left -= stamp.size();
        if (!Attachments.isOf(sha, Files.readAllBytes(file))) {
            whole.remove(file);
            return false;
        }
        if (stamp.tells()) {
            whole.put(file, stamp);
        }
        return true;
    }
}
