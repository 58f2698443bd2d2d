package slabside.knife;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.math.BigDecimal;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.Test;
import slabside.body.Matching;
import slabside.kit.Asked;
import slabside.kit.MadeUpStudio;
import slabside.kit.PluginCheck;
import slabside.measure.BadInput;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Json;
import slabside.plugin.StudioView;

/** The spread, flow curves and modifiers, on a studio made up here. */
class KnifeTest {
    private static final StudioView.Material BASE = new StudioView.Material("base", "transparent base", "base", "");
    private static final StudioView.Material BLUE = new StudioView.Material("blue", "blue", "ink", "");
    private static final StudioView.Material MAG = new StudioView.Material("mag", "magnesium carbonate", "powder", "");

    private static StudioView.Composition mix(String id, double powder) {
        return new StudioView.Composition(
                id,
                "Mix " + id,
                new Uncertain(100, 0.1),
                List.of(share(BASE, 0.9 - powder), share(BLUE, 0.1), share(MAG, powder)),
                List.of());
    }

    /** The same ink with a part of powder in it. */
    private static StudioView.Composition filled(String id, double powder) {
        return new StudioView.Composition(
                id,
                "Mix " + id,
                new Uncertain(100, 0.1),
                List.of(share(BASE, 0.9 * (1 - powder)), share(BLUE, 0.1 * (1 - powder)), share(MAG, powder)),
                List.of());
    }

    private static StudioView.Share share(StudioView.Material material, double share) {
        return new StudioView.Share(material, new Uncertain(share, 0.001), new Uncertain(100 * share, 0.1));
    }

    private static MadeUpStudio studio() {
        return new MadeUpStudio()
                .with(mix("good", 0.02))
                .with(mix("much", 0.09))
                .with(mix("none", 0));
    }

    private static Answer ask(Calculator calculator, StudioView studio, String... replies) {
        return Asked.of(calculator, studio, replies);
    }

    private static Answer.Quantity quantity(Answer answer, String label) {
        return Asked.quantity(answer, label);
    }

    /** SPREAD-Y3 of the checks (Scott 1935; Covey and Stanmore 1981): 115 g, 0.5 ml, 36 mm make 45.35 Pa at rest, 42.35 with the edge. */
    @Test
    void a_published_spread() {
        Answer answer = ask(new OneMinuteSpread(), studio(), "ink", "good", "one", "36");
        Answer.Quantity yield = quantity(answer, "Yield stress");
        // h/R is 0.027: the edge does not count.
        assertEquals(45.3542, yield.value(), 1e-3);
        // ± 0.5 mm of 36, five times; 5 % of the amount; 1 % of the weight.
        double relative = Math.sqrt(0.01 * 0.01 + 0.05 * 0.05 + 25 * Math.pow(0.5 / Math.sqrt(3) / 36, 2));
        assertEquals(relative * yield.value(), yield.u(), 1e-6);
        assertTrue(answer.toString().contains("too high"), "a minute is no rest");
    }

    @Test
    void without_diameters_it_tells_what_to_do_and_has_a_clock() {
        Answer answer = ask(new OneMinuteSpread(), studio(), "ink", "good");
        assertTrue(answer.blocks().stream().anyMatch(Answer.Steps.class::isInstance));
        assertTrue(answer.blocks().stream()
                .anyMatch(block -> block instanceof Answer.Timer timer && timer.seconds() == 60));
    }

    /** SPREAD-B2 of the checks: an ink of 50 Pa and 20 Pa·s is 34.505 mm wide after a minute and 35.242 after a quarter of an hour. */
    @Test
    void a_late_reading_tells_stiffness_and_length_apart() {
        Answer answer =
                ask(new OneMinuteSpread(), studio(), "ink", "good", "one", "34.505", "late", "35.242", "minutes", "15");
        assertEquals(50, quantity(answer, "Yield stress, by both readings").value(), 1.5);
        assertEquals(20, quantity(answer, "Viscosity, by both readings").value(), 2);
        assertEquals(20.0 / 50, quantity(answer, "Length").value(), 0.05);
    }

    @Test
    void warmth_is_brought_to_twenty_degrees() {
        Answer warm = ask(new OneMinuteSpread(), studio(), "ink", "good", "one", "36", "celsius", "25");
        assertEquals(
                45.3542 * Math.exp(0.35),
                quantity(warm, "Yield stress at 20 °C").value(),
                0.01);
        assertTrue(quantity(warm, "Yield stress at 20 °C").u()
                > quantity(warm, "Yield stress").u());
    }

