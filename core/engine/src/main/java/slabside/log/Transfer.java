package slabside.log;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.CodingErrorAction;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import slabside.event.Envelope;
import slabside.measure.BadInput;

/** The whole log as text: one line {@code hash TAB line} for each event, sorted by origin, place in its chain and hash. */
public final class Transfer {
    private static final int AT_A_TIME = 10_000;

    private Transfer() {}

    private record Placed(String origin, long oseq, String hash, long pos) {}

    /** Writes the log; two logs that hold the same events write the same bytes. */
    public static long export(EventLog log, OutputStream out) throws IOException {
        return each(
                log,
                stored -> out.write((stored.hash() + "\t" + stored.line() + "\n").getBytes(StandardCharsets.UTF_8)));
    }

    /**
     * Writes the log in two files: each event as one line of JSON, and their hashes in the same order.
     *
     * @return the last events of each chain among those that were written, whatever was appended since
     */
    public static List<Head> export(EventLog log, OutputStream lines, OutputStream hashes) throws IOException {
        Map<String, List<Head>> heads = new TreeMap<>();
        each(log, stored -> {
            lines.write((stored.line() + "\n").getBytes(StandardCharsets.UTF_8));
            hashes.write((stored.hash() + "\n").getBytes(StandardCharsets.UTF_8));
            Envelope envelope = stored.envelope();
            List<Head> last = heads.computeIfAbsent(envelope.origin(), any -> new ArrayList<>());
            last.removeIf(head -> head.oseq() < envelope.oseq());
            last.add(new Head(envelope.origin(), envelope.oseq(), stored.hash()));
        });
        return heads.values().stream().flatMap(List::stream).toList();
    }

    private interface Writing {
        void write(Stored stored) throws IOException;
    }

    private static long each(EventLog log, Writing writing) throws IOException {
        List<Placed> order = new ArrayList<>();
        long upTo = log.last();
        for (long pos = 0; pos < upTo; ) {
            for (Stored stored : log.read(pos, AT_A_TIME)) {
                Envelope envelope = stored.envelope();
                order.add(new Placed(envelope.origin(), envelope.oseq(), stored.hash(), stored.pos()));
                pos = stored.pos();
            }
        }
        order.sort(Comparator.comparing(Placed::origin)
                .thenComparingLong(Placed::oseq)
                .thenComparing(Placed::hash));
        for (Placed placed : order) {
            writing.write(log.at(placed.pos).orElseThrow());
        }
        return order.size();
    }

    /**
     * Adds the events of an exported file, all or none.
     *
     * @return how many were new
     */
    public static int adopt(EventLog log, Path file) throws IOException {
        return log.adopt(lines(Files.readAllBytes(file)));
    }

    /**
     * How many events of an exported file are not here yet; adds nothing and checks no chain.
     *
     * @throws BadInput naming the first line that is not an event
     */
    public static int unknown(EventLog log, Path file) throws IOException {
        int unknown = 0;
        for (ForeignLine line : lines(Files.readAllBytes(file))) {
            Envelope envelope;
            try {
                envelope = new Stored(0, line.hash(), line.line()).envelope();
            } catch (BadInput broken) {
                throw new BadInput(
                        "line " + line.number(),
                        line.line(),
                        "not an event of an exported log (" + broken.getMessage() + ")");
            }
            unknown += log.find(envelope.id()).isEmpty() ? 1 : 0;
        }
        return unknown;
    }

    /** The lines of an exported file, unchecked. */
    public static List<ForeignLine> read(Path file) throws IOException {
        return lines(Files.readAllBytes(file));
    }

    static List<ForeignLine> lines(byte[] file) throws IOException {
        String text;
        try {
            text = StandardCharsets.UTF_8
                    .newDecoder()
                    .onMalformedInput(CodingErrorAction.REPORT)
                    .decode(ByteBuffer.wrap(file))
                    .toString();
        } catch (CharacterCodingException wrong) {
            throw new BadInput(
                    "encoding of the file", "not UTF-8", "export the log again; its text was changed on the way");
        }
        List<ForeignLine> lines = new ArrayList<>();
        try (BufferedReader reader = new BufferedReader(new java.io.StringReader(text))) {
            int number = 0;
            for (String line = reader.readLine(); line != null; line = reader.readLine()) {
                number++;
                int tab = line.indexOf('\t');
                if (tab != 64) {
                    throw new BadInput(
                            "line " + number,
                            line,
                            "expected 64 hexadecimal digits, a tab and an event; nothing was imported");
                }
                lines.add(new ForeignLine(number, line.substring(0, tab), line.substring(tab + 1)));
            }
        }
        return lines;
    }
}
