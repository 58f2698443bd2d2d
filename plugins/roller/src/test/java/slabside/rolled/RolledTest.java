package slabside.rolled;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.math.BigDecimal;
import java.util.List;
import java.util.Map;
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

/** Rollers, films and blends, on a studio made up here. */
class RolledTest {
    private static StudioView.Moment roller(String name, int millimetres, int face) {
        return new StudioView.Moment(
                "e" + name,
                "shelf.tool-listed",
                1,
                1,
                "",
                List.of(name),
                Json.fields()
                        .with("kind", "roller")
                        .with("name", name)
                        .with("diameterUm", new BigDecimal(millimetres * 1000))
                        .with("widthUm", new BigDecimal(face * 1000)));
    }

    private static MadeUpStudio studio() {
        return new MadeUpStudio().with(roller("small", 110, 360)).with(roller("large", 200, 600));
    }

    private static Answer ask(Calculator calculator, String... replies) {
        return Asked.of(calculator, studio(), replies);
    }

    private static double quantity(Answer answer, String label) {
        return Asked.quantity(answer, label).value();
    }

    /** REV-1 of the checks: 0.5 m by a roller of 11 cm are 1.446863 turns. 20 cm make 63 cm (FORMULAS, rollers). */
    @Test
    void rollers_that_cover_an_image() {
        Answer answer = ask(new RollerAndImage(), "length", "50 cm", "width", "38 cm");
        assertTrue(answer.toString().contains("in one turn and one width: large"), answer.toString());
        assertTrue(answer.toString().contains("1.45") && answer.toString().contains("after 346 mm"), answer.toString());
        assertTrue(answer.toString().contains("2 side by side"), answer.toString());
        assertTrue(ask(new RollerAndImage(), "length", "70 cm", "width", "38 cm")
                .toString()
                .contains("None of these"));
        assertThrows(
                BadInput.class,
                () -> ask(new RollerAndImage(), "length", "50 cm", "width", "38 cm", "diameter", "200 cm"));
        assertThrows(
                BadInput.class, () -> ask(new RollerAndImage(), "length", "50 cm", "width", "38 cm", "diameter", "0"));
    }

    private static final String[] PRESS = {
        "rolled",
        "3000 cm2",
        "diameter",
        "11 cm",
        "face",
        "36 cm",
        "image",
        "1000 cm2",
        "coverage",
        "70",
        "turns",
        "4",
        "passes",
        "6",
        "film",
        "2.5",
        "every",
        "1",
        "pulls",
        "60"
    };

    private static Answer film(String... more) {
        String[] all = java.util.Arrays.copyOf(PRESS, PRESS.length + more.length);
        System.arraycopy(more, 0, all, PRESS.length, more.length);
        return ask(new FilmPullByPull(), all);
    }

    /** CYC-P1, S1 and R1 of the checks: 2.5 g/m² want 0.175 g a pull and lie at 6.42 on the slab and 5.00 on the roller. */
    @Test
    void what_holds_a_film_steady() {
        Answer answer = film();
        assertEquals(0.175, quantity(answer, "Feed that holds it"), 1e-9);
        assertEquals(6.421888 * 0.3 + 5.000427 * 0.1244, quantity(answer, "Charge slab and roller with"), 0.01);
        assertEquals(48, quantity(answer, "Pulls until a start has worn off"), 1);
        // A slab charged with what lies there when nothing drifts begins near what is wanted.
        Answer steady = film("slab", "2.55");
        assertTrue(steady.toString().contains("holds within a tenth"), steady.toString());
        assertTrue(film("slab", "15").toString().contains("the film lies between"), "a heavy start drifts");
        assertThrows(BadInput.class, () -> film("slab", "0"));
        assertThrows(
                BadInput.class,
                () -> ask(
                        new FilmPullByPull(),
                        "rolled",
                        "10 cm2",
                        "diameter",
                        "11 cm",
                        "face",
                        "36 cm",
                        "image",
                        "1000 cm2"));
    }

    /** BLEND-W1 of the checks: 20 strokes of 3 mm make 17.19 mm from 10 to 90 %. */
    @Test
    void a_blend_widens_until_it_is_set_up_anew() {
        Answer answer = ask(
                new BlendHolds(),
                "strokes",
                "20",
                "shift",
                "3",
                "each",
                "2",
                "fresh",
                "0",
                "widest",
                "25",
                "pulls",
                "40");
        assertEquals(17.2, quantity(answer, "Width at pull 1"), 0.05);
        assertTrue(answer.toString().contains("scrape the slab"), answer.toString());
        assertTrue(ask(new BlendHolds(), "strokes", "20", "shift", "3", "widest", "300")
                .toString()
                .contains("stays as narrow"));
        assertTrue(ask(new BlendHolds(), "strokes", "200", "shift", "9", "widest", "20")
                .toString()
                .contains("too wide with the first pull"));
    }

    @Nested
    class RollerIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new RollerAndImage();
        }

        @Override
        protected StudioView studio() {
            return RolledTest.studio();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("length", "50 cm", "width", "38 cm", "diameter", "15 cm");
        }
    }

    @Nested
    class FilmIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new FilmPullByPull();
        }

        @Override
        protected StudioView studio() {
            return RolledTest.studio();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("rolled", "3000 cm2", "diameter", "11 cm", "face", "36 cm", "image", "1000 cm2");
        }
    }

    @Nested
    class BlendIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new BlendHolds();
        }

        @Override
        protected StudioView studio() {
            return RolledTest.studio();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("widest", "60");
        }
    }
}
