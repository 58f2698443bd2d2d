package slabside.body;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Random;
import org.junit.jupiter.api.Test;
import slabside.measure.BadInput;

/** Ten drawn pictures of which every pixel is known, scanned and photographed with noise and uneven light. */
class DrawingTest {
    private static final int WIDTH = 360;
    private static final int HEIGHT = 270;

    /** Whether a place is drawn on, and how light what is drawn is beside the paper. */
    private interface Drawn {
        boolean at(int x, int y, Random random);
    }

    /** How much light falls on a place. */
    private interface Lamp {
        double at(double x, double y);
    }

    private record Picture(Drawn drawn, double ink, Lamp lamp) {}

    private static final Lamp EVEN = (x, y) -> 0.85;
    private static final Lamp SLOPING = (x, y) -> 0.9 - 0.4 * x;
    private static final Lamp CORNERED = (x, y) -> 0.9 - 0.5 * ((x - 0.5) * (x - 0.5) + (y - 0.5) * (y - 0.5));

    private static Map<String, Picture> pictures() {
        Map<String, Picture> pictures = new LinkedHashMap<>();
        pictures.put("a flat", new Picture((x, y, r) -> x > 60 && x < 240 && y > 50 && y < 220, 0.08, EVEN));
        pictures.put(
                "a flat in sloping light",
                new Picture((x, y, r) -> x > 60 && x < 240 && y > 50 && y < 220, 0.08, SLOPING));
        pictures.put(
                "discs in a dim corner",
                new Picture((x, y, r) -> Math.hypot(x % 90 - 45, y % 90 - 45) < 30, 0.1, CORNERED));
        pictures.put("crayon, even grain", new Picture((x, y, r) -> r.nextDouble() < 0.35, 0.1, EVEN));
        pictures.put(
                "crayon from light to dark", new Picture((x, y, r) -> r.nextDouble() < 0.7 * x / WIDTH, 0.12, EVEN));
        pictures.put(
                "crayon in a dim corner",
                new Picture((x, y, r) -> r.nextDouble() < (y > 135 ? 0.5 : 0.05), 0.12, CORNERED));
        pictures.put("a wash", new Picture((x, y, r) -> Math.hypot(x - 180, y - 135) < 100, 0.45, EVEN));
        pictures.put(
                "a light wash in sloping light",
                new Picture((x, y, r) -> Math.hypot(x - 150, y - 135) < 90, 0.6, SLOPING));
        pictures.put("nearly all", new Picture((x, y, r) -> x > 12 && x < 348 && y > 10 && y < 260, 0.08, EVEN));
        pictures.put("a few strokes", new Picture((x, y, r) -> (x + y) % 60 < 2, 0.1, CORNERED));
        return pictures;
    }

    @Test
    void coverage_of_ten_drawings_within_three_hundredths() {
        Map<String, Picture> pictures = pictures();
        assertEquals(10, pictures.size());
        pictures.forEach((name, picture) -> {
            Random random = new Random(name.hashCode());
            double[] light = new double[WIDTH * HEIGHT];
            int drawn = 0;
            for (int i = 0; i < light.length; i++) {
                boolean here = picture.drawn().at(i % WIDTH, i / WIDTH, random);
                drawn += here ? 1 : 0;
                light[i] = picture.lamp().at(i % WIDTH / (double) WIDTH, i / WIDTH / (double) HEIGHT)
                        * (here ? picture.ink() : 1)
                        * (1 + 0.03 * random.nextGaussian());
            }
            Drawing.Covered covered = Drawing.of(light, WIDTH, HEIGHT, OptionalDouble.empty());
            assertEquals(drawn / (double) light.length, covered.part(), 0.03, name);
            assertTrue(covered.low() <= covered.part() && covered.part() <= covered.high(), name);
        });
    }

    @Test
    void bare_paper_holds_nothing_and_a_threshold_may_be_given() {
        double[] bare = new double[WIDTH * HEIGHT];
        Random random = new Random(3);
        for (int i = 0; i < bare.length; i++) {
            bare[i] = SLOPING.at(i % WIDTH / (double) WIDTH, 0) * (1 + 0.03 * random.nextGaussian());
        }
        assertEquals(0, Drawing.of(bare, WIDTH, HEIGHT, OptionalDouble.empty()).part());
        double[] half = bare.clone();
        for (int i = 0; i < half.length; i++) {
            half[i] *= i % 2 == 0 ? 0.6 : 1;
        }
        assertEquals(
                0.5, Drawing.of(half, WIDTH, HEIGHT, OptionalDouble.of(0.9)).part(), 0.02);
        assertEquals(0, Drawing.of(half, WIDTH, HEIGHT, OptionalDouble.of(0.5)).part(), 0.001);
        assertThrows(BadInput.class, () -> Drawing.of(new double[4], 2, 2, OptionalDouble.empty()));
    }
}
