package slabside.views;

import java.nio.ByteBuffer;
import java.util.Arrays;
import slabside.event.Envelope;
import slabside.event.Happened;

/**
 * Place in story order, as bytes that sort unsigned: instant of happening, hybrid clock, origin, place in its chain. An
 * event said to come directly after another carries that one's key before its own, and so stands right behind it.
 */
public final class StoryKey implements Comparable<StoryKey> {
    /** Before everything. */
    public static final StoryKey FIRST = new StoryKey(new byte[0]);
    /** After everything. */
    public static final StoryKey LAST = new StoryKey(filled());

    private static final int WIDTH = 32;
    private static final int INSTANT = 8;
    /** What follows carries its key without the instant, so that several behind one event keep the order of recording. */
    private static final int BEHIND = WIDTH - INSTANT;
    /** Deeper chains of "after" stand beside one another, in order of recording. */
    private static final int DEEPEST = WIDTH + 24 * BEHIND;

    private static final int HIGHEST_COUNT = 0xFFFF;

    private final byte[] bytes;

    private StoryKey(byte[] bytes) {
        this.bytes = bytes;
    }

    private static byte[] filled() {
        byte[] high = new byte[8];
        Arrays.fill(high, (byte) 0xFF);
        return high;
    }

    static StoryKey ofBytes(byte[] bytes) {
        return new StoryKey(bytes.clone());
    }

    static StoryKey of(Envelope envelope, Happened happened) {
        return new StoryKey(ByteBuffer.allocate(WIDTH)
                .putLong(happened.instant(envelope.recorded()) ^ Long.MIN_VALUE)
                .putLong((envelope.hlc().millis() << 16)
                        | Math.min(envelope.hlc().count(), HIGHEST_COUNT))
                .putLong(originNumber(envelope.origin()))
                .putLong(envelope.oseq())
                .array());
    }

    private static long originNumber(String origin) {
        try {
            return Long.parseUnsignedLong(origin, 16);
        } catch (NumberFormatException foreign) {
            return origin.hashCode();
        }
    }

    /** The key of an event that directly follows the event with this key. */
    StoryKey followedBy(StoryKey own) {
        byte[] before = bytes.length >= DEEPEST ? Arrays.copyOf(bytes, bytes.length - BEHIND) : bytes;
        byte[] joined = Arrays.copyOf(before, before.length + BEHIND);
        System.arraycopy(own.bytes, INSTANT, joined, before.length, BEHIND);
        return new StoryKey(joined);
    }

    /** Just behind everything that happened up to and in the millisecond {@code millis}. */
    public static StoryKey endOf(long millis) {
        return new StoryKey(
                ByteBuffer.allocate(8).putLong((millis + 1) ^ Long.MIN_VALUE).array());
    }

    /** The instant this stands at, in ms. */
    public long millis() {
        return bytes.length < 8 ? Long.MIN_VALUE : ByteBuffer.wrap(bytes).getLong() ^ Long.MIN_VALUE;
    }

    byte[] bytes() {
        return bytes.clone();
    }

    @Override
    public int compareTo(StoryKey other) {
        return Arrays.compareUnsigned(bytes, other.bytes);
    }

    @Override
    public boolean equals(Object other) {
        return other instanceof StoryKey key && Arrays.equals(bytes, key.bytes);
    }

    @Override
    public int hashCode() {
        return Arrays.hashCode(bytes);
    }

    @Override
    public String toString() {
        return java.util.HexFormat.of().formatHex(bytes);
    }
}
