package slabside.statistics;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static slabside.statistics.Published.column;
import static slabside.statistics.Published.counts;
import static slabside.statistics.Published.rows;
import static slabside.statistics.Published.value;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.hipparchus.stat.descriptive.DescriptiveStatistics;
import org.hipparchus.stat.regression.OLSMultipleLinearRegression;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import slabside.measure.BadInput;

/** Every method beside published values, certified sets, or values computed apart from this program. */
class PublishedValuesTest {
    private static final double[] NILE = column("nile.csv", 1);

    @Test
    void individuals_have_the_limits_of_the_handbook() {
        Individuals chart = Individuals.of(column("nist_individuals_6322.csv", 1));
        assertEquals(value("imr_6322_mean"), chart.centre(), 1e-9);
        assertEquals(value("imr_6322_mrbar"), chart.movingRange(), 1e-9);
        assertEquals(value("imr_6322_ucl_exact_d2"), chart.upper(), 1e-6);
        // The handbook rounds d2 to 1.128.
        assertEquals(value("imr_6322_ucl_d2_1.128"), chart.centre() + 3 * chart.movingRange() / 1.128, 1e-6);
        assertEquals(value("imr_6322_lcl_d2_1.128"), chart.centre() - 3 * chart.movingRange() / 1.128, 1e-6);
        assertEquals(1.128379, Individuals.D2, 5e-7);
        assertEquals(value("nile_sigma_mr"), Individuals.of(NILE).sigma(), 1e-6);
        assertEquals(
                value("imr_6322_mr_ucl"),
                Individuals.of(column("nist_individuals_6322.csv", 1)).upperRange(),
                2e-3);
        double[] ranges = new double[NILE.length - 1];
        for (int i = 0; i < ranges.length; i++) {
            ranges[i] = Math.abs(NILE[i + 1] - NILE[i]);
        }
        java.util.Arrays.sort(ranges);
        assertEquals(value("nile_sigma_median_mr"), ranges[ranges.length / 2] / Individuals.D4_MEDIAN, 1e-9);
    }

    @Test
    void limits_from_the_opening_find_the_shift_that_limits_of_the_whole_run_miss() {
        double[] density = column("edition_density.csv", 1);
        // The level falls by 0.05 behind pull 34.
        assertEquals(
                List.of(34, 37, 45, 54),
                Individuals.of(Arrays.copyOf(density, 30)).outside(density));
        assertEquals(List.of(3), Individuals.of(density).outside(density), "one false alarm before the shift");
    }

    @Test
    void the_moving_average_agrees_with_the_handbook() {
        List<String[]> rows = rows("nist_ewma_6324.csv");
        // Target 50, s = 2.0539, λ = 0.3 (handbook 6.3.2.4); the limits of the table are exact for their place.
        SlowCharts.Ewma chart = SlowCharts.ewma(50, 2.0539, 0.3, 3, column("nist_ewma_6324.csv", 1));
        for (int i = 0; i < rows.size(); i++) {
            assertEquals(Double.parseDouble(rows.get(i)[2]), chart.ewma()[i], 1e-9);
            assertEquals(Double.parseDouble(rows.get(i)[3]), chart.ewma()[i], 0.0051);
            assertEquals(Double.parseDouble(rows.get(i)[4]), chart.upper()[i], 1e-9);
            assertEquals(Double.parseDouble(rows.get(i)[5]), chart.lower()[i], 1e-9);
        }
        double asymptotic = 3 * 2.0539 * StrictMath.sqrt(0.3 / 1.7);
        assertEquals(value("ewma_6324_ucl"), 50 + asymptotic, 1e-6);
        assertEquals(value("ewma_6324_lcl"), 50 - asymptotic, 1e-6);
    }

    @Test
    void the_cumulative_sum_agrees_with_the_handbook() {
        List<String[]> rows = rows("nist_cusum_6323.csv");
        SlowCharts.Cusum chart = SlowCharts.cusum(325, 0.3175, column("nist_cusum_6323.csv", 1));
        for (int i = 0; i < rows.size(); i++) {
            assertEquals(Double.parseDouble(rows.get(i)[2]), chart.high()[i], 1e-9);
            assertEquals(Double.parseDouble(rows.get(i)[3]), chart.low()[i], 1e-9);
            assertEquals(Double.parseDouble(rows.get(i)[5]), chart.high()[i], 0.0051);
        }
        assertEquals(value("cusum_6323_first_signal"), chart.firstAbove(4.1959) + 1);
        assertEquals(value("cusum_6323_estimated_start"), chart.startOf(chart.firstAbove(4.1959)) + 1);
    }

