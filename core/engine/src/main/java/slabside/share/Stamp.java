package slabside.share;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;
import java.time.Clock;

/**
 * By what a file is taken for the one that was read before: its size and when it was changed. Disks note that time to some
 * milliseconds, network drives to a second or two, so a file that was changed only now may change again unseen.
 *
 * @param time of the last change, in ms
 */
record Stamp(long size, long time) {
    private static final long COARSEST_MS = 3_000;

    static Stamp of(Path file) throws IOException {
        BasicFileAttributes attributes = Files.readAttributes(file, BasicFileAttributes.class);
        return new Stamp(attributes.size(), attributes.lastModifiedTime().toMillis());
    }

    /** Whether a later change would show. */
    boolean tells() {
        return Math.abs(Clock.systemUTC().millis() - time) > COARSEST_MS;
    }
}
