package slabside.colour;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import slabside.measure.BadInput;

/**
 * Which inks, in which shares of a film, come nearest to a colour; the rest of the film is clear base.
 *
 * <p>Every choice of up to so many inks is tried in a hurry, by damped least squares on the parts of ΔE00; the
 * best of them closely, from several beginnings, and then by steps of halving size on ΔE00 itself. Repeatable: no chance in it.
 */
public final class RecipeSearch {
    /**
     * One answer.
     *
     * @param inks places in the list that was searched, rising
     * @param shares of the film, one for each of {@code inks}
     * @param beyond it lies on the other side of grey, so that its ΔE00 says nothing
     * @param difference ΔE00 from the target
     */
    public record Found(List<Integer> inks, List<Double> shares, CieLab seen, double difference, boolean beyond) {
        public Found {
            inks = List.copyOf(inks);
            shares = List.copyOf(shares);
        }
    }

    /**
     * What was found, the nearest first.
     *
     * @param evaluations films that were computed
     */
    public record Result(List<Found> found, long evaluations) {
        public Result {
            found = List.copyOf(found);
        }
    }

    private static final int MOST_INKS = 4;
    private static final int SQUARES = 14;
    private static final int HURRIED = 7;
    private static final double FIRST_GUESS = 0.1;
    /** Shares of each ink that are tried first, where there is one, where there are two, three, four. */
    private static final double[][] FEW = {
        {0.002, 0.005, 0.01, 0.02, 0.03, 0.05, 0.08, 0.12, 0.2, 0.3, 0.45, 0.6, 0.8, 1},
        {0.005, 0.012, 0.025, 0.05, 0.1, 0.2, 0.35, 0.6},
        {0.01, 0.03, 0.08, 0.2, 0.45},
        {0.02, 0.08, 0.3}
    };
    /** So many choices of inks beyond those asked for are looked at closely. */
    private static final int SECOND_LOOKS = 8;

    private static final double FIRST_STEP = 0.02;
    private static final double LAST_STEP = 1e-4;
    private static final double WIDEST_STEP = 0.5;
    private static final int MOST_STEPS = 200;
    private static final double NOTHING = 5e-4;
    /** Shares at which a search begins: a little ink in much base, and much ink. */
    private static final double[] STARTS = {0.003, 0.03, 0.4};

    private static final double LITTLE = 1e-3;
    /** So many ends of beginnings are looked at closely. */
    private static final int CLOSELY = 2;
    /** Chroma from which a colour has a side of grey. */
    private static final double CHROMATIC = 20;
    /** More than any ΔE00. */
    private static final double BEYOND_GREY = 1_000;

    /** ΔE00 of what is the same colour. */
    private static final double SAME = 0.01;

    private final double[][] kx;
    private final double[][] sx;
    private final boolean scatters;
    private final double[] paper;
    private final Light light;
    private final CieLab target;
    private final double most;
    private long evaluations;

    private RecipeSearch(List<InkFilm> inks, Bands paper, Light light, CieLab target, double most) {
        this.kx = new double[inks.size()][Bands.COUNT];
        this.sx = new double[inks.size()][Bands.COUNT];
        boolean any = false;
        for (int ink = 0; ink < inks.size(); ink++) {
            for (int band = 0; band < Bands.COUNT; band++) {
                kx[ink][band] = inks.get(ink).band(band).kx();
                sx[ink][band] = inks.get(ink).band(band).sx();
            }
            any |= inks.get(ink).scatters();
        }
        this.scatters = any;
        this.paper = paper.values();
        this.light = light;
        this.target = target;
        this.most = most;
    }

