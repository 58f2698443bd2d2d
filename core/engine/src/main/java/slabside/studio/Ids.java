package slabside.studio;

import java.util.Random;
import slabside.event.EventId;
import slabside.event.ThingId;
import slabside.views.Views;

/**
 * New ids, and the short labels written on cans and packets.
 *
 * <p>A label is three characters and a check character from 23 letters and digits that do not look or sound alike. 23 is
 * prime and the weights 1, 2, 3 differ, so any one character mistyped and any two neighbours swapped are caught.
 */
public final class Ids {
    private static final String LETTERS = "ACDEFGHJKMNPQRTWXY34679";
    private static final String THING = "abcdefghjkmnpqrstvwxyz0123456789";
    private static final int THING_LENGTH = 16;
    private static final int TRIES = 50;

    private final Views views;
    private final Random chance;

    Ids(Views views) {
        this(views, EventId.chance());
    }

    /** With a source of chance of its own, for studios that must come out the same each time. */
    public Ids(Views views, Random chance) {
        this.views = views;
        this.chance = chance;
    }

    Random chance() {
        return chance;
    }

    /** A new id for a thing of a kind, which stands at its beginning for whoever reads the log by eye. */
    public ThingId thing(String kind) {
        StringBuilder id = new StringBuilder(kind).append('-');
        for (int i = 0; i < THING_LENGTH; i++) {
            id.append(THING.charAt(chance.nextInt(THING.length())));
        }
        return new ThingId(id.toString());
    }

    /** A label that nothing in this studio bears; with five characters when four have run short. */
    public String label() {
        for (int i = 0; i < TRIES; i++) {
            String label = labelOf(chance.nextInt(LETTERS.length() * LETTERS.length() * LETTERS.length()));
            if (views.labelled(label).isEmpty()) {
                return label;
            }
        }
        return labelOf(chance.nextInt(LETTERS.length() * LETTERS.length() * LETTERS.length()))
                + LETTERS.charAt(chance.nextInt(LETTERS.length()));
    }

    static String labelOf(int number) {
        int base = LETTERS.length();
        int[] digits = {number / base / base % base, number / base % base, number % base};
        StringBuilder label = new StringBuilder();
        int sum = 0;
        for (int i = 0; i < digits.length; i++) {
            label.append(LETTERS.charAt(digits[i]));
            sum += (i + 1) * digits[i];
        }
        return label.append(LETTERS.charAt(sum % base)).toString();
    }

    /** Whether a label of four characters was written down right. */
    public static boolean isLabel(String text) {
        if (text.length() != 4 || text.chars().anyMatch(c -> LETTERS.indexOf(c) < 0)) {
            return false;
        }
        int number = 0;
        for (int i = 0; i < 3; i++) {
            number = number * LETTERS.length() + LETTERS.indexOf(text.charAt(i));
        }
        return labelOf(number).equals(text);
    }
}
