package slabside.colour;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Random;
import java.util.TreeMap;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

/**
 * The search against every mix on a grid of whole per cents: six inks, at most three used, 200 targets. With
 * {@code -Dslabside.recipes=12}, as the profile {@code full} has it, twelve inks, at most four used, on five targets.
 */
class RecipeGridTest {
    private static final long SEED = 2_306;
    private static final boolean FULL = Integer.getInteger("slabside.recipes", 6) == 12;
    private static final int USED = FULL ? 4 : 3;
    private static final double LEAST_BASE = 0.5;
    private static final int TARGETS = FULL ? 5 : 200;
    private static final Light PLAIN = Light.plain(Illuminant.D50, Observer.TWO_DEGREES);
    private static final Light D50 = Light.weighted(Illuminant.D50, Observer.TWO_DEGREES);
    private static final Bands PAPER = Smoothest.of(new CieLab(95, 0, 2), PLAIN).orElseThrow();
    private static final List<InkFilm> SHELF = shelf();

    private static List<InkFilm> shelf() {
        double[] ones = new double[Bands.COUNT];
        java.util.Arrays.fill(ones, 1);
        List<String> all = List.of(
                "#f2c800", "#b3123f", "#0072a8", "#00724f", "#3d2a6d", "#141414", "#e06a00", "#7a2a12", "#004b6e",
                "#c9a227", "#8fb100", "#d64f8a");
        return all.subList(0, FULL ? 12 : 6).stream()
                .map(hex -> InkFilm.overWhite(
                        Smoothest.of(Srgb.of(hex).labD50(), PLAIN).orElseThrow(), Bands.of(ones)))
                .toList();
    }

    /** Half made by the model, a quarter measured tints, a quarter that nothing makes. */
    private static List<CieLab> targets() throws IOException {
        Random random = new Random(SEED);
        List<CieLab> tints = tints();
        List<CieLab> targets = new ArrayList<>();
        for (int n = 0; n < TARGETS; n++) {
            if (n % 4 != 2) {
                int[] inks = random.ints(0, SHELF.size())
                        .distinct()
                        .limit(1 + random.nextInt(USED))
                        .toArray();
                double[] shares = IntStream.range(0, inks.length)
                        .mapToDouble(any -> 0.01 + random.nextDouble() * 0.3)
                        .toArray();
                CieLab made = D50.lab(
                        InkFilm.mixed(IntStream.of(inks).mapToObj(SHELF::get).toList(), shares)
                                .over(PAPER));
                // More vivid and lighter than that film: out of reach.
                double more = n % 4 < 2 ? 1 : 1.3 + 0.7 * random.nextDouble();
                targets.add(new CieLab(
                        Math.min(99, made.l() + (n % 4 < 2 ? 0 : 12 * random.nextDouble())),
                        made.a() * more,
                        made.b() * more));
            } else {
                targets.add(tints.get(random.nextInt(tints.size())));
            }
        }
        return targets;
    }

    /** Characterisation data of printing conditions; see SOURCES.md. */
    private static List<CieLab> tints() throws IOException {
        try (BufferedReader reader = new BufferedReader(new InputStreamReader(
                Objects.requireNonNull(RecipeGridTest.class.getResourceAsStream("tint_ramps_lab.csv")),
                StandardCharsets.UTF_8))) {
            return reader.lines()
                    .skip(1)
                    .map(line -> line.split(","))
                    .map(cells -> new CieLab(
                            Double.parseDouble(cells[6]), Double.parseDouble(cells[7]), Double.parseDouble(cells[8])))
                    .toList();
        }
    }

    @Test
    void no_mix_of_whole_per_cents_comes_nearer() throws IOException {
        List<CieLab> targets = targets();
        double[] reached = new double[targets.size()];
        long[] evaluations = new long[targets.size()];
        for (int n = 0; n < targets.size(); n++) {
            RecipeSearch.Result result =
                    RecipeSearch.search(SHELF, PAPER, D50, targets.get(n), USED, n % 2 == 0 ? 0 : LEAST_BASE, 1);
            reached[n] = result.found().get(0).difference();
            evaluations[n] = result.evaluations();
        }
        long out = java.util.Arrays.stream(reached).filter(each -> each > 1).count();
        assertTrue(FULL || out >= TARGETS / 10, out + " are out of reach");
        Grid grid = new Grid(targets, reached);
        grid.all();
        for (int n = 0; n < targets.size(); n++) {
            assertTrue(
                    evaluations[n] <= 0.02 * grid.films, evaluations[n] + " of " + grid.films + " films, target " + n);
        }
        assertEquals(Map.of(), grid.nearer);
        assertTrue(grid.compared > 1000L * targets.size() / 4, "near ones were looked at: " + grid.compared);
    }

    /** Every mix of whole per cents of at most {@link #USED} inks, by the product of what each leaves of the light. */
    private static final class Grid {
        private final List<CieLab> targets;
        private final double[] reached;
        private final double[][][] leaves = new double[SHELF.size()][101][Bands.COUNT];
        private final Map<String, Double> nearer = new TreeMap<>();
        private long films;
        private long compared;

        Grid(List<CieLab> targets, double[] reached) {
            this.targets = targets;
            this.reached = reached;
            for (int ink = 0; ink < SHELF.size(); ink++) {
                for (int share = 0; share <= 100; share++) {
                    for (int band = 0; band < Bands.COUNT; band++) {
                        leaves[ink][share][band] =
                                StrictMath.exp(-2 * SHELF.get(ink).band(band).kx() * share / 100);
                    }
                }
            }
        }

        void all() {
            further(0, 0, 0, PAPER.values());
        }

        private void further(int from, int used, int sum, double[] light) {
            look(light, sum);
            if (used == USED) {
                return;
            }
            for (int ink = from; ink < SHELF.size(); ink++) {
                for (int share = 1; share + sum <= 100; share++) {
                    double[] left = new double[Bands.COUNT];
                    for (int band = 0; band < Bands.COUNT; band++) {
                        left[band] = light[band] * leaves[ink][share][band];
                    }
                    further(ink + 1, used + 1, sum + share, left);
                }
            }
        }

        /** What lies on the other side of grey is no match for a colour, whatever ΔE00 says of so large a difference. */
        private static boolean sameSide(CieLab seen, CieLab target) {
            return target.chroma() <= 20 || target.a() * seen.a() + target.b() * seen.b() >= 0;
        }

        private void look(double[] light, int sum) {
            films++;
            double x = 0;
            double y = 0;
            double z = 0;
            for (int band = 0; band < Bands.COUNT; band++) {
                x += light[band] * D50.x(band);
                y += light[band] * D50.y(band);
                z += light[band] * D50.z(band);
            }
            CieLab seen = new Xyz(x, y, z).lab(D50.white());
            for (int n = 0; n < reached.length; n++) {
                // ΔE00 is at least the difference in lightness by its weight, which is at most 1.75 (Sharma, Wu and
                // Dalal 2005).
                // Every other target is asked for with a least base.
                boolean allowed = n % 2 == 0 || sum <= 100 * (1 - LEAST_BASE);
                if (allowed
                        && Math.abs(seen.l() - targets.get(n).l()) <= 1.75 * reached[n]
                        && sameSide(seen, targets.get(n))) {
                    compared++;
                    double difference = Difference.ciede2000(targets.get(n), seen);
                    if (difference < reached[n] - 1e-6) {
                        nearer.merge(
                                "target " + n + " of seed " + SEED + ", " + targets.get(n),
                                reached[n] - difference,
                                Double::sum);
                        reached[n] = difference;
                    }
                }
            }
        }
    }
}