    /**
     * @param inks each as the whole film would be of it alone, at the weight that will be printed
     * @param target as {@code light} shows it
     * @param atMost inks in one answer, 1 to 4
     * @param leastBase share of clear base at least, 0 to below 1
     * @param answers how many to give
     */
    public static Result search(
            List<InkFilm> inks, Bands paper, Light light, CieLab target, int atMost, double leastBase, int answers) {
        if (atMost < 1 || atMost > MOST_INKS || inks.isEmpty()) {
            throw new BadInput(
                    "inks", inks.size() + ", at most " + atMost + " used", "give inks, and use 1 to 4 of them");
        }
        if (!(leastBase >= 0 && leastBase < 1)) {
            throw new BadInput("share of base", leastBase, "give 0 to below 1");
        }
        RecipeSearch search = new RecipeSearch(inks, paper, light, target, 1 - leastBase);
        List<Found> found = new ArrayList<>();
        found.add(search.found(new int[0], new double[0]));
        List<Guess> guesses = new ArrayList<>();
        search.choose(new int[0], 0, atMost, guesses);
        guesses.sort(Comparator.comparingDouble(Guess::difference).thenComparing(guess -> Arrays.toString(guess.inks)));
        for (Guess guess : guesses.subList(0, Math.min(guesses.size(), answers + SECOND_LOOKS))) {
            found.add(search.best(guess));
        }
        found.sort(Comparator.comparingDouble((Found each) -> search.rank(each.seen()))
                .thenComparingInt(each -> each.inks().size()));
        List<Found> nearest = new ArrayList<>();
        for (Found each : found) {
            boolean known = nearest.stream().anyMatch(other -> other.inks().equals(each.inks()));
            if (!known && nearest.size() < answers) {
                nearest.add(each);
            }
        }
        return new Result(nearest, search.evaluations);
    }

    /** Some inks with shares found in a hurry. */
    private record Guess(int[] inks, double[] shares, double difference) {}

    private void choose(int[] chosen, int from, int atMost, List<Guess> guesses) {
        for (int ink = from; ink < kx.length && chosen.length < atMost; ink++) {
            int[] more = Arrays.copyOf(chosen, chosen.length + 1);
            more[chosen.length] = ink;
            guesses.add(guess(more));
            choose(more, ink + 1, atMost, guesses);
        }
    }

    private Guess guess(int[] inks) {
        Guess nearest = new Guess(inks, new double[inks.length], Double.MAX_VALUE);
        double[] alike = new double[inks.length];
        Arrays.fill(alike, Math.min(FIRST_GUESS, most / inks.length));
        for (double[] shares : List.of(alike, nearestOfFew(inks))) {
            squares(inks, shares, HURRIED);
            double difference = rank(seen(inks, shares));
            if (difference < nearest.difference) {
                nearest = new Guess(inks, shares, difference);
            }
        }
        return nearest;
    }

    /** The nearest of a few shares of each ink, from next to nothing to much. */
    private double[] nearestOfFew(int[] inks) {
        double[] levels = FEW[inks.length - 1];
        double[] nearest = new double[inks.length];
        double reached = Double.MAX_VALUE;
        int[] place = new int[inks.length];
        for (int moved = 0; moved >= 0; ) {
            double[] shares = new double[inks.length];
            for (int i = 0; i < shares.length; i++) {
                shares[i] = levels[place[i]];
            }
            within(shares);
            double there = rank(seen(inks, shares));
            if (there < reached) {
                reached = there;
                nearest = shares;
            }
            for (moved = inks.length - 1; moved >= 0 && ++place[moved] == levels.length; moved--) {
                place[moved] = 0;
            }
        }
        return nearest;
    }

    /** From the guess and, unless that is the colour, from some other beginnings; the nearest of them closely. */
    private Found best(Guess guess) {
        int[] inks = guess.inks;
        List<double[]> beginnings = new ArrayList<>(List.of(guess.shares.clone()));
        if (guess.difference > SAME) {
            beginnings.addAll(beginnings(inks.length));
        }
        for (double[] shares : beginnings) {
            squares(inks, shares, SQUARES);
        }
        beginnings.sort(Comparator.comparingDouble(shares -> rank(seen(inks, shares))));
        List<double[]> close = beginnings.subList(0, Math.min(CLOSELY, beginnings.size()));
        close.forEach(shares -> steps(inks, shares));
        return found(
                inks,
                close.stream()
                        .min(Comparator.comparingDouble(shares -> rank(seen(inks, shares))))
                        .orElseThrow());
    }

