package slabside.log;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.sqlite.SQLiteConfig;

/**
 * Puts a log together from whatever is left of it: damaged files, unfinished ones beside them, copies, pieces. All lines that
 * can be read are laid into one table; then each chain is followed from its beginning, and what follows goes into a new log. A
 * line that was changed follows nothing, so that nothing false comes in by this, however it was found.
 */
public final class Salvage implements AutoCloseable {
    private static final int AT_A_TIME = 2_000;
    private static final byte[] BEGINNING = "{\"origin\":\"".getBytes(StandardCharsets.US_ASCII);
    private static final Pattern PLACE = Pattern.compile("\\{\"origin\":\"([0-9a-f]{16})\",\"oseq\":(\\d{1,18}),");
    private static final int LONGEST_LINE = 1 << 20;
    private static final int HASH = 32;
    /** Files are looked through in stretches that overlap by more than a line. */
    private static final long STRETCH = 32L << 20;

    private static final int BLOCK = 4_096;

    private final Path table;
    private final Prepared found;

    /**
     * What came of it.
     *
     * @param events in the new log
     * @param gaps places of chains of which nothing that follows was found, though something behind them was
     * @param unproven lines that were read and do not follow, because what was before them is missing or they were changed
     */
    public record Result(long events, List<Gap> gaps, long unproven) {
        public Result {
            gaps = List.copyOf(gaps);
        }
    }

    /** Places in a chain, both included. */
    public record Gap(String origin, long from, long to) {}

    /**
     * @param under a folder with room for everything that is found
     */
    public Salvage(Path under) throws IOException {
        table = Files.createTempFile(under, "salvage-", ".part");
        SQLiteConfig config = new SQLiteConfig();
        config.setGetGeneratedKeys(false);
        config.setSynchronous(SQLiteConfig.SynchronousMode.OFF);
        config.setJournalMode(SQLiteConfig.JournalMode.OFF);
        try {
            Connection connection = config.createConnection("jdbc:sqlite:" + table);
            found = new Prepared(connection);
            found.update("CREATE TABLE line (origin TEXT, oseq INTEGER, hash TEXT, line TEXT,"
                    + " PRIMARY KEY (origin, oseq, hash, line)) WITHOUT ROWID");
            connection.setAutoCommit(false);
        } catch (SQLException failed) {
            throw new LogTrouble("Nothing can be laid out in " + under + ": " + failed.getMessage(), failed);
        }
    }

    private void add(String hash, String line) {
        Matcher place = PLACE.matcher(line);
        if (place.lookingAt()) {
            try {
                found.update(
                        "INSERT OR IGNORE INTO line VALUES (?, ?, ?, ?)",
                        place.group(1),
                        Long.parseLong(place.group(2)),
                        hash,
                        line);
            } catch (SQLException failed) {
                throw new LogTrouble("No room for what was found: " + failed.getMessage(), failed);
            }
        }
    }

    /** Lines of a piece or an exported log. */
    public void lines(List<ForeignLine> lines) {
        lines.forEach(line -> add(line.hash(), line.line()));
    }

    /** Those lines of an exported log that have the form of one. */
    public void exported(Path file) throws IOException {
        try (BufferedReader in = new BufferedReader(
                new InputStreamReader(Files.newInputStream(file), StandardCharsets.UTF_8), 1 << 20)) {
            for (String line = in.readLine(); line != null; line = in.readLine()) {
                if (line.length() > 66 && line.charAt(64) == '\t') {
                    add(line.substring(0, 64), line.substring(65));
                }
            }
        }
    }

    /**
     * Everything that can be read from the file of a log, whole or not.
     *
     * @return what hindered it, in words; empty when nothing did
     */
    public Optional<String> file(Path file) throws IOException {
        Optional<String> hindered = rows(file);
        if (hindered.isPresent()) {
            carve(file);
        }
        Path unfinished = file.resolveSibling(file.getFileName() + "-wal");
        if (Files.isRegularFile(unfinished)) {
            carve(unfinished);
        }
        if (hindered.isPresent() || Files.isRegularFile(unfinished)) {
            SpilledRows.each(file, row -> carve(ByteBuffer.wrap(row), row.length));
        }
        return hindered;
    }

    private Optional<String> rows(Path file) {
        try (Prepared log = new SqliteFile(file).connectToCopy()) {
            long after = 0;
            List<Stored> some = EventTable.after(log, after, AT_A_TIME);
            while (!some.isEmpty()) {
                some.forEach(stored -> add(stored.hash(), stored.line()));
                after = some.get(some.size() - 1).pos();
                some = EventTable.after(log, after, AT_A_TIME);
            }
            return SqliteFile.structure(log);
        } catch (SQLException | LogTrouble damaged) {
            return Optional.of(String.valueOf(damaged.getMessage()));
        }
    }

