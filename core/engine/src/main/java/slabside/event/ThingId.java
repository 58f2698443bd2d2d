package slabside.event;

import java.util.regex.Pattern;
import slabside.measure.BadInput;

/**
 * Names a can, mix, packet, load, stone, sheet, run, edition, material, person or tool; random, so that two devices never
 * choose the same. A few fixed ones name the accounts outside the studio.
 */
public record ThingId(String text) implements Comparable<ThingId> {
    private static final String PAPER = "paper:";
    private static final Pattern ALLOWED = Pattern.compile("[A-Za-z0-9][A-Za-z0-9:._-]{0,79}");

    /** Where cans come from. */
    public static final ThingId SUPPLY = new ThingId("supply");
    /** Dabs, drawdowns and other tests. */
    public static final ThingId TEST = new ThingId("test");

    public static final ThingId WASH_UP = new ThingId("wash-up");
    public static final ThingId WASTE = new ThingId("waste");
    /** Ink used for something this log does not follow. */
    public static final ThingId ELSEWHERE = new ThingId("elsewhere");

    public ThingId {
        if (!ALLOWED.matcher(text).matches()) {
            throw new BadInput("id", text, "use letters, digits, hyphens, dots and colons, at most 80");
        }
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
