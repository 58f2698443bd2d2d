package slabside.log;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Collectors;
import slabside.measure.BadInput;

/**
 * A piece of one chain as a sealed file, which never changes once it is written. UTF-8 text: a line {@code slabside segment 1
 * TAB JSON} that says what is in it, one line {@code hash TAB event} for each event as an export has it, and a last line {@code
 * end TAB SHA-256 of all bytes before it}, so that a file that is still being copied, or was cut or changed, gives itself away.
 *
 * @param origin chain that the lines are of
 * @param from place of the first line
 * @param to place of the last line
 * @param events lines in it; more than {@code to - from + 1} where the chain parted
 * @param ends lines that none in this piece follows: a log that holds them holds the whole piece
 * @param by device that wrote it
 */
public record Segment(String origin, long from, long to, int events, List<Head> ends, String by) {
    /** No piece is larger, so that none fills the memory of whoever reads it. */
    public static final int LARGEST = 64 * 1024 * 1024;

    private static final String FIRST = "slabside segment 1\t";
    private static final String LAST = "end\t";
    private static final int LAST_LENGTH = LAST.length() + 64 + 1;
    private static final ObjectMapper JSON = new ObjectMapper();

    public Segment {
        ends = List.copyOf(ends);
    }

    /** Of all ends: a piece of one branch must never be written over one that holds another branch too. */
    private String mark() {
        String all = ends.stream().map(Head::hash).collect(Collectors.joining());
        return ends.size() == 1
                ? all
                : Chain.HEX.formatHex(new Chain().hash(Chain.BEGINNING, all.getBytes(StandardCharsets.US_ASCII)));
    }

    /** A name that no other piece has, in any folder. */
    public String fileName() {
        return String.format(
                java.util.Locale.ROOT,
                "%s-%09d-%09d-%s-%s.segment",
                origin,
                from,
                to,
                mark().substring(0, 8),
                by.substring(0, Math.min(8, by.length())));
    }

    /** What a piece made of these lines of one chain holds; they must stand one behind the other. */
    public static Segment of(List<Stored> lines, String by) {
        TreeMap<Long, List<Stored>> places = new TreeMap<>();
        lines.forEach(line -> places.computeIfAbsent(line.envelope().oseq(), any -> new ArrayList<>())
                .add(line));
        Chain chain = new Chain();
        List<Head> ends = new ArrayList<>();
        for (Map.Entry<Long, List<Stored>> place : places.entrySet()) {
            List<Stored> next = places.getOrDefault(place.getKey() + 1, List.of());
            if (next.isEmpty() || place.getValue().size() > 1) {
                place.getValue().stream()
                        .filter(line -> next.stream().noneMatch(follower -> follows(chain, line, follower)))
                        .map(Stored::head)
                        .forEach(ends::add);
            }
        }
        return new Segment(
                lines.get(0).envelope().origin(), places.firstKey(), places.lastKey(), lines.size(), ends, by);
    }

    private static boolean follows(Chain chain, Stored line, Stored follower) {
        byte[] hash =
                chain.hash(Chain.HEX.parseHex(line.hash()), follower.line().getBytes(StandardCharsets.UTF_8));
        return Arrays.equals(hash, Chain.HEX.parseHex(follower.hash()));
    }

    /** The whole file of a piece. */
    public byte[] sealed(List<Stored> lines) {
        ObjectNode head = JSON.createObjectNode();
        head.put("origin", origin)
                .put("from", from)
                .put("to", to)
                .put("events", events)
                .put("by", by);
        ArrayNode last = head.putArray("ends");
        ends.forEach(end -> last.addObject().put("oseq", end.oseq()).put("hash", end.hash()));
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        out.writeBytes((FIRST + head + "\n").getBytes(StandardCharsets.UTF_8));
        lines.forEach(
                line -> out.writeBytes((line.hash() + "\t" + line.line() + "\n").getBytes(StandardCharsets.UTF_8)));
        return sealed(out.toByteArray());
    }

    /** Any content with a last line that seals it. */
    public static byte[] sealed(byte[] content) {
        boolean ended = content.length > 0 && content[content.length - 1] == '\n';
        byte[] lines =
                ended ? content : (new String(content, StandardCharsets.UTF_8) + "\n").getBytes(StandardCharsets.UTF_8);
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        out.writeBytes(lines);
        out.writeBytes(
                (LAST + Chain.HEX.formatHex(sha256(lines, lines.length)) + "\n").getBytes(StandardCharsets.US_ASCII));
        return out.toByteArray();
    }

