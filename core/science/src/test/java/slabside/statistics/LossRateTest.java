package slabside.statistics;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import org.hipparchus.distribution.discrete.BinomialDistribution;
import org.hipparchus.random.RandomDataGenerator;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import slabside.measure.BadInput;

/** Sheets lost stage by stage, beside a general statistics library and what is known of the distribution. */
class LossRateTest {
    /** With both parameters 1 every number is equally likely: a known property of the beta-binomial. */
    @Test
    void of_a_loss_about_which_nothing_is_known_every_number_is_equally_likely() {
        LossRate flat = new LossRate(0.5, 2);
        for (int lost = 0; lost <= 9; lost++) {
            assertEquals(0.1, flat.chance(9, lost), 1e-12);
        }
    }

    /** When all times are alike it is the binomial distribution; Hipparchus computes that one. */
    @ParameterizedTest
    @CsvSource({"60, 0.05", "25, 0.2", "100, 0.01"})
    void when_all_times_are_alike_it_is_binomial(int in, double mean) {
        BinomialDistribution binomial = new BinomialDistribution(in, mean);
        LossRate alike = new LossRate(mean, 1e9);
        for (int lost = 0; lost <= in; lost++) {
            assertEquals(binomial.probability(lost), alike.chance(in, lost), 1e-6);
        }
    }

    @ParameterizedTest
    @CsvSource({"60, 0.05, 20", "200, 0.3, 4", "7, 0.6, 900"})
    void the_chances_add_up_to_one_and_to_the_mean(int in, double mean, double concentration) {
        LossRate rate = new LossRate(mean, concentration);
        double sum = 0;
        double expected = 0;
        for (int lost = 0; lost <= in; lost++) {
            sum += rate.chance(in, lost);
            expected += lost * rate.chance(in, lost);
        }
        assertEquals(1, sum, 1e-9);
        assertEquals(mean * in, expected, 1e-7);
    }

    /** Dice of Hipparchus thrown 40,000 times through the same stages; tolerance is four standard errors. */
    @Test
    void several_stages_agree_with_dice() {
        List<LossRate> stages = List.of(new LossRate(0.03, 20), new LossRate(0.07, 8), new LossRate(0.04, 60));
        RandomDataGenerator dice = new RandomDataGenerator(5);
        int throwsOfDice = 40_000;
        int enough = 0;
        for (int i = 0; i < throwsOfDice; i++) {
            int left = 57;
            for (LossRate stage : stages) {
                double p =
                        dice.nextBeta(stage.mean() * stage.concentration(), (1 - stage.mean()) * stage.concentration());
                for (int sheet = left; sheet > 0; sheet--) {
                    left -= dice.nextDouble() < p ? 1 : 0;
                }
            }
            enough += left >= 48 ? 1 : 0;
        }
        double thrown = (double) enough / throwsOfDice;
        double error = StrictMath.sqrt(thrown * (1 - thrown) / throwsOfDice);
        assertEquals(thrown, LossRate.chanceOf(48, 57, stages), 4 * error);
    }

    @Test
    void the_least_number_of_sheets_is_the_least() {
        List<LossRate> stages = List.of(new LossRate(0.05, 20), new LossRate(0.05, 20));
        int sheets = LossRate.sheets(48, stages, 0.9, 500);
        assertTrue(LossRate.chanceOf(48, sheets, stages) >= 0.9);
        assertTrue(LossRate.chanceOf(48, sheets - 1, stages) < 0.9);
        assertEquals(48, LossRate.sheets(48, List.of(), 0.9, 500), "nothing is lost where nothing is done");
        assertThrows(BadInput.class, () -> LossRate.sheets(48, List.of(new LossRate(0.9, 20)), 0.9, 100));
    }

    @Test
    void the_past_takes_over_from_what_was_assumed() {
        LossRate assumed = new LossRate(0.05, 20);
        assertEquals(assumed, LossRate.of(List.of(), assumed));
        LossRate once = LossRate.of(List.of(new LossRate.Once(60, 12)), assumed);
        assertEquals((12 + 1.0) / 80, once.mean(), 1e-12);
        assertEquals(20, once.concentration(), "one time does not tell how alike they are");
        List<LossRate.Once> alike = new ArrayList<>();
        List<LossRate.Once> unlike = new ArrayList<>();
        for (int i = 0; i < 8; i++) {
            alike.add(new LossRate.Once(50, 5));
            unlike.add(new LossRate.Once(50, i % 2 == 0 ? 0 : 10));
        }
        assertEquals(1_000, LossRate.of(alike, assumed).concentration());
        assertTrue(LossRate.of(unlike, assumed).concentration() < 12);
        assertEquals((40 + 1.0) / 420, LossRate.of(alike, assumed).mean(), 1e-12);
    }

    /** Parts drawn with Hipparchus from a known beta distribution give back about its concentration. */
    @Test
    void the_spread_of_many_times_is_found_again() {
        RandomDataGenerator dice = new RandomDataGenerator(11);
        List<LossRate.Once> past = new ArrayList<>();
        for (int i = 0; i < 4_000; i++) {
            double p = dice.nextBeta(0.1 * 15, 0.9 * 15);
            int lost = 0;
            for (int sheet = 0; sheet < 60; sheet++) {
                lost += dice.nextDouble() < p ? 1 : 0;
            }
            past.add(new LossRate.Once(60, lost));
        }
        LossRate found = LossRate.of(past, new LossRate(0.05, 20));
        assertEquals(0.1, found.mean(), 0.005);
        assertEquals(15, found.concentration(), 1.5);
    }

    @Test
    void impossible_pasts_are_refused() {
        assertThrows(BadInput.class, () -> new LossRate.Once(10, 11));
        assertThrows(BadInput.class, () -> new LossRate(0, 20));
        assertThrows(BadInput.class, () -> new LossRate(0.1, Double.NaN));
    }
}
