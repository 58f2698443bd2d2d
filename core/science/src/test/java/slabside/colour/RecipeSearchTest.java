package slabside.colour;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import slabside.measure.BadInput;

/** Recipes found against films made of known shares, and against every share on a grid. */
class RecipeSearchTest {
    private static final long SEED = 407;
    private static final Light D50 = Light.weighted(Illuminant.D50, Observer.TWO_DEGREES);
    private static final Bands PAPER = Smoothest.of(
                    new CieLab(95, 0, 2), Light.plain(Illuminant.D50, Observer.TWO_DEGREES))
            .orElseThrow();

    /** Six inks by the colours of their films on a white. */
    private static List<InkFilm> shelf() {
        double[] ones = new double[Bands.COUNT];
        java.util.Arrays.fill(ones, 1);
        return List.of("#f2c800", "#b3123f", "#0072a8", "#00724f", "#3d2a6d", "#141414").stream()
                .map(hex -> InkFilm.overWhite(
                        Smoothest.of(Srgb.of(hex).labD50(), Light.plain(Illuminant.D50, Observer.TWO_DEGREES))
                                .orElseThrow(),
                        Bands.of(ones)))
                .toList();
    }

    private static CieLab made(List<InkFilm> shelf, int[] inks, double[] shares) {
        List<InkFilm> used = new ArrayList<>();
        for (int ink : inks) {
            used.add(shelf.get(ink));
        }
        return D50.lab(InkFilm.mixed(used, shares).over(PAPER));
    }

    @Test
    void what_was_made_of_known_shares_is_found_again() {
        Random random = new Random(SEED);
        List<InkFilm> shelf = shelf();
        for (int n = 0; n < 60; n++) {
            int[] inks = random.ints(0, 6)
                    .distinct()
                    .limit(1 + random.nextInt(3))
                    .sorted()
                    .toArray();
            double[] shares = new double[inks.length];
            for (int i = 0; i < shares.length; i++) {
                shares[i] = 0.02 + random.nextDouble() * 0.25;
            }
            CieLab target = made(shelf, inks, shares);
            RecipeSearch.Result result = RecipeSearch.search(shelf, PAPER, D50, target, 3, 0.1, 3);
            assertTrue(
                    result.found().get(0).difference() < 0.02,
                    "target " + n + " of seed " + SEED + ": " + result.found().get(0));
        }
    }

    /** Never worse than the best on a grid of whole per cents, with few of its evaluations; a third of the targets out of reach. */
    @Test
    void no_share_on_a_grid_of_one_per_cent_comes_nearer() {
        Random random = new Random(SEED);
        List<InkFilm> shelf = shelf();
        for (int n = 0; n < 6; n++) {
            CieLab target = n % 3 == 2
                    ? new CieLab(85, -70 + 140 * random.nextDouble(), 60 * random.nextDouble())
                    : made(shelf, new int[] {n % 6, (n + 2) % 6}, new double[] {0.05 + 0.3 * random.nextDouble(), 0.1});
            RecipeSearch.Result result = RecipeSearch.search(shelf, PAPER, D50, target, 2, 0, 1);
            double best = Double.MAX_VALUE;
            long grid = 0;
            for (int i = 0; i < 6; i++) {
                for (int j = i + 1; j < 6; j++) {
                    for (int a = 0; a <= 100; a++) {
                        for (int b = 0; a + b <= 100; b++) {
                            grid++;
                            best = Math.min(
                                    best, Difference.ciede2000(target, made(shelf, new int[] {i, j}, new double[] {
                                        a / 100.0, b / 100.0
                                    })));
                        }
                    }
                }
            }
            assertTrue(
                    result.found().get(0).difference() <= best + 1e-6,
                    "target " + n + " of seed " + SEED + ": " + result.found().get(0) + " against " + best);
            assertTrue(result.evaluations() <= grid / 10, result.evaluations() + " of " + grid);
        }
    }

    /** ΔE00 alone would take a pale green for the nearest to this pink, for want of anything near. */
    @Test
    void what_is_far_out_of_reach_is_not_answered_from_the_other_side_of_grey() {
        CieLab target = new CieLab(92.75, 93.1, -18.9);
        for (RecipeSearch.Found each :
                RecipeSearch.search(shelf(), PAPER, D50, target, 3, 0, 3).found()) {
            assertTrue(each.inks().isEmpty() || each.seen().a() > 0, each.toString());
        }
    }

    @Test
    void answers_are_of_other_inks_and_the_nearest_first() {
        CieLab target = made(shelf(), new int[] {0, 2}, new double[] {0.1, 0.05});
        RecipeSearch.Result result = RecipeSearch.search(shelf(), PAPER, D50, target, 3, 0.2, 5);
        assertEquals(5, result.found().size());
        assertEquals(
                5,
                result.found().stream().map(RecipeSearch.Found::inks).distinct().count());
        for (int i = 1; i < 5; i++) {
            assertTrue(result.found().get(i - 1).difference()
                    <= result.found().get(i).difference());
        }
        for (RecipeSearch.Found each : result.found()) {
            assertTrue(each.shares().stream().mapToDouble(share -> share).sum() <= 0.8 + 1e-9, "base is kept");
            assertTrue(each.shares().stream().allMatch(share -> share > 0));
        }
        assertEquals(result, RecipeSearch.search(shelf(), PAPER, D50, target, 3, 0.2, 5), "the same again");
        assertThrows(BadInput.class, () -> RecipeSearch.search(List.of(), PAPER, D50, target, 3, 0, 1));
        assertThrows(BadInput.class, () -> RecipeSearch.search(shelf(), PAPER, D50, target, 5, 0, 1));
        assertThrows(BadInput.class, () -> RecipeSearch.search(shelf(), PAPER, D50, target, 2, 1, 1));
    }
}