    /** All inks alike, and each by itself with a little of the others: far from what can be made there are many hollows. */
    private List<double[]> beginnings(int inks) {
        List<double[]> all = new ArrayList<>();
        for (double start : STARTS) {
            double[] alike = new double[inks];
            Arrays.fill(alike, Math.min(start, most / inks));
            all.add(alike);
            for (int i = 0; i < inks && inks > 1; i++) {
                double[] alone = new double[inks];
                Arrays.fill(alone, LITTLE);
                alone[i] = start;
                within(alone);
                all.add(alone);
            }
        }
        return all;
    }

    /** What is next to nothing of an ink is left out. */
    private Found found(int[] inks, double[] shares) {
        List<Integer> used = new ArrayList<>();
        List<Double> parts = new ArrayList<>();
        for (int i = 0; i < inks.length; i++) {
            if (shares[i] > NOTHING) {
                used.add(inks[i]);
                parts.add(shares[i]);
            }
        }
        int[] kept = used.stream().mapToInt(each -> each).toArray();
        CieLab seen = seen(kept, parts.stream().mapToDouble(each -> each).toArray());
        return new Found(used, parts, seen, Difference.ciede2000(target, seen), beyond(seen));
    }

    /**
     * A film of some shares of some inks, compared with a target: what the search does again and again, for measuring how fast.
     *
     * @param inks each as the whole film would be of it alone
     * @return sum of ΔE00 of {@code times} films, each with a little more of every ink than the one before
     */
    public static double compared(List<InkFilm> inks, Bands paper, Light light, CieLab target, int times) {
        RecipeSearch search = new RecipeSearch(inks, paper, light, target, 1);
        int[] all = new int[inks.size()];
        double[] shares = new double[inks.size()];
        for (int i = 0; i < all.length; i++) {
            all[i] = i;
        }
        double sum = 0;
        for (int n = 0; n < times; n++) {
            Arrays.fill(shares, (n + 1.0) / times / all.length);
            sum += Difference.ciede2000(target, search.seen(all, shares));
        }
        return sum;
    }

    /**
     * ΔE00; what lies on the other side of grey is further than anything on the target's own side. ΔE00 is made for small
     * differences: where hues are more than half a turn apart its mean hue leaps, and a pale green would be nearer to a vivid pink
     * than a pale pink (Sharma, Wu and Dalal 2005 show the leap).
     */
    private double rank(CieLab seen) {
        return Difference.ciede2000(target, seen) + (beyond(seen) ? BEYOND_GREY : 0);
    }

    private boolean beyond(CieLab seen) {
        return target.chroma() > CHROMATIC && target.a() * seen.a() + target.b() * seen.b() < 0;
    }

    private CieLab seen(int[] inks, double[] shares) {
        evaluations++;
        double x = 0;
        double y = 0;
        double z = 0;
        for (int band = 0; band < Bands.COUNT; band++) {
            double k = 0;
            double s = 0;
            for (int i = 0; i < inks.length; i++) {
                k += shares[i] * kx[inks[i]][band];
                s += scatters ? shares[i] * sx[inks[i]][band] : 0;
            }
            double r = s == 0 ? paper[band] * Decay.of(2 * k) : new Film(k, s).over(paper[band]);
            x += r * light.x(band);
            y += r * light.y(band);
            z += r * light.z(band);
        }
        return new Xyz(x, y, z).lab(light.white());
    }

    private static double square(double[] v) {
        return v[0] * v[0] + v[1] * v[1] + v[2] * v[2];
    }

