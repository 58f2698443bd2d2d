package slabside.log;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.Map;
import java.util.Set;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;

/**
 * Rows too long for one page, put together from the pages of a damaged file by the published form of SQLite's files ("Database
 * File Format": B-tree Pages, Cell Payload Overflow Pages, The Write-Ahead Log; its numbers from memory, and tried against files
 * that SQLite wrote in {@code KeepingTest}): a leaf says how long a row is and where it goes on. A page that is not what it should be
 * gives no row, or a wrong one, which its hash then does not bear out.
 */
final class SpilledRows {
    private static final int PAGE = 4_096;
    private static final int LEAF = 0x0D;
    private static final int FILE_HEADER = 100;
    private static final int WAL_HEADER = 32;
    private static final int FRAME_HEADER = 24;
    /** The longest part of a row that stands in the leaf itself, and the shortest where the row goes on. */
    private static final int MOST_IN_LEAF = PAGE - 35;

    private static final int LEAST_IN_LEAF = (PAGE - 12) * 32 / 255 - 23;
    private static final int IN_OTHERS = PAGE - 4;
    private static final int LONGEST = 1 << 20;

    private final FileChannel file;
    private final @Nullable FileChannel wal;
    /** Where the newest form of a page stands in the unfinished file. */
    private final Map<Integer, Long> newest = new HashMap<>();

    /** Made-up pages could name the same pages again and again; a file has no more rows than would fill it a few times. */
    private long left;

    private SpilledRows(FileChannel file, @Nullable FileChannel wal) throws IOException {
        this.file = file;
        this.wal = wal;
        this.left = 4 * (file.size() + (wal == null ? 0 : wal.size()));
    }

    /** Gives the bytes of each such row of a file and of the unfinished one beside it, in no order. */
    static void each(Path path, Consumer<byte[]> row) throws IOException {
        Path beside = path.resolveSibling(path.getFileName() + "-wal");
        try (FileChannel file = FileChannel.open(path, StandardOpenOption.READ);
                FileChannel wal =
                        Files.isRegularFile(beside) ? FileChannel.open(beside, StandardOpenOption.READ) : null) {
            new SpilledRows(file, wal).each(row);
        }
    }

    private void each(Consumer<byte[]> row) throws IOException {
        FileChannel unfinished = wal;
        if (unfinished != null) {
            for (long at = WAL_HEADER; at + FRAME_HEADER + PAGE <= unfinished.size(); at += FRAME_HEADER + PAGE) {
                newest.put(read(unfinished, at, FRAME_HEADER).getInt(0), at + FRAME_HEADER);
            }
            for (long at = WAL_HEADER; at + FRAME_HEADER + PAGE <= unfinished.size(); at += FRAME_HEADER + PAGE) {
                leaf(read(unfinished, at + FRAME_HEADER, PAGE), 0, row);
            }
        }
        for (long at = 0; at + PAGE <= file.size(); at += PAGE) {
            leaf(read(file, at, PAGE), at == 0 ? FILE_HEADER : 0, row);
        }
    }

    private void leaf(ByteBuffer page, int header, Consumer<byte[]> row) throws IOException {
        if (page.get(header) != LEAF) {
            return;
        }
        int cells = page.getShort(header + 3) & 0xFFFF;
        Set<Integer> seen = new HashSet<>();
        for (int i = 0; i < cells && header + 10 + 2 * i <= PAGE; i++) {
            int cell = page.getShort(header + 8 + 2 * i) & 0xFFFF;
            if (cell >= header + 8 && cell < PAGE && seen.add(cell)) {
                page.position(cell);
                byte[] whole = row(page);
                if (whole != null) {
                    row.accept(whole);
                }
            }
        }
    }

    private byte @Nullable [] row(ByteBuffer page) throws IOException {
        long length = number(page);
        number(page);
        if (length <= MOST_IN_LEAF || length > LONGEST || length > left) {
            return null;
        }
        left -= length;
        int fitting = LEAST_IN_LEAF + (int) ((length - LEAST_IN_LEAF) % IN_OTHERS);
        int here = fitting <= MOST_IN_LEAF ? fitting : LEAST_IN_LEAF;
        if (page.remaining() < here + 4) {
            return null;
        }
        byte[] whole = new byte[(int) length];
        page.get(whole, 0, here);
        int next = page.getInt();
        for (int filled = here; filled < length; ) {
            ByteBuffer other = page(next);
            if (other == null) {
                return null;
            }
            next = other.getInt();
            int part = Math.min(IN_OTHERS, whole.length - filled);
            other.get(whole, filled, part);
            filled += part;
        }
        return whole;
    }

    private @Nullable ByteBuffer page(int number) throws IOException {
        Long at = newest.get(number);
        FileChannel unfinished = wal;
        if (at != null && unfinished != null) {
            return read(unfinished, at, PAGE);
        }
        long from = (number - 1L) * PAGE;
        return number < 2 || from + PAGE > file.size() ? null : read(file, from, PAGE);
    }

    /** A whole number of one to nine bytes, seven bits in each but the ninth. */
    private static long number(ByteBuffer bytes) {
        long value = 0;
        for (int i = 0; i < 9 && bytes.hasRemaining(); i++) {
            byte next = bytes.get();
            if (i == 8) {
                return value << 8 | next & 0xFF;
            }
            value = value << 7 | next & 0x7F;
            if (next >= 0) {
                return value;
            }
        }
        return value;
    }

    /** Bytes of a file; zeros where the disk does not give them any more. */
    static ByteBuffer read(FileChannel in, long from, int length) {
        ByteBuffer bytes = ByteBuffer.allocate(length);
        try {
            while (bytes.hasRemaining() && in.read(bytes, from + bytes.position()) >= 0) {
                // Until it is full, or the file ends.
            }
        } catch (IOException unreadable) {
            Arrays.fill(bytes.array(), (byte) 0);
        }
        return bytes.rewind().limit(length);
    }
}
