package slabside.body;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import slabside.measure.BadInput;
import slabside.measure.Uncertain;
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
        private double log;
        private final double warmth;
        private final double room;
        private final double[] slopes = new double[2];
        private final double[] shares = new double[2];
        private final List<Matching.Read> reads = new ArrayList<>();

        True(SplittableRandom random, double log, double room) {
            this.room = room;
            this.random = random;
            this.log = log;
            this.warmth = 0.07 + 0.03 * normal(random);
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

        double inRoom() {
            return body() - warmth * room;
        }

        /** A spread of 0.5 ml under 115 g, two diameters to half a millimetre, the hole filled within 2.5 %. */
        void read() {
            // The room of that hour, and what warmth truly does to this ink; it is brought to 20 °C by what is
            // believed.
            double kelvins = room + 0.3 * normal(random);
            double yield = Math.exp(body() - warmth * kelvins);
            double volume = 0.5e-6 * (1 + 0.025 * normal(random));
            double diameter = Math.pow(48 * 0.115 * Spread.G * volume / (Math.PI * Math.PI * yield), 0.2) * 1000;
            double one = Math.round(2 * (diameter + 0.2 * normal(random))) / 2.0;
            double other = Math.round(2 * (diameter + 0.2 * normal(random))) / 2.0;
            reads.add(new Matching.Read(
                    Math.log(new Spread(0.115, 0.5e-6).yieldAtRest((one + other) / 2000)) + 0.07 * kelvins,
                    kelvins,
                    shares.clone()));
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
            double room = 3 * normal(random);
            True soft = new True(random, base, room);
            True stiff = new True(random, base, room);
            stiff.log = soft.inRoom() + Math.log(1.4) + stiff.warmth * room;
            List<True> both = List.of(soft, stiff);
            both.forEach(True::read);
            int steps = 0;
            boolean going = true;
            while (going) {
                Matching.Step step = new Matching(List.of(soft.known(), stiff.known()), SCATTER, 0.03, 0.1).next();
                switch (step.next()) {
                    case READ, READ_AGAIN -> {
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
                    case START_FRESH, NO_WAY -> {
                        fresh++;
                        going = false;
                    }
                }
            }
            // In the room in which it is printed.
            reached += Math.abs(soft.inRoom() - stiff.inRoom()) <= Math.log(1.1) ? 1 : 0;
        }
        assertTrue(readings <= 2_000, readings + " readings more than one for each step");
        assertEquals(0, past, "a limit is never passed");
        assertTrue(reached >= 900, reached + " of 1,000; fresh " + fresh);
    }

    @Test
    void at_the_limits_of_everything_it_says_to_start_fresh() {
        Matching.Ink soft = ink(4.0, new Matching.Choice(POWDER, 4.95, LIMIT, 1));
        Matching.Ink stiff = ink(4.336, new Matching.Choice(OIL, LIMIT, LIMIT, 1));
        Matching.Step step = new Matching(List.of(soft, stiff), SCATTER, 0.03, 0.1).next();
        assertEquals(Matching.Next.START_FRESH, step.next());
        assertEquals(0.336, step.apart().value(), 0.01);
    }

    @Test
    void nothing_was_tried_yet_so_a_small_step_tells() {
        Matching.Ink soft = ink(4.0, new Matching.Choice(POWDER, 0, LIMIT, 1));
        Matching.Ink stiff = ink(4.336, new Matching.Choice(OIL, 0, LIMIT, 1));
        Matching.Step step = new Matching(List.of(soft, stiff), SCATTER, 0.03, 0.1).next();
        assertEquals(Matching.Next.TRY, step.next());
        assertTrue(step.whole().isEmpty(), "the dose is not bounded");
        assertTrue(step.share() > 0.1 && step.share() < 0.336 / 0.12, "less than the whole: " + step.share());
    }

    @Test
    void what_moves_the_colour_least_is_taken() {
        Matching.Ink soft = ink(4.0, new Matching.Choice(POWDER, 0, LIMIT, 0.1));
        Matching.Ink stiff = ink(4.336, new Matching.Choice(OIL, 0, LIMIT, 1));
        assertEquals(
                0, new Matching(List.of(soft, stiff), SCATTER, 0.03, 0.1).next().ink());
        Matching.Ink vivid = ink(4.0, new Matching.Choice(POWDER, 0, LIMIT, 9));
        assertEquals(
                1,
                new Matching(List.of(vivid, stiff), SCATTER, 0.03, 0.1).next().ink());
    }

    @Test
    void three_inks_are_brought_together_from_both_ends() {
        Matching.Ink soft = ink(4.0, new Matching.Choice(POWDER, 0, LIMIT, 1));
        Matching.Ink middle = ink(4.2, new Matching.Choice(POWDER, 0, LIMIT, 1));
        Matching.Ink stiff = ink(4.5, new Matching.Choice(POWDER, 0, LIMIT, 1));
        Matching.Step step = new Matching(List.of(middle, soft, stiff), SCATTER, 0.03, 0.1).next();
        assertEquals(1, step.ink());
        assertEquals(2, step.stiffest());
    }

    @Test
    void silly_inks_are_refused() {
        Matching.Ink ink = ink(4.0);
        assertThrows(BadInput.class, () -> new Matching(List.of(ink), SCATTER, 0.03, 0.1));
        assertThrows(BadInput.class, () -> new Matching(List.of(ink, ink), 0, 0.03, 0.1));
        assertThrows(
                BadInput.class,
                () -> new Matching(List.of(ink, new Matching.Ink("unread", List.of(), List.of())), SCATTER, 0.03, 0.1));
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
                "ink", List.of(new Matching.Read(log, 0, now), new Matching.Read(log, 0, now)), List.of(choices));
    }

    @Test
    void two_that_read_the_same_once_are_not_yet_said_to_be_alike() {
        Matching.Step once = new Matching(List.of(once(4.2), once(4.2)), 0.1, 0.03, 0.1).next();
        assertEquals(Matching.Next.READ_AGAIN, once.next());
        assertTrue(once.sure() > 0.3 && once.sure() < 0.9, "" + once.sure());
        Matching.Step apart = new Matching(List.of(once(4.2), once(4.28)), SCATTER, 0.03, 0.1).next();
        assertEquals(Matching.Next.READ_AGAIN, apart.next(), "8 % may be the readings");
        List<Matching.Read> many = Collections.nCopies(8, new Matching.Read(4.2, 0, new double[] {0}));
        Matching.Ink read = new Matching.Ink("read", many, List.of(new Matching.Choice(POWDER, 0, LIMIT, 1)));
        assertEquals(
                Matching.Next.ALIKE,
                new Matching(List.of(read, read), SCATTER, 0.03, 0.1).next().next());
    }

    @Test
    void after_an_addition_it_is_read_before_anything_else_goes_in() {
        Matching.Ink added = new Matching.Ink(
                "added",
                List.of(new Matching.Read(4.0, 0, new double[] {0})),
                List.of(new Matching.Choice(POWDER, 2, LIMIT, 1)));
        Matching.Step step = new Matching(List.of(added, once(4.336)), SCATTER, 0.03, 0.1).next();
        assertEquals(Matching.Next.READ, step.next());
        assertEquals(0, step.ink());
    }

    /** Six kelvins at ± 3 % are ± 18 %: what was read so far apart is not told apart. */
    @Test
    void rooms_that_differ_make_it_unsure() {
        Matching.Ink cold = new Matching.Ink(
                "cold",
                Collections.nCopies(6, new Matching.Read(4.2, -3, new double[] {0})),
                List.of(new Matching.Choice(POWDER, 0, LIMIT, 1)));
        Matching.Ink warm = new Matching.Ink(
                "warm",
                Collections.nCopies(6, new Matching.Read(4.3, 3, new double[] {0})),
                List.of(new Matching.Choice(POWDER, 0, LIMIT, 1)));
        Matching.Step step = new Matching(List.of(cold, warm), SCATTER, 0.03, 0.1).next();
        assertTrue(step.apart().u() >= 0.18, "" + step.apart());
        assertEquals(Matching.Next.READ_AGAIN, step.next());
    }

    @Test
    void what_acts_the_other_way_is_no_limit() {
        Response softens = Response.before(-0.1, 0.01);
        Matching.Ink soft = ink(4.0, new Matching.Choice(softens, 0, LIMIT, 1));
        Matching.Ink stiff = ink(4.5, new Matching.Choice(POWDER, 0, LIMIT, 1));
        assertEquals(
                Matching.Next.NO_WAY,
                new Matching(List.of(soft, stiff), SCATTER, 0.03, 0.1).next().next());
    }

    private static Matching.Ink once(double log) {
        return new Matching.Ink(
                "once",
                List.of(new Matching.Read(log, 0, new double[] {0})),
                List.of(new Matching.Choice(POWDER, 0, LIMIT, 1)));
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
            // The other ink is known by two readings.
            double other = 4.2 + 0.336 + SCATTER * normal(random) / Math.sqrt(2);
            Optional<DoseLine.Dose> dose = belief.forMean(new Uncertain(other, SCATTER / Math.sqrt(2)), 0.95);
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
