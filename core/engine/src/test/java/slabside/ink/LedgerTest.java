package slabside.ink;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.math.BigDecimal;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import slabside.event.PressEvent;
import slabside.event.ThingId;
import slabside.log.Stored;
import slabside.measure.Amount;
import slabside.measure.Uncertain;
import slabside.views.MemoryStories;
import slabside.views.StoryKey;

/** What is in a vessel, by every kind of amount. */
class LedgerTest {
    private static final Uncertain ASSUMED = new Uncertain(0.5, 0.1);

    private final Histories history = new Histories(1);

    private Ledger ledger() {
        return new Ledger(MemoryStories.of(history.events()), load -> ASSUMED);
    }

    private Contents in(String vessel) {
        return ledger().now(new ThingId(vessel));
    }

    private double share(String vessel, String lot) {
        return in(vessel).share(new ThingId(lot)).value();
    }

    private double grams(String vessel) {
        return in(vessel).grams().value();
    }

    @Test
    void a_portion_taken_out_before_a_later_addition_takes_its_share_with_it() {
        history.can("a", "500");
        history.can("b", "500");
        history.can("c", "500");
        history.move("a", "mix", "75.0");
        history.move("b", "mix", "25.0");
        history.move("mix", "aside", "50.0");
        history.move("c", "mix", "50.0");
        assertEquals(0.375, share("mix", "a"), 1e-12);
        assertEquals(0.125, share("mix", "b"), 1e-12);
        assertEquals(0.5, share("mix", "c"), 1e-12);
        assertEquals(0.75, share("aside", "a"), 1e-12);
        assertEquals(100, grams("mix"), 1e-12);
    }

    @Test
    void a_leftover_folded_in_brings_its_cans_through_any_depth() {
        history.can("a", "5000");
        history.can("b", "5000");
        history.move("a", "mix-0", "10.0");
        for (int i = 1; i <= 20; i++) {
            history.move("mix-" + (i - 1), "mix-" + i, "5.0");
            history.move("b", "mix-" + i, "5.0");
        }
        assertEquals(StrictMath.pow(0.5, 20), share("mix-20", "a"), 1e-15);
    }

    @Test
    void the_rest_moves_all_that_is_there_and_leaves_nothing() {
        history.can("a", "500");
        history.move("a", "mix", "33.0");
        history.move("mix", "test", "3.0");
        history.move("mix", "packet", new Amount.Rest("rest"));
        assertEquals(30, grams("packet"), 1e-12);
        assertTrue(in("mix").isEmpty());
    }

    @Test
    void parts_give_shares_and_a_weighing_gives_their_grams() {
        history.can("a", "500");
        history.can("b", "500");
        history.move("a", "mix", new Amount.Parts(new BigDecimal("9"), "g", "9 parts"));
        history.move("b", "mix", new Amount.Parts(new BigDecimal("1"), "g", "1 part"));
        assertEquals(0.9, share("mix", "a"), 1e-12);
        assertEquals(1, in("mix").notes().size(), "says that one part is shown as 1 g");
        history.weigh("mix", "85.2", "35.2", "0.1");
        assertEquals(50, grams("mix"), 1e-9);
        assertEquals(45, in("mix").lots().get(new ThingId("a")).value(), 1e-9);
        assertTrue(in("mix").notes().isEmpty());
    }

    @Test
    void parts_beside_grams_are_a_gap_until_something_is_weighed() {
        history.can("a", "500");
        history.can("b", "500");
        history.move("a", "mix", "40.0");
        history.move("b", "mix", new Amount.Parts(BigDecimal.ONE, "g", "1 part"));
        assertEquals(1, in("mix").gaps().size());
        assertEquals(1, share("mix", "a"), 1e-12);
        history.weigh("mix", "50.0", "0", "0.1");
        assertEquals(0.8, share("mix", "a"), 1e-12);
        assertTrue(in("mix").gaps().isEmpty());
    }

    @Test
    void an_amount_not_written_down_is_a_gap_with_a_name_and_a_closing_weighing_settles_it() {
        history.can("a", "500");
        history.can("b", "500");
        history.move("a", "mix", "40.0");
        history.move("b", "mix", new Amount.Unknown("?"));
        assertEquals(
                List.of("how much went from b into mix was not written down"),
                in("mix").gaps().stream()
                        .map(g -> g.replaceAll("material-", ""))
                        .map(g -> g.replaceAll("from (\\w) \\1", "from $1"))
                        .toList());
        history.move("mix", "packet", "10.0");
        assertEquals(1, in("packet").gaps().size(), "the gap goes with the ink");
        history.weigh("mix", "70.0", "0", "0.1");
        assertTrue(in("mix").gaps().isEmpty());
        assertEquals(0.5, share("mix", "a"), 1e-12);
        assertEquals(0.5, share("packet", "a"), 1e-12);
    }

