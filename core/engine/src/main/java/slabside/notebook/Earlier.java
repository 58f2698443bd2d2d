package slabside.notebook;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.NavigableMap;
import java.util.TreeMap;
import java.util.UUID;
import java.util.function.Predicate;
import slabside.event.EventId;

/**
 * Which rows of a file were imported before: a notebook is written on, saved again and imported again. Ids of events are made
 * from the place of a row and the hash of the file; a file that begins with the whole of an earlier one keeps, for those rows,
 * the ids that they were given then.
 */
final class Earlier {
    /** A row gives an event of at least one of these parts. */
    private static final int[] PARTS = {0, 1};

    private final String whole;
    /** Last record of each earlier file, with the hash of that file. */
    private final NavigableMap<Long, String> until = new TreeMap<>();

    private long lastLine;

    /**
     * @param number of a record
     * @param end line of the file on which it ends
     */
    record Place(long number, long end) {}

    /** @param isKnown whether an event is in the log */
    Earlier(byte[] file, List<Place> rows, Predicate<EventId> isKnown) {
        this.whole = HexFormat.of().formatHex(sha256().digest(file));
        List<Integer> breaks = new ArrayList<>();
        for (int i = 0; i < file.length; i++) {
            if (file[i] == '\n') {
                breaks.add(i);
            }
        }
        MessageDigest read = sha256();
        int from = 0;
        for (Place row : rows) {
            // Lines that end in another way than with a line feed are not looked through.
            int end = row.end < 1 || row.end > breaks.size() ? -1 : breaks.get((int) row.end - 1);
            if (end < from) {
                break;
            }
            int text = end > from && file[end - 1] == '\r' ? end - 1 : end;
            read.update(file, from, text - from);
            String withoutBreak = soFar(read);
            read.update(file, text, end + 1 - text);
            String withBreak = soFar(read);
            from = end + 1;
            for (String hash : List.of(withoutBreak, withBreak)) {
                if (!hash.equals(whole) && isKnown(row.number, hash, isKnown)) {
                    until.put(row.number, hash);
                    lastLine = row.end;
                }
            }
        }
    }

    private static boolean isKnown(long record, String hash, Predicate<EventId> isKnown) {
        for (int part : PARTS) {
            if (isKnown.test(id(record, part, hash))) {
                return true;
            }
        }
        return false;
    }

    private static String soFar(MessageDigest read) {
        try {
            return HexFormat.of().formatHex(((MessageDigest) read.clone()).digest());
        } catch (CloneNotSupportedException everyJavaDoesIt) {
            throw new IllegalStateException(everyJavaDoesIt);
        }
    }

    /** Hash of the file with which a record was imported, or will be. */
    String hash(long record) {
        Map.Entry<Long, String> file = until.ceilingEntry(record);
        return file == null ? whole : file.getValue();
    }

    boolean holds(long record) {
        return !until.isEmpty() && record <= until.lastKey();
    }

    /** The line down to which the file was imported before; 0 when nothing of it was. */
    long lastLine() {
        return lastLine;
    }

    EventId id(long record, int part) {
        return id(record, part, hash(record));
    }

    private static EventId id(long record, int part, String hash) {
        ByteBuffer bits =
                ByteBuffer.wrap(sha256().digest((record + "/" + part + "/" + hash).getBytes(StandardCharsets.UTF_8)));
        long high = (bits.getLong() & ~0xF000L) | 0x7000L;
        long low = (bits.getLong() & 0x3FFFFFFFFFFFFFFFL) | 0x8000000000000000L;
        return new EventId(new UUID(high, low).toString());
    }

    static MessageDigest sha256() {
        try {
            return MessageDigest.getInstance("SHA-256");
        } catch (NoSuchAlgorithmException everyJavaHasIt) {
            throw new IllegalStateException(everyJavaHasIt);
        }
    }
}
