package slabside.body;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import slabside.measure.BadInput;
import slabside.statistics.DoseBelief;
import slabside.statistics.DoseLine;

/** Inks brought to one body, in studios that are made up by chance (fixed seeds); no published trial of that kind was found. */
class MatchingTest {
    private static final double SCATTER = 0.05;
    private static final Response POWDER = Response.before(0.12, 0.06);
    private static final Response OIL = Response.before(-0.09, 0.04);
    private static final double LIMIT = 5;

    private static double normal(SplittableRandom random) {
        return Math.sqrt(-2 * Math.log(1 - random.nextDouble())) * Math.cos(2 * Math.PI * random.nextDouble());
    }

    /** An ink as it truly is, and a bench to read it at: ruler, filling and the room's warmth, as in the one-minute spread. */
    private static final class True {
        private final SplittableRandom random;
        private final double log;
        private final double[] slopes = new double[2];
        private final double[] shares = new double[2];
        private final List<Matching.Read> reads = new ArrayList<>();

        True(SplittableRandom random, double log) {
            this.random = random;
            this.log = log;
            // As the beliefs have it, but a modifier does what it does.
            do {
                slopes[0] = 0.12 + 0.06 * normal(random) + 0.03 * normal(random);
            } while (slopes[0] < 0.02);
            do {
                slopes[1] = -0.09 + 0.04 * normal(random) + 0.0225 * normal(random);
            } while (slopes[1] > -0.02);
        }

        double body() {
            return log + slopes[0] * shares[0] + slopes[1] * shares[1];
        }

        /** A spread of 0.5 ml under 115 g, two diameters to half a millimetre, the hole filled within 2.5 %. */
        void read() {
            double yield = Math.exp(body());
            double volume = 0.5e-6 * (1 + 0.025 * normal(random));
            double diameter = Math.pow(48 * 0.115 * Spread.G * volume / (Math.PI * Math.PI * yield), 0.2) * 1000;
            double one = Math.round(2 * (diameter + 0.2 * normal(random))) / 2.0;
            double other = Math.round(2 * (diameter + 0.2 * normal(random))) / 2.0;
            reads.add(new Matching.Read(
                    Math.log(new Spread(0.115, 0.5e-6).yieldAtRest((one + other) / 2000)), shares.clone()));
        }

        Matching.Ink known() {
            return new Matching.Ink(
                    "ink",
                    reads,
                    List.of(
                            new Matching.Choice(POWDER, shares[0], LIMIT, 1),
                            new Matching.Choice(OIL, shares[1], LIMIT, 1)));
        }
    }

    @Test
    void from_forty_per_cent_apart_to_ten_in_three_steps() {
        SplittableRandom random = new SplittableRandom(20260);
        int reached = 0;
        int past = 0;
        int fresh = 0;
        int readings = 0;
        for (int studio = 0; studio < 1_000; studio++) {
            double base = Math.log(30 + 60 * random.nextDouble());
            True soft = new True(random, base);
            True stiff = new True(random, base + Math.log(1.4));
            List<True> both = List.of(soft, stiff);
            both.forEach(True::read);
            int steps = 0;
            boolean going = true;
            while (going) {
                Matching.Step step = new Matching(List.of(soft.known(), stiff.known()), SCATTER, 0.1).next();
                switch (step.next()) {
                    case READ_AGAIN -> {
                        both.get(step.ink()).read();
                        readings++;
                    }
                    case ADD, TRY -> {
                        if (steps == 3) {
                            going = false;
                        } else {
                            True ink = both.get(step.ink());
                            past += step.share() > LIMIT + 1e-9 ? 1 : 0;
                            ink.shares[step.choice()] = step.share();
                            ink.read();
                            steps++;
                        }
                    }
                    case ALIKE -> going = false;
                    case START_FRESH -> {
                        fresh++;
                        going = false;
                    }
                }
            }
            reached += Math.abs(soft.body() - stiff.body()) <= Math.log(1.1) ? 1 : 0;
        }
        assertTrue(readings <= 1_500, readings + " readings more than one for each step");
        assertEquals(0, past, "a limit is never passed");
        assertTrue(reached >= 900, reached + " of 1,000; fresh " + fresh);
    }

    @Test
    void at_the_limits_of_everything_it_says_to_start_fresh() {
        Matching.Ink soft = ink(4.0, new Matching.Choice(POWDER, 4.95, LIMIT, 1));
        Matching.Ink stiff = ink(4.336, new Matching.Choice(OIL, LIMIT, LIMIT, 1));
        Matching.Step step = new Matching(List.of(soft, stiff), SCATTER, 0.1).next();
        assertEquals(Matching.Next.START_FRESH, step.next());
        assertEquals(0.336, step.apart().value(), 0.01);
    }

    @Test
    void nothing_was_tried_yet_so_a_small_step_tells() {
        Matching.Ink soft = ink(4.0, new Matching.Choice(POWDER, 0, LIMIT, 1));
        Matching.Ink stiff = ink(4.336, new Matching.Choice(OIL, 0, LIMIT, 1));
        Matching.Step step = new Matching(List.of(soft, stiff), SCATTER, 0.1).next();
        assertEquals(Matching.Next.TRY, step.next());
        assertTrue(step.whole().isEmpty(), "the dose is not bounded");
        assertTrue(step.share() > 0.1 && step.share() < 0.336 / 0.12, "less than the whole: " + step.share());
    }