    @Test
    void by_eye_is_half_way_with_the_width_as_its_uncertainty() {
        history.can("a", "500");
        history.move("a", "mix", new Amount.Estimated(4_000, 10_000, "4 to 10"));
        assertEquals(7, grams("mix"), 1e-12);
        assertEquals(6 / StrictMath.sqrt(12), in("mix").grams().u(), 1e-12);
    }

    @Test
    void more_taken_out_than_was_there_is_reported_and_never_hidden() {
        history.can("a", "500");
        history.move("a", "mix", "20.0");
        history.move("mix", "packet", "25.0");
        List<Ledger.Lacking> lacking = ledger().lacking(new ThingId("packet"));
        assertEquals(1, lacking.size());
        assertEquals(5, lacking.get(0).grams(), 1e-9);
        assertTrue(
                in("mix").gaps().get(0).contains("5 g more was taken out"),
                in("mix").gaps().toString());
        assertTrue(ledger().left(new ThingId("mix")).overdrawn());
        assertEquals(25, grams("packet"), 1e-9);
    }

    @Test
    void a_late_entry_changes_what_was_in_a_mix_from_then_on() {
        history.can("a", "500");
        history.can("b", "500");
        Stored first = history.move("a", "mix", "50.0");
        history.move("mix", "aside", "25.0");
        assertEquals(1, share("aside", "a"), 1e-12);
        history.write(
                new slabside.event.InkEvent.Moved(
                        new ThingId("b"),
                        new ThingId("mix"),
                        Amount.net("amount", "50.0"),
                        slabside.event.Why.ADDED,
                        null),
                first.envelope().recorded() - 500);
        assertEquals(0.5, share("aside", "a"), 1e-12);
    }

    @Test
    void pulls_share_what_the_balance_of_the_load_gives() {
        history.can("a", "500");
        history.move("a", "mix", "100.0");
        history.start("run", "load");
        history.move("mix", "load", "20.0");
        for (int i = 0; i < 10; i++) {
            history.pull("run", "sheet-" + i);
        }
        assertEquals(15, grams("load"), 1e-9, "ten pulls at the assumed half gram");
        assertFalse(in("load").notes().isEmpty());
        history.weigh("load", "16.0", "0", "0.1");
        assertEquals(16, grams("load"), 1e-9);
        assertTrue(in("load").notes().isEmpty());
        history.move("load", "wash-up", "16.0");
        history.write(new PressEvent.CleanedUp(new ThingId("run"), null));
        Ledger.PerPull rate = ledger().perPull(new ThingId("run")).orElseThrow();
        assertEquals(0.4, rate.grams().value(), 1e-12);
        assertTrue(rate.learned());
        assertEquals(10, rate.pulls());
        Map<ThingId, Uncertain> balance = ledger().balance(List.of(new ThingId("load")));
        assertEquals(4, balance.get(ThingId.paperOf(new ThingId("run"))).value(), 1e-9);
    }

    @Test
    void two_taps_for_one_sheet_take_ink_once_and_a_second_hit_takes_it_again() {
        history.can("a", "500");
        history.move("a", "mix", "100.0");
        history.start("run", "load");
        history.move("mix", "load", "20.0");
        history.pull("run", "sheet-1");
        history.pull("run", "sheet-1");
        assertEquals(19.5, grams("load"), 1e-9);
        history.write(new PressEvent.Pulled(
                new ThingId("run"),
                new ThingId("sheet-1"),
                slabside.event.PullMode.EDITION,
                true,
                6,
                slabside.event.PressGrade.GOOD,
                List.of(),
                null));
        assertEquals(19, grams("load"), 1e-9);
    }

    @Test
    void cost_is_grams_at_the_price_of_the_can_and_says_what_has_no_price() {
        history.write(new slabside.event.ShelfEvent.CanReceived(
                new ThingId("a"),
                new ThingId("m"),
                "a",
                null,
                Amount.net("net", "500"),
                null,
                new slabside.event.Price(new BigDecimal("25.00"), "EUR"),
                null));
        history.can("b", "500");
        history.move("a", "mix", "40.0");
        history.move("b", "mix", "10.0");
        Ledger.Cost cost = ledger().cost(in("mix"));
        assertEquals(2.0, cost.byCurrency().get("EUR").value(), 1e-12);
        assertEquals(List.of(new ThingId("b")), cost.unpriced());
    }

