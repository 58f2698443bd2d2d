package slabside.knife;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.Test;
import slabside.kit.Asked;
import slabside.kit.MadeUpStudio;
import slabside.kit.PluginCheck;
import slabside.measure.BadInput;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Json;
import slabside.plugin.StudioView;

/** Ridges, heaps, strings, tack and discs, on a studio made up here. */
class TriedByHandTest {
    private static final StudioView.Material BLUE = new StudioView.Material("blue", "blue", "ink", "");
    private static final StudioView.Material REDUCER = new StudioView.Material("tr", "reducer", "tack reducer", "");

    private static MadeUpStudio studio() {
        return new MadeUpStudio().holding("mix", "ink", "Blue", BLUE, 40).holding("mix", "other", "Other", BLUE, 40);
    }

    private static Answer ask(Calculator calculator, String... replies) {
        return Asked.of(calculator, studio(), replies);
    }

    private static double pascals(Answer answer) {
        return Asked.quantity(answer, "Yield stress").value();
    }

    /** RIDGE-T2, RIDGE-M2, SLUMP-I1, SLOPE-2 and POOL-1 of the checks (Pashias 1996; Coussot and Boyer 1995; Roussel and Coussot 2005). */
    @Test
    void published_values_under_its_own_weight() {
        Answer ridge = ask(new OwnWeight(), "ink", "ink", "how", "ridge", "height", "10 mm");
        assertEquals(51.48491, Asked.quantity(ridge, "Yield stress, at least").value(), 1e-4);
        assertEquals(59.44966, Asked.quantity(ridge, "The same by von Mises").value(), 1e-4);
        Answer slump = ask(new OwnWeight(), "ink", "ink", "how", "slump", "height", "20 mm", "sank", "6 mm");
        assertEquals(34.36666, pascals(slump), 34.4e-4);
        assertEquals(
                10.29698,
                Asked.quantity(
                                ask(
                                        new OwnWeight(),
                                        "ink",
                                        "ink",
                                        "how",
                                        "tilted glass",
                                        "height",
                                        "2 mm",
                                        "tilt",
                                        "30"),
                                "Yield stress, at most")
                        .value(),
                1e-4);
        assertEquals(
                1.886759,
                Asked.quantity(
                                ask(new OwnWeight(), "ink", "ink", "how", "pool", "volume", "5", "across", "60 mm"),
                                "Yield stress, at most")
                        .value(),
                1e-4);
    }

    @Test
    void low_ones_are_bounds_only() {
        assertTrue(
                ask(new OwnWeight(), "ink", "ink", "height", "2 mm").toString().contains("surface tension"));
        assertTrue(
                !ask(new OwnWeight(), "ink", "ink", "height", "8 mm").toString().contains("surface tension"));
    }

    @Test
    void silly_lengths_are_refused_by_name() {
        assertThrows(BadInput.class, () -> ask(new OwnWeight(), "ink", "ink"));
        assertThrows(BadInput.class, () -> ask(new OwnWeight(), "ink", "ink", "height", "9 m"));
        String sank = assertThrows(
                        BadInput.class,
                        () -> ask(new OwnWeight(), "ink", "ink", "how", "slump", "height", "20 mm", "sank", "30 mm"))
                .getMessage();
        assertTrue(sank.contains("It sank by") && sank.contains("more than its height"), sank);
        String pool = assertThrows(
                        BadInput.class,
                        () -> ask(new OwnWeight(), "ink", "ink", "how", "pool", "volume", "5", "across", "10 mm"))
                .getMessage();
        assertTrue(pool.contains("heap"), pool);
        // One that hardly sank, and one that sank whole, are bounds.
        assertTrue(Asked.quantity(
                                ask(new OwnWeight(), "ink", "ink", "how", "slump", "height", "20 mm", "sank", "0.3 mm"),
                                "Yield stress, at least")
                        .value()
                > 70);
        assertTrue(Asked.quantity(
                                ask(new OwnWeight(), "ink", "ink", "how", "slump", "height", "20 mm", "sank", "20 mm"),
                                "Yield stress, at most")
                        .value()
                < 2);
    }

    private static StudioView.Moment strings(String vessel, int... millimetres) {
        List<Json> lengths = new ArrayList<>();
        for (int each : millimetres) {
            lengths.add(new Json.Number(new BigDecimal(each * 1000)));
        }
        return new StudioView.Moment(
                "s" + vessel,
                "test.string-measured",
                1,
                1,
                "",
                List.of(vessel),
                Json.fields().with("vessel", vessel).with("lengthsUm", new Json.Items(lengths)));
    }

