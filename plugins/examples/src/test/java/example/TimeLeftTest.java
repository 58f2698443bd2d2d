// region test
package example;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import slabside.kit.MadeUpStudio;
import slabside.kit.PluginCheck;
import slabside.plugin.Calculator;
import slabside.plugin.StudioView;

class TimeLeftTest extends PluginCheck {
    @Override
    protected Calculator plugin() {
        return new TimeLeft();
    }

    /** Pulls at 0, 4, 9 and 15 minutes: 4, 5 and 6 minutes apart. */
    @Override
    protected StudioView studio() {
        List<StudioView.PullRow> pulls = List.of(
                MadeUpStudio.pull(1, 0, Map.of()),
                MadeUpStudio.pull(2, 4 * 60_000, Map.of()),
                MadeUpStudio.pull(3, 9 * 60_000, Map.of()),
                MadeUpStudio.pull(4, 15 * 60_000, Map.of()));
        return new MadeUpStudio().with(MadeUpStudio.run("run-1", "First run", pulls));
    }

    @Override
    protected Map<String, String> replies() {
        return Map.of("run", "run-1", "sheets", "12");
    }

    @Test
    void twelve_sheets_at_five_minutes_take_an_hour() {
        assertEquals(60, quantity(answer(), "Still to come"), 1e-9);
    }
}
// endregion
