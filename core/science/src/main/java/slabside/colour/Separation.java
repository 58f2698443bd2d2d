package slabside.colour;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.function.DoubleConsumer;
import slabside.measure.BadInput;

/**
 * Which inks, how far let down and in which order, come nearest to the colours of a picture when each is drawn in tones on a stone of
 * its own. Tones are taken as the part of the paper that the grain covers, films within it overlap by chance (Demichel).
 *
 * <p>A local search from several beginnings; the same seed gives the same plan.
 */
public final class Separation {
    /** Most runs that are planned. */
    public static final int MOST_RUNS = 6;

    private static final int BEGINNINGS = 4;
    private static final int MOST_PASSES = 8;
    private static final int STEPS = 12;
    /** Weight of chroma in how far a tone is off while tones are sought; ΔE00 judges them. */
    private static final double CHROMA = 0.03;

    /**
     * A run: an ink let down.
     *
     * @param ink place in the list of inks
     * @param share of the film that is that ink; the rest is clear base
     */
    public record Tint(int ink, double share) {}

    /**
     * Colours of a picture, each with its part of the picture.
     *
     * @param parts that add up to 1
     */
    public record Palette(List<CieLab> colours, List<Double> parts) {
        public Palette {
            colours = List.copyOf(colours);
            parts = List.copyOf(parts);
        }

        /**
         * The middle colours of a picture, by k-means in CIELAB from beginnings far apart.
         *
         * @param pixels at least one
         * @param most colours at most
         */
        public static Palette of(List<CieLab> pixels, int most, long seed) {
            if (pixels.isEmpty() || most < 1) {
                throw new BadInput("picture", pixels.size() + " pixels", "give a picture that has some");
            }
            Random random = new Random(seed);
            List<CieLab> middles = new ArrayList<>(List.of(pixels.get(random.nextInt(pixels.size()))));
            double[] away = new double[pixels.size()];
            Arrays.fill(away, Double.MAX_VALUE);
            while (middles.size() < most) {
                double sum = 0;
                for (int i = 0; i < away.length; i++) {
                    away[i] = Math.min(away[i], square(pixels.get(i), middles.get(middles.size() - 1)));
                    sum += away[i];
                }
                if (sum < 1e-9) {
                    break;
                }
                double at = random.nextDouble() * sum;
                int chosen = 0;
                while (chosen < away.length - 1 && (at -= away[chosen]) > 0) {
                    chosen++;
                }
                middles.add(pixels.get(chosen));
            }
            int[] counts = new int[middles.size()];
            for (int round = 0; round < 12; round++) {
                double[][] sums = new double[middles.size()][3];
                counts = new int[middles.size()];
                for (CieLab pixel : pixels) {
                    int nearest = nearest(pixel, middles);
                    sums[nearest][0] += pixel.l();
                    sums[nearest][1] += pixel.a();
                    sums[nearest][2] += pixel.b();
                    counts[nearest]++;
                }
                for (int i = 0; i < counts.length; i++) {
                    if (counts[i] > 0) {
                        middles.set(
                                i, new CieLab(sums[i][0] / counts[i], sums[i][1] / counts[i], sums[i][2] / counts[i]));
                    }
                }
            }
            List<CieLab> colours = new ArrayList<>();
            List<Double> parts = new ArrayList<>();
            for (int i = 0; i < counts.length; i++) {
                if (counts[i] > 0) {
                    colours.add(middles.get(i));
                    parts.add(counts[i] / (double) pixels.size());
                }
            }
            return new Palette(colours, parts);
        }

        private static int nearest(CieLab pixel, List<CieLab> middles) {
            int nearest = 0;
            for (int i = 1; i < middles.size(); i++) {
                nearest = square(pixel, middles.get(i)) < square(pixel, middles.get(nearest)) ? i : nearest;
            }
            return nearest;
        }

