package slabside.planning;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.Test;
import slabside.kit.Asked;
import slabside.kit.MadeUpStudio;
import slabside.kit.PluginCheck;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Json;
import slabside.plugin.StudioView;

/** Layers and when they were dry, in a studio made up here. */
class DryEnoughTest {
    private static final long HOUR = 3_600_000;

    private static StudioView.RunRecord layer(String id, double drier, double base, double celsius, String... faults) {
        StudioView.PullRow pull = MadeUpStudio.pull(1, 1, Map.of());
        StudioView.PullRow loaded = new StudioView.PullRow(
                pull.event(),
                id.equals("above") ? 60 * HOUR : 0,
                1,
                pull.sheet(),
                pull.grade(),
                false,
                pull.passes(),
                List.of(faults),
                pull.readings(),
                "",
                "",
                List.of(new StudioView.OnLoad(14, Map.of("base", base / 100, "drier", drier / 100), Map.of())),
                "",
                Optional.empty());
        return new StudioView.RunRecord(
                id,
                "Layer " + id,
                "e",
                "flat",
                false,
                Map.of(),
                List.of(),
                List.of(loaded),
                List.of(new StudioView.Happening("h" + id, 1, "press.read", 1, "", "", -1, Map.of("°C", celsius))),
                List.of());
    }

    private static StudioView.Moment judged(String run, int hours, String word) {
        return new StudioView.Moment(
                run + hours,
                "test.dryness-judged",
                1,
                hours * HOUR,
                "",
                List.of(run),
                Json.fields().with("of", run).with("dryness", word));
    }

    private static MadeUpStudio studio() {
        return new MadeUpStudio()
                .material("b", "base", "base")
                .material("d", "drier", "drier")
                .with(layer("plain", 0, 60, 20))
                .with(layer("cold", 0, 60, 10))
                .with(layer("dried", 3, 60, 20))
                .with(layer("above", 0, 60, 20, "refusal"))
                .with(new StudioView.RunRecord(
                        "empty", "Empty", "", "", true, Map.of(), List.of(), List.of(), List.of(), List.of()));
    }

    private static double earliest(StudioView studio, String run) {
        return Asked.quantity(Asked.of(new DryEnough(), studio, "run", run), "Earliest sensible")
                .value();
    }

    /** Twice as long for 10 °C less; e^1.0 times faster with 3 % of drier, of which 2.5 count: what is assumed, worked by hand. */
    @Test
    void warmth_and_drier_count() {
        double plain = earliest(studio(), "plain");
        assertEquals(2 * plain, earliest(studio(), "cold"), 1.5);
        assertEquals(plain / Math.exp(1.0), earliest(studio(), "dried"), 1);
        assertTrue(
                Asked.of(new DryEnough(), studio(), "run", "dried").toString().contains("refuses the next ink"));
        assertEquals(
                plain,
                Asked.quantity(Asked.of(new DryEnough(), studio(), "run", "cold", "celsius", "20"), "Earliest sensible")
                        .value());
    }

    @Test
    void what_was_judged_here_moves_it() {
        double before = earliest(studio(), "plain");
        MadeUpStudio slow = studio();
        for (String run : List.of("cold", "dried", "above")) {
            slow.with(judged(run, 200, "tacky"));
        }
        assertTrue(earliest(slow, "plain") > before + 20, "all were slow");
        MadeUpStudio own = studio().with(judged("plain", 90, "set"));
        Answer waited = Asked.of(new DryEnough(), own, "run", "plain", "hours", "95");
        assertTrue(Asked.quantity(waited, "Earliest sensible").value() > 90, waited.toString());
        assertTrue(Asked.quantity(waited, "Chance that it is dry now").value() < 50, waited.toString());
        assertTrue(Asked.of(new DryEnough(), studio().with(judged("plain", 26, "rub-dry")), "run", "plain")
                .toString()
                .contains("judged rub-dry 26 h after"));
    }

    /** Judged dry and then tacky: the last word counts. A run that went on later is another layer. */
    @Test
    void the_last_word_and_the_last_pull_count() {
        String said = Asked.of(
                        new DryEnough(),
                        studio().with(judged("plain", 10, "rub-dry")).with(judged("plain", 24, "tacky")),
                        "run",
                        "plain")
                .toString();
        assertTrue(!said.contains("judged rub-dry") && said.contains("given that it was not yet"), said);
        StudioView.RunRecord first = layer("plain", 0, 60, 20);
        StudioView.PullRow later = layer("above", 0, 60, 20).pulls().get(0);
        MadeUpStudio twice = studio().with(new StudioView.RunRecord(
                        "plain",
                        "Layer plain",
                        "e",
                        "flat",
                        false,
                        Map.of(),
                        List.of(),
                        List.of(first.pulls().get(0), later),
                        List.of(),
                        List.of()))
                .with(judged("plain", 50, "rub-dry"));
        String second = Asked.of(new DryEnough(), twice, "run", "plain").toString();
        assertTrue(second.contains("Sensible from about"), "what was printed at 60 h is wet still: " + second);
    }

    @Test
    void what_is_not_known_is_not_called_nothing() {
        MadeUpStudio studio =
                studio().with(MadeUpStudio.run("bare", "Bare", List.of(MadeUpStudio.pull(1, 1, Map.of()))));
        String said = Asked.of(new DryEnough(), studio, "run", "bare").toString();
        assertTrue(said.contains("What is in it is not written down") && !said.contains("Drier in it"), said);
    }

    @Test
    void what_was_printed_over_stands_as_evidence() {
        MadeUpStudio studio = new MadeUpStudio();
        studio.with(layer("plain", 0, 60, 20)).with(layer("above", 0, 60, 20, "refusal"));
        studio.with("edition", "e", "Edition");
        String said = Asked.of(new DryEnough(), studio, "run", "plain").toString();
        assertTrue(said.contains("Layer plain, Layer above, 60, refusal on 1 (over-dried?)"), said);
    }

    @Test
    void what_cannot_be_is_refused() {
        assertThrows(BadInput.class, () -> Asked.of(new DryEnough(), studio(), "run", "empty"));
        assertThrows(BadInput.class, () -> Asked.of(new DryEnough(), studio(), "run", "plain", "celsius", "60"));
        assertThrows(BadInput.class, () -> Asked.of(new DryEnough(), studio(), "run", "plain", "hours", "0"));
    }

    @Nested
    class DryIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new DryEnough();
        }

        @Override
        protected StudioView studio() {
            return DryEnoughTest.studio().with(judged("cold", 40, "rub-dry"));
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("run", "plain");
        }
    }
}