    /** Damped least squares with numeric slopes; shares stay at 0 or more and together within what is allowed. */
    private void squares(int[] inks, double[] shares, int atMost) {
        double damping = 1e-2;
        double[] now = Difference.ciede2000Parts(target, seen(inks, shares));
        for (int step = 0; step < atMost && square(now) > 1e-8; step++) {
            int n = inks.length;
            double[][] slopes = new double[n][];
            for (int i = 0; i < n; i++) {
                double h = Math.max(1e-5, shares[i] * 1e-3);
                double[] moved = shares.clone();
                moved[i] += h;
                double[] there = Difference.ciede2000Parts(target, seen(inks, moved));
                slopes[i] = new double[] {(there[0] - now[0]) / h, (there[1] - now[1]) / h, (there[2] - now[2]) / h};
            }
            double[][] system = new double[n][n + 1];
            for (int i = 0; i < n; i++) {
                for (int j = 0; j < n; j++) {
                    system[i][j] = dot(slopes[i], slopes[j]);
                }
                system[i][i] += damping * Math.max(1e-6, system[i][i]);
                system[i][n] = -dot(slopes[i], now);
            }
            double[] by = solved(system);
            double[] tried = shares.clone();
            for (int i = 0; i < n; i++) {
                tried[i] += by[i];
            }
            within(tried);
            double[] there = Difference.ciede2000Parts(target, seen(inks, tried));
            if (square(there) < square(now)) {
                System.arraycopy(tried, 0, shares, 0, n);
                now = there;
                damping = Math.max(1e-9, damping / 5);
            } else {
                damping *= 8;
            }
        }
    }

    private static double dot(double[] one, double[] other) {
        return one[0] * other[0] + one[1] * other[1] + one[2] * other[2];
    }

    /** Of a small, damped and so solvable system. */
    static double[] solved(double[][] system) {
        int n = system.length;
        for (int column = 0; column < n; column++) {
            int pivot = column;
            for (int row = column + 1; row < n; row++) {
                if (Math.abs(system[row][column]) > Math.abs(system[pivot][column])) {
                    pivot = row;
                }
            }
            double[] swapped = system[pivot];
            system[pivot] = system[column];
            system[column] = swapped;
            for (int row = 0; row < n; row++) {
                if (row != column && swapped[column] != 0) {
                    double factor = system[row][column] / swapped[column];
                    for (int k = column; k <= n; k++) {
                        system[row][k] -= factor * swapped[k];
                    }
                }
            }
        }
        double[] solution = new double[n];
        for (int i = 0; i < n; i++) {
            solution[i] = system[i][i] == 0 ? 0 : system[i][n] / system[i][i];
        }
        return solution;
    }

    private void within(double[] shares) {
        double sum = 0;
        for (int i = 0; i < shares.length; i++) {
            shares[i] = Math.max(0, Double.isNaN(shares[i]) ? 0 : shares[i]);
            sum += shares[i];
        }
        if (sum > most) {
            for (int i = 0; i < shares.length; i++) {
                shares[i] *= most / sum;
            }
        }
    }

    /** Goes to the best neighbour by ever wider steps, and halves the step where there is none. */
    private void steps(int[] inks, double[] shares) {
        double now = rank(seen(inks, shares));
        for (double step = FIRST_STEP, taken = 0; step > LAST_STEP && taken < MOST_STEPS; taken++) {
            double[] best = shares;
            double reached = now;
            for (int i = 0; i < inks.length; i++) {
                // Of a small share a small step.
                double own = step * Math.max(0.05, shares[i]);
                for (int sign = -1; sign <= 1; sign += 2) {
                    double[] tried = shares.clone();
                    tried[i] += sign * own;
                    within(tried);
                    double there = rank(seen(inks, tried));
                    if (there < reached) {
                        reached = there;
                        best = tried;
                    }
                }
            }
            if (best == shares) {
                step /= 2;
            } else {
                System.arraycopy(best, 0, shares, 0, shares.length);
                now = reached;
                step = Math.min(WIDEST_STEP, 2 * step);
            }
        }
    }
}