    /** Five against five without an overlap: 2 of 252 orders, p = 0.008 (table of Mann and Whitney). */
    @Test
    void strings_are_compared_with_strings() {
        MadeUpStudio studio =
                studio().with(strings("other", 20, 21, 22, 23, 24)).with(strings("ink", 31, 40, 44, 52, 60));
        Answer answer = Asked.of(new Strings(), studio, "ink", "ink", "lengths", "30\n41\n44\n50\n61");
        assertEquals(44, Asked.quantity(answer, "Median").value());
        assertTrue(answer.toString().contains("Other, 22, 5, longer"), answer.toString());
        assertTrue(answer.toString().contains("this one, before), 44, 5, not told apart"), answer.toString());
        assertThrows(BadInput.class, () -> ask(new Strings(), "ink", "ink", "lengths", "30\n41"));
        assertThrows(BadInput.class, () -> ask(new Strings(), "ink", "ink", "lengths", "30\n41\n0\n50\n61"));
    }

    private static StudioView.Composition with(double reducer) {
        return new StudioView.Composition(
                "ink",
                "Blue",
                new Uncertain(40, 0),
                List.of(
                        new StudioView.Share(BLUE, new Uncertain(1 - reducer, 0), new Uncertain(40, 0)),
                        new StudioView.Share(REDUCER, new Uncertain(reducer, 0), new Uncertain(1, 0))),
                List.of());
    }

    /** modifier_ordinal_tack of the checks of statistics has marks of this kind; here: fewer, and only their direction. */
    @Test
    void what_a_tack_reducer_does_to_the_words() {
        MadeUpStudio studio = studio();
        String[] words = {
            "high", "high", "high", "middle", "high", "middle", "middle", "low", "middle", "low", "low", "low"
        };
        for (int i = 0; i < words.length; i++) {
            studio.then(i, with(i * 0.004));
            studio.with(new StudioView.Moment(
                    "t" + i,
                    "test.tack-judged",
                    1,
                    i,
                    "",
                    List.of("ink"),
                    Json.fields().with("vessel", "ink").with("tack", words[i])));
        }
        Answer answer = Asked.of(new TackJudged(), studio);
        assertTrue(answer.toString().contains("lowers the marks"), answer.toString());
        Answer one = Asked.of(new TackJudged(), studio, "ink", "other");
        assertTrue(one.toString().contains("never judged of Other"), one.toString());
        assertTrue(ask(new TackJudged()).toString().contains("never judged"));
        MadeUpStudio few = studio().with(new StudioView.Moment(
                "t",
                "test.tack-judged",
                1,
                1,
                "",
                List.of("ink"),
                Json.fields().with("vessel", "ink").with("tack", "high")));
        few.then(0, with(0.01));
        assertTrue(Asked.of(new TackJudged(), few).toString().contains("Too few trials"));
    }

    /** Worked by hand: 30 mm, 0.05 ml is 70.74 µm; 1 N for 10 s is 4·1·70.74e-6²·10/(3π·0.015⁴) = 0.4195 Pa·s. */
    @Test
    void a_disc_that_comes_off() {
        Answer answer = ask(new PullOff(), "disc", "30 mm", "volume", "0.05", "pull", "101.972", "seconds", "10");
        assertEquals(70.7355, Asked.quantity(answer, "Film under the disc").value(), 1e-3);
        assertEquals(
                0.41948,
                Asked.quantity(answer, "Viscosity that would take so long").value(),
                1e-4);
        assertThrows(
                BadInput.class,
                () -> ask(new PullOff(), "disc", "10 mm", "volume", "5", "pull", "100", "seconds", "10"));
        assertThrows(
                BadInput.class, () -> ask(new PullOff(), "disc", "2 m", "volume", "5", "pull", "100", "seconds", "10"));
    }

    @Nested
    class OwnWeightIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new OwnWeight();
        }

        @Override
        protected StudioView studio() {
            return TriedByHandTest.studio();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("ink", "ink", "height", "10 mm");
        }
    }

    @Nested
    class StringsAreChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new Strings();
        }

        @Override
        protected StudioView studio() {
            return TriedByHandTest.studio().with(strings("other", 20, 21, 22, 23, 24));
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("ink", "ink", "lengths", "30\n41\n44\n50\n61");
        }
    }

    @Nested
    class TackIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new TackJudged();
        }

        @Override
        protected StudioView studio() {
            return TriedByHandTest.studio();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("ink", "ink");
        }
    }

    @Nested
    class DiscIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new PullOff();
        }

        @Override
        protected StudioView studio() {
            return TriedByHandTest.studio();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("disc", "30 mm", "volume", "0.05", "pull", "100", "seconds", "10");
        }
    }
}
