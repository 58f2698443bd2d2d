package slabside.colour;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;
import java.util.Random;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import slabside.measure.BadInput;

/** Additions to mixes of inks whose real spectra nobody knows: measured spectra of a chart (see SOURCES.md) stand for them. */
class CorrectionTest {
    private static final long SEED = 92;
    private static final Light D50 = Light.weighted(Illuminant.D50, Observer.TWO_DEGREES);
    private static final Light PLAIN = Light.plain(Illuminant.D50, Observer.TWO_DEGREES);
    private static final Bands WHITE = white();
    private static final int TRIALS = 200;

    private static Bands white() {
        double[] values = new double[Bands.COUNT];
        Arrays.fill(values, 0.9);
        return Bands.of(values);
    }

    /** The chromatic patches and the black of the chart. */
    private static List<Bands> real() throws IOException {
        try (BufferedReader reader = new BufferedReader(new InputStreamReader(
                Objects.requireNonNull(CorrectionTest.class.getResourceAsStream("chart24_spectra.csv")),
                StandardCharsets.UTF_8))) {
            return reader.lines()
                    .skip(1)
                    .map(line -> line.split(","))
                    .map(cells -> Bands.of(Arrays.stream(cells, cells.length - Bands.COUNT, cells.length)
                            .mapToDouble(Double::parseDouble)
                            .toArray()))
                    .filter(patch ->
                            D50.lab(patch).chroma() > 25 || D50.lab(patch).l() < 25)
                    .toList();
        }
    }

    /**
     * Inks are known by L*a*b* alone and are up to a third stronger or weaker than known. A recipe is made by what is known,
     * mixed with the real ones, its dab read, corrected once.
     */
    @Test
    void one_correction_from_colours_known_by_lab_alone() throws IOException {
        List<Bands> real = real();
        assertTrue(real.size() >= 15, "inks: " + real.size());
        Random random = new Random(SEED);
        List<Double> before = new ArrayList<>();
        List<Double> after = new ArrayList<>();
        for (int trial = 0; trial < TRIALS; trial++) {
            List<Bands> chosen = random.ints(0, real.size())
                    .distinct()
                    .limit(3)
                    .mapToObj(real::get)
                    .toList();
            List<InkFilm> known = chosen.stream()
                    .map(patch -> InkFilm.overWhite(
                            Smoothest.of(D50.lab(patch), PLAIN).orElseThrow(), WHITE))
                    .toList();
            List<InkFilm> truth = chosen.stream()
                    .map(patch -> InkFilm.overWhite(patch, WHITE).times(StrictMath.exp(random.nextGaussian() * 0.15)))
                    .toList();
            double[] wanted = IntStream.range(0, 3)
                    .mapToDouble(any -> 0.04 + 0.25 * random.nextDouble())
                    .toArray();
            CieLab target = D50.lab(InkFilm.mixed(truth, wanted).over(WHITE));
            RecipeSearch.Found recipe = RecipeSearch.search(known, WHITE, D50, target, 3, 0, 1)
                    .found()
                    .get(0);
            double[] grams = new double[3];
            for (int i = 0; i < recipe.inks().size(); i++) {
                grams[recipe.inks().get(i)] = 100 * recipe.shares().get(i);
            }
            double base = 100 - Arrays.stream(grams).sum();
            CieLab dab = dab(truth, grams, base);
            before.add(Difference.ciede2000(target, dab));
            Correction correction = new Correction(known, WHITE, D50);
            Correction.Learned learned = correction.learn(List.of(new Correction.Dab(
                    Arrays.stream(grams).mapToObj(each -> each / 100).toList(), 1, dab)));
            Correction.Additions added =
                    correction.additions(learned, Arrays.stream(grams).boxed().toList(), base, target, 200);
            double[] then = new double[3];
            for (int i = 0; i < 3; i++) {
                assertTrue(added.inks().get(i) >= 0, "nothing is taken out");
                then[i] = grams[i] + added.inks().get(i);
            }
            assertTrue(
                    added.base()
                                    + added.inks().stream()
                                            .mapToDouble(each -> each)
                                            .sum()
                            <= 200.5,
                    "no more than was allowed: " + added);
            after.add(Difference.ciede2000(target, dab(truth, then, base + added.base())));
        }
        before.sort(null);
        after.sort(null);
        assertTrue(before.get(TRIALS / 2) > 1, "there was something to correct: " + before.get(TRIALS / 2));
        assertTrue(
                after.get(TRIALS / 2) <= 0.3,
                "median " + after.get(TRIALS / 2) + ", 90 % " + after.get(TRIALS * 9 / 10) + ", before "
                        + before.get(TRIALS / 2));
    }

