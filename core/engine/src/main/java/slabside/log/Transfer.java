package slabside.log;

import java.io.BufferedReader;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.OutputStream;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Collectors;
import slabside.event.Envelope;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.measure.BadInput;

/** The whole log as text: one line {@code hash TAB line} for each event, sorted by origin, place in its chain and hash. */
public final class Transfer {
    private static final int AT_A_TIME = 5_000;

    private Transfer() {}

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

    /** Chain by chain, as far as each had come at the beginning. */
    private static long each(EventLog log, Writing writing) throws IOException {
        Map<String, Long> ends =
                log.heads().stream().collect(Collectors.toMap(Head::origin, Head::oseq, Math::max, TreeMap::new));
        long last = log.last();
        long written = 0;
        for (Map.Entry<String, Long> chain : ends.entrySet()) {
            for (long from = 1; from <= chain.getValue(); from += AT_A_TIME) {
                long to = Math.min(from + AT_A_TIME - 1, chain.getValue());
                for (Stored stored : log.chain(chain.getKey(), from, to)) {
                    if (stored.pos() <= last) {
                        writing.write(stored);
                        written++;
                    }
                }
            }
        }
        return written;
    }

    /**
     * Adds the events of an exported file, all or none: the whole file is looked through before anything is added. Where the disk
     * gives out in the middle, what was added before stands, and bringing the file in again adds the rest.
     *
     * @return how many were new
     * @throws BadInput naming the first line that is wrong; nothing is added then
     */
    public static int adopt(EventLog log, Path file) throws IOException {
        Checking checking = new Checking(log);
        lines(file, some -> some.forEach(checking::check));
        int[] fresh = {0};
        lines(file, some -> {
            try {
                fresh[0] += log.adopt(some);
            } catch (BadInput changed) {
                throw new LogTrouble(
                        "The file " + file + " changed while it was read (" + changed.getMessage() + "). " + fresh[0]
                                + " of its events were added before that, each of them proven; bring the file in again.",
                        changed);
            }
        });
        return fresh[0];
    }

    /** Whether each line of a file follows, by the lines before it in the file and those in the log. */
    private static final class Checking {
        private final EventLog log;
        private final Chain chain = new Chain();
        private String origin = "";
        private long oseq;
        private Set<String> before = Set.of();
        private Set<String> here = new HashSet<>();

        Checking(EventLog log) {
            this.log = log;
        }

        void check(ForeignLine line) {
            Envelope envelope = line.envelope();
            if (!envelope.origin().equals(origin) || envelope.oseq() != oseq) {
                boolean next = envelope.origin().equals(origin) && envelope.oseq() == oseq + 1;
                before = next ? here : Set.of();
                here = new HashSet<>();
                origin = envelope.origin();
                oseq = envelope.oseq();
            }
            line.mustFollow(chain, predecessors());
            here.add(line.hash());
        }

        private Set<String> predecessors() {
            if (oseq == 1) {
                return Set.of(Chain.HEX.formatHex(Chain.BEGINNING));
            }
            if (before.size() == 1) {
                return before;
            }
            Set<String> all = new HashSet<>(before);
            log.chain(origin, oseq - 1, oseq - 1).forEach(stored -> all.add(stored.hash()));
            return all;
        }
    }

    /**
     * How many events of an exported file are not here yet; adds nothing and checks no chain.
     *
     * @throws BadInput naming the first line that is not an event
     */
    public static int unknown(EventLog log, Path file) throws IOException {
        int[] unknown = {0};
        lines(
                file,
                some -> some.forEach(line -> {
                    try {
                        EventId id = EventCodec.envelope(line.line()).id();
                        unknown[0] += log.find(id).isEmpty() ? 1 : 0;
                    } catch (BadInput broken) {
                        throw new BadInput(
                                "line " + line.number(),
                                line.line(),
                                "not an event of an exported log (" + broken.getMessage() + ")");
                    }
                }));
        return unknown[0];
    }

    private interface Taking {
        void take(List<ForeignLine> some);
    }

    /** The lines of an exported file, unchecked, some at a time. */
    private static void lines(Path file, Taking taking) throws IOException {
        try (BufferedReader reader = Files.newBufferedReader(file, StandardCharsets.UTF_8)) {
            int number = 1;
            List<ForeignLine> some = lines(reader, number, AT_A_TIME);
            while (!some.isEmpty()) {
                taking.take(some);
                number += some.size();
                some = lines(reader, number, AT_A_TIME);
            }
        }
    }

    static List<ForeignLine> lines(byte[] file) throws IOException {
        return lines(
                new BufferedReader(
                        new InputStreamReader(new ByteArrayInputStream(file), StandardCharsets.UTF_8.newDecoder())),
                1,
                Integer.MAX_VALUE);
    }

    private static List<ForeignLine> lines(BufferedReader reader, int first, int most) throws IOException {
        List<ForeignLine> lines = new ArrayList<>();
        try {
            while (lines.size() < most) {
                String line = reader.readLine();
                if (line == null) {
                    break;
                }
                int number = first + lines.size();
                int tab = line.indexOf('\t');
                if (tab != 64) {
                    throw new BadInput(
                            "line " + number,
                            line,
                            "expected 64 hexadecimal digits, a tab and an event; nothing was imported");
                }
                lines.add(new ForeignLine(number, line.substring(0, tab), line.substring(tab + 1)));
            }
            return lines;
        } catch (CharacterCodingException wrong) {
            throw new BadInput(
                    "encoding of the file", "not UTF-8", "export the log again; its text was changed on the way");
        }
    }
}
