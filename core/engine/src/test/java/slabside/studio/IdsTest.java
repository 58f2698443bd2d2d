package slabside.studio;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.HashSet;
import java.util.Set;
import org.junit.jupiter.api.Test;

class IdsTest {
    private static final String LETTERS = "ACDEFGHJKMNPQRTWXY34679";

    @Test
    void every_label_is_different_and_right() {
        Set<String> labels = new HashSet<>();
        for (int i = 0; i < 23 * 23 * 23; i++) {
            labels.add(Ids.labelOf(i));
            assertTrue(Ids.isLabel(Ids.labelOf(i)));
        }
        assertEquals(23 * 23 * 23, labels.size());
    }

    @Test
    void any_one_character_mistyped_is_caught() {
        for (int number = 0; number < 23 * 23 * 23; number += 97) {
            String label = Ids.labelOf(number);
            for (int at = 0; at < 4; at++) {
                for (char c : LETTERS.toCharArray()) {
                    if (c != label.charAt(at)) {
                        StringBuilder wrong = new StringBuilder(label);
                        wrong.setCharAt(at, c);
                        assertFalse(Ids.isLabel(wrong.toString()), label + " as " + wrong);
                    }
                }
            }
        }
    }

    @Test
    void two_neighbours_swapped_are_caught_among_the_first_three() {
        for (int number = 0; number < 23 * 23 * 23; number += 31) {
            String label = Ids.labelOf(number);
            for (int at = 0; at < 2; at++) {
                if (label.charAt(at) != label.charAt(at + 1)) {
                    StringBuilder wrong = new StringBuilder(label);
                    wrong.setCharAt(at, label.charAt(at + 1));
                    wrong.setCharAt(at + 1, label.charAt(at));
                    assertFalse(Ids.isLabel(wrong.toString()), label + " as " + wrong);
                }
            }
        }
    }
}
