package slabside.colour;

import java.util.Arrays;
import java.util.List;
import slabside.measure.BadInput;

/**
 * What to add to a mix that missed its colour: first what its dabs tell of the real strength of each ink, then the additions that
 * bring it nearest. Nothing can be taken out.
 */
public final class Correction {
    /** Standard deviation of the logarithm of an ink's strength beside what was known of it; an assumption. */
    public static final double STRENGTH = 0.3;
    /** Standard deviation of the logarithm of a dab's film beside what was said of it; an assumption. */
    public static final double FILM = 0.2;
    /** Standard deviation of L*, a*, b* of a dab as read; an assumption. */
    public static final double READING = 0.3;
    /** ΔE00 that is worth as much as adding the whole mix once more. */
    private static final double WORTH = 0.1;

    private static final double MOST_LOG = 1.5;
    private static final int STEPS = 60;

    /**
     * A dab that was read.
     *
     * @param shares of each ink in the mix when it was made; the rest is clear base
     * @param film as heavy as {@code inks} are meant: 1, or that part of it
     */
    public record Dab(List<Double> shares, double film, CieLab seen) {
        public Dab {
            shares = List.copyOf(shares);
            if (!(film > 0) || Double.isInfinite(film)) {
                throw new BadInput("film of the dab", film, "give a part of the usual film above 0");
            }
        }
    }

    /**
     * What dabs tell of the inks.
     *
     * @param strengths of each ink, 1 for as strong as it was known to be
     * @param film of the dabs, 1 for as thick as was said
     * @param l what is left between the last dab and what those strengths give, in L*
     * @param a the same in a*
     * @param b the same in b*
     */
    public record Learned(List<Double> strengths, double film, double l, double a, double b) {
        public Learned {
            strengths = List.copyOf(strengths);
        }
    }

    /**
     * Additions.
     *
     * @param inks grams of each
     * @param base grams of clear base
     * @param expected how a dab of it should look
     * @param difference ΔE00 of that from the target
     */
    public record Additions(List<Double> inks, double base, CieLab expected, double difference) {
        public Additions {
            inks = List.copyOf(inks);
        }
    }

    private final List<InkFilm> inks;
    private final Bands paper;
    private final Light light;

    /**
     * @param inks each as the whole film of a dab would be of it alone, as far as known
     */
    public Correction(List<InkFilm> inks, Bands paper, Light light) {
        if (inks.isEmpty()) {
            throw new BadInput("inks", "none", "give the inks that are in the mix or may go into it");
        }
        this.inks = List.copyOf(inks);
        this.paper = paper;
        this.light = light;
    }

    /**
     * The likeliest strengths and film, with {@link #STRENGTH} and {@link #FILM} before anything was read.
     *
     * @param dabs oldest first, one at least
     */
    public Learned learn(List<Dab> dabs) {
        if (dabs.isEmpty()) {
            throw new BadInput("dabs", "none", "read a dab of the mix");
        }
        int n = inks.size();
        // The last unknown is the film.
        double[] low = new double[n + 1];
        double[] high = new double[n + 1];
        Arrays.fill(low, -MOST_LOG);
        Arrays.fill(high, MOST_LOG);
        double[] logs = LeastSquares.least(
                tried -> {
                    double[] residuals = new double[3 * dabs.size() + n + 1];
                    int at = 0;
                    for (Dab dab : dabs) {
                        CieLab seen = seen(dab.shares(), strengths(tried), dab.film());
                        residuals[at++] = (seen.l() - dab.seen().l()) / READING;
                        residuals[at++] = (seen.a() - dab.seen().a()) / READING;
                        residuals[at++] = (seen.b() - dab.seen().b()) / READING;
                    }
                    for (int i = 0; i < n; i++) {
                        residuals[at++] = tried[i] / STRENGTH;
                    }
                    residuals[at] = tried[n] / FILM;
                    return residuals;
                },
                new double[n + 1],
                low,
                high,
                STEPS);
        Dab last = dabs.get(dabs.size() - 1);
        CieLab seen = seen(last.shares(), strengths(logs), last.film());
        return new Learned(
                Arrays.stream(logs, 0, n).map(StrictMath::exp).boxed().toList(),
                StrictMath.exp(logs[n]),
                last.seen().l() - seen.l(),
                last.seen().a() - seen.a(),
                last.seen().b() - seen.b());
    }

