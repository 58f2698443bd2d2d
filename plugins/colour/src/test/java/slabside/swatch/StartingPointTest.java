package slabside.swatch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.function.IntBinaryOperator;
import java.util.zip.CRC32;
import java.util.zip.Deflater;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.Test;
import slabside.kit.MadeUpStudio;
import slabside.kit.PluginCheck;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Progress;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;
import slabside.plugin.Upload;

/** Plans from three pictures made up here, on a shelf of ten inks. */
class StartingPointTest {
    private static final List<String> SHELF = List.of(
            "#f2c800", "#b3123f", "#0072a8", "#00724f", "#3d2a6d", "#141414", "#e06a00", "#7a2a12", "#004b6e",
            "#8fb100");

    private static MadeUpStudio studio() {
        MadeUpStudio studio = new MadeUpStudio();
        for (String ink : SHELF) {
            studio.with(new StudioView.Material("ink" + ink.substring(1), "ink " + ink.substring(1), "ink", ink));
        }
        return studio;
    }

    private static Upload picture(int width, int height, IntBinaryOperator rgb) {
        int[] pixels = new int[width * height];
        for (int i = 0; i < pixels.length; i++) {
            pixels[i] = rgb.applyAsInt(i % width, i / width);
        }
        return PictureRead.png("made-up.png", width, height, pixels);
    }

    /** A sky that goes over into a field. */
    private static final IntBinaryOperator SKY = (x, y) -> y < 600
            ? (150 + x / 20) << 16 | (190 - y / 10) << 8 | 235 - y / 6
            : 120 - x / 20 << 16 | 150 << 8 | 60 + y / 20;

    /** Discs of colour on white. */
    private static final IntBinaryOperator DISCS = (x, y) -> {
        int ring = (x / 200 + y / 200 * 5) % 6;
        boolean inside = (x % 200 - 100) * (x % 200 - 100) + (y % 200 - 100) * (y % 200 - 100) < 7000;
        return inside ? new int[] {0xd9a41c, 0x8c2f4f, 0x2f6f8c, 0x4f7f4a, 0x6b5a8c, 0x3a3a3a}[ring] : 0xffffff;
    };

    private static Answer ask(Upload picture, String runs, String seed) {
        StartingPoint planner = new StartingPoint();
        return planner.answer(
                Replies.read(planner.questions(), Map.of("picture", picture.toString(), "runs", runs, "seed", seed)),
                studio());
    }

    private static Answer.Quantity quantity(Answer answer, String label) {
        return (Answer.Quantity) answer.blocks().stream()
                .filter(block -> block instanceof Answer.Quantity q && q.label().startsWith(label))
                .reduce((one, other) -> other)
                .orElseThrow();
    }

    /** How far the whole print is off. */
    private static double printed(Answer answer) {
        return answer.blocks().stream()
                .filter(block -> block instanceof Answer.Quantity q && q.label().equals("Off in the mean"))
                .mapToDouble(block -> ((Answer.Quantity) block).value())
                .findFirst()
                .orElseThrow();
    }

    /** A megapixel, four runs, ten inks: nearer than the best of a hundred choices by chance. */
    @Test
    void three_pictures_are_planned_better_than_by_chance() {
        Random random = new Random(4);
        IntBinaryOperator grain = (x, y) -> {
            int base = 60 + (x / 40 + y / 40) % 5 * 30;
            return (base + random.nextInt(40)) << 16 | (base / 2 + random.nextInt(40)) << 8 | 40 + random.nextInt(80);
        };
        for (Upload picture : List.of(picture(1000, 1000, SKY), picture(1000, 1000, DISCS), picture(300, 400, grain))) {
            Answer answer = ask(picture, "4", "1");
            Answer.Quantity colours = quantity(answer, "Off in the mean, its");
            double chance = Double.parseDouble(colours.working().replaceAll(".*off by ([0-9.]+).*", "$1"));
            assertTrue(colours.value() < chance, colours.toString());
            long pictures = answer.blocks().stream()
                    .filter(Answer.Picture.class::isInstance)
                    .count();
            assertEquals(5, pictures, "the print and four runs in grey");
            assertTrue(printed(answer) < chance, "the print too: " + printed(answer) + " against " + chance);
        }
    }

