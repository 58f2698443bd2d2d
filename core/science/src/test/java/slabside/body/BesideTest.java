package slabside.body;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import slabside.measure.BadInput;

/** Orders from comparisons that were drawn with known truth. */
class BesideTest {
    @Test
    void a_chain_tells_of_inks_that_were_never_side_by_side() {
        Beside beside = Beside.of(4, List.of(new Beside.Felt(0, 1, 1), new Beside.Felt(1, 2, 1)));
        assertTrue(beside.difference(0, 2).value() > 1.5);
        assertEquals(-beside.difference(0, 2).value(), beside.difference(2, 0).value(), 1e-12);
        // The fourth was never felt: nothing is known of it.
        assertTrue(Math.abs(beside.difference(0, 3).value())
                < 2 * beside.difference(0, 3).u());
        assertTrue(beside.difference(0, 3).u() > beside.difference(0, 1).u());
        double once =
                Beside.of(2, List.of(new Beside.Felt(0, 1, 0))).difference(0, 1).u();
        double twice = Beside.of(2, List.of(new Beside.Felt(0, 1, 0), new Beside.Felt(1, 0, 0)))
                .difference(0, 1)
                .u();
        assertTrue(twice < once, "felt twice is surer");
        assertThrows(BadInput.class, () -> Beside.of(1, List.of()));
        assertThrows(BadInput.class, () -> Beside.of(2, List.of(new Beside.Felt(0, 0, 1))));
    }

    /** Twelve inks evenly apart, felt with errors: the order comes out, and what is said to be sure is so. */
    @Test
    void orders_are_found_again_and_their_intervals_hold() {
        int inside = 0;
        int all = 0;
        for (int seed = 1; seed <= 40; seed++) {
            Random random = new Random(seed);
            double[] truth = new double[12];
            for (int i = 0; i < truth.length; i++) {
                truth[i] = random.nextGaussian() * 1.5;
            }
            List<Beside.Felt> felt = new ArrayList<>();
            for (int n = 0; n < 60; n++) {
                int a = random.nextInt(12);
                int b = (a + 1 + random.nextInt(11)) % 12;
                double difference = truth[a] - truth[b] + random.nextGaussian() * 0.4;
                // Only what lies about a step apart is told as a step; far ones nobody compares by feel.
                if (Math.abs(difference) < 1.5) {
                    felt.add(new Beside.Felt(a, b, difference > 0.5 ? 1 : difference < -0.5 ? -1 : 0));
                }
            }
            Beside beside = Beside.of(12, felt);
            for (int i = 0; i < 12; i++) {
                for (int j = 0; j < i; j++) {
                    all++;
                    double off = Math.abs(beside.difference(i, j).value() - (truth[i] - truth[j]));
                    inside += off <= beside.difference(i, j).expanded() ? 1 : 0;
                }
            }
        }
        assertTrue(inside >= 0.9 * all, inside + " of " + all + " within two standard deviations");
    }
}