    @Test
    void silly_readings_are_refused_by_name() {
        String drop = assertThrows(
                        BadInput.class, () -> ask(new OneMinuteSpread(), studio(), "ink", "good", "one", "9"))
                .getMessage();
        assertTrue(drop.contains("half ball is 12.4 mm wide"), drop);
        String hot = assertThrows(
                        BadInput.class,
                        () -> ask(new OneMinuteSpread(), studio(), "ink", "good", "one", "36", "celsius", "60"))
                .getMessage();
        assertTrue(hot.contains("0 to 45"), hot);
        assertThrows(
                BadInput.class,
                () -> ask(new OneMinuteSpread(), studio(), "ink", "good", "one", "36", "celsius", "200"));
        assertThrows(
                BadInput.class, () -> ask(new OneMinuteSpread(), studio(), "ink", "good", "one", "36", "late", "30"));
    }

    @Test
    void it_is_held_against_what_was_read_before() {
        Json.Fields before = Json.fields()
                .with("vessel", "much")
                .with("loadMg", new BigDecimal(115_000))
                .with("volumeUl", new BigDecimal(500))
                .with(
                        "readings",
                        new Json.Items(List.of(Json.fields()
                                .with("afterMs", new BigDecimal(60_000))
                                .with("diameterUm", new BigDecimal(30_000)))));
        MadeUpStudio studio =
                studio().with(new StudioView.Moment("e", "test.spread-measured", 1, 1, "", List.of("much"), before));
        Answer answer = ask(new OneMinuteSpread(), studio, "ink", "good", "one", "36");
        assertTrue(answer.toString().contains("Mix much") && answer.toString().contains("softer"), answer.toString());
        Answer.Proposed proposed = (Answer.Proposed) answer.blocks().stream()
                .filter(Answer.Proposed.class::isInstance)
                .findFirst()
                .orElseThrow();
        Json.Fields fields = proposed.entries().get(0).fields();
        assertEquals(
                "36000", fields.at("readings").items().get(0).at("diameterUm").text());
        assertEquals("115000", fields.at("loadMg").text());
    }

    /** FIT rows of the checks: the same readings give 1010, 147 and 90 Pa. */
    @Test
    void one_ink_by_three_models() {
        Answer answer = ask(
                new Viscometer(),
                studio(),
                "readings",
                "50; 1140\n100; 1930\n200; 3330\n400; 5870\n800; 10600\n1600; 19600\n2500; 29300");
        assertTrue(answer.toString().contains("1010"), answer.toString());
        assertTrue(answer.toString().contains("147.3") && answer.toString().contains("90.04"), answer.toString());
        assertEquals(0.8313034, quantity(answer, "Flow index").value(), 1e-6);
        assertThrows(BadInput.class, () -> ask(new Viscometer(), studio(), "readings", "50; -3\n60; 4"));
    }

    @Test
    void an_over_modified_ink_is_made_afresh() {
        Answer good = ask(new Modifiers(), studio(), "ink", "good");
        assertTrue(good.toString().contains("within what is usual"), good.toString());
        assertTrue(good.toString().contains("mask"), "dust");
        Answer much = ask(new Modifiers(), studio(), "ink", "much");
        assertTrue(much.toString().contains("start fresh"), much.toString());
        // 81 parts of base and 10 of blue are 89.01 and 10.99 of a hundred.
        assertTrue(much.toString().contains("89.01") && much.toString().contains("10.99"), much.toString());
        assertTrue(!ask(new Modifiers(), new MadeUpStudio().holding("mix", "pure", "pure", BLUE, 10), "ink", "pure")
                .toString()
                .contains("within"));
        assertThrows(BadInput.class, () -> ask(new Modifiers(), studio(), "ink", "nothing"));
    }

    private static StudioView.Moment compared(String first, String second, String stiffness, String length) {
        return new StudioView.Moment(
                "e" + first + second,
                "test.compared",
                1,
                1,
                "",
                List.of(first, second),
                Json.fields()
                        .with("vessel", first)
                        .with("against", second)
                        .with("stiffness", stiffness)
                        .with("length", length));
    }

    /** Good is stiffer than none, which is stiffer than much: so it is stiffer than much, which nobody held beside it. */
    @Test
    void a_chain_of_comparisons_tells_of_all() {
        MadeUpStudio studio = studio().with(compared("good", "none", "stiffer", "shorter"))
                .with(compared("none", "much", "stiffer", "same"));
        String said = ask(new BesideOthers(), studio, "ink", "good").toString();
        assertTrue(said.contains("Mix much, likely stiffer than it"), said);
        assertTrue(said.contains("caption=Length"), said);
        assertTrue(ask(new BesideOthers(), studio(), "ink", "good").toString().contains("never held beside"));
        studio.with(new StudioView.Path("p", 9, "x", "", "good", "", "mixed", java.util.Optional.empty()));
        assertTrue(ask(new BesideOthers(), studio, "ink", "good").toString().contains("may stand elsewhere"));
    }

    /** A spread of half a millilitre under 115 g, so wide that its yield stress is {@code pascals}. */
    private static StudioView.Moment spread(String vessel, long millis, double pascals) {
        return spread(vessel, millis, pascals, "20");
    }

