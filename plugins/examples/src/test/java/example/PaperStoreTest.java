package example;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.math.BigDecimal;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import slabside.kit.MadeUpStudio;
import slabside.kit.PluginCheck;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Json;
import slabside.plugin.StudioView;

class PaperStoreTest extends PluginCheck {
    @Override
    protected Calculator plugin() {
        return new PaperStore();
    }

    @Override
    protected StudioView studio() {
        return new MadeUpStudio()
                .with(read(
                        1,
                        1_000,
                        Json.fields().with("humidity", new BigDecimal("61")).with("fahrenheit", new BigDecimal("68"))))
                .with(read(
                        2,
                        2_000,
                        Json.fields().with("humidity", new BigDecimal("52")).with("celsius", new BigDecimal("19"))));
    }

    private static StudioView.Moment read(int version, long millis, Json.Fields fields) {
        return new StudioView.Moment(
                "event " + millis, "plugin.paper-store.read", version, millis, "read", List.of(), fields);
    }

    @Override
    protected Map<String, String> replies() {
        return Map.of("humidity", "48", "temperature", "18.5");
    }

    @Test
    void past_readings_are_shown_and_the_new_one_is_proposed() {
        Answer answer = answer();
        assertEquals(2, quantity(answer, "readings before this one"));
        Answer.Chart chart = (Answer.Chart) answer.blocks().get(1);
        assertEquals(List.of(new Answer.Point(1, 61), new Answer.Point(2, 52)), chart.points());
        Answer.Proposal entry =
                ((Answer.Proposed) answer.blocks().get(2)).entries().get(0);
        assertEquals("plugin.paper-store.read", entry.type());
        assertEquals("read the paper store: 48 %RH at 18.5 °C", entry.words());
    }

    @Test
    void an_entry_of_the_first_version_is_brought_up_to_the_second() {
        assertEquals(
                20,
                studio().events(new PaperStoreRead())
                        .get(0)
                        .fields()
                        .at("celsius")
                        .number()
                        .orElseThrow(),
                1e-9);
    }
}