    /**
     * What was sealed.
     *
     * @throws BadInput when it is not whole, or not as it was sealed
     */
    public static byte[] unsealed(byte[] file) {
        int sealed = file.length - LAST_LENGTH;
        String last = sealed < 0 ? "" : new String(file, sealed, LAST_LENGTH, StandardCharsets.ISO_8859_1);
        if (!last.startsWith(LAST) || !last.endsWith("\n")) {
            throw new BadInput("sealed file", file.length + " bytes", "its end is not there yet, or was cut off");
        }
        if (!last.strip().substring(LAST.length()).equals(Chain.HEX.formatHex(sha256(file, sealed)))) {
            throw new BadInput("sealed file", file.length + " bytes", "it is not as it was sealed");
        }
        return Arrays.copyOf(file, sealed);
    }

    /** Whether a file begins like a piece, whole or not. */
    public static boolean begins(byte[] file) {
        byte[] first = FIRST.getBytes(StandardCharsets.US_ASCII);
        int length = Math.min(first.length, file.length);
        return Arrays.equals(first, 0, length, file, 0, length);
    }

    /**
     * Looks into a file, whatever it is called.
     *
     * @throws BadInput when it is not a whole piece, as it was sealed
     */
    public static Segment read(byte[] file) {
        String first = FIRST;
        if (!begins(file) || file.length < first.length()) {
            throw new BadInput("piece of a log", file.length + " bytes", "it does not begin like one");
        }
        int sealed = unsealed(file).length;
        int end = 0;
        while (end < sealed && file[end] != '\n') {
            end++;
        }
        if (end == sealed) {
            throw new BadInput("piece of a log", file.length + " bytes", "its first line has no end");
        }
        return described(new String(file, first.length(), end - first.length(), StandardCharsets.UTF_8));
    }

    private static Segment described(String json) {
        try {
            JsonNode head = JSON.readTree(json);
            String origin = head.path("origin").asText();
            List<Head> ends = new ArrayList<>();
            for (JsonNode end : head.path("ends")) {
                String hash = end.path("hash").asText();
                Chain.HEX.parseHex(hash);
                ends.add(new Head(origin, end.path("oseq").asLong(), hash));
            }
            Segment segment = new Segment(
                    origin,
                    head.path("from").asLong(),
                    head.path("to").asLong(),
                    head.path("events").asInt(),
                    ends,
                    head.path("by").asText());
            if (!origin.matches("[0-9a-f]{16}")
                    || segment.from < 1
                    || segment.to < segment.from
                    || ends.isEmpty()
                    || ends.stream().anyMatch(each -> each.hash().length() != 64)) {
                throw new BadInput("piece of a log", json, "its first line does not say what is in it");
            }
            return segment;
        } catch (IOException | IllegalArgumentException broken) {
            throw broken instanceof BadInput bad
                    ? bad
                    : new BadInput("piece of a log", json, "its first line cannot be read: " + broken.getMessage());
        }
    }

    /** The lines of a whole piece. */
    public static List<ForeignLine> lines(byte[] file) throws IOException {
        int from = 0;
        while (file[from] != '\n') {
            from++;
        }
        return Transfer.lines(Arrays.copyOfRange(file, from + 1, file.length - LAST_LENGTH)).stream()
                .map(line -> new ForeignLine(line.number() + 1, line.hash(), line.line()))
                .toList();
    }

    /** Those lines of a broken piece that have the form of one; each proves itself by its chain, or does not. */
    public static List<ForeignLine> wholeLines(byte[] file) {
        List<ForeignLine> lines = new ArrayList<>();
        int number = 0;
        for (String line : new String(file, StandardCharsets.UTF_8).split("\n")) {
            number++;
            if (line.length() > 66 && line.charAt(64) == '\t' && line.charAt(65) == '{') {
                lines.add(new ForeignLine(number, line.substring(0, 64), line.substring(65)));
            }
        }
        return lines;
    }

    private static byte[] sha256(byte[] bytes, int length) {
        try {
            MessageDigest digest = MessageDigest.getInstance("SHA-256");
            digest.update(bytes, 0, length);
            return digest.digest();
        } catch (NoSuchAlgorithmException everyJavaHasIt) {
            throw new IllegalStateException(everyJavaHasIt);
        }
    }
}
