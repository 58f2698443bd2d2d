package slabside.rolled;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.Test;
import slabside.body.Rolling;
import slabside.kit.Asked;
import slabside.kit.MadeUpStudio;
import slabside.kit.PluginCheck;
import slabside.looks.Known;
import slabside.looks.Mixed;
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

    private static MadeUpStudio inks() {
        return studio().holding("mix", "green", "Green", new StudioView.Material("g", "green", "ink", "#2f7f5f"), 40)
                .holding("mix", "violet", "Violet", new StudioView.Material("v", "violet", "ink", "#5f3f8f"), 40)
                .holding("mix", "red", "Red", new StudioView.Material("r", "red", "ink", "#bf3f3f"), 40);
    }

    /** Of a normal transition 90 % are one ink 1.2816 standard deviations before its middle (table of the normal distribution). */
    @Test
    void inks_share_the_roller_from_left_to_right() {
        List<Mixed> two = List.of(Mixed.of("green", "ink", inks()), Mixed.of("violet", "ink", inks()));
        BlendAcross blend = new BlendAcross(two, 400, 20, 0, 3, Known.white(0.85));
        assertEquals(0.5, blend.shares(200)[0], 1e-12);
        assertEquals(0.9, blend.shares(200 - 20 * 1.2815515655446004)[0], 1e-9);
        assertEquals(0.1, blend.shares(200 + 20 * 1.2815515655446004)[0], 1e-9);
        BlendAcross moved = new BlendAcross(two, 400, 20, 15, 3, Known.white(0.85));
        assertEquals(0.5, moved.shares(215)[0], 1e-12);
        BlendAcross three = new BlendAcross(
                List.of(two.get(0), two.get(1), Mixed.of("red", "ink", inks())), 390, 30, 0, 3, Known.white(0.85));
        for (double at = 0; at <= 390; at += 13) {
            assertEquals(1, Arrays.stream(three.shares(at)).sum(), 1e-12);
        }
        assertTrue(three.shares(195)[1] > 0.9, "the middle is the middle ink's");
    }

    @Test
    void a_roller_of_nothing_is_refused_by_name() {
        String none = assertThrows(
                        BadInput.class,
                        () -> ask(new RollerAndImage(), "length", "50 cm", "width", "30 cm", "diameter", "0"))
                .getMessage();
        assertTrue(none.contains("diameter") && none.contains("\"0"), none);
    }

    @Test
    void the_blend_is_drawn_at_pulls_1_10_and_30() throws IOException {
        Answer answer =
                Asked.of(new BlendHolds(), inks(), "left", "green", "right", "violet", "widest", "80", "drift", "1.5");
        List<Answer.Picture> drawn = answer.blocks().stream()
                .filter(Answer.Picture.class::isInstance)
                .map(Answer.Picture.class::cast)
                .toList();
        assertEquals(3, drawn.size());
        assertTrue(drawn.get(2).caption().contains("has moved 44 mm to the right"), drawn.toString());
        BufferedImage first =
                ImageIO.read(new ByteArrayInputStream(drawn.get(0).image().bytes()));
        int left = first.getRGB(4, 10);
        int right = first.getRGB(first.getWidth() - 4, 10);
        assertTrue((left >> 8 & 255) > (left & 255), "green at the left");
        assertTrue((right >> 8 & 255) < (right & 255), "violet at the right");
        // 20 mm at 1.5 mm a pull: pull 15 is off by 21.
        assertTrue(answer.toString().contains("From pull 15 on the band has moved too far"), answer.toString());
        assertThrows(BadInput.class, () -> Asked.of(new BlendHolds(), inks(), "left", "green", "widest", "80"));
        assertTrue(Asked.of(new BlendHolds(), inks(), "widest", "80", "drift", "0.000000001")
                .toString()
                .contains("stays as narrow"));
    }

    /** The middle moves 0.9 mm a pull and is set back at pull 5. */
    @Test
    void how_far_the_middle_moves_is_learned_from_a_run() {
        List<StudioView.PullRow> pulls = new ArrayList<>();
        for (int i = 0; i < 12; i++) {
            pulls.add(MadeUpStudio.pull(i + 1, i, Map.of("blend midpoint, mm", 190 + 0.9 * (i % 5))));
        }
        MadeUpStudio studio = inks().with(MadeUpStudio.run("blend", "Blend", pulls))
                .with(MadeUpStudio.run("bare", "Bare", List.of(MadeUpStudio.pull(1, 1, Map.of()))));
        Answer answer = Asked.of(new BlendHolds(), studio, "widest", "300", "run", "blend");
        assertEquals(0.9, Asked.quantity(answer, "The middle moves").value(), 1e-9);
        assertTrue(answer.toString().contains("measured in Blend"), answer.toString());
        assertThrows(BadInput.class, () -> Asked.of(new BlendHolds(), studio, "widest", "300", "run", "bare"));
    }

    /** Charged so seldom the film stays within a tenth, and one pull later it does not: a longer look at the recurrence itself. */
    @Test
    void how_seldom_it_may_be_charged() {
        int seldom = (int) quantity(film(), "Charge at the latest");
        assertEquals(seldom, (int) quantity(film("feed", "0.1"), "Charge at the latest"), "whatever is fed otherwise");
        Rolling rolling = new Rolling(0.3, Math.PI * 0.11 * 0.36, 0.07, 4, 6, 0.5);
        for (int every : new int[] {seldom, seldom + 1}) {
            Rolling.State state = rolling.steady(0.175 / 0.3);
            double worst = 0;
            for (int pull = 0; pull < 40 * every; pull++) {
                state = rolling.next(state, pull % every == 0 ? 0.175 * every / 0.3 : 0);
                worst = pull < 30 * every ? 0 : Math.max(worst, Math.abs(state.printed() / 2.5 - 1));
            }
            assertEquals(every == seldom, worst <= 0.1, every + " pulls: " + worst);
        }
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