    @Test
    void an_amendment_of_the_amount_counts_everywhere_it_went() {
        history.can("a", "500");
        history.can("b", "500");
        history.move("a", "mix", "50.0");
        Stored slip = history.move("b", "mix", "5.0");
        history.move("mix", "packet", "10.0");
        history.amend(
                slip,
                new slabside.event.InkEvent.Moved(
                        new ThingId("b"),
                        new ThingId("mix"),
                        Amount.net("amount", "50.0"),
                        slabside.event.Why.ADDED,
                        null));
        assertEquals(0.5, share("packet", "b"), 1e-12);
    }

    /** JCGM 100:2008, 5.1.2, with raw readings as inputs; values computed there and by Monte Carlo (2 million draws). */
    @ParameterizedTest
    @CsvSource({
        "0.5, 19.5, 0.1, 0.00201621",
        "0.5, 19.5, 0.01, 0.000201621",
        "2.0, 48.0, 0.1, 0.0008006664",
        "10.0, 10.0, 0.1, 0.001767767"
    })
    void a_share_weighed_into_one_running_cup_has_the_uncertainty_of_three_readings(
            double small, double large, double step, double expected) {
        long first = StrictMath.round(small * 1000);
        long whole = StrictMath.round((small + large) * 1000);
        history.can("a", "500");
        history.can("b", "500");
        Stored one = history.move("a", "mix", new Amount.Weighed(0, first, StrictMath.round(step * 1000), null, "x"));
        history.move(
                "b",
                "mix",
                new Amount.Weighed(
                        first,
                        whole,
                        StrictMath.round(step * 1000),
                        one.envelope().id().text(),
                        "y"));
        assertEquals(expected, in("mix").share(new ThingId("a")).u(), expected * 1e-6);
    }

    /** JCGM 100:2008, 5.1.2 and 4.3.7: each part weighed apart with a tare of its own, u = step/√6. */
    @ParameterizedTest
    @CsvSource({
        "0.5, 19.5, 0.1, 0.001990865",
        "0.5, 19.5, 0.01, 0.0001990865",
        "2.0, 48.0, 0.1, 0.0007845168",
        "10.0, 10.0, 0.1, 0.001443376"
    })
    void a_share_of_parts_weighed_apart_has_the_uncertainty_of_two_nets(
            double small, double large, double step, double expected) {
        history.can("a", "500");
        history.can("b", "500");
        history.move("a", "mix", new Amount.Net(StrictMath.round(small * 1000), StrictMath.round(step * 1000), "x"));
        history.move("b", "mix", new Amount.Net(StrictMath.round(large * 1000), StrictMath.round(step * 1000), "y"));
        assertEquals(expected, in("mix").share(new ThingId("a")).u(), expected * 1e-6);
    }

    /** A Monte Carlo of the whole ledger (JCGM 101:2008): split, fold back, rest; 20,000 draws, seeded. */
    @Test
    void the_uncertainty_of_a_split_and_folded_mix_agrees_with_monte_carlo() {
        double[][] nets = {{40, 1}, {5, 0.5}, {12, 0.5}, {3, 0.2}, {9, 0.5}};
        Random random = new Random(11);
        double sum = 0;
        double squares = 0;
        int draws = 20_000;
        for (int i = 0; i < draws; i++) {
            double[] m = new double[nets.length];
            for (int j = 0; j < m.length; j++) {
                m[j] = nets[j][0] + rounding(random, nets[j][1]) - rounding(random, nets[j][1]);
            }
            double takenA = m[2] * m[0] / (m[0] + m[1]);
            double backA = takenA * m[4] / (m[2] + m[3]);
            double share = (m[0] - takenA + backA) / (m[0] + m[1] - m[2] + m[4]);
            sum += share;
            squares += share * share;
        }
        double spread = StrictMath.sqrt(squares / draws - sum / draws * sum / draws);
        history.can("a", "500");
        history.can("b", "500");
        history.can("c", "500");
        net("a", "mix", nets[0]);
        net("b", "mix", nets[1]);
        net("mix", "aside", nets[2]);
        net("c", "aside", nets[3]);
        net("aside", "mix", nets[4]);
        assertEquals(spread, in("mix").share(new ThingId("a")).u(), spread * 0.03);
    }