    /**
     * Finds lines by their look in the bytes of a file, without the help of SQLite: in a row the hash stands directly behind the
     * line. Rows that SQLite laid out over several pages are put together first ({@link SpilledRows}).
     */
    void carve(Path file) throws IOException {
        try (FileChannel in = FileChannel.open(file, StandardOpenOption.READ)) {
            for (long from = 0; from < in.size(); from += STRETCH - LONGEST_LINE) {
                long length = Math.min(STRETCH, in.size() - from);
                carve(stretch(in, from, (int) length), (int) length);
            }
        }
    }

    /** Bytes of a file; what the disk does not give any more is left out as zeros. */
    private static ByteBuffer stretch(FileChannel in, long from, int length) {
        ByteBuffer bytes = ByteBuffer.allocate(length);
        for (int at = 0; at < length; at += BLOCK) {
            ByteBuffer block = ByteBuffer.wrap(bytes.array(), at, Math.min(BLOCK, length - at));
            block.put(SpilledRows.read(in, from + at, block.remaining()));
        }
        return bytes;
    }

    private void carve(ByteBuffer bytes, int length) {
        for (int at = 0; at + BEGINNING.length < length; at++) {
            if (bytes.get(at) == '{' && begins(bytes, at, length)) {
                int end = end(bytes, at, Math.min(length, at + LONGEST_LINE));
                if (end > 0 && end + HASH <= length) {
                    byte[] line = new byte[end - at];
                    byte[] hash = new byte[HASH];
                    bytes.get(at, line);
                    bytes.get(end, hash);
                    add(Chain.HEX.formatHex(hash), new String(line, StandardCharsets.UTF_8));
                }
            }
        }
    }

    private static boolean begins(ByteBuffer bytes, int at, int length) {
        for (int i = 0; i < BEGINNING.length; i++) {
            if (at + i >= length || bytes.get(at + i) != BEGINNING[i]) {
                return false;
            }
        }
        return true;
    }

    /** Where the JSON that begins here ends; -1 when it does not. */
    private static int end(ByteBuffer bytes, int at, int limit) {
        int depth = 0;
        boolean quoted = false;
        for (int i = at; i < limit; i++) {
            byte b = bytes.get(i);
            if (b >= 0 && b < ' ') {
                return -1;
            }
            if (quoted) {
                if (b == '\\') {
                    i++;
                } else if (b == '"') {
                    quoted = false;
                }
            } else if (b == '"') {
                quoted = true;
            } else if (b == '{' || b == '[') {
                depth++;
            } else if (b == '}' || b == ']') {
                depth--;
                if (depth == 0) {
                    return i + 1;
                }
            }
        }
        return -1;
    }

    /**
     * Follows every chain from its beginning and puts what follows into a new log.
     *
     * @param rest where the lines go that were read and do not follow, as an export has them, so that they can be looked at
     */
    public Result into(SqlEventLog fresh, Path rest) throws IOException {
        try (OutputStream out = Files.newOutputStream(rest)) {
            found.connection().commit();
            List<Gap> gaps = new ArrayList<>();
            long unproven = 0;
            for (String origin :
                    found.rows("SELECT DISTINCT origin FROM line ORDER BY origin", row -> row.getString(1))) {
                unproven += follow(origin, fresh, gaps, out);
            }
            return new Result(fresh.last(), gaps, unproven);
        } catch (SQLException failed) {
            throw new LogTrouble("What was found cannot be read: " + failed.getMessage(), failed);
        }
    }

    private long follow(String origin, SqlEventLog fresh, List<Gap> gaps, OutputStream rest)
            throws SQLException, IOException {
        long unproven = 0;
        long after = 0;
        long last = found.number("SELECT max(oseq) FROM line WHERE origin = ?", origin);
        while (after < last) {
            long until = after + AT_A_TIME;
            List<ForeignLine> lines = found.rows(
                    "SELECT hash, line FROM line WHERE origin = ? AND oseq > ? AND oseq <= ? ORDER BY oseq, hash",
                    row -> new ForeignLine(0, row.getString(1), row.getString(2)),
                    origin,
                    after,
                    until);
            for (ForeignLine line : fresh.adoptWhatFollows(lines)) {
                rest.write((line.hash() + "\t" + line.line() + "\n").getBytes(StandardCharsets.UTF_8));
                unproven++;
            }
            after = until;
        }
        long reached = fresh.heads().stream()
                .filter(head -> head.origin().equals(origin))
                .mapToLong(Head::oseq)
                .max()
                .orElse(0);
        if (reached < last) {
            gaps.add(new Gap(origin, reached + 1, last));
        }
        return unproven;
    }

    @Override
    public void close() throws IOException {
        try {
            found.close();
        } catch (SQLException failed) {
            throw new LogTrouble("The table of what was found cannot be closed: " + failed.getMessage(), failed);
        } finally {
            Files.deleteIfExists(table);
        }
    }
}
