package slabside.log;

import java.util.Comparator;
import org.jspecify.annotations.Nullable;
import slabside.event.Envelope;
import slabside.event.EventCodec;
import slabside.event.StudioEvent;

/**
 * One row of the log. What its line says is read when first asked for and kept. Immutable to the eye; safe for use by many
 * threads.
 */
public final class Stored {
    /** The same on every machine: by hybrid clock, chain, place in it, hash. */
    public static final Comparator<Stored> KNOWN_ORDER = Comparator.comparing(
                    (Stored stored) -> stored.envelope().hlc())
            .thenComparing(stored -> stored.envelope().origin())
            .thenComparingLong(stored -> stored.envelope().oseq())
            .thenComparing(Stored::hash);

    private final long pos;
    private final String hash;
    private final String line;
    private @Nullable Envelope envelope;
    private @Nullable StudioEvent event;

    /**
     * @param hash 64 hexadecimal digits
     * @param line the bytes that were hashed, as text
     */
    public Stored(long pos, String hash, String line) {
        this.pos = pos;
        this.hash = hash;
        this.line = line;
    }

    public long pos() {
        return pos;
    }

    public String hash() {
        return hash;
    }

    public String line() {
        return line;
    }

    /** Its place in its chain. */
    public Head head() {
        return new Head(envelope().origin(), envelope().oseq(), hash);
    }

    public Envelope envelope() {
        Envelope known = envelope;
        if (known == null) {
            known = EventCodec.envelope(line);
            envelope = known;
        }
        return known;
    }

    /** The event as first recorded. */
    public StudioEvent event() {
        StudioEvent known = event;
        if (known == null) {
            known = envelope().event();
            event = known;
        }
        return known;
    }

    @Override
    public boolean equals(Object other) {
        return other instanceof Stored stored
                && stored.pos == pos
                && stored.hash.equals(hash)
                && stored.line.equals(line);
    }

    @Override
    public int hashCode() {
        return hash.hashCode();
    }

    @Override
    public String toString() {
        return pos + " " + line;
    }
}