    private void net(String from, String to, double[] net) {
        history.move(from, to, new Amount.Net(StrictMath.round(net[0] * 1000), StrictMath.round(net[1] * 1000), "x"));
    }

    private static double rounding(Random random, double step) {
        return (random.nextDouble() - 0.5) * step;
    }

    @Test
    void a_decimal_slip_in_a_move_is_found_by_the_cans_and_the_cup_that_were_weighed() {
        weighedTwice("126.2");
        Ledger.Agreement agreement = ledger().agreement(List.of(new ThingId("mix"), new ThingId("a"), new ThingId("b")))
                .orElseThrow();
        assertTrue(agreement.reconciliation().contradicts());
        assertEquals(1, agreement.suspects().size());
        assertEquals(126.2, agreement.suspects().get(0).reading().measured(), 1e-9);
        assertEquals(12.62, agreement.suspects().get(0).slip().orElseThrow().reading(), 1e-9);
    }

    @Test
    void weighings_that_agree_are_said_to_agree() {
        weighedTwice("12.62");
        Ledger.Agreement agreement = ledger().agreement(List.of(new ThingId("mix"), new ThingId("a"), new ThingId("b")))
                .orElseThrow();
        assertFalse(agreement.reconciliation().contradicts());
        assertTrue(agreement.suspects().isEmpty());
        assertEquals(3, agreement.reconciliation().freedom());
    }

    private void weighedTwice(String second) {
        history.can("a", "400");
        history.can("b", "250");
        history.weigh("a", "412.6", null, "0.1");
        history.weigh("b", "268.4", null, "0.1");
        history.weigh("mix", "35.2", null, "0.1");
        history.move("a", "mix", "24.83");
        history.move("b", "mix", second);
        history.weigh("a", "387.8", null, "0.1");
        history.weigh("b", "255.8", null, "0.1");
        history.weigh("mix", "72.7", null, "0.1");
    }

    @Test
    void what_was_in_it_at_a_moment_does_not_know_what_came_later() {
        history.can("a", "500");
        history.can("b", "500");
        Stored first = history.move("a", "mix", "50.0");
        history.move("b", "mix", "50.0");
        StoryKey then = MemoryStories.of(history.events())
                .told(first.envelope().id())
                .orElseThrow()
                .key();
        assertEquals(
                1, ledger().at(new ThingId("mix"), then).share(new ThingId("a")).value(), 1e-12);
    }

    @Test
    void a_can_holds_itself_as_much_as_is_left_and_a_new_mix_holds_nothing() {
        history.can("a", "500");
        history.move("a", "mix", "50.0");
        history.write(new slabside.event.InkEvent.MixStarted(new ThingId("new"), "new", null, null, null, null));
        assertEquals(1, share("a", "a"), 0);
        assertEquals(450, grams("a"), 1e-9);
        assertTrue(in("new").isEmpty());
    }

    @Test
    void the_rest_of_a_can_is_what_all_other_withdrawals_left_in_it() {
        history.can("a", "500");
        history.move("a", "other", "100.0");
        history.move("a", "mix", new Amount.Rest("rest"));
        assertEquals(400, grams("mix"), 1e-9);
        assertEquals(1, share("mix", "a"), 0);
        assertEquals(0, ledger().left(new ThingId("a")).grams().orElseThrow().value(), 1e-9);
    }

    @Test
    void a_load_printed_empty_by_the_estimate_keeps_its_composition_and_its_trace() {
        history.can("a", "500");
        history.move("a", "mix", "100.0");
        history.start("run", "load");
        history.move("mix", "load", "10.0");
        for (int i = 0; i < 30; i++) {
            history.pull("run", "sheet-" + i);
        }
        assertEquals(30, ledger().trace(new ThingId("a")).pulls().size());
        assertTrue(ledger().trace(new ThingId("a")).pulls().stream().allMatch(p -> p.share() == 1));
        assertEquals(1, share("load", "a"), 1e-12);
        assertTrue(
                in("load").notes().toString().contains("shares are the last known"),
                in("load").notes().toString());
    }

    @Test
    void grams_taken_out_of_a_mix_in_parts_have_its_shares_and_are_no_shortfall() {
        history.can("a", "500");
        history.can("b", "500");
        history.move("a", "mix", new Amount.Parts(new BigDecimal("2"), "g", "2 parts"));
        history.move("b", "mix", new Amount.Parts(new BigDecimal("1"), "g", "1 part"));
        history.move("mix", "load", "30.0");
        history.move("mix", "load", "20.0");
        assertEquals(50, grams("load"), 1e-9);
        assertEquals(2 / 3.0, share("load", "a"), 1e-12);
        assertTrue(ledger().lacking(new ThingId("load")).isEmpty());
        assertTrue(in("load").gaps().isEmpty(), in("load").gaps().toString());
    }