    private static StudioView.Moment spread(String vessel, long millis, double pascals, String celsius) {
        double metres = Math.pow(48 * 0.115 * 9.80665 * 0.5e-6 / (Math.PI * Math.PI * pascals), 0.2);
        return new StudioView.Moment(
                vessel + millis,
                "test.spread-measured",
                1,
                millis,
                "",
                List.of(vessel),
                Json.fields()
                        .with("vessel", vessel)
                        .with("loadMg", new BigDecimal(115_000))
                        .with("volumeUl", new BigDecimal(500))
                        .with("celsius", celsius)
                        .with(
                                "readings",
                                new Json.Items(List.of(Json.fields()
                                        .with("afterMs", new BigDecimal(60_000))
                                        .with("diameterUm", BigDecimal.valueOf(Math.round(metres * 1e6)))))));
    }

    private static MadeUpStudio blend() {
        return studio().with(MAG)
                .with(new StudioView.Material("oil", "plate oil, thin", "varnish", ""))
                .with(spread("good", 2, 70))
                .with(spread("none", 1, 50));
    }

    @Test
    void inks_that_were_not_read_are_to_be_read_first() {
        Answer answer = ask(new SameBody(), studio().with(MAG), "one", "good", "other", "none");
        assertTrue(answer.toString().contains("First read a one-minute spread of Mix good and of Mix none"));
        assertEquals(
                2, answer.blocks().stream().filter(Answer.Ask.class::isInstance).count());
    }

    /** 70 Pa beside 50 Pa: 40 % apart. */
    @Test
    void the_softer_ink_gets_powder_or_the_stiffer_one_oil_in_a_small_step() {
        Answer answer = ask(new SameBody(), blend(), "one", "good", "other", "none");
        String said = answer.toString();
        assertTrue(said.contains("Mix good is 40 % stiffer than Mix none"), said);
        assertTrue(said.contains("this step is one to learn by"), said);
        double grams = quantity(answer, "Add").value();
        assertTrue(grams > 0.1 && grams < 4, "" + grams);
        double after = quantity(answer, "Stiffness after it").value();
        assertTrue(after > 50 && after < 70, "between both: " + after);
        assertTrue(said.contains("nothing here yet; an assumption"), said);
    }

    /** Three inks that became stiffer by e^0.4 with 2 %: 0.20 for each, where 0.12 ± 0.06 was believed; together 0.187. */
    @Test
    void what_other_inks_told_is_believed_before_the_trade() {
        MadeUpStudio studio = blend();
        for (String id : List.of("x", "y", "z")) {
            studio.then(1, filled(id, 0)).then(5, filled(id, 0.02)).with(filled(id, 0.02));
            studio.with(spread(id, 6, 50 * Math.exp(0.4))).with(spread(id, 2, 50));
        }
        Answer answer = ask(new SameBody(), studio, "one", "good", "other", "none");
        assertTrue(answer.toString().contains("3 inks of this studio"), answer.toString());
        assertTrue(answer.toString().contains("+19 %"), answer.toString());
        assertTrue(answer.toString().contains("The whole of it will take"), answer.toString());
    }

    /** Three readings at 0, 1 and 2 % on a line of 0.1 for each: 40 % are 0.336 / 0.1 of them, and Fieller's interval is narrow. */
    @Test
    void what_an_ink_tells_by_itself_stands_beside_it() {
        MadeUpStudio studio = studio().with(MAG);
        for (int i = 0; i < 3; i++) {
            studio.then(i * 10L, filled("good", i * 0.01));
            studio.with(spread("good", i * 10 + 1, 50 * Math.exp(0.1 * i + (i == 1 ? 0.001 : 0))));
        }
        studio.with(filled("good", 0.02)).with(spread("none", 40, 70)).with(spread("none", 41, 70));
        String said =
                ask(new SameBody(), studio, "one", "good", "other", "none").toString();
        assertTrue(said.contains("It would take 3.4 % of magnesium carbonate, between 3."), said);
        assertTrue(ask(new SameBody(), blend(), "one", "good", "other", "none")
                .toString()
                .contains("Too few trials: it was read 1 time"));
    }

