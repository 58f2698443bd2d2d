package slabside.log;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.Set;
import java.util.regex.Pattern;
import slabside.event.Envelope;
import slabside.event.EventCodec;
import slabside.measure.BadInput;

/**
 * A line as exported.
 *
 * @param number of the line in the file it came from, for messages
 * @param hash 64 hexadecimal digits
 */
public record ForeignLine(int number, String hash, String line) {
    private static final Pattern ORIGIN = Pattern.compile("[0-9a-f]{16}");

    /**
     * What the line says.
     *
     * @throws BadInput when it is not of the form that this program writes: an origin that is a number, and the fields that
     *     verify reads first
     */
    Envelope envelope() {
        Envelope envelope;
        try {
            envelope = EventCodec.envelope(line);
            claimed();
        } catch (IllegalArgumentException broken) {
            throw bad("not a line of an exported log; nothing was imported (" + broken.getMessage() + ")");
        }
        String beginning = "{\"origin\":\"" + envelope.origin() + "\",\"oseq\":" + envelope.oseq() + ",\"id\":\""
                + envelope.id() + "\",";
        if (!ORIGIN.matcher(envelope.origin()).matches() || envelope.oseq() < 1 || !line.startsWith(beginning)) {
            throw bad("not written as a log writes its lines; nothing was imported");
        }
        return envelope;
    }

    byte[] claimed() {
        return Chain.HEX.parseHex(hash);
    }

    /** Refuses the line when it follows none of the lines before it. */
    void mustFollow(Chain chain, Set<String> before) {
        byte[] bytes = line.getBytes(StandardCharsets.UTF_8);
        byte[] claimed = claimed();
        if (before.stream().noneMatch(each -> Arrays.equals(chain.hash(Chain.HEX.parseHex(each), bytes), claimed))) {
            throw bad(
                    "its hash does not follow from the line before it of the same origin; the file was changed or a line is missing, nothing was imported");
        }
    }

    private BadInput bad(String remedy) {
        return new BadInput("line " + number, line, remedy);
    }
}