    private static final Map<String, RunRule> RULES = Map.ofEntries(
            Map.entry("N1_WE1", RunRule.BEYOND_THREE),
            Map.entry("N2_9same", RunRule.NINE_ON_ONE_SIDE),
            Map.entry("WE4_8same", RunRule.EIGHT_ON_ONE_SIDE),
            Map.entry("N3_6trend", RunRule.SIX_IN_ONE_DIRECTION),
            Map.entry("N4_14alt", RunRule.FOURTEEN_IN_TURN),
            Map.entry("N5_WE2_2of3", RunRule.TWO_OF_THREE_BEYOND_TWO),
            Map.entry("N6_WE3_4of5", RunRule.FOUR_OF_FIVE_BEYOND_ONE),
            Map.entry("N7_15in", RunRule.FIFTEEN_WITHIN_ONE),
            Map.entry("N8_8out", RunRule.EIGHT_BEYOND_ONE));

    /** The examples name every rule that speaks up; all others must be silent on them. */
    @TestFactory
    List<DynamicTest> run_rules_flag_what_the_examples_say_and_nothing_else() {
        List<DynamicTest> tests = new ArrayList<>();
        rows("run_rule_examples.csv").stream()
                .map(row -> row[0])
                .distinct()
                .forEach(example -> tests.add(DynamicTest.dynamicTest(example, () -> {
                    List<String[]> rows = rows("run_rule_examples.csv").stream()
                            .filter(row -> row[0].equals(example))
                            .toList();
                    double[] z = Arrays.stream(rows.get(0)[1].split(" "))
                            .mapToDouble(Double::parseDouble)
                            .toArray();
                    for (var rule : RULES.entrySet()) {
                        String flagged = rows.stream()
                                .filter(row -> row[2].equals(rule.getKey()))
                                .map(row -> row[3])
                                .findFirst()
                                .orElse("");
                        assertEquals(
                                flagged,
                                String.join(
                                        " ",
                                        rule.getValue().flagged(z).stream()
                                                .map(place -> String.valueOf(place + 1))
                                                .toList()),
                                rule.getKey());
                    }
                })));
        return tests;
    }

    @Test
    void the_chart_of_parts_agrees() {
        int[] defective = counts("pchart_30x50.csv", 2);
        Counts.PartChart chart = Counts.partChart(defective, 50);
        assertEquals(value("pchart_pbar"), chart.centre(), 1e-12);
        assertEquals(value("pchart_lcl"), chart.lower(), 1e-12);
        assertEquals(value("pchart_ucl"), chart.upper(), 1e-12);
        int[] revised = new int[28];
        int n = 0;
        for (int i = 0; i < defective.length; i++) {
            if (i != 14 && i != 22) {
                revised[n++] = defective[i];
            }
        }
        assertEquals(value("pchart_revised_pbar"), Counts.partChart(revised, 50).centre(), 1e-12);
        assertEquals(value("pchart_revised_ucl"), Counts.partChart(revised, 50).upper(), 1e-12);
    }

    @Test
    void the_nile_changed_after_1898() {
        double sigma = Individuals.of(NILE).sigma();
        assertEquals(List.of(28), ChangePoints.pelt(NILE, sigma, 2 * StrictMath.log(NILE.length), 5));
        ChangePoints.Pettitt pettitt = ChangePoints.pettitt(NILE);
        assertEquals(28, pettitt.at());
        assertEquals(value("nile_pettitt_K"), pettitt.k(), 1e-9);
        assertEquals(value("nile_pettitt_p"), pettitt.p(), 1e-16);
        double[] posterior = ChangePoints.posterior(NILE);
        for (int k = 26; k <= 29; k++) {
            assertEquals(value("nile_ref_posterior_k" + k), posterior[k - 1], 1e-9);
        }
        assertEquals(new ChangePoints.Interval(26, 29), ChangePoints.interval(posterior, 0.95));
        // nile_ref_95set: 26 to 29.
        assertEquals(new ChangePoints.Interval(26, 29), ChangePoints.interval(posterior, 0.95));
        for (String[] row : rows("nile_changepoint_posterior.csv")) {
            int k = Integer.parseInt(row[0]);
            assertEquals(Double.parseDouble(row[5]), posterior[k - 1], 1e-9 * Math.max(1e-3, posterior[k - 1]) + 1e-13);
            ShiftEvidence step = ShiftEvidence.step(NILE, k);
            assertEquals(Double.parseDouble(row[6]), step.logUnknownSigma(2), 1e-8);
            assertEquals(Double.parseDouble(row[7]), step.log(125, 0, 250), 1e-8);
        }
    }

