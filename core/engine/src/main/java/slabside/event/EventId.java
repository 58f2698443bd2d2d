package slabside.event;

import java.security.SecureRandom;
import java.util.Random;
import java.util.UUID;
import slabside.measure.BadInput;

/** Names one event: a UUID of version 7 (RFC 9562, 5.7), made where the tap happens, which makes a retry harmless. */
public record EventId(String text) implements Comparable<EventId> {
    private static final int LENGTH = 36;

    public EventId {
        if (!isUuid(text)) {
            throw new BadInput("event id", text, "give a UUID in small letters, as the log shows it");
        }
    }

    /** Whether a text has the form of an event's id; no thing's id has. */
    public static boolean isUuid(String text) {
        for (int i = 0; i < text.length(); i++) {
            char c = text.charAt(i);
            boolean hyphen = i == 8 || i == 13 || i == 18 || i == 23;
            if (hyphen ? c != '-' : !(c >= '0' && c <= '9' || c >= 'a' && c <= 'f')) {
                return false;
            }
        }
        return text.length() == LENGTH;
    }

    /** A new id for something that happens at {@code millis}. */
    public static EventId at(long millis, Random random) {
        long high = (millis << 16) | 0x7000L | (random.nextLong() & 0x0FFFL);
        long low = (random.nextLong() & 0x3FFFFFFFFFFFFFFFL) | 0x8000000000000000L;
        return new EventId(new UUID(high, low).toString());
    }

    /**
     * The id of the {@code n}-th further event that one tap wrote: the same id with another ending. A tap's own id ends in
     * "00", so that all events of a tap are known by the first of them and a retry names the same ones.
     *
     * @param n from 1 to 255; 0 is the tap itself
     */
    public EventId companion(int n) {
        if (!isTap() || n < 0 || n > 255) {
            throw new BadInput("event id", text + " + " + n, "only ids that end in 00 have companions, 255 at most");
        }
        return new EventId(text.substring(0, LENGTH - 2) + String.format(java.util.Locale.ROOT, "%02x", n));
    }

    /** Whether this can be the first event of a tap. */
    public boolean isTap() {
        return text.endsWith("00");
    }

    /** The first event of the tap that this one was written by, if it was. */
    public EventId tap() {
        return new EventId(text.substring(0, LENGTH - 2) + "00");
    }

    /** A new id for a tap at {@code millis}. */
    public static EventId tapAt(long millis, Random random) {
        return at(millis, random).tap();
    }

    /** A source of chance good enough for ids. */
    public static Random chance() {
        return new SecureRandom();
    }

    @Override
    public int compareTo(EventId other) {
        return text.compareTo(other.text);
    }

    @Override
    public String toString() {
        return text;
    }
}
