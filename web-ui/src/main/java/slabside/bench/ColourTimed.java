package slabside.bench;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import slabside.colour.Bands;
import slabside.colour.CieLab;
import slabside.colour.Illuminant;
import slabside.colour.InkFilm;
import slabside.colour.Light;
import slabside.colour.Observer;
import slabside.colour.Overprint;
import slabside.colour.RecipeSearch;
import slabside.colour.Separation;
import slabside.log.LogTrouble;

/** How long colours take that are reckoned: films, recipes, and the plan of a picture. */
final class ColourTimed {
    private static final int PLAN_INKS = 10;
    private static final int PLAN_PIXELS = 57_600;
    private static final int RECIPE_INKS = 12;
    private static final int RECIPE_TARGETS = 11;
    private static final int CANDIDATES = 1_000_000;

    private final Figures figures;

    ColourTimed(Figures figures) {
        this.figures = figures;
    }

    /** Candidates of a recipe: film, tristimulus values, CIELAB and ΔE00 over 36 bands, on one thread. */
    void films() {
        Light light = Light.weighted(Illuminant.D50, Observer.TWO_DEGREES);
        double[] flat = new double[Bands.COUNT];
        Arrays.fill(flat, 0.85);
        Bands paper = Bands.of(flat);
        List<InkFilm> shelf = new ArrayList<>();
        for (int ink = 0; ink < RECIPE_INKS; ink++) {
            double[] over = new double[Bands.COUNT];
            for (int band = 0; band < Bands.COUNT; band++) {
                over[band] = 0.05 + 0.8 * StrictMath.abs(StrictMath.sin((band + 9 * ink) / 12.0));
            }
            shelf.add(InkFilm.overWhite(Bands.of(over), paper));
        }
        List<InkFilm> inks = shelf.subList(0, 3);
        CieLab target = new CieLab(55, 20, -10);
        RecipeSearch.compared(inks, paper, light, target, CANDIDATES);
        long start = System.nanoTime();
        double sum = RecipeSearch.compared(inks, paper, light, target, CANDIDATES);
        double seconds = (System.nanoTime() - start) / 1e9;
        if (!(sum > 0)) {
            throw new LogTrouble("the films were compared with nothing");
        }
        figures.row("film candidates of three inks, one thread", CANDIDATES / seconds, "films/s", "at least 1,000,000");
        double[] took = new double[RECIPE_TARGETS];
        for (int n = 0; n < RECIPE_TARGETS; n++) {
            // Some of them can be made, some are out of reach.
            CieLab wanted = new CieLab(40 + 5 * n, 40 * StrictMath.cos(n), 40 * StrictMath.sin(n));
            long began = System.nanoTime();
            RecipeSearch.search(shelf, paper, light, wanted, 4, 0.5, 5);
            took[n] = (System.nanoTime() - began) / 1e6;
        }
        Arrays.sort(took);
        figures.row("recipe of at most 4 of 12 inks, p50", took[RECIPE_TARGETS / 2], "ms", "");
        figures.row("recipe of at most 4 of 12 inks, slowest", took[RECIPE_TARGETS - 1], "ms", "at most 200 ms");
        plan(shelf.subList(0, PLAN_INKS), paper, light);
    }

    /** Four runs of ten inks for 32 colours of a picture, as a calculator plans them, beside the best of 100 by chance. */
    private void plan(List<InkFilm> shelf, Bands paper, Light light) {
        Random random = new Random(1);
        List<CieLab> pixels = new ArrayList<>();
        for (int i = 0; i < PLAN_PIXELS; i++) {
            pixels.add(
                    new CieLab(30 + 60 * random.nextDouble(), 25 * random.nextGaussian(), 25 * random.nextGaussian()));
        }
        long began = System.nanoTime();
        Separation separation = new Separation(
                shelf, new double[] {0.5, 0.25, 0.12, 0.06, 0.03}, paper, Overprint.onPaperWithBlack(0.02), light);
        Separation.Palette palette = Separation.Palette.of(pixels, 32, 1);
        Separation.Plan plan = separation.plan(palette, 4, 1, done -> {});
        figures.row("plan of 4 runs of 10 inks", (System.nanoTime() - began) / 1e9, "s", "at most 60 s");
        double chance = Double.MAX_VALUE;
        for (int n = 0; n < 100; n++) {
            chance = Math.min(chance, separation.chance(palette, 4, random).off());
        }
        figures.compared(
                "mean ΔE00 of that plan", plan.off(), chance, "ΔE00", plan.off() / chance, "best of 100 by chance");
    }
}
