package slabside.log;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.studio.WholeFolder;

/**
 * Files that were cut or changed: the unfinished file beside the log cut at every frame and at random bytes, every byte of a
 * small log turned over. What is left is a beginning of what was written, a cut at or before the last head record is reported,
 * and a turned bit is named or touched nothing that was written.
 */
class DamageTest {
    private static final int CUTS = Integer.getInteger("slabside.cuts", 40);
    private static final int STEP = Integer.getInteger("slabside.flip-step", 499);
    private static final int FRAME_HEAD = 24;
    private static final int WAL_HEAD = 32;

    @TempDir
    Path folder;

    private final Random random = new Random(21);

    private static String exported(SqlEventLog log) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        Transfer.export(log, out);
        return out.toString(StandardCharsets.UTF_8);
    }

    /** A log as a machine leaves it that goes off, with everything it had acknowledged in the unfinished file. */
    private record Left(byte[] file, byte[] wal, List<String> lines, Path heads) {}

    private Left left() throws IOException {
        Path data = folder.resolve("data");
        try (SqlEventLog log = SqlEventLog.open(data, folder.resolve("config"), Samples.CLOCK, random)) {
            for (int i = 0; i < 20; i++) {
                log.append(Decision.of(Samples.drafts(random, 1 + random.nextInt(4))));
            }
            List<String> lines = exported(log).lines().toList();
            return new Left(
                    Files.readAllBytes(data.resolve("studio.db")),
                    Files.readAllBytes(data.resolve("studio.db-wal")),
                    lines,
                    folder.resolve("config").resolve("heads"));
        }
    }

    @Test
    void cut_at_every_frame_and_at_random_bytes_a_beginning_is_left_and_every_cut_is_told() throws IOException {
        Left left = left();
        int pageSize = ByteBuffer.wrap(left.wal).getInt(8);
        int frames = (left.wal.length - WAL_HEAD) / (FRAME_HEAD + pageSize);
        List<Integer> cuts = new ArrayList<>();
        for (int i = 0; i <= frames; i++) {
            cuts.add(WAL_HEAD + i * (FRAME_HEAD + pageSize));
        }
        for (int i = 0; i < CUTS; i++) {
            cuts.add(random.nextInt(left.wal.length));
        }
        int shorter = 0;
        int at = 0;
        for (int cut : cuts) {
            shorter += cutTo(left, cut, folder.resolve("cut-" + at++)) ? 1 : 0;
        }
        System.out.println("Unfinished file cut at " + (frames + 1) + " frames and " + CUTS + " random bytes: "
                + shorter + " cuts took something, every one of them reported; a beginning was left each time");
        assertTrue(frames > 30 && shorter > frames / 2, "the cuts must matter: " + shorter);
    }

    /** Returns whether something that was acknowledged is gone. */
    private boolean cutTo(Left left, int cut, Path here) throws IOException {
        Path data = Files.createDirectories(here.resolve("data"));
        Files.write(data.resolve("studio.db"), left.file);
        Files.write(data.resolve("studio.db-wal"), Arrays.copyOf(left.wal, cut));
        Path heads = Files.createDirectories(here.resolve("config").resolve("heads"));
        try (Stream<Path> all = Files.list(left.heads)) {
            for (Path head : all.toList()) {
                Files.writeString(
                        heads.resolve(head.getFileName()),
                        Files.readString(head).replace(folder.resolve("data").toString(), data.toString()));
            }
        }
        boolean shorter;
        try (SqlEventLog log = SqlEventLog.open(data, here.resolve("config"), Samples.CLOCK, random)) {
            List<String> lines = exported(log).lines().toList();
            assertTrue(lines.size() <= left.lines.size(), "cut at " + cut);
            assertEquals(left.lines.subList(0, lines.size()), lines, "a beginning of what was written; cut at " + cut);
            shorter = lines.size() < left.lines.size();
            assertEquals(shorter, !log.cut().isEmpty(), "cut at " + cut + ": " + log.cut());
            assertEquals(Optional.empty(), log.verify().wrong(), "cut at " + cut);
            log.append(Decision.of(Samples.drafts(random, 1)));
            assertEquals(Optional.empty(), log.verify().wrong(), "cut at " + cut + ", and gone on");
            assertEquals(shorter ? 1 : 0, log.gone().size());
        }
        WholeFolder.delete(here);
        return shorter;
    }

    /** Everything that the table of the log says, column by column; empty when it cannot be read. */
    private static Optional<String> table(Path file) {
        StringBuilder all = new StringBuilder();
        try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file.toUri() + "?immutable=1");
                Statement ask = connection.createStatement();
                ResultSet rows = ask.executeQuery(
                        "SELECT pos, origin, oseq, id, line, hex(hash), again FROM event ORDER BY pos")) {
            while (rows.next()) {
                for (int i = 1; i <= 7; i++) {
                    all.append(rows.getString(i)).append('|');
                }
                all.append('\n');
            }
            return Optional.of(all.toString());
        } catch (SQLException unreadable) {
            return Optional.empty();
        }
    }

    @Test
    void every_byte_turned_over_is_named_or_held_nothing_that_was_written() throws IOException {
        Path data = folder.resolve("data");
        try (SqlEventLog log = SqlEventLog.open(data, folder.resolve("config"), Samples.CLOCK, random)) {
            log.append(Decision.of(Samples.drafts(random, 20)));
        }
        Path file = data.resolve("studio.db");
        byte[] bytes = Files.readAllBytes(file);
        String whole = table(file).orElseThrow();
        assertEquals(Optional.empty(), LogCopy.verify(file).wrong());
        Path changed = folder.resolve("changed.db");
        int tried = 0;
        int named = 0;
        List<Integer> unnoticed = new ArrayList<>();
        for (int at = 0; at < bytes.length; at += STEP) {
            byte[] other = bytes.clone();
            other[at] ^= (byte) (STEP == 1 ? 1 << (at % 8) : 0x10);
            Files.write(changed, other);
            tried++;
            if (isNamed(changed)) {
                named++;
            } else if (!table(changed).equals(Optional.of(whole))) {
                unnoticed.add(at);
            }
        }
        System.out.println(
                "Bytes of a log of " + bytes.length + " turned over one by one: " + tried + ", of them " + named
                        + " named, " + (tried - named - unnoticed.size())
                        + " in places that hold nothing that was written, unnoticed " + unnoticed.size());
        assertEquals(List.of(), unnoticed);
        assertTrue(named > tried / 5, "the file must be full enough to mean something: " + named + " of " + tried);
    }

    private static boolean isNamed(Path file) {
        try {
            return LogCopy.verify(file).wrong().isPresent();
        } catch (LogTrouble unreadable) {
            return true;
        }
    }

    @Test
    void the_event_whose_byte_was_turned_over_is_the_one_that_is_named() throws IOException {
        Path data = folder.resolve("data");
        List<String> hashes;
        try (SqlEventLog log = SqlEventLog.open(data, folder.resolve("config"), Samples.CLOCK, random)) {
            log.append(Decision.of(Samples.drafts(random, 30)));
            hashes = log.read(0, 100).stream().map(Stored::hash).toList();
        }
        byte[] bytes = Files.readAllBytes(data.resolve("studio.db"));
        Path changed = folder.resolve("changed.db");
        int named = 0;
        for (int pos = 1; pos <= hashes.size(); pos++) {
            byte[] hash = HexFormat.of().parseHex(hashes.get(pos - 1));
            int at = indexOf(bytes, hash);
            // In a row the line ends directly before its hash.
            byte[] other = bytes.clone();
            other[at - 2] ^= 1;
            Files.write(changed, other);
            assertEquals(pos, LogCopy.verify(changed).wrong().orElseThrow().pos(), "a changed line of event " + pos);
            named++;
        }
        assertEquals(31, named);
    }

    /** Where the row is that a hash stands in: the index has it too, but not behind a line. */
    private static int indexOf(byte[] bytes, byte[] hash) {
        for (int i = 1; i + hash.length <= bytes.length; i++) {
            if (bytes[i - 1] == '}' && Arrays.equals(bytes, i, i + hash.length, hash, 0, hash.length)) {
                return i;
            }
        }
        throw new AssertionError("no such row");
    }

    @Test
    void a_clock_that_runs_ten_years_back_and_forth_spoils_no_order() throws IOException {
        Path data = folder.resolve("data");
        List<Stored> all = new ArrayList<>();
        long year = 365L * 86_400_000;
        for (long off : new long[] {0, 10 * year, -10 * year, 0}) {
            java.time.Clock clock = java.time.Clock.offset(Samples.CLOCK, java.time.Duration.ofMillis(off));
            try (SqlEventLog log = SqlEventLog.open(data, folder.resolve("config"), clock, random)) {
                for (int i = 0; i < 20; i++) {
                    log.append(Decision.of(new Draft(
                            slabside.event.EventId.at(clock.millis(), random),
                            slabside.event.Happened.exactly(clock.millis(), java.time.ZoneOffset.UTC),
                            null,
                            Samples.ACTOR,
                            Samples.named(i))));
                }
                assertEquals(Optional.empty(), log.verify().wrong());
                assertTrue(log.cut().isEmpty());
                all = log.read(0, 1_000);
            }
        }
        assertEquals(81, all.size(), "one chain, whatever the clock says");
        for (int i = 1; i < all.size(); i++) {
            assertTrue(
                    all.get(i - 1)
                                    .envelope()
                                    .hlc()
                                    .compareTo(all.get(i).envelope().hlc())
                            < 0,
                    "known order is order of writing");
        }
        assertFalse(
                all.get(30).envelope().recorded() < all.get(50).envelope().recorded(), "what the clock said stands");
    }
}