    private static CieLab dab(List<InkFilm> inks, double[] grams, double base) {
        double whole = base + Arrays.stream(grams).sum();
        return D50.lab(InkFilm.mixed(
                        inks, Arrays.stream(grams).map(each -> each / whole).toArray())
                .over(WHITE));
    }

    /** Films whose strength alone differs are found out by their dabs; the more dabs, the surer. */
    @Test
    void strengths_are_learned_from_dabs() throws IOException {
        List<InkFilm> inks = real().stream()
                .limit(2)
                .map(patch -> InkFilm.overWhite(patch, WHITE))
                .toList();
        Correction correction = new Correction(inks, WHITE, D50);
        List<InkFilm> truth = List.of(inks.get(0).times(1.2), inks.get(1).times(0.8));
        Correction.Dab first = new Correction.Dab(List.of(0.2, 0.1), 1, dab(truth, new double[] {20, 10}, 70));
        Correction.Dab second = new Correction.Dab(List.of(0.05, 0.3), 1, dab(truth, new double[] {5, 30}, 65));
        Correction.Learned learned = correction.learn(List.of(first, second));
        assertEquals(1.2, learned.strengths().get(0), 0.02);
        assertEquals(0.8, learned.strengths().get(1), 0.02);
        assertEquals(0, learned.l(), 0.3);
    }

    /** Of a thinner dab less of each ink is seen; said so, it teaches nothing of their strength. */
    @Test
    void a_thin_dab_is_no_weak_ink() throws IOException {
        List<InkFilm> inks = real().stream()
                .limit(2)
                .map(patch -> InkFilm.overWhite(patch, WHITE))
                .toList();
        CieLab thin = dab(inks.stream().map(ink -> ink.times(0.5)).toList(), new double[] {20, 10}, 70);
        Correction.Learned learned =
                new Correction(inks, WHITE, D50).learn(List.of(new Correction.Dab(List.of(0.2, 0.1), 0.5, thin)));
        assertEquals(1, learned.strengths().get(0), 1e-3);
        assertEquals(1, learned.film(), 1e-3);
    }

    /** Five parts of a red that nobody wrote down: let down with as much base again, half of it is left. */
    @Test
    void what_cannot_be_explained_fades_as_the_mix_is_let_down() throws IOException {
        InkFilm known = InkFilm.overWhite(real().get(0), WHITE);
        InkFilm unwritten = InkFilm.overWhite(real().get(5), WHITE);
        List<InkFilm> truth = List.of(known, unwritten);
        Correction correction = new Correction(List.of(known), WHITE, D50);
        Correction.Learned learned =
                correction.learn(List.of(new Correction.Dab(List.of(0.2), 1, dab(truth, new double[] {20, 5}, 75))));
        CieLab really = dab(truth, new double[] {20, 5}, 175);
        CieLab expected = correction.after(learned, List.of(20.0), 80, List.of(0.0), 100);
        assertTrue(Difference.ciede2000(really, expected) < 2.5, really + " " + expected);
        assertTrue(expected.l() <= D50.lab(WHITE).l() + 0.5, "no lighter than the paper: " + expected);
    }

    @Test
    void a_mix_that_is_right_gets_nothing_added() throws IOException {
        List<InkFilm> inks = real().stream()
                .limit(2)
                .map(patch -> InkFilm.overWhite(patch, WHITE))
                .toList();
        CieLab dab = dab(inks, new double[] {20, 10}, 70);
        Correction correction = new Correction(inks, WHITE, D50);
        Correction.Learned learned = correction.learn(List.of(new Correction.Dab(List.of(0.2, 0.1), 1, dab)));
        Correction.Additions added = correction.additions(learned, List.of(20.0, 10.0), 70, dab, 100);
        assertEquals(0, added.base() + added.inks().get(0) + added.inks().get(1), 0.2);
        assertEquals(0, added.difference(), 0.02);
        assertThrows(BadInput.class, () -> correction.learn(List.of()));
        assertThrows(BadInput.class, () -> correction.additions(learned, List.of(1.0), 0, dab, 1));
        assertThrows(BadInput.class, () -> correction.additions(learned, List.of(0.0, 0.0), 0, dab, 1));
        assertThrows(BadInput.class, () -> new Correction(List.of(), WHITE, D50));
    }
}