    @Test
    void alike_is_said_when_it_is_sure_and_a_limit_never_passed() {
        MadeUpStudio once = studio().with(MAG).with(spread("good", 1, 60)).with(spread("none", 1, 60));
        String again = ask(new SameBody(), once, "one", "good", "other", "none").toString();
        assertTrue(again.contains("not told apart yet: read Mix"), again);
        MadeUpStudio alike = studio().with(MAG);
        for (int i = 1; i < 7; i++) {
            alike.with(spread("good", i, 60 + i % 2)).with(spread("none", i, 61 - i % 2));
        }
        String same = ask(new SameBody(), alike, "one", "good", "other", "none").toString();
        assertTrue(same.contains("They have the same body"), same);
        MadeUpStudio added = studio().with(MAG)
                .with(spread("none", 1, 50))
                .with(spread("good", 1, 70))
                .then(1, filled("good", 0))
                .with(filled("good", 0.02));
        String unread =
                ask(new SameBody(), added, "one", "good", "other", "none").toString();
        assertTrue(unread.contains("First read Mix good as it is now"), unread);
        MadeUpStudio over = new MadeUpStudio()
                .with(MAG)
                .with(mix("much", 0.09))
                .with(mix("good", 0.02))
                .with(spread("much", 1, 40))
                .with(spread("good", 2, 70));
        String stop = ask(new SameBody(), over, "one", "good", "other", "much").toString();
        assertTrue(stop.contains("Start fresh"), stop);
    }

    @Test
    void what_cannot_be_matched_is_refused_by_name() {
        assertThrows(BadInput.class, () -> ask(new SameBody(), blend(), "one", "good", "other", "good"));
        assertThrows(BadInput.class, () -> ask(new SameBody(), studio(), "one", "good", "other", "none"));
        assertThrows(
                BadInput.class, () -> ask(new SameBody(), blend(), "one", "good", "other", "none", "stiffener", "oil"));
    }

    /** One ink in the cold and in the warm, unchanged: 0.10 for each °C over 10 °C, against a belief of 0.07 ± 0.03. */
    @Test
    void how_much_softer_warmth_makes_is_learned() {
        MadeUpStudio studio = studio().with(spread("good", 2, 50 * Math.exp(-0.5), "25"))
                .with(spread("good", 1, 50 * Math.exp(0.5), "15"));
        Answer answer = ask(new OneMinuteSpread(), studio, "ink", "none", "one", "36", "celsius", "20");
        // Readings scatter by 5 %: 50 / 0.0025 against 1 / 0.0009.
        double learned = (0.07 / 0.0009 + 0.10 * 50 / 0.0025) / (1 / 0.0009 + 50 / 0.0025);
        assertEquals(0.0984, learned, 1e-4);
        assertTrue(answer.toString().contains("softer by 10 ± 1 %"), answer.toString());
        assertTrue(answer.toString().contains("measured here, on 1 ink"), answer.toString());
        MadeUpStudio apart =
                studio().with(MAG).with(spread("good", 9, 60, "15")).with(spread("none", 9, 60, "25"));
        String said = ask(new SameBody(), apart, "one", "good", "other", "none").toString();
        // Ten kelvins at ± 3 % for each, twice for k = 2.
        assertTrue(said.contains("were read 10 °C apart") && said.contains("unsure by 60 %"), said);
        assertTrue(said.contains("not told apart yet"), said);
    }

    @Test
    void silly_limits_and_rooms_are_named_with_their_range() {
        String powder = assertThrows(
                        BadInput.class,
                        () -> ask(new SameBody(), blend(), "one", "good", "other", "none", "most-stiffener", "90"))
                .getMessage();
        assertTrue(powder.contains("Stiffener, at most") && powder.contains("90") && powder.contains("15"), powder);
        String hot = assertThrows(
                        BadInput.class,
                        () -> ask(new OneMinuteSpread(), studio(), "ink", "good", "one", "36", "celsius", "200"))
                .getMessage();
        assertTrue(hot.contains("200") && hot.contains("120"), hot);
        // A limit of one's own is kept too.
        double grams = quantity(
                        ask(
                                new SameBody(),
                                blend(),
                                "one",
                                "good",
                                "other",
                                "none",
                                "most-stiffener",
                                "0.5",
                                "most-oil",
                                "0.5"),
                        "Add")
                .value();
        assertTrue(grams <= Matching.grams(100, 0, 0.5) + 5e-4, "" + grams);
    }

    @Nested
    class MatchIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new SameBody();
        }

        @Override
        protected StudioView studio() {
            return blend();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("one", "good", "other", "none");
        }
    }

    @Nested
    class BesideIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new BesideOthers();
        }

        @Override
        protected StudioView studio() {
            return KnifeTest.studio().with(compared("good", "none", "stiffer", "same"));
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("ink", "good");
        }
    }

    @Nested
    class SpreadIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new OneMinuteSpread();
        }

        @Override
        protected StudioView studio() {
            return KnifeTest.studio();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("ink", "good", "one", "36", "late", "38");
        }
    }

    @Nested
    class CurveIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new Viscometer();
        }

        @Override
        protected StudioView studio() {
            return KnifeTest.studio();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("readings", "50; 1140\n100; 1930");
        }
    }

    @Nested
    class ModifiersAreChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new Modifiers();
        }

        @Override
        protected StudioView studio() {
            return KnifeTest.studio();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("ink", "much");
        }
    }
}