        private static double square(CieLab one, CieLab other) {
            double l = one.l() - other.l();
            double a = one.a() - other.a();
            double b = one.b() - other.b();
            return l * l + a * a + b * b;
        }
    }

    /**
     * Runs in their order.
     *
     * @param off mean ΔE00 from the colours of the palette
     */
    public record Plan(List<Tint> runs, double off) {
        public Plan {
            runs = List.copyOf(runs);
        }
    }

    private final List<InkFilm> inks;
    private final double[] shares;
    private final Bands paper;
    private final Overprint overprint;
    private final Light light;

    /**
     * @param inks each as the whole film of a run would be of it alone
     * @param shares to which they may be let down, each above 0, at most 1
     */
    public Separation(List<InkFilm> inks, double[] shares, Bands paper, Overprint overprint, Light light) {
        if (inks.isEmpty() || shares.length == 0) {
            throw new BadInput("inks", inks.size() + " in " + shares.length + " shares", "give some of both");
        }
        this.inks = List.copyOf(inks);
        this.shares = shares.clone();
        this.paper = paper;
        this.overprint = overprint;
        this.light = light;
    }

    /**
     * The nearest plan that was found.
     *
     * @param progress told what part is done, 0 to 1; what it throws ends the search
     */
    public Plan plan(Palette palette, int runs, long seed, DoubleConsumer progress) {
        check(runs);
        Random random = new Random(seed);
        Plan best = null;
        for (int beginning = 0; beginning < BEGINNINGS; beginning++) {
            Plan plan = improved(chance(palette, runs, random), palette, beginning, progress);
            if (best == null || plan.off() < best.off()) {
                best = plan;
            }
        }
        return java.util.Objects.requireNonNull(best);
    }

    /** Any inks in any order: what a plan is held against. */
    public Plan chance(Palette palette, int runs, Random random) {
        check(runs);
        List<Tint> tints = new ArrayList<>();
        for (int run = 0; run < runs; run++) {
            tints.add(new Tint(random.nextInt(inks.size()), shares[random.nextInt(shares.length)]));
        }
        return new Plan(tints, off(tints, palette));
    }

    private static void check(int runs) {
        if (runs < 1 || runs > MOST_RUNS) {
            throw new BadInput("runs", runs, "plan 1 to " + MOST_RUNS);
        }
    }

    /** Changes one run at a time to whatever is best, and two for each other, until nothing helps. */
    private Plan improved(Plan begun, Palette palette, int beginning, DoubleConsumer progress) {
        Plan plan = begun;
        for (int pass = 0; pass < MOST_PASSES; pass++) {
            double before = plan.off();
            for (int run = 0; run < plan.runs().size(); run++) {
                for (int ink = 0; ink < inks.size(); ink++) {
                    for (double share : shares) {
                        List<Tint> tried = new ArrayList<>(plan.runs());
                        tried.set(run, new Tint(ink, share));
                        plan = better(plan, tried, palette);
                    }
                    progress.accept((beginning
                                    + (pass
                                                    + (run + (ink + 1.0) / inks.size())
                                                            / plan.runs().size())
                                            / MOST_PASSES)
                            / BEGINNINGS);
                }
            }
            for (int one = 0; one < plan.runs().size(); one++) {
                for (int other = one + 1; other < plan.runs().size(); other++) {
                    List<Tint> tried = new ArrayList<>(plan.runs());
                    java.util.Collections.swap(tried, one, other);
                    plan = better(plan, tried, palette);
                }
            }
            if (plan.off() > before - 0.01) {
                break;
            }
        }
        return plan;
    }

    private Plan better(Plan plan, List<Tint> tried, Palette palette) {
        if (tried.equals(plan.runs())) {
            return plan;
        }
        double off = off(tried, palette);
        return off < plan.off() - 1e-9 ? new Plan(tried, off) : plan;
    }