    @Test
    void factors_for_the_nile_agree_with_their_formulas_and_quadrature() {
        ShiftEvidence step = ShiftEvidence.step(NILE, 28);
        assertEquals(value("nile_logBF_unknown_sigma_tau2_k28"), step.logUnknownSigma(2), 1e-9);
        assertEquals(value("nile_logBF_sigma125_tau250_k28"), step.log(125, 0, 250), 1e-9);
        assertEquals(value("nile_logBF_half_normal_neg_k28"), step.logOneSided(125, 250, -1), 1e-9);
        assertEquals(value("nile_logBF_half_normal_pos_k28"), step.logOneSided(125, 250, 1), 1e-6);
        double[] unknown = new double[99];
        double[] known = new double[99];
        for (int k = 1; k <= 99; k++) {
            unknown[k - 1] = ShiftEvidence.step(NILE, k).logUnknownSigma(2);
            known[k - 1] = ShiftEvidence.step(NILE, k).log(125, 0, 250);
        }
        assertEquals(value("nile_logBF_unknown_sigma_tau2_avg"), ShiftEvidence.logMean(unknown), 1e-9);
        assertEquals(value("nile_logBF_sigma125_tau250_avg"), ShiftEvidence.logMean(known), 1e-9);
        assertEquals(-value("nile_mean_before") + value("nile_mean_after"), step.effect(), 1e-9);
    }

    @Test
    void two_shifts_of_an_edition_are_both_found() {
        double[] density = column("edition_multi_shift.csv", 1);
        assertEquals(
                List.of(40, 70),
                ChangePoints.pelt(density, Individuals.of(density).sigma(), 2 * StrictMath.log(density.length), 5));
    }