    @Test
    void what_moves_the_colour_least_is_taken() {
        Matching.Ink soft = ink(4.0, new Matching.Choice(POWDER, 0, LIMIT, 0.1));
        Matching.Ink stiff = ink(4.336, new Matching.Choice(OIL, 0, LIMIT, 1));
        assertEquals(0, new Matching(List.of(soft, stiff), SCATTER, 0.1).next().ink());
        Matching.Ink vivid = ink(4.0, new Matching.Choice(POWDER, 0, LIMIT, 9));
        assertEquals(1, new Matching(List.of(vivid, stiff), SCATTER, 0.1).next().ink());
    }

    @Test
    void three_inks_are_brought_together_from_both_ends() {
        Matching.Ink soft = ink(4.0, new Matching.Choice(POWDER, 0, LIMIT, 1));
        Matching.Ink middle = ink(4.2, new Matching.Choice(POWDER, 0, LIMIT, 1));
        Matching.Ink stiff = ink(4.5, new Matching.Choice(POWDER, 0, LIMIT, 1));
        Matching.Step step = new Matching(List.of(middle, soft, stiff), SCATTER, 0.1).next();
        assertEquals(1, step.ink());
        assertEquals(2, step.stiffest());
    }

    @Test
    void silly_inks_are_refused() {
        Matching.Ink ink = ink(4.0);
        assertThrows(BadInput.class, () -> new Matching(List.of(ink), SCATTER, 0.1));
        assertThrows(BadInput.class, () -> new Matching(List.of(ink, ink), 0, 0.1));
        assertThrows(
                BadInput.class,
                () -> new Matching(List.of(ink, new Matching.Ink("unread", List.of(), List.of())), SCATTER, 0.1));
        assertThrows(BadInput.class, () -> Matching.grams(50, 2, 1));
        // 40 g of a mix with 1 % powder become 2 % with 0.408 g more.
        assertEquals(0.4082, Matching.grams(40, 1, 2), 1e-4);
    }

    /** NIST StRD Norris, certified: b1 = 1.00211681802045. */
    @Test
    void a_slope_by_least_squares_as_certified() throws IOException {
        double[][] norris =
                Files.readAllLines(Path.of("src/test/resources/slabside/statistics/strd/norris.csv")).stream()
                        .skip(1)
                        .map(line -> Arrays.stream(line.split(","))
                                .mapToDouble(Double::parseDouble)
                                .toArray())
                        .toArray(double[][]::new);
        double[] x = Arrays.stream(norris).mapToDouble(row -> row[1]).toArray();
        double[] y = Arrays.stream(norris).mapToDouble(row -> row[0]).toArray();
        assertEquals(1.00211681802045, Response.tried(x, y, 1).slope(), 1e-11);
    }

    private static Matching.Ink ink(double log, Matching.Choice... choices) {
        double[] now = Arrays.stream(choices).mapToDouble(Matching.Choice::now).toArray();
        return new Matching.Ink(
                "ink", List.of(new Matching.Read(log, now), new Matching.Read(log, now)), List.of(choices));
    }

    /** A studio learns a modifier from other inks, then doses one of its own: the interval must hold what it says. */
    @Test
    void the_interval_of_the_dose_holds_the_true_dose() {
        SplittableRandom random = new SplittableRandom(7);
        int held = 0;
        int bounded = 0;
        for (int studio = 0; studio < 1_000; studio++) {
            double mean = 0.12 + 0.06 * normal(random);
            List<Response.Tried> others = new ArrayList<>();
            for (int ink = 0; ink < 4; ink++) {
                double slope = mean + 0.03 * normal(random);
                double[] shares = {0, 1, 2.5};
                double[] logs = new double[3];
                for (int i = 0; i < 3; i++) {
                    logs[i] = 4 + slope * shares[i] + SCATTER * normal(random);
                }
                others.add(Response.tried(shares, logs, SCATTER));
            }
            double slope = mean + 0.03 * normal(random);
            DoseBelief belief = POWDER.after(others).of(4, SCATTER);
            for (double share : new double[] {0, 0.5, 1, 2}) {
                belief = belief.after(share, 4.2 + slope * share + SCATTER * normal(random));
            }
            double wanted = 4.2 + 0.336;
            Optional<DoseLine.Dose> dose = belief.forMean(wanted, 0.95);
            if (dose.isPresent()) {
                bounded++;
                double truth = 0.336 / slope;
                held += dose.get().low() <= truth && truth <= dose.get().high() ? 1 : 0;
            }
        }
        // Where a modifier does next to nothing, the trials are too few to bound any dose, and that is said.
        assertTrue(bounded > 850, bounded + " could be bounded");
        assertTrue(held >= 0.92 * bounded && held <= 0.98 * bounded, held + " of " + bounded);
    }
}