    /** Of each ink, times the film. */
    private static double[] strengths(double[] logs) {
        return Arrays.stream(logs, 0, logs.length - 1)
                .map(log -> StrictMath.exp(log + logs[logs.length - 1]))
                .toArray();
    }

    private CieLab seen(List<Double> shares, double[] strengths, double film) {
        double[] strong = new double[strengths.length];
        for (int i = 0; i < strong.length; i++) {
            strong[i] = shares.get(i) * strengths[i] * film;
        }
        return light.lab(InkFilm.mixed(inks, strong).over(paper));
    }

    /**
     * The additions that come nearest, and of two that come as near the smaller.
     *
     * @param grams of each ink in the mix now
     * @param base grams of everything else in it
     * @param most grams that may be added altogether
     */
    public Additions additions(Learned learned, List<Double> grams, double base, CieLab target, double most) {
        int n = inks.size();
        if (grams.size() != n) {
            throw new BadInput("grams", grams.size() + " for " + n + " inks", "give grams for each ink");
        }
        double whole = base + grams.stream().mapToDouble(each -> each).sum();
        if (!(whole > 0 && most > 0)) {
            throw new BadInput("grams", whole, "give a mix that holds something, and a largest addition above 0");
        }
        double[] low = new double[n + 1];
        double[] high = new double[n + 1];
        Arrays.fill(high, most / whole);
        // In parts of the mix: grams of a strong ink and of base differ a hundredfold.
        double[] best = new double[n + 1];
        double least = Double.MAX_VALUE;
        for (double start : new double[] {0, 0.002, 0.02, 0.2}) {
            double[] begin = new double[n + 1];
            Arrays.fill(begin, Math.min(start, most / whole / (n + 1)));
            double[] found = LeastSquares.least(
                    tried -> {
                        double[] parts = Difference.ciede2000Parts(target, expected(tried, learned, grams, whole));
                        double[] residuals = Arrays.copyOf(parts, 3 + n + 2);
                        double sum = 0;
                        for (int i = 0; i <= n; i++) {
                            residuals[3 + i] = WORTH * tried[i];
                            sum += tried[i];
                        }
                        residuals[4 + n] = 100 * Math.max(0, sum - most / whole);
                        return residuals;
                    },
                    begin,
                    low,
                    high,
                    STEPS);
            double worth = worth(found, learned, grams, whole, target, most);
            if (worth < least) {
                least = worth;
                best = found;
            }
        }
        CieLab expected = expected(best, learned, grams, whole);
        return new Additions(
                Arrays.stream(best, 0, n).mapToObj(part -> part * whole).toList(),
                best[n] * whole,
                expected,
                Difference.ciede2000(target, expected));
    }

    /**
     * How a dab should look after some additions.
     *
     * @param inks grams of each that are added
     */
    public CieLab after(Learned learned, List<Double> grams, double base, List<Double> inks, double baseAdded) {
        double whole = base + grams.stream().mapToDouble(each -> each).sum();
        double[] added = new double[inks.size() + 1];
        for (int i = 0; i < inks.size(); i++) {
            added[i] = inks.get(i) / whole;
        }
        added[inks.size()] = baseAdded / whole;
        return expected(added, learned, grams, whole);
    }

    private double worth(
            double[] added, Learned learned, List<Double> grams, double whole, CieLab target, double most) {
        double sum = Arrays.stream(added).sum();
        double off = Difference.ciede2000(target, expected(added, learned, grams, whole));
        return off * off + WORTH * WORTH * sum * sum + (sum > 1.001 * most / whole ? 1e6 : 0);
    }

    private CieLab expected(double[] added, Learned learned, List<Double> grams, double whole) {
        int n = inks.size();
        double sum = 1 + Arrays.stream(added).sum();
        double[] shares = new double[n];
        for (int i = 0; i < n; i++) {
            shares[i] = (grams.get(i) / whole + added[i]) / sum;
        }
        CieLab seen = seen(
                Arrays.stream(shares).boxed().toList(),
                learned.strengths().stream()
                        .mapToDouble(each -> each * learned.film())
                        .toArray(),
                1);
        // What nobody can explain is of the old mix, and becomes less as it is let down.
        double old = 1 / sum;
        return new CieLab(
                Math.max(0, seen.l() + old * learned.l()), seen.a() + old * learned.a(), seen.b() + old * learned.b());
    }
}
