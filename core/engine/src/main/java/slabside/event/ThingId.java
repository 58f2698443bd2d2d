package slabside.event;

import slabside.measure.BadInput;

/**
 * Names a can, mix, packet, load, stone, sheet, run, edition, material, person or tool; random, so that two devices never
 * choose the same. A few fixed ones name the accounts outside the studio.
 */
public record ThingId(String text) implements Comparable<ThingId> {
    private static final String PAPER = "paper:";
    private static final int LONGEST = 80;

    /** Where cans come from. */
    public static final ThingId SUPPLY = new ThingId("supply");
    /** Dabs, drawdowns and other tests. */
    public static final ThingId TEST = new ThingId("test");

    public static final ThingId WASH_UP = new ThingId("wash-up");
    public static final ThingId WASTE = new ThingId("waste");
    /** Ink used for something this log does not follow. */
    public static final ThingId ELSEWHERE = new ThingId("elsewhere");

    public ThingId {
        if (!isAllowed(text)) {
            throw new BadInput("id", text, "use letters, digits, hyphens, dots and colons, at most 80");
        }
    }

    private static boolean isAllowed(String text) {
        for (int i = 0; i < text.length(); i++) {
            char c = text.charAt(i);
            boolean plain = c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9';
            if (!plain && (i == 0 || c != '-' && c != ':' && c != '.' && c != '_')) {
                return false;
            }
        }
        return !text.isEmpty() && text.length() <= LONGEST;
    }

    /** The paper that took a run's ink. */
    public static ThingId paperOf(ThingId run) {
        return new ThingId(PAPER + run.text);
    }

    /** Whether this is an account outside the studio, which is never drawn empty. */
    public boolean isOutside() {
        return equals(SUPPLY)
                || equals(TEST)
                || equals(WASH_UP)
                || equals(WASTE)
                || equals(ELSEWHERE)
                || text.startsWith(PAPER);
    }

    @Override
    public int compareTo(ThingId other) {
        return text.compareTo(other.text);
    }

    @Override
    public String toString() {
        return text;
    }
}