    @Test
    void after_the_rest_of_a_weighed_packet_was_used_nothing_is_left_of_it() {
        history.can("a", "500");
        history.move("a", "packet", "50.0");
        history.weigh("packet", "40.0", "0", "0.1");
        history.move("packet", "mix", new Amount.Rest("rest"));
        assertEquals(
                0, ledger().left(new ThingId("packet")).grams().orElseThrow().value(), 1e-12);
        assertFalse(ledger().left(new ThingId("packet")).overdrawn());
    }

    @Test
    void a_can_of_which_nobody_knows_how_much_came_gives_no_gap_to_what_was_weighed_out_of_it() {
        history.write(new slabside.event.ShelfEvent.CanReceived(
                new ThingId("a"), new ThingId("m"), "a", null, new Amount.Unknown(""), null, null, null));
        history.move("a", "mix", "40.0");
        assertTrue(in("mix").gaps().isEmpty(), in("mix").gaps().toString());
        history.move("a", "rest-mix", new Amount.Rest("rest"));
        assertTrue(in("mix").gaps().isEmpty(), in("mix").gaps().toString());
        assertTrue(ledger().lacking(new ThingId("mix")).isEmpty());
    }

    @Test
    void a_gap_goes_along_even_when_nothing_else_does() {
        history.can("a", "500");
        history.move("a", "mix", new Amount.Unknown("?"));
        history.move("mix", "packet", new Amount.Rest("rest"));
        assertEquals(1, in("packet").gaps().size());
    }

    @Test
    void a_tare_that_cannot_be_told_from_a_slip_is_among_the_suspects_and_stops_nothing() {
        history.can("a", "500");
        history.can("b", "500");
        history.move("a", "mix", "40.0");
        history.move("b", "mix", "50.0");
        history.weigh("mix", "80.2", "35.2", "0.1");
        Ledger.Agreement agreement =
                ledger().agreement(List.of(new ThingId("mix"))).orElseThrow();
        assertTrue(agreement.suspects().stream().anyMatch(s -> s.event().isEmpty()), "the tare");
        assertTrue(agreement.suspects().stream().anyMatch(s -> s.event().isPresent()), "the moves");
    }

    @Test
    void a_load_taken_back_to_its_packet_and_cleaned_up_has_nothing_to_check() {
        history.can("a", "500");
        history.move("a", "mix", "40.0");
        history.start("run", "load");
        history.move("mix", "load", "20.0");
        history.move("load", "packet", new Amount.Rest("rest"));
        history.write(new PressEvent.CleanedUp(new ThingId("run"), null));
        assertTrue(ledger().agreement(List.of(new ThingId("load"))).isEmpty());
        assertEquals(20, grams("packet"), 1e-12);
    }

    /** A later batch on new loads: each pull takes from what the run was set up with then, not from all it ever had. */
    @Test
    void each_batch_of_a_run_takes_from_its_own_loads() {
        history.can("a", "500");
        history.can("b", "500");
        history.move("a", "first", "40.0");
        history.move("b", "second", "40.0");
        history.start("run", "load-1");
        history.move("first", "load-1", "20.0");
        history.pull("run", "sheet-1");
        history.pull("run", "sheet-2");
        history.weigh("load-1", "18.0", "0", "0.1");
        history.write(new PressEvent.CleanedUp(new ThingId("run"), null));
        history.start("run", "load-2");
        history.move("second", "load-2", "20.0");
        history.pull("run", "sheet-3");
        history.pull("run", "sheet-4");
        history.weigh("load-2", "16.0", "0", "0.1");
        Map<ThingId, Uncertain> gone = ledger().balance(List.of(new ThingId("load-1"), new ThingId("load-2")));
        assertEquals(6, gone.get(ThingId.paperOf(new ThingId("run"))).value(), 1e-9);
        assertEquals(18, gone.get(ThingId.WASH_UP).value(), 1e-9);
        assertEquals(16, grams("load-2"), 1e-9);
        assertEquals(1, share("load-2", "b"), 1e-12);
        Ledger.PerPull perPull = ledger().perPull(new ThingId("run")).orElseThrow();
        assertEquals(1.5, perPull.grams().value(), 1e-9);
        assertEquals(4, perPull.pulls());
        assertTrue(perPull.learned());
    }
}
