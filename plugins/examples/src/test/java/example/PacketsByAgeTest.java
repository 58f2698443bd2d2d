package example;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import slabside.kit.MadeUpStudio;
import slabside.kit.PluginCheck;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Json;
import slabside.plugin.StudioView;

class PacketsByAgeTest extends PluginCheck {
    private static final StudioView.Material BASE = new StudioView.Material("base", "transparent base", "base", "");

    @Override
    protected Calculator plugin() {
        return new PacketsByAge();
    }

    @Override
    protected StudioView studio() {
        return new MadeUpStudio()
                .holding("packet", "packet-1", "Young", BASE, 20)
                .holding("packet", "packet-2", "Old", BASE, 12.5)
                .holding("packet", "packet-3", "Empty", BASE, 0)
                .with(wrapped("packet-1", LocalDate.of(2026, 5, 30)))
                .with(wrapped("packet-2", LocalDate.of(2026, 5, 1)));
    }

    private static StudioView.Moment wrapped(String packet, LocalDate day) {
        long millis = day.atTime(18, 0).toInstant(ZoneOffset.UTC).toEpochMilli();
        return new StudioView.Moment(
                "event of " + packet, "ink.wrapped", 1, millis, "wrapped", List.of(packet), Json.fields());
    }

    @Override
    protected Map<String, String> replies() {
        return Map.of("day", "2026-06-01");
    }

    @Test
    void the_oldest_stands_first_and_an_empty_one_not_at_all() {
        Answer.Table table = (Answer.Table) answer().blocks().get(0);
        assertEquals(
                List.of(
                        List.of("Old", "31", "12.5", "transparent base"),
                        List.of("Young", "2", "20.0", "transparent base")),
                table.rows());
    }
}
