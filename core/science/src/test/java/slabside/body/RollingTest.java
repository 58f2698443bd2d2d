package slabside.body;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** The recurrence of films held against every cell of slab, roller and stone; the width of a blend against parcels that walk. */
class RollingTest {
    private static final int CELLS_OF_ROLLER = 400;
    private static final int PULLS = 60;

    /** Surfaces cut into cells: where two touch each keeps half of both. The roller begins each time where it stands. */
    private static final class Cells {
        private final double[] slab;
        private final double[] roller = new double[CELLS_OF_ROLLER];
        private final double[] stone;
        private final Rolling rolling;
        private final Random random;
        private int at;

        Cells(Rolling rolling, double film, long seed) {
            this.rolling = rolling;
            this.random = new Random(seed);
            this.slab = new double[(int) Math.round(CELLS_OF_ROLLER * rolling.slab() / rolling.roller())];
            this.stone = new double[(int) Math.round(CELLS_OF_ROLLER * rolling.image() / rolling.roller())];
            Arrays.fill(slab, film);
            Arrays.fill(roller, film);
        }

        double pull(double feed) {
            for (int i = 0; i < slab.length; i++) {
                slab[i] += feed;
            }
            for (int turn = 0; turn < rolling.turns(); turn++) {
                int from = random.nextInt(slab.length);
                for (int i = 0; i < CELLS_OF_ROLLER; i++) {
                    touch(slab, (from + i) % slab.length);
                }
            }
            for (int pass = 0; pass < rolling.passes(); pass++) {
                at = random.nextInt(CELLS_OF_ROLLER);
                for (int i = 0; i < stone.length; i++) {
                    touch(stone, i);
                }
            }
            double printed = Arrays.stream(stone).average().orElseThrow() * rolling.split();
            for (int i = 0; i < stone.length; i++) {
                stone[i] *= 1 - rolling.split();
            }
            return printed;
        }

        private void touch(double[] other, int place) {
            double half = (roller[at] + other[place]) / 2;
            roller[at] = half;
            other[place] = half;
            at = (at + 1) % CELLS_OF_ROLLER;
        }
    }

    @Test
    void the_recurrence_is_that_of_every_cell() {
        for (Rolling rolling :
                new Rolling[] {new Rolling(0.3, 0.1244, 0.07, 4, 6, 0.5), new Rolling(0.4, 0.2356, 0.21, 6, 8, 0.4)}) {
            double feed = rolling.feed(0.2);
            Rolling.State state = new Rolling.State(8, 8, 0, 0);
            double[] mean = new double[PULLS];
            int runs = 20;
            for (int seed = 1; seed <= runs; seed++) {
                Cells cells = new Cells(rolling, 8, seed);
                for (int pull = 0; pull < PULLS; pull++) {
                    mean[pull] += cells.pull(feed) / runs;
                }
            }
            for (int pull = 0; pull < PULLS; pull++) {
                state = rolling.next(state, feed);
                assertEquals(1, mean[pull] / state.printed(), 0.02, rolling + ", pull " + (pull + 1));
            }
        }
    }

    /** Nothing is lost: what was fed is on slab, roller, stone or paper. */
    @Test
    void ink_is_kept() {
        Rolling rolling = new Rolling(0.3, 0.1244, 0.07, 4, 6, 0.5);
        Rolling.State state = new Rolling.State(8, 8, 0, 0);
        double feed = rolling.feed(0.175);
        double before = 0.3 * 8 + 0.1244 * 8;
        double printed = 0;
        for (int pull = 1; pull <= 40; pull++) {
            state = rolling.next(state, feed);
            printed += 0.07 * state.printed();
            double held = 0.3 * state.slab() + 0.1244 * state.roller() + 0.07 * state.stone();
            assertEquals(before + pull * 0.3 * feed, held + printed, 1e-9);
        }
    }

    /** 200,000 parcels of ink: at each stroke half of them go with the roller, there and back. */
    @Test
    void the_width_of_a_blend_is_that_of_parcels_that_walk() {
        Random random = new Random(12);
        int parcels = 200_000;
        for (double shift : new double[] {3, 6}) {
            double[] places = new double[parcels];
            int strokes = 60;
            for (int stroke = 0; stroke < strokes; stroke++) {
                double by = stroke % 2 == 0 ? shift : -shift;
                for (int i = 0; i < parcels; i++) {
                    places[i] += random.nextBoolean() ? by : 0;
                }
            }
            double mean = Arrays.stream(places).average().orElseThrow();
            double spread = StrictMath.sqrt(Arrays.stream(places)
                    .map(place -> (place - mean) * (place - mean))
                    .average()
                    .orElseThrow());
            assertEquals(1, BlendRoll.spread(0, strokes, shift) / spread, 0.02);
            // From 10 to 90 %.
            double[] sorted = places.clone();
            Arrays.sort(sorted);
            double width = sorted[parcels * 9 / 10] - sorted[parcels / 10];
            assertEquals(1, BlendRoll.width(BlendRoll.spread(0, strokes, shift)) / width, 0.08, "the steps are coarse");
        }
    }

    @Test
    void a_slab_charged_at_its_steady_value_does_not_drift() {
        Rolling rolling = new Rolling(0.12, 0.0754, 0.06, 3, 5, 0.5);
        double feed = rolling.feed(0.2);
        Rolling.State steady = rolling.steady(feed);
        Rolling.State state = steady;
        for (int pull = 0; pull < 30; pull++) {
            state = rolling.next(state, feed);
            assertEquals(steady.printed(), state.printed(), 1e-9);
        }
        assertTrue(rolling.memory() < 1 && rolling.pullsToSettle() > 5);
    }
}
