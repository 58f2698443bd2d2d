package slabside.swatch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Map;
import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.Test;
import slabside.kit.Asked;
import slabside.kit.MadeUpStudio;
import slabside.kit.PluginCheck;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.StudioView;

/** A drawing of which a quarter is drawn on. */
class HowMuchIsDrawnTest {
    private static String picture(int ink) {
        int[] rgb = new int[400 * 300];
        for (int i = 0; i < rgb.length; i++) {
            int x = i % 400;
            int y = i / 400;
            int paper = 250 - x / 5;
            rgb[i] = x >= 100 && x < 300 && y >= 75 && y < 225 ? ink : paper << 16 | paper << 8 | paper;
        }
        return PictureRead.png("drawing.png", 400, 300, rgb).toString();
    }

    private static Answer ask(String... replies) {
        return Asked.of(new HowMuchIsDrawn(), new MadeUpStudio(), replies);
    }

    private static double quantity(Answer answer, String label) {
        return Asked.quantity(answer, label).value();
    }

    @Test
    void a_quarter_is_drawn_on_and_takes_its_grams() {
        Answer answer = ask("picture", picture(0x303030), "outline", "40 x 50 cm", "film", "3");
        assertEquals(25, quantity(answer, "Drawn on"), 1.5);
        // 0.2 m² × 0.25 × 3 g/m².
        assertEquals(0.15, quantity(answer, "Ink for a print"), 0.01);
        assertTrue(answer.blocks().stream().anyMatch(Answer.Picture.class::isInstance));
        assertEquals(0, quantity(ask("picture", picture(0x303030), "threshold", "5"), "Drawn on"), 0.1);
        assertTrue(ask("picture", PictureRead.png("white.png", 30, 30, white()).toString())
                .toString()
                .contains("margin of bare"));
    }

    private static int[] white() {
        int[] rgb = new int[900];
        java.util.Arrays.fill(rgb, 0xf4f4f4);
        return rgb;
    }

    @Nested
    class AsAPlugin extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new HowMuchIsDrawn();
        }

        @Override
        protected StudioView studio() {
            return new MadeUpStudio();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("picture", picture(0x303030), "outline", "40 x 50 cm");
        }
    }
}
