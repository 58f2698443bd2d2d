package slabside.colour;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.concurrent.atomic.AtomicReference;
import org.junit.jupiter.api.Test;
import slabside.measure.BadInput;

/** Plans held against chance, against what was made of known runs, and against plain sums. */
class SeparationTest {
    private static final Light D50 = Light.weighted(Illuminant.D50, Observer.TWO_DEGREES);
    private static final Light PLAIN = Light.plain(Illuminant.D50, Observer.TWO_DEGREES);
    private static final Bands PAPER = Smoothest.of(new CieLab(95, 0, 2), PLAIN).orElseThrow();
    private static final Overprint OVERPRINT = Overprint.onPaperWithBlack(0.02);
    private static final double[] SHARES = {0.5, 0.2, 0.08};

    private static List<InkFilm> inks() {
        double[] ones = new double[Bands.COUNT];
        Arrays.fill(ones, 1);
        return List.of("#f2c800", "#b3123f", "#0072a8", "#00724f", "#3d2a6d", "#141414").stream()
                .map(hex -> InkFilm.overWhite(
                        Smoothest.of(Srgb.of(hex).labD50(), PLAIN).orElseThrow(), Bands.of(ones)))
                .toList();
    }

    private static Separation separation() {
        return new Separation(inks(), SHARES, PAPER, OVERPRINT, D50);
    }

    private static Separation.Palette some(long seed) {
        Random random = new Random(seed);
        List<CieLab> pixels = new ArrayList<>();
        for (int i = 0; i < 300; i++) {
            pixels.add(new CieLab(
                    30 + 60 * random.nextDouble(), 40 * random.nextGaussian() / 2, 40 * random.nextGaussian() / 2));
        }
        return Separation.Palette.of(pixels, 12, seed);
    }

    /** Two runs in tones are four areas whose light adds up: (1−p)(1−q), p(1−q), (1−p)q, pq (Demichel). */
    @Test
    void tones_are_areas_whose_light_adds_up() {
        List<Separation.Tint> runs = List.of(new Separation.Tint(0, 0.5), new Separation.Tint(2, 0.2));
        Bands yellow = inks().get(0).times(0.5).over(PAPER);
        Bands blue = inks().get(2).times(0.2).over(PAPER);
        Xyz bare = D50.xyz(PAPER);
        Xyz both = D50.xyz(OVERPRINT.of(PAPER, List.of(yellow, blue)));
        double y = 0.7 * 0.6 * bare.y()
                + 0.3 * 0.6 * D50.xyz(yellow).y()
                + 0.7 * 0.4 * D50.xyz(blue).y()
                + 0.3 * 0.4 * both.y();
        CieLab seen = separation().printed(runs).seen(new double[] {0.3, 0.4});
        assertEquals(y, seen.xyz(D50.white()).y(), 1e-12);
    }

    @Test
    void a_picture_made_of_known_runs_is_made_again() {
        List<Separation.Tint> runs =
                List.of(new Separation.Tint(0, 0.5), new Separation.Tint(1, 0.2), new Separation.Tint(2, 0.2));
        Separation.Printed printed = separation().printed(runs);
        Random random = new Random(5);
        List<CieLab> pixels = new ArrayList<>();
        for (int i = 0; i < 40; i++) {
            pixels.add(printed.seen(new double[] {random.nextDouble(), random.nextDouble(), random.nextDouble()}));
        }
        Separation.Palette palette = Separation.Palette.of(pixels, 40, 1);
        Separation.Plan plan = separation().plan(palette, 3, 1, done -> {});
        assertTrue(plan.off() < 0.5, plan.toString());
    }

    @Test
    void a_plan_is_nearer_than_the_best_of_a_hundred_by_chance_and_the_same_again() {
        for (long seed = 1; seed <= 2; seed++) {
            Separation.Palette palette = some(seed);
            Separation.Plan plan = separation().plan(palette, 3, seed, done -> {});
            Random random = new Random(seed);
            double best = Double.MAX_VALUE;
            for (int n = 0; n < 100; n++) {
                best = Math.min(best, separation().chance(palette, 3, random).off());
            }
            assertTrue(plan.off() < best, plan + " against " + best);
            assertEquals(plan, separation().plan(palette, 3, seed, done -> {}));
        }
        assertNotEquals(some(1), some(2));
    }

    @Test
    void progress_rises_and_may_end_it() {
        AtomicReference<Double> last = new AtomicReference<>(0.0);
        separation().plan(some(3), 2, 3, done -> {
            assertTrue(done >= last.get() - 1e-12 && done <= 1, done + " after " + last.get());
            last.set(done);
        });
        assertThrows(
                IllegalStateException.class,
                () -> separation().plan(some(3), 2, 3, done -> {
                    throw new IllegalStateException("off");
                }));
        assertThrows(BadInput.class, () -> separation().plan(some(3), 7, 3, done -> {}));
        assertThrows(BadInput.class, () -> Separation.Palette.of(List.of(), 5, 1));
        assertThrows(BadInput.class, () -> new Separation(List.of(), SHARES, PAPER, OVERPRINT, D50));
    }

    @Test
    void palettes_hold_the_whole_picture() {
        Separation.Palette palette = some(9);
        assertEquals(1, palette.parts().stream().mapToDouble(each -> each).sum(), 1e-12);
        assertEquals(12, palette.colours().size());
        Separation.Palette flat = Separation.Palette.of(List.of(new CieLab(50, 1, 2), new CieLab(50, 1, 2)), 8, 1);
        assertEquals(List.of(new CieLab(50, 1, 2)), flat.colours());
    }
}
