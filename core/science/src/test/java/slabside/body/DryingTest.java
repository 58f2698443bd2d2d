package slabside.body;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import slabside.measure.BadInput;

/** Drying from trials; no open record of hand-printed layers was found, so studios are made up by chance (fixed seed). */
class DryingTest {
    private static final double NEVER = Double.POSITIVE_INFINITY;
    private static final Drying.Layer PLAIN = new Drying.Layer(20, 0, 60);

    @Test
    void nothing_tried_is_what_is_common_practice() {
        Drying drying = new Drying(List.of());
        assertEquals(30, drying.hours(PLAIN, 0.5, 0), 0.01);
        // Overnight to 48 h: the middle half and more of what is believed.
        assertTrue(drying.chance(PLAIN, 12) < 0.15 && drying.chance(PLAIN, 48) > 0.7);
        assertEquals(60, drying.hours(new Drying.Layer(10, 0, 60), 0.5, 0), 0.02, "twice as long for 10 °C less");
        assertTrue(drying.hours(new Drying.Layer(20, 2, 60), 0.5, 0) < 15, "drier");
        assertTrue(drying.hours(new Drying.Layer(20, 0, 95), 0.5, 0) > 40, "much base");
    }

    @Test
    void trials_move_it_and_a_layer_that_was_not_dry_is_waited_for() {
        List<Drying.Tried> late = new ArrayList<>();
        for (int i = 0; i < 6; i++) {
            late.add(new Drying.Tried(PLAIN, 48, NEVER));
            late.add(new Drying.Tried(PLAIN, 0, 90));
        }
        Drying slow = new Drying(late);
        assertTrue(slow.hours(PLAIN, 0.5, 0) > 50 && slow.hours(PLAIN, 0.5, 0) < 90);
        assertEquals(0, slow.chance(PLAIN, 40, 40));
        assertTrue(slow.hours(PLAIN, 0.8, 80) > slow.hours(PLAIN, 0.8, 0));
    }

    @Test
    void a_time_written_down_wrongly_spoils_nothing() {
        List<Drying.Tried> tried = new ArrayList<>(Collections.nCopies(6, new Drying.Tried(PLAIN, 30, 60)));
        double before = new Drying(tried).hours(PLAIN, 0.8, 0);
        tried.add(new Drying.Tried(PLAIN, 9_600, NEVER));
        tried.add(new Drying.Tried(PLAIN, 0, 0.5));
        assertEquals(before, new Drying(tried).hours(PLAIN, 0.8, 0), 0.05 * before);
        assertEquals(
                new Drying.Layer(20, 2.5, 60).worth(), new Drying.Layer(20, 10, 60).worth(), "more drier does no more");
    }

    /** Of layers that are said to be dry with four chances of five, four of five are. */
    @Test
    void the_earliest_time_holds_what_it_says() {
        SplittableRandom random = new SplittableRandom(3);
        int dry = 0;
        for (int studio = 0; studio < 1_000; studio++) {
            double middle = Math.log(30) + 0.5 * normal(random);
            List<Drying.Tried> tried = new ArrayList<>();
            for (int i = 0; i < 5; i++) {
                double truth = Math.exp(middle + 0.4 * normal(random));
                double at = 10 + 60 * random.nextDouble();
                tried.add(truth <= at ? new Drying.Tried(PLAIN, 0, at) : new Drying.Tried(PLAIN, at, NEVER));
            }
            double next = Math.exp(middle + 0.4 * normal(random));
            dry += next <= new Drying(tried).hours(PLAIN, 0.8, 0) ? 1 : 0;
        }
        assertEquals(0.8, dry / 1_000.0, 0.03);
    }

    @Test
    void silly_rooms_are_refused() {
        assertThrows(BadInput.class, () -> new Drying.Layer(200, 0, 60));
        assertThrows(BadInput.class, () -> new Drying.Layer(20, 120, 60));
        assertThrows(BadInput.class, () -> new Drying.Tried(PLAIN, 0, 0));
        assertThrows(BadInput.class, () -> new Drying.Tried(PLAIN, 40, 30));
        assertThrows(BadInput.class, () -> new Drying(List.of()).hours(PLAIN, 1.5, 0));
    }

    private static double normal(SplittableRandom random) {
        return Math.sqrt(-2 * Math.log(1 - random.nextDouble())) * Math.cos(2 * Math.PI * random.nextDouble());
    }
}