    /** PELT prunes; trying every segmentation of short series does not. */
    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10})
    void pruning_loses_no_best_segmentation(long seed) {
        java.util.Random random = new java.util.Random(seed);
        double[] values = new double[24];
        for (int i = 0; i < values.length; i++) {
            values[i] = random.nextGaussian() + (i >= 7 + seed ? 2.5 : 0) + (i >= 17 ? -1.5 : 0);
        }
        double penalty = 4;
        List<Integer> found = ChangePoints.pelt(values, 1, penalty, 3);
        assertEquals(best(values, penalty), total(values, penalty, found), 1e-9);
    }

    private static double best(double[] values, double penalty) {
        double best = total(values, penalty, List.of());
        int n = values.length;
        for (int a = 3; a <= n - 3; a++) {
            best = Math.min(best, total(values, penalty, List.of(a)));
            for (int b = a + 3; b <= n - 3; b++) {
                best = Math.min(best, total(values, penalty, List.of(a, b)));
                for (int c = b + 3; c <= n - 3; c++) {
                    best = Math.min(best, total(values, penalty, List.of(a, b, c)));
                    for (int d = c + 3; d <= n - 3; d++) {
                        best = Math.min(best, total(values, penalty, List.of(a, b, c, d)));
                    }
                }
            }
        }
        return best;
    }

    private static double total(double[] values, double penalty, List<Integer> changes) {
        double total = penalty * changes.size();
        int from = 0;
        for (int end : changes) {
            total += squares(values, from, end);
            from = end;
        }
        return total + squares(values, from, values.length);
    }

    private static double squares(double[] values, int from, int to) {
        double mean = Arrays.stream(values, from, to).average().orElseThrow();
        return Arrays.stream(values, from, to).map(x -> (x - mean) * (x - mean)).sum();
    }

    /** The worked edition: σ = 0.018 known, steps, lags and weights as in the table. */
    @Test
    void causes_of_the_worked_edition_get_their_factors_and_chances() {
        double[] density = column("edition_density.csv", 1);
        List<Double> weighed = new ArrayList<>();
        double most = Double.NEGATIVE_INFINITY;
        for (String[] row : rows("edition_events.csv")) {
            double log;
            double weight = Double.parseDouble(
                    row[0].equals("no_change") ? "0.5" : row[0].equals("unlogged_cause") ? "0.1" : row[2]);
            if (row[0].equals("no_change")) {
                log = 0;
            } else if (row[0].equals("unlogged_cause")) {
                double[] logs = new double[59];
                for (int k = 1; k <= 59; k++) {
                    logs[k - 1] = ShiftEvidence.step(density, k).log(0.018, 0, 0.06);
                }
                log = ShiftEvidence.logMean(logs);
            } else {
                weight = 0.4 * exactWeight(row[0]) / 19;
                int first = Integer.parseInt(row[1]);
                double sum = 0;
                for (String lag : row[5].split(";")) {
                    int l = Integer.parseInt(lag.split(":")[0]);
                    double w = Double.parseDouble(lag.split(":")[1]);
                    sum += w
                            * StrictMath.exp(ShiftEvidence.step(density, first - 1 + l)
                                    .log(0.018, Double.parseDouble(row[3]), Double.parseDouble(row[4])));
                }
                log = StrictMath.log(sum);
            }
            assertEquals(Double.parseDouble(row[6]), log, 1e-8, row[0]);
            weighed.add(StrictMath.log(weight) + log);
            most = Math.max(most, StrictMath.log(weight) + log);
        }
        double sum = 0;
        for (double log : weighed) {
            sum += StrictMath.exp(log - most);
        }
        List<String[]> rows = rows("edition_events.csv");
        for (int i = 0; i < rows.size(); i++) {
            double expected = Double.parseDouble(rows.get(i)[7]);
            assertEquals(
                    expected, StrictMath.exp(weighed.get(i) - most) / sum, 1e-8 * expected + 1e-30, rows.get(i)[0]);
        }
    }

    private static double exactWeight(String event) {
        return switch (event) {
            case "temperature_rise" -> 2;
            case "damping_change" -> 4;
            case "new_can" -> 7;
            default -> 3;
        };
    }

    @Test
    void a_drift_beats_a_step_where_there_is_one() {
        double[] density = column("edition_drift.csv", 1);
        double sigma = Individuals.of(density).sigma();
        double step = Double.NEGATIVE_INFINITY;
        double drift = Double.NEGATIVE_INFINITY;
        for (int k = 1; k < density.length - 1; k++) {
            step = Math.max(step, ShiftEvidence.step(density, k).log(sigma, 0, 0.06));
            drift = Math.max(drift, ShiftEvidence.drift(density, k).log(sigma, 0, 0.004));
        }
        assertTrue(drift > step + 3, drift + " against " + step);
    }

    @Test
    void counts_agree_with_exact_tests_of_r() {
        Counts.Fisher fisher = Counts.fisher(2, 30, 9, 28);
        assertEquals(value("fisher_2of30_vs_9of28_two_sided"), fisher.p(), 1e-12);
        assertEquals(value("fisher_2of30_vs_9of28_less"), fisher.fewer(), 1e-12);
        Counts.Ratio odds = Counts.odds(2, 30, 9, 28, 0.95);
        assertEquals(value("fisher_2of30_vs_9of28_or_cmle"), odds.estimate(), 1e-9);
        assertEquals(value("fisher_2of30_vs_9of28_or_ci_lo"), odds.low(), 1e-9);
        assertEquals(value("fisher_2of30_vs_9of28_or_ci_hi"), odds.high(), 1e-9);
        assertEquals(value("fisher_tea_greater"), Counts.fisher(3, 4, 1, 4).more(), 1e-11);
        assertEquals(value("fisher_tea_two_sided"), Counts.fisher(3, 4, 1, 4).p(), 1e-11);
        Counts.Rates rates = Counts.poisson(4, 30, 13, 28, 0.95);
        assertEquals(value("poisson_4_in_30_vs_13_in_28_p"), rates.p(), 1e-12);
        assertEquals(value("poisson_4_in_30_vs_13_in_28_ratio"), rates.ratio().estimate(), 1e-12);
        assertEquals(value("poisson_ratio_ci_lo"), rates.ratio().low(), 1e-9);
        assertEquals(value("poisson_ratio_ci_hi"), rates.ratio().high(), 1e-9);
        Counts.Rates help = Counts.poisson(11, 800, 21, 3011, 0.95);
        assertEquals(value("poisson_11_800_vs_21_3011_p"), help.p(), 1e-11);
        assertEquals(value("poisson_11_800_vs_21_3011_ratio"), help.ratio().estimate(), 1e-11);
        assertEquals(value("binom_682_925_p075_two_sided"), Counts.binomial(682, 925, 0.75), 1e-10);
        assertEquals(
                value("clopper_682_925_lo"),
                Counts.clopperPearson(682, 925, 0.95).low(),
                1e-9);
        assertEquals(
                value("clopper_682_925_hi"),
                Counts.clopperPearson(682, 925, 0.95).high(),
                1e-9);
        assertEquals(
                value("clopper_2_30_lo"), Counts.clopperPearson(2, 30, 0.95).low(), 1e-9);
        assertEquals(
                value("clopper_2_30_hi"), Counts.clopperPearson(2, 30, 0.95).high(), 1e-9);
    }

    @Test
    void runs_of_flaws_have_their_exact_chances() {
        assertEquals(value("longest_run_n40_k6_ge3"), Counts.longestRun(40, 6, 3), 1e-12);
        assertEquals(value("longest_run_n40_k6_ge4"), Counts.longestRun(40, 6, 4), 1e-12);
        Counts.Runs runs = Counts.runs(6, 34, 5);
        assertEquals(value("wald_wolfowitz_6_34_R5_z"), runs.z(), 1e-9);
        assertEquals(value("wald_wolfowitz_6_34_P_R_le_5"), runs.atMost(), 1e-12);
    }

    /** None spoiled, all spoiled: an honest answer, no exception. */
    @Test
    void counts_at_their_ends() {
        assertEquals(1, Counts.fisher(0, 20, 0, 30).p(), 1e-12);
        assertEquals(1, Counts.fisher(20, 20, 30, 30).p(), 1e-12);
        assertEquals(0, Counts.clopperPearson(0, 30, 0.95).low());
        assertEquals(1, Counts.clopperPearson(30, 30, 0.95).high());
        assertEquals(Double.POSITIVE_INFINITY, Counts.odds(5, 5, 0, 9, 0.95).estimate());
        assertThrows(BadInput.class, () -> Counts.fisher(3, 2, 0, 1));
    }

    @Test
    void doses_read_back_agree_with_the_published_examples() {
        DoseLine arsenic = DoseLine.of(column("arsenic_calibration.csv", 0), column("arsenic_calibration.csv", 1));
        DoseLine.Dose one = arsenic.forReadings(0.90, 3).orElseThrow();
        assertEquals(value("arsenic_x0"), one.dose(), 1e-9);
        assertEquals(value("arsenic_inv_lo90"), one.low(), 1e-9);
        assertEquals(value("arsenic_inv_hi90"), one.high(), 1e-9);
        assertEquals(value("arsenic_wald_se"), one.error(), 1e-9);
        DoseLine.Dose three = arsenic.forReadings(0.90, 3.17, 3.09, 3.16).orElseThrow();
        assertEquals(value("arsenic_3_x0"), three.dose(), 1e-9);
        assertEquals(value("arsenic_3_lo90"), three.low(), 1e-9);
        assertEquals(value("arsenic_3_hi90"), three.high(), 1e-9);
        DoseLine crystal = DoseLine.of(column("crystal_growth.csv", 0), column("crystal_growth.csv", 1));
        DoseLine.Dose mean = crystal.forMean(8, 0.95).orElseThrow();
        assertEquals(value("crystal_x0"), mean.dose(), 1e-9);
        assertEquals(value("crystal_lo95"), mean.low(), 1e-9);
        assertEquals(value("crystal_hi95"), mean.high(), 1e-9);
        DoseLine whisky = DoseLine.of(column("whisky_proof_age.csv", 0), column("whisky_proof_age.csv", 1));
        DoseLine.Dose proof = whisky.forReadings(0.95, 108).orElseThrow();
        assertEquals(value("whisky_x0_proof108"), proof.dose(), 1e-9);
        assertEquals(value("whisky_lo95"), proof.low(), 1e-9);
        assertEquals(value("whisky_hi95"), proof.high(), 1e-9);
    }

    @Test
    void how_much_modifier_with_its_interval_or_too_few_trials() {
        double[] doses = column("modifier_dose.csv", 0);
        double[] stiff = column("modifier_dose.csv", 1);
        DoseLine line = DoseLine.of(doses, stiff);
        DoseLine.Dose print = line.forReadings(0.95, 5.0).orElseThrow();
        assertEquals(value("modifier_x0_for_5.0"), print.dose(), 1e-9);
        assertEquals(value("modifier_obs_lo95"), print.low(), 1e-9);
        assertEquals(value("modifier_obs_hi95"), print.high(), 1e-9);
        DoseLine.Dose mean = line.forMean(5.0, 0.95).orElseThrow();
        assertEquals(value("modifier_mean_lo95"), mean.low(), 1e-9);
        assertEquals(value("modifier_mean_hi95"), mean.high(), 1e-9);
        DoseLine few =
                DoseLine.of(new double[] {doses[0], doses[2], doses[4]}, new double[] {stiff[0], stiff[2], stiff[4]});
        assertEquals(value("modifier_n3_g"), few.doubt(0.95), 1e-9);
        assertTrue(few.forMean(5.0, 0.95).isEmpty(), "too few trials");
        assertThrows(BadInput.class, () -> DoseLine.of(new double[] {1, 1, 1}, new double[] {1, 2, 3}));
    }

    @Test
    void what_is_believed_of_a_dose_when_trials_are_few() {
        double[] doses = column("modifier_dose.csv", 0);
        double[] stiff = column("modifier_dose.csv", 1);
        DoseBelief prior = new DoseBelief(7, -0.4, 4, 0, 0.25, 2, 0.08);
        DoseBelief belief = prior.after(doses, stiff);
        assertEquals(value("modifier_nig_m0"), belief.m0(), 5e-8);
        assertEquals(value("modifier_nig_m1"), belief.m1(), 5e-8);
        assertEquals(value("modifier_nig_bn"), belief.b(), 1e-12);
        assertEquals(value("modifier_nig_logml"), prior.logLikelihood(doses, stiff), 1e-10);
        assertEquals(value("modifier_nig_pred5_lo95"), belief.effect(5, 0.025), 1e-9);
        assertEquals(value("modifier_nig_pred5_hi95"), belief.effect(5, 0.975), 1e-9);
        assertEquals(value("modifier_nig_dose5_mean_lo95"), belief.dose(5, false, 0.025, 0, 20), 0.002);
        assertEquals(value("modifier_nig_dose5_mean_hi95"), belief.dose(5, false, 0.975, 0, 20), 0.002);
        DoseLine.Dose whole = belief.forMean(5, 0.95).orElseThrow();
        assertEquals(value("modifier_nig_dose5_mean_lo95"), whole.low(), 0.002);
        assertEquals(value("modifier_nig_dose5_mean_hi95"), whole.high(), 0.002);
        DoseBelief doubtful = new DoseBelief(7, -0.4, 4, 0, 25, 2, 0.08);
        assertTrue(doubtful.forMean(5, 0.95).isEmpty(), "the slope may be none");
        DoseBelief few =
                prior.after(new double[] {doses[0], doses[2], doses[4]}, new double[] {stiff[0], stiff[2], stiff[4]});
        assertEquals(value("modifier_nig_n3_dose5_pred_lo95"), few.dose(5, true, 0.025, 0, 20), 0.002);
        assertEquals(value("modifier_nig_n3_dose5_pred_hi95"), few.dose(5, true, 0.975, 0, 20), 0.002);
    }

    @Test
    void marks_in_words_move_with_the_dose_as_r_has_it() {
        OrdinalLine line =
                OrdinalLine.of(column("modifier_ordinal_tack.csv", 0), counts("modifier_ordinal_tack.csv", 1));
        assertEquals(value("ordinal_beta"), line.beta(), 1e-5);
        assertEquals(value("ordinal_logLik"), line.logLikelihood(), 1e-5);
        assertEquals(value("ordinal_zeta12"), line.zeta()[0], 1e-4);
        assertEquals(value("ordinal_zeta45"), line.zeta()[line.zeta().length - 1], 1e-4);
        assertThrows(BadInput.class, () -> OrdinalLine.of(new double[] {1, 2, 3}, new int[] {2, 2, 2}));
        assertThrows(BadInput.class, () -> OrdinalLine.of(new double[] {1, 2, 3, 4}, new int[] {1, 1, 2, 2}));
    }

    /** Certified univariate sets; the library does the sums, and must do them well. */
    @TestFactory
    List<DynamicTest> means_and_deviations_of_the_reference_sets() {
        return rows("strd/univariate_certified.csv").stream()
                .map(row -> DynamicTest.dynamicTest(row[0], () -> {
                    DescriptiveStatistics statistics = new DescriptiveStatistics();
                    Arrays.stream(column("strd/" + row[0].toLowerCase(java.util.Locale.ROOT) + ".csv", 0))
                            .forEach(statistics::addValue);
                    assertEquals(
                            Double.parseDouble(row[2]),
                            statistics.getMean(),
                            1e-12 * Math.abs(statistics.getMean()) + 1e-12);
                    double sd = Double.parseDouble(row[3]);
                    assertEquals(sd, statistics.getStandardDeviation(), 1e-7 * sd);
                }))
                .toList();
    }

    /** Certified straight lines and polynomials, to nine digits where doubles allow. */
    @Test
    void lines_of_the_reference_sets() {
        double[] y = column("strd/norris.csv", 0);
        double[] x = column("strd/norris.csv", 1);
        DoseLine line = DoseLine.of(x, y);
        assertEquals(certified("norris", "b0"), line.intercept(), 1e-10);
        assertEquals(certified("norris", "b1"), line.slope(), 1e-12);
        OLSMultipleLinearRegression regression = new OLSMultipleLinearRegression();
        List<String[]> longley = rows("strd/longley.csv");
        regression.newSampleData(
                column("strd/longley.csv", 0),
                longley.stream()
                        .map(row -> Arrays.stream(row)
                                .skip(1)
                                .mapToDouble(Double::parseDouble)
                                .toArray())
                        .toArray(double[][]::new));
        double[] b = regression.estimateRegressionParameters();
        for (int i = 0; i < b.length; i++) {
            double expected = certified("longley", "b" + i);
            assertEquals(expected, b[i], 1e-7 * Math.abs(expected), "longley b" + i);
        }
        // Powers of x; the last has ten of them and is the hardest set there is.
        Map<String, Integer> degrees = Map.of(
                "wampler1", 5, "wampler2", 5, "wampler3", 5, "wampler4", 5, "wampler5", 5, "pontius", 2, "filip", 10);
        degrees.forEach((set, degree) -> {
            double[][] powers = powers(column("strd/" + set + ".csv", 1), degree);
            regression.newSampleData(column("strd/" + set + ".csv", 0), powers);
            double[] fitted = regression.estimateRegressionParameters();
            for (int i = 0; i < fitted.length; i++) {
                double expected = certified(set, "b" + i);
                // The scatter of this one is ten thousand times its values: doubles keep five digits.
                double digits = set.equals("wampler5") ? 1e-5 : 1e-6;
                assertEquals(expected, fitted[i], digits * Math.abs(expected), set + " b" + i);
            }
        });
        OLSMultipleLinearRegression through = new OLSMultipleLinearRegression();
        through.setNoIntercept(true);
        for (String set : List.of("noint1", "noint2")) {
            through.newSampleData(column("strd/" + set + ".csv", 0), powers(column("strd/" + set + ".csv", 1), 1));
            double expected = certified(set, "b1");
            assertEquals(expected, through.estimateRegressionParameters()[0], 1e-12 * expected, set);
        }
    }

    private static double[][] powers(double[] xs, int degree) {
        double[][] powers = new double[xs.length][degree];
        for (int i = 0; i < xs.length; i++) {
            for (int p = 0; p < degree; p++) {
                powers[i][p] = Math.pow(xs[i], p + 1);
            }
        }
        return powers;
    }

    /** Shares of a mix of three weighings, 24.83, 12.62 and 2.31 g with u 0.05, 0.05 and 0.02 g. */
    @Test
    void shares_of_a_mix_have_the_uncertainty_of_the_closed_form() {
        Readings readings = new Readings();
        List<Propagated> masses = List.of(
                readings.reading("a", 24.83, 0.05),
                readings.reading("b", 12.62, 0.05),
                readings.reading("c", 2.31, 0.02));
        Propagated whole = masses.get(0).plus(masses.get(1)).plus(masses.get(2));
        for (int i = 0; i < 3; i++) {
            assertEquals(
                    value("mix_fraction_u" + (i + 1)), masses.get(i).over(whole).u(readings), 1e-12);
        }
    }

    private static double certified(String set, String quantity) {
        return rows("strd/linear_certified.csv").stream()
                .filter(row -> row[0].equals(set) && row[1].equals(quantity))
                .mapToDouble(row -> Double.parseDouble(row[2]))
                .findFirst()
                .orElseThrow();
    }

    @Test
    void ranks_share_ties() {
        assertArrayEquals(new double[] {1, 3, 3, 3, 5}, ChangePoints.ranks(0, 2, 2, 2, 7));
    }

    /**
     * Hollander &amp; Wolfe 1973, Nonparametric Statistical Methods, 185–194: lightness and quality of tuna; here the quality in
     * the order of lightness. T = 26, τ = 4/9, exact p = 0.1194 (from memory, as in the help of R's cor.test).
     */
    @Test
    void trend_of_ranks_agrees_with_a_worked_example() {
        Trend trend = Trend.of(2.5, 4.0, 2.6, 3.6, 2.8, 3.1, 5.2, 5.0, 3.8);
        assertEquals(4.0 / 9, trend.tau(), 1e-12);
        assertEquals(0.1194, trend.p(), 0.003, "by the normal approximation");
        assertEquals(1, Trend.of(1, 2, 3, 4, 5, 6, 7, 8).tau(), 1e-12);
        assertEquals(new Trend(0, 1), Trend.of(2, 2, 2));
    }

    /** The next value of a steady series is outside about as seldom as promised, however few values opened it. */
    @Test
    void limits_of_a_short_opening_hold_what_three_standard_deviations_promise() {
        Random random = new Random(4);
        for (int n : new int[] {8, 12, 30}) {
            boolean[] approved = new boolean[n];
            Arrays.fill(approved, true);
            int outside = 0;
            for (int i = 0; i < 20_000; i++) {
                double[] values = random.doubles(n).toArray();
                for (int k = 0; k < n; k++) {
                    values[k] = random.nextGaussian();
                }
                outside += Individuals.ofOpening(values, approved, 0)
                                .orElseThrow()
                                .outside(random.nextGaussian())
                                .isEmpty()
                        ? 0
                        : 1;
            }
            assertTrue(outside < 20_000 * 0.008, outside + " of 20,000 after " + n);
        }
        double[] density = column("edition_density.csv", 1);
        boolean[] approved = new boolean[density.length];
        Arrays.fill(approved, true);
        Individuals opening = Individuals.ofOpening(density, approved, 0).orElseThrow();
        assertEquals(
                Individuals.of(Arrays.copyOf(density, 30)).centre(),
                opening.centre(),
                1e-12,
                "half of the run, no more");
        approved[5] = false;
        assertTrue(Individuals.ofOpening(density, approved, 0).isEmpty(), "five are no opening");
        assertEquals(2.0, opening.around(2.0).centre());
        assertEquals(opening.sigma(), opening.around(2.0).sigma());
    }

    /**
     * Hollander &amp; Wolfe 1973, Nonparametric Statistical Methods, 69 f.: permeability of membranes at term and at 12 to 26
     * weeks. W = 35, exact one-sided p = 0.1272 (from memory, as in the help of R's wilcox.test), so two-sided 0.2544.
     */
    @Test
    void two_groups_by_ranks_agree_with_a_worked_example() {
        TwoSamples groups = TwoSamples.of(
                new double[] {0.80, 0.83, 1.89, 1.04, 1.45, 1.38, 1.91, 1.64, 0.73, 1.46},
                new double[] {1.15, 0.88, 0.90, 0.74, 1.21});
        assertEquals(35.0 / 50, groups.above(), 1e-12);
        assertEquals(2 * 0.1272, groups.p(), 1e-4);
        assertEquals(new TwoSamples(0.5, 1), TwoSamples.of(new double[] {1, 1}, new double[] {1}));
    }
}