    private double off(List<Tint> tints, Palette palette) {
        Printed printed = printed(tints);
        double sum = 0;
        for (int i = 0; i < palette.colours().size(); i++) {
            CieLab wanted = palette.colours().get(i);
            sum += palette.parts().get(i) * Difference.ciede2000(wanted, printed.seen(printed.tones(wanted)));
        }
        return sum;
    }

    /** What some runs give. */
    public Printed printed(List<Tint> tints) {
        List<InkFilm> films = tints.stream()
                .map(tint -> inks.get(tint.ink()).times(tint.share()))
                .toList();
        List<Bands> alone = films.stream().map(film -> film.over(paper)).toList();
        Xyz[] overlaps = new Xyz[1 << films.size()];
        for (int which = 0; which < overlaps.length; which++) {
            overlaps[which] = light.xyz(overlap(which, films, alone));
        }
        return new Printed(overlaps, films.size(), light);
    }

    /**
     * Some runs one over the other, whole.
     *
     * @param which a bit for each run, the first the lowest
     */
    public Bands overlap(List<Tint> tints, int which) {
        List<InkFilm> films = tints.stream()
                .map(tint -> inks.get(tint.ink()).times(tint.share()))
                .toList();
        return overlap(
                which, films, films.stream().map(film -> film.over(paper)).toList());
    }

    private Bands overlap(int which, List<InkFilm> films, List<Bands> alone) {
        if (films.stream().anyMatch(InkFilm::scatters)) {
            Bands under = paper;
            for (int run = 0; run < films.size(); run++) {
                under = (which >> run & 1) == 1 ? films.get(run).over(under) : under;
            }
            return under;
        }
        List<Bands> chosen = new ArrayList<>();
        for (int run = 0; run < films.size(); run++) {
            if ((which >> run & 1) == 1) {
                chosen.add(alone.get(run));
            }
        }
        return overprint.of(paper, chosen);
    }

    /** What runs give in any tones. */
    public static final class Printed {
        private final Xyz[] overlaps;
        private final CieLab[] whole;
        private final int runs;
        private final Light light;
        private final double[] low;
        private final double[] high;

        private Printed(Xyz[] overlaps, int runs, Light light) {
            this.overlaps = overlaps;
            this.whole =
                    Arrays.stream(overlaps).map(xyz -> xyz.lab(light.white())).toArray(CieLab[]::new);
            this.runs = runs;
            this.light = light;
            this.low = new double[runs];
            this.high = new double[runs];
            Arrays.fill(high, 1);
        }

        /**
         * How it looks.
         *
         * @param tones the part that each run covers, 0 to 1
         */
        public CieLab seen(double[] tones) {
            double x = 0;
            double y = 0;
            double z = 0;
            for (int which = 0; which < overlaps.length; which++) {
                double part = 1;
                for (int run = 0; run < runs; run++) {
                    part *= (which >> run & 1) == 1 ? tones[run] : 1 - tones[run];
                }
                x += part * overlaps[which].x();
                y += part * overlaps[which].y();
                z += part * overlaps[which].z();
            }
            return new Xyz(x, y, z).lab(light.white());
        }

        /** The tones that come nearest to a colour. */
        public double[] tones(CieLab wanted) {
            int nearest = 0;
            for (int which = 1; which < whole.length; which++) {
                nearest =
                        Palette.square(whole[which], wanted) < Palette.square(whole[nearest], wanted) ? which : nearest;
            }
            double[] start = new double[runs];
            for (int run = 0; run < runs; run++) {
                start[run] = (nearest >> run & 1) == 1 ? 0.8 : 0.1;
            }
            double weight = 1 / (1 + CHROMA * wanted.chroma());
            return LeastSquares.least(
                    tones -> {
                        CieLab seen = seen(tones);
                        return new double[] {
                            seen.l() - wanted.l(), (seen.a() - wanted.a()) * weight, (seen.b() - wanted.b()) * weight
                        };
                    },
                    start,
                    low,
                    high,
                    STEPS);
        }
    }
}
