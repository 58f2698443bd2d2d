package slabside.colour;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import slabside.measure.BadInput;
import slabside.measure.Spectrum;

/** Spectra as instruments give them, and what films and lights do whatever the numbers. */
class BandsTest {
    private static final long SEED = 71;

    /** A smooth reflectance that is no polynomial. */
    private static double smooth(int nm) {
        return 0.4 + 0.3 * StrictMath.sin(nm / 60.0) + 0.05 * StrictMath.cos(nm / 25.0);
    }

    private static Spectrum read(int first, int last, int step) {
        List<BigDecimal> values = new ArrayList<>();
        for (int nm = first; nm <= last; nm += step) {
            values.add(BigDecimal.valueOf(smooth(nm)));
        }
        return new Spectrum(first, step, values);
    }

    @Test
    void spectra_of_other_steps_are_brought_to_the_same_bands() {
        for (int step : new int[] {1, 5, 10, 20}) {
            Bands bands = Bands.of(read(380, 740, step));
            for (int i = 0; i < Bands.COUNT; i++) {
                assertEquals(
                        smooth(Bands.FIRST + i * Bands.STEP),
                        bands.get(i),
                        step <= 10 ? 1e-12 : 2e-3,
                        "by " + step + " nm");
            }
            assertEquals(List.of(), bands.remarks());
        }
    }

    @Test
    void missing_ends_are_said() {
        Bands bands = Bands.of(read(400, 700, 10));
        assertEquals(smooth(400), bands.get(0));
        assertEquals(smooth(700), bands.get(35));
        assertEquals(
                List.of(
                        "nothing was read below 400 nm; the first value goes on",
                        "nothing was read above 700 nm; the last value goes on"),
                bands.remarks());
        assertThrows(BadInput.class, () -> Bands.of(read(430, 700, 10)));
        assertThrows(BadInput.class, () -> Bands.of(read(400, 670, 10)));
        assertThrows(BadInput.class, () -> Bands.of(read(380, 740, 30)));
    }

    @Test
    void what_is_no_reflectance_is_refused_with_its_wavelength() {
        double[] values = new double[Bands.COUNT];
        for (double bad : new double[] {Double.NaN, -0.001, 45, Double.POSITIVE_INFINITY}) {
            values[2] = bad;
            BadInput refused = assertThrows(BadInput.class, () -> Bands.of(values.clone()));
            assertEquals("reflectance at 400 nm", refused.field());
        }
        assertThrows(BadInput.class, () -> Bands.of(0.5, 0.5));
    }

    @Test
    void a_paper_that_shines_by_itself_is_flagged() {
        double[] values = new double[Bands.COUNT];
        java.util.Arrays.fill(values, 0.9);
        assertEquals(List.of(), Bands.of(values).remarks());
        values[6] = 1.08;
        assertTrue(Bands.of(values).remarks().get(0).contains("brightener"));
    }

    /** More of an ink is never lighter over white, a film over itself is a film of twice the weight, nothing leaves 0 to 1. */
    @Test
    void films_of_any_kind_behave() {
        Random random = new Random(SEED);
        for (int i = 0; i < 20_000; i++) {
            double kx = StrictMath.pow(10, random.nextDouble() * 16 - 14);
            double sx = random.nextInt(10) == 0 ? 0 : StrictMath.pow(10, random.nextDouble() * 16 - 14);
            double backing = random.nextDouble();
            Film film = new Film(random.nextInt(10) == 0 ? 0 : kx, sx);
            double once = film.over(backing);
            String what = film + " over " + backing + ", seed " + SEED;
            assertTrue(once >= -1e-12 && once <= 1 + 1e-12, what);
            assertEquals(film.times(2).over(backing), film.over(once), 1e-9, "twice is one over the other: " + what);
            double transmitted = film.transmittance();
            assertTrue(transmitted >= 0 && transmitted <= 1 + 1e-12, what);
            double pile = film.kx() == 0 && film.sx() == 0 ? backing : film.ofAPile();
            assertEquals(
                    pile,
                    film.kx() == 0 && film.sx() == 0 ? pile : film.over(pile),
                    1e-9,
                    "a pile is its own backing: " + what);
        }
    }

    @Test
    void the_fast_decay_is_that_of_the_jdk() {
        Random random = new Random(SEED);
        for (int i = 0; i < 200_000; i++) {
            double x = i < 1_000 ? i * 0.7 : StrictMath.pow(10, random.nextDouble() * 20 - 17);
            double exact = StrictMath.exp(-x);
            assertEquals(exact, Decay.of(x), 2e-15 * exact + (x >= 700 ? 1e-300 : 0), "x = " + x + ", seed " + SEED);
        }
        assertEquals(1, Decay.of(0));
        assertEquals(0, Decay.of(Double.POSITIVE_INFINITY));
        assertTrue(Double.isNaN(Decay.of(Double.NaN)));
    }

