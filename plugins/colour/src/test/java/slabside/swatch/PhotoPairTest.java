package slabside.swatch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.Test;
import slabside.colour.CieLab;
import slabside.colour.Srgb;
import slabside.kit.MadeUpStudio;
import slabside.kit.PluginCheck;
import slabside.looks.ReadFilm;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** Photos drawn here of two known colours and a card, under lamps of known tint. */
class PhotoPairTest {
    private static final String PLACES = "grey card 15 50; OK proof 50 50; new dab 85 50";

    /** Three patches side by side, each times the lamp, with some noise. */
    private static String photo(String proof, String dab, double[] lamp, double noise) {
        Random random = new Random(11);
        double[][] light = new double[3][3];
        for (int c = 0; c < 3; c++) {
            light[0][c] = 0.18;
            light[1][c] = Srgb.linear(channel(proof, c) / 255.0);
            light[2][c] = Srgb.linear(channel(dab, c) / 255.0);
        }
        int[] rgb = new int[300 * 100];
        for (int i = 0; i < rgb.length; i++) {
            int patch = i % 300 / 100;
            for (int c = 0; c < 3; c++) {
                double value = light[patch][c] * lamp[c] * (1 + noise * random.nextGaussian());
                double encoded = value <= 0.0031308 ? 12.92 * value : 1.055 * Math.pow(value, 1 / 2.4) - 0.055;
                rgb[i] |= (int) Math.round(255 * Math.max(0, Math.min(1, encoded))) << (16 - 8 * c);
            }
        }
        return PictureRead.png("photo.png", 300, 100, rgb).toString();
    }

    private static int channel(String hex, int c) {
        return Integer.parseInt(hex.substring(1 + 2 * c, 3 + 2 * c), 16);
    }

    private static Answer ask(String photo, String places, String... more) {
        Map<String, String> given = new LinkedHashMap<>(Map.of("picture", photo, "places", places));
        for (int i = 0; i < more.length; i += 2) {
            given.put(more[i], more[i + 1]);
        }
        PhotoPair calculator = new PhotoPair();
        return calculator.answer(Replies.read(calculator.questions(), given), new MadeUpStudio());
    }

    private static double quantity(Answer answer, String label) {
        return answer.blocks().stream()
                .filter(block -> block instanceof Answer.Quantity q && q.label().equals(label))
                .mapToDouble(block -> ((Answer.Quantity) block).value())
                .findFirst()
                .orElseThrow();
    }

    /** Whatever the lamp and the exposure, the difference is that of the two colours. */
    @Test
    void the_difference_does_not_depend_on_the_lamp() {
        CieLab proof = Srgb.of("#4f7f8c").labD50();
        CieLab dab = Srgb.of("#5a7878").labD50();
        for (double[] lamp : new double[][] {{1, 1, 1}, {1.3, 0.9, 0.5}, {0.5, 0.55, 0.7}}) {
            Answer answer = ask(photo("#4f7f8c", "#5a7878", lamp, 0.02), PLACES);
            assertEquals(dab.l() - proof.l(), quantity(answer, "L*"), 0.6);
            assertEquals(dab.a() - proof.a(), quantity(answer, "a*"), 0.9);
            assertEquals(dab.b() - proof.b(), quantity(answer, "b*"), 0.9);
            assertTrue(
                    answer.blocks().get(0).toString().contains("redder by"),
                    answer.blocks().get(0).toString());
            assertTrue(answer.toString().contains("gives no recipe"));
        }
        assertTrue(ask(photo("#4f7f8c", "#4f7f8c", new double[] {1, 1, 1}, 0.02), PLACES)
                .blocks()
                .get(0)
                .toString()
                .contains("No difference"));
        assertTrue(ask(photo("#4f7f8c", "#5a7878", new double[] {1, 1, 1}, 0), PLACES, "read", "50 -10 -12")
                .toString()
                .contains("as it was read, the dab is about L* " + Math.round(50 + dab.l() - proof.l())));
    }

    /** A bar that was photographed once is written down as a photo's, and believed less than a reading. */
    @Test
    void a_photographed_bar_is_proposed_as_a_photos() {
        String photo = photo("#4f7f8c", "#5a7878", new double[] {1, 1, 1}, 0);
        Answer answer = ask(photo, PLACES, "read", "50 -10 -12", "of", "upper", "under", "lower", "dry", "30");
        Answer.Proposal entry = ((Answer.Proposed) answer.blocks().stream()
                        .filter(Answer.Proposed.class::isInstance)
                        .findFirst()
                        .orElseThrow())
                .entries()
                .get(0);
        assertEquals("upper", entry.fields().at("of").text());
        assertEquals("lower", entry.fields().at("over").items().get(0).text());
        assertEquals(ReadFilm.PHOTO, entry.fields().at("instrument").text());
        assertEquals(
                50 + quantity(answer, "L*"),
                entry.fields().at("lab").at("l").number().orElseThrow(),
                0.051);
        assertEquals("30.00", entry.fields().at("hoursDry").text());
        assertThrows(BadInput.class, () -> ask(photo, PLACES, "of", "upper", "dry", "30"), "without the proof as read");
        assertThrows(
                BadInput.class, () -> ask(photo, PLACES, "read", "50 -10 -12", "of", "upper"), "nobody said how dry");
    }

    @Test
    void what_is_too_bright_or_not_tapped_is_refused() {
        String bright = photo("#4f7f8c", "#f0f0f0", new double[] {1.4, 1.4, 1.4}, 0);
        assertTrue(assertThrows(BadInput.class, () -> ask(bright, PLACES))
                .getMessage()
                .contains("too bright"));
        String photo = photo("#4f7f8c", "#5a7878", new double[] {1, 1, 1}, 0);
        assertThrows(BadInput.class, () -> ask(photo, "grey card 15 50; OK proof 50 50"));
        assertThrows(BadInput.class, () -> ask(photo, "grey card 15 50; new dab 50 50; OK proof 80 50"));
        assertThrows(BadInput.class, () -> ask(photo, "grey card 15 50; OK proof 150 50; new dab 85 50"));
        assertThrows(BadInput.class, () -> ask(photo, "grey card; OK proof 50 50; new dab 85 50"));
    }

    @Nested
    class AsAPlugin extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new PhotoPair();
        }

        @Override
        protected StudioView studio() {
            return new MadeUpStudio();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("picture", photo("#4f7f8c", "#5a7878", new double[] {1, 1, 1}, 0), "places", PLACES);
        }
    }
}