    @Test
    void the_same_seed_gives_the_same_plan_and_white_paper_stays_bare() {
        Upload picture = picture(60, 40, (x, y) -> x < 30 ? 0xffffff : 0x8c2f4f);
        Answer answer = ask(picture, "2", "7");
        assertEquals(answer, ask(picture, "2", "7"));
        assertTrue(printed(answer) < 6, answer.toString());
        double covered = answer.blocks().stream()
                .filter(Answer.Strip.class::isInstance)
                .mapToDouble(block ->
                        Double.parseDouble(((Answer.Strip) block).caption().replaceAll(".*covers ([0-9]+) %.*", "$1")))
                .max()
                .orElseThrow();
        assertTrue(covered <= 55, "half of the sheet is white: " + covered);
    }

    @Test
    void it_says_how_far_it_is_and_can_be_called_off() {
        StartingPoint planner = new StartingPoint();
        Replies replies = Replies.read(
                planner.questions(), Map.of("picture", picture(50, 50, SKY).toString(), "runs", "2"));
        double[] last = {0};
        planner.answer(replies, studio(), (share, words) -> {
            assertTrue(share >= last[0] - 1e-9 && share <= 1, share + " after " + last[0]);
            last[0] = share;
        });
        assertTrue(last[0] > 0.9, "it came to its end: " + last[0]);
        assertThrows(
                Progress.CalledOff.class,
                () -> planner.answer(replies, studio(), (share, words) -> {
                    if (share > 0.3) {
                        throw new Progress.CalledOff();
                    }
                }));
    }

    /** Thirty-six million pixels are read in a hundredth of their memory; a hundred million are refused before anything is read. */
    @Test
    void large_and_broken_pictures() {
        PictureRead read = PictureRead.of(question(), grey(6000, 6000), 240);
        assertEquals(240, read.width());
        assertEquals(0, read.rgb()[0]);
        assertTrue(assertThrows(BadInput.class, () -> PictureRead.of(question(), grey(10_000, 10_000), 240))
                .toString()
                .contains("million"));
        byte[] whole = picture(40, 40, SKY).bytes();
        Upload cut = Upload.of("cut.png", "image/png", java.util.Arrays.copyOf(whole, whole.length / 2));
        assertThrows(BadInput.class, () -> PictureRead.of(question(), cut, 240));
        Upload none = Upload.of("none.png", "image/png", "hello".getBytes(StandardCharsets.UTF_8));
        assertThrows(BadInput.class, () -> PictureRead.of(question(), none, 240));
    }

    /** Grey is coded as a screen codes it; a library that takes it for light would make it far brighter. */
    @Test
    void grey_stays_as_grey_as_it_was_coded() throws IOException {
        for (int type : new int[] {BufferedImage.TYPE_BYTE_GRAY, BufferedImage.TYPE_USHORT_GRAY}) {
            BufferedImage grey = new BufferedImage(20, 10, type);
            for (int i = 0; i < 200; i++) {
                grey.getRaster().setSample(i % 20, i / 20, 0, type == BufferedImage.TYPE_BYTE_GRAY ? 128 : 128 * 257);
            }
            PictureRead read = PictureRead.of(question(), Upload.of("g.png", "image/png", coded(grey, "png")), 240);
            assertEquals(0x808080, read.rgb()[55], "type " + type);
        }
    }