    @Test
    void colours_go_there_and_back() {
        Random random = new Random(SEED);
        Light light = Light.weighted(Illuminant.D50, Observer.TWO_DEGREES);
        for (int i = 0; i < 2_000; i++) {
            CieLab lab = new CieLab(
                    random.nextDouble() * 100, random.nextDouble() * 160 - 80, random.nextDouble() * 160 - 80);
            CieLab back = lab.xyz(light.white()).lab(light.white());
            assertTrue(Difference.cie76(lab, back) < 1e-9, lab + ", seed " + SEED);
            CieLab other = new CieLab(lab.l() * 0.9, lab.a() + 3, lab.b() - 2);
            assertEquals(Difference.ciede2000(lab, other), Difference.ciede2000(other, lab), 1e-9);
            assertEquals(0, Difference.ciede2000(lab, lab));
        }
    }

    @Test
    void a_white_and_a_black_are_what_they_are() {
        Light light = Light.weighted(Illuminant.D50, Observer.TWO_DEGREES);
        double[] ones = new double[Bands.COUNT];
        java.util.Arrays.fill(ones, 1);
        assertEquals(0, Difference.cie76(new CieLab(100, 0, 0), light.lab(Bands.of(ones))), 1e-9);
        assertEquals(0, light.lab(Bands.of(new double[Bands.COUNT])).l(), 1e-9);
        Light plain = Light.plain(Illuminant.D50, Observer.TWO_DEGREES);
        assertEquals(1, Smoothest.of(new CieLab(100, 0, 0), plain).orElseThrow().get(0));
        assertEquals(0, Smoothest.of(new CieLab(0, 0, 0), plain).orElseThrow().get(0));
        assertTrue(Smoothest.of(new CieLab(50, 200, 0), plain).isEmpty(), "no surface looks so");
    }

    /** Two that match in daylight and part under a lamp; a grey and itself never do. */
    @Test
    void metamerism_is_seen() {
        Light daylight = Light.plain(Illuminant.D50, Observer.TWO_DEGREES);
        Light lamp = Light.plain(Illuminant.A, Observer.TWO_DEGREES);
        CieLab lab = new CieLab(55, 30, 10);
        Bands smooth = Smoothest.of(lab, daylight).orElseThrow();
        Bands other = Smoothest.unbounded(lab, daylight).orElseThrow();
        assertTrue(Metamerism.index(smooth, other, daylight, lamp) > 0.01);
        assertEquals(0, Metamerism.index(smooth, smooth, daylight, lamp), 1e-12);
        double[] grey = new double[Bands.COUNT];
        java.util.Arrays.fill(grey, 0.4);
        assertEquals(0, Metamerism.shift(Bands.of(grey), daylight, lamp), 1e-9);
    }

    @Test
    void an_ink_is_known_from_its_drawdowns() {
        double[] white = new double[Bands.COUNT];
        double[] black = new double[Bands.COUNT];
        java.util.Arrays.fill(white, 0.85);
        java.util.Arrays.fill(black, 0.04);
        Bands paper = Bands.of(white);
        Bands bar = Bands.of(black);
        double[] overWhite = new double[Bands.COUNT];
        double[] overBlack = new double[Bands.COUNT];
        Film[] films = new Film[Bands.COUNT];
        for (int i = 0; i < Bands.COUNT; i++) {
            films[i] = new Film(0.1 + 0.03 * i, 0.05 + 0.002 * i);
            overWhite[i] = films[i].over(0.85);
            overBlack[i] = films[i].over(0.04);
        }
        InkFilm ink = InkFilm.overBoth(Bands.of(overBlack), bar, Bands.of(overWhite), paper);
        assertTrue(ink.scatteringKnown());
        InkFilm half = InkFilm.mixed(List.of(ink, InkFilm.clear()), 0.5, 0.5);
        for (int i = 0; i < Bands.COUNT; i++) {
            assertEquals(films[i].kx(), ink.band(i).kx(), 1e-9);
            assertEquals(films[i].sx(), ink.band(i).sx(), 1e-9);
            assertEquals(films[i].times(0.5).over(0.85), half.over(paper).get(i), 1e-9, "let down by half");
        }
        InkFilm flat = InkFilm.overWhite(Bands.of(overWhite), paper);
        assertTrue(!flat.scatteringKnown(), "over white alone nothing is known of its scattering");
        Light light = Light.weighted(Illuminant.D50, Observer.TWO_DEGREES);
        assertEquals(0, InkFilm.clear().shownOverBlack(bar, light), 1e-12);
        assertTrue(ink.shownOverBlack(bar, light) > 5, "it scatters, so it shows over black");
        assertThrows(BadInput.class, () -> InkFilm.mixed(List.of(ink), 0.5, 0.5));
    }

    @Test
    void overprints_with_nothing_on_them_are_the_paper() {
        double[] white = new double[Bands.COUNT];
        java.util.Arrays.fill(white, 0.85);
        Bands paper = Bands.of(white);
        assertEquals(paper, Overprint.PLAIN.of(paper, List.of()));
        Overprint real = new Overprint(0.01, 0.761);
        for (int i = 0; i < Bands.COUNT; i++) {
            assertEquals(0.85, real.of(paper, List.of(paper, paper)).get(i), 1e-12, "clear films change nothing");
        }
        assertThrows(BadInput.class, () -> new Overprint(1, 1));
    }
}
