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

    /** What was read of them, and whether it was whole. */
    private final Map<Path, Looked> looked = new HashMap<>();

    private long left = READ_AT_ONCE;

    private record Looked(Stamp stamp, boolean whole) {}

    /** Another exchange begins. */
    void begin() {
        left = READ_AT_ONCE;
    }

    boolean seems(Path file, String sha) throws IOException {
        if (!Files.isRegularFile(file)) {
            return false;
        }
        Stamp stamp = Stamp.of(file);
        if (stamp.size() > SharedFolder.LARGEST_FILE) {
            return false;
        }
        Looked before = looked.get(file);
        if (before != null && before.stamp.equals(stamp)) {
            return before.whole;
        }
        if (left <= 0) {
            return true;
        }
        left -= stamp.size();
        boolean whole = Attachments.isOf(sha, Files.readAllBytes(file));
        if (stamp.tells()) {
            looked.put(file, new Looked(stamp, whole));
        }
        return whole;
    }
}