    /** A telephone stores what its sensor saw and says how it was held; a browser turns it, and so do we. */
    @Test
    void pictures_are_turned_as_a_browser_turns_them() throws IOException {
        BufferedImage wide = new BufferedImage(64, 32, BufferedImage.TYPE_INT_RGB);
        for (int i = 0; i < 64 * 32; i++) {
            wide.setRGB(i % 64, i / 64, i % 64 < 32 ? 0xff0000 : 0x0000ff);
        }
        byte[] plain = coded(wide, "jpg");
        byte[] tag = {
            (byte) 0xff,
            (byte) 0xe1,
            0,
            34,
            'E',
            'x',
            'i',
            'f',
            0,
            0,
            'M',
            'M',
            0,
            42,
            0,
            0,
            0,
            8,
            0,
            1,
            1,
            0x12,
            0,
            3,
            0,
            0,
            0,
            1,
            0,
            6,
            0,
            0,
            0,
            0,
            0,
            0
        };
        ByteArrayOutputStream held = new ByteArrayOutputStream();
        held.write(plain, 0, 2);
        held.write(tag);
        held.write(plain, 2, plain.length - 2);
        PictureRead read = PictureRead.of(question(), Upload.of("t.jpg", "image/jpeg", held.toByteArray()), 240);
        assertEquals(32, read.width());
        assertEquals(64, read.height());
        // Turned by a quarter to the right: what was left is above.
        assertTrue((read.rgb()[5 * 32 + 16] >> 16 & 0xff) > 200, "red above");
        assertTrue((read.rgb()[58 * 32 + 16] & 0xff) > 200, "blue below");
        assertEquals(1, JpegOrientation.of(plain));
        assertEquals(1, JpegOrientation.of(new byte[] {(byte) 0xff, (byte) 0xd8, (byte) 0xff, (byte) 0xe1, 127, 127}));
    }

    private static byte[] coded(BufferedImage image, String format) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        ImageIO.write(image, format, out);
        return out.toByteArray();
    }

    private static slabside.plugin.Question<Upload> question() {
        return slabside.plugin.Question.picture("picture", "Picture");
    }

    /** A black picture of one grey channel, written here without holding it. */
    private static Upload grey(int width, int height) {
        ByteArrayOutputStream png = new ByteArrayOutputStream();
        png.writeBytes(new byte[] {(byte) 0x89, 'P', 'N', 'G', '\r', '\n', 0x1a, '\n'});
        chunk(
                png,
                "IHDR",
                ByteBuffer.allocate(13)
                        .putInt(width)
                        .putInt(height)
                        .put(new byte[] {8, 0, 0, 0, 0})
                        .array());
        Deflater deflater = new Deflater();
        ByteArrayOutputStream data = new ByteArrayOutputStream();
        byte[] row = new byte[width + 1];
        byte[] packed = new byte[1 << 16];
        for (int y = 0; y < height; y++) {
            deflater.setInput(row);
            while (!deflater.needsInput()) {
                data.write(packed, 0, deflater.deflate(packed));
            }
        }
        deflater.finish();
        while (!deflater.finished()) {
            data.write(packed, 0, deflater.deflate(packed));
        }
        deflater.end();
        chunk(png, "IDAT", data.toByteArray());
        chunk(png, "IEND", new byte[0]);
        return Upload.of("grey.png", "image/png", png.toByteArray());
    }

    private static void chunk(ByteArrayOutputStream png, String type, byte[] data) {
        byte[] name = type.getBytes(StandardCharsets.US_ASCII);
        CRC32 sum = new CRC32();
        sum.update(name);
        sum.update(data);
        png.writeBytes(ByteBuffer.allocate(4).putInt(data.length).array());
        png.writeBytes(name);
        png.writeBytes(data);
        png.writeBytes(ByteBuffer.allocate(4).putInt((int) sum.getValue()).array());
    }

    @Nested
    class AsAPlugin extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new StartingPoint();
        }

        @Override
        protected StudioView studio() {
            return StartingPointTest.studio();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("picture", picture(30, 20, SKY).toString(), "runs", "2");
        }
    }
}
