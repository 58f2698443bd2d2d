package slabside.notebook;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.NavigableMap;
import java.util.TreeMap;
import java.util.UUID;
import java.util.function.Predicate;
import slabside.event.EventId;
import slabside.event.ThingId;

/**
 * Which rows of a file were imported before: a notebook is written on, saved again and imported again. Ids of events are made
 * from the place of a row and the hash of the file; where a file begins with the whole of an earlier one, those rows are known
 * by the ids that they were given then.
 */
final class Earlier {
    /** A row gives an event of at least one of these parts. */
    private static final int[] PARTS = {0, 1};

    private final Predicate<EventId> isKnown;
    private final String whole;
    /** Last record of each earlier file, with the hash of that file. */
    private final NavigableMap<Long, String> until = new TreeMap<>();

    private long lastLine;

    /**
     * @param number of a record
     * @param end line of the file on which it ends
     */
    record Place(long number, long end) {}

    /** A file of which nothing was imported before. */
    Earlier(byte[] file) {
        this(file, List.of(), any -> false);
    }

    /**
     * @param rows that are not blank
     * @param isKnown whether an event is in the log
     */
    Earlier(byte[] file, List<Place> rows, Predicate<EventId> isKnown) {
        this.isKnown = isKnown;
        this.whole = hex(sha256(), file, 0, file.length);
        if (!rows.isEmpty() && !endsLinesWithReturnsAlone(file)) {
            look(file, rows);
        }
    }

    /** Such lines are not counted alike everywhere. */
    private static boolean endsLinesWithReturnsAlone(byte[] file) {
        for (int i = 0; i < file.length; i++) {
            if (file[i] == '\r' && (i + 1 == file.length || file[i + 1] != '\n')) {
                return true;
            }
        }
        return false;
    }

    /** An earlier file may have ended at any line, with the end of that line or without it. */
    private void look(byte[] file, List<Place> rows) {
        MessageDigest read = sha256();
        Place first = rows.get(0);
        int row = -1;
        int line = 0;
        int from = 0;
        for (int i = 0; i < file.length; i++) {
            if (file[i] != '\n') {
                continue;
            }
            line++;
            while (row + 1 < rows.size() && rows.get(row + 1).end <= line) {
                row++;
            }
            int text = i > from && file[i - 1] == '\r' ? i - 1 : i;
            String withoutEnd = hex(read, file, from, text - from);
            String withEnd = hex(read, file, text, i + 1 - text);
            from = i + 1;
            if (row >= 0) {
                compare(withoutEnd, rows.get(row), first);
                compare(withEnd, rows.get(row), first);
            }
        }
        Place last = rows.get(rows.size() - 1);
        hex(read, file, from, file.length - from);
        for (String end : List.of("", "\n", "\r\n")) {
            compare(hex(copy(read), end.getBytes(StandardCharsets.UTF_8), 0, end.length()), last, first);
        }
    }

    private void compare(String hash, Place end, Place first) {
        if (isKnown(end.number, hash)) {
            if (isKnown(first.number, hash)) {
                // That file came in whole, as another machine had it: its rows belong together.
                until.clear();
            }
            until.put(end.number, hash);
            lastLine = end.end;
        }
    }

    private boolean isKnown(long record, String hash) {
        for (int part : PARTS) {
            if (isKnown.test(id(record, part, hash))) {
                return true;
            }
        }
        return false;
    }

    /** Reads on, and gives the hash of what was read so far. */
    private static String hex(MessageDigest read, byte[] file, int from, int length) {
        read.update(file, from, length);
        return HexFormat.of().formatHex(copy(read).digest());
    }

    private static MessageDigest copy(MessageDigest read) {
        try {
            return (MessageDigest) read.clone();
        } catch (CloneNotSupportedException everyJavaDoesIt) {
            throw new IllegalStateException(everyJavaDoesIt);
        }
    }

    /** Hash of the file with which a record was imported, or will be. */
    private String hash(long record) {
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

    /** Id of a thing that a record names first. */
    ThingId thing(long record, String kind, String name) {
        String from = kind + "/" + name.toLowerCase(Locale.ROOT) + "/" + hash(record);
        byte[] hash = sha256().digest(from.getBytes(StandardCharsets.UTF_8));
        return new ThingId(kind + "-" + HexFormat.of().formatHex(hash, 0, 8));
    }

    private static MessageDigest sha256() {
        try {
            return MessageDigest.getInstance("SHA-256");
        } catch (NoSuchAlgorithmException everyJavaHasIt) {
            throw new IllegalStateException(everyJavaHasIt);
        }
    }
}
