package slabside.log;

import slabside.event.Envelope;
import slabside.event.EventCodec;

/**
 * One row of the log.
 *
 * @param hash 64 hexadecimal digits
 * @param line the bytes that were hashed, as text
 */
public record Stored(long pos, String hash, String line) {
    public Envelope envelope() {
        return EventCodec.envelope(line);
    }
}
