package PACKAGE;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Map;
import org.junit.jupiter.api.Test;
import slabside.kit.PluginCheck;
import slabside.plugin.Calculator;

class CLASSTest extends PluginCheck {
    @Override
    protected Calculator plugin() {
        return new CLASS();
    }

    @Override
    protected Map<String, String> replies() {
        return Map.of("ink", "60", "sheets", "40");
    }

    @Test
    void sixty_grams_on_forty_sheets_are_one_and_a_half_each() {
        assertEquals(1.5, quantity(answer(), "For each sheet"), 1e-9);
    }
}
