package slabside.studio;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import java.util.Random;
import java.util.zip.CRC32;
import javax.imageio.ImageIO;
import javax.sound.sampled.AudioFileFormat;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.AudioInputStream;
import javax.sound.sampled.AudioSystem;
import javax.sound.sampled.UnsupportedAudioFileException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import slabside.event.LogEvent;
import slabside.event.ThingId;
import slabside.measure.BadInput;

/** What was taken out of a file is gone, and the picture or sound is the same; both read by the JDK's own readers. */
class MediaFileTest {
    private static final String PLACE = "PLACE 48.1371N 11.5754E";

    private static BufferedImage picture() {
        BufferedImage picture = new BufferedImage(64, 48, BufferedImage.TYPE_INT_RGB);
        Random random = new Random(7);
        for (int y = 0; y < 48; y++) {
            for (int x = 0; x < 64; x++) {
                picture.setRGB(x, y, random.nextInt(0x1000000));
            }
        }
        return picture;
    }

    private static byte[] encoded(String format) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        assertTrue(ImageIO.write(picture(), format, out));
        return out.toByteArray();
    }

    private static byte[] segment(int marker, byte[] content) {
        return ByteBuffer.allocate(content.length + 4)
                .put((byte) 0xFF)
                .put((byte) marker)
                .putShort((short) (content.length + 2))
                .put(content)
                .array();
    }

    private static byte[] text(String text) {
        return text.getBytes(StandardCharsets.ISO_8859_1);
    }

    /** Exif with the picture turned (tag 0x0112) and a remark that stands for a place; in either byte order. */
    private static byte[] exif(int up, ByteOrder order) {
        byte[] place = text(PLACE);
        return ByteBuffer.allocate(6 + 8 + 2 + 12 + 4 + place.length)
                .put(text("Exif\0\0"))
                .order(order)
                .put(text(order == ByteOrder.LITTLE_ENDIAN ? "II" : "MM"))
                .putShort((short) 42)
                .putInt(8)
                .putShort((short) 1)
                .putShort((short) 0x0112)
                .putShort((short) 3)
                .putInt(1)
                .putShort((short) up)
                .putShort((short) 0)
                .putInt(0)
                .put(place)
                .array();
    }

    private static byte[] joined(byte[]... parts) {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        for (byte[] part : parts) {
            out.writeBytes(part);
        }
        return out.toByteArray();
    }

    private static byte[] behind(byte[] file, int at, byte[]... fresh) {
        return joined(
                java.util.Arrays.copyOf(file, at), joined(fresh), java.util.Arrays.copyOfRange(file, at, file.length));
    }

    private static void same(byte[] before, byte[] after) throws IOException {
        BufferedImage one = ImageIO.read(new ByteArrayInputStream(before));
        BufferedImage two = ImageIO.read(new ByteArrayInputStream(after));
        assertArrayEquals(
                one.getRGB(0, 0, one.getWidth(), one.getHeight(), null, 0, one.getWidth()),
                two.getRGB(0, 0, two.getWidth(), two.getHeight(), null, 0, two.getWidth()));
    }

    private static boolean holds(byte[] file, String text) {
        return new String(file, StandardCharsets.ISO_8859_1).contains(text);
    }

    @ParameterizedTest
    @ValueSource(strings = {"MM", "II"})
    void a_jpeg_loses_place_remarks_and_what_hangs_behind_and_keeps_its_picture_and_which_way_is_up(String order)
            throws IOException {
        byte[] plain = encoded("jpg");
        ByteOrder bytes = order.equals("II") ? ByteOrder.LITTLE_ENDIAN : ByteOrder.BIG_ENDIAN;
        byte[] told = joined(
                behind(
                        plain,
                        2,
                        segment(0xE1, exif(6, bytes)),
                        segment(0xE1, text("http://ns.adobe.com/xap/1.0/\0" + PLACE)),
                        segment(0xED, text("Photoshop 3.0\0" + PLACE)),
                        segment(0xFE, text(PLACE))),
                text(PLACE));
        assertTrue(holds(told, PLACE));
        MediaFile file = MediaFile.of(told);
        assertEquals("image/jpeg", file.mediaType());
        assertFalse(holds(file.bytes(), PLACE));
        same(plain, file.bytes());
        String kept = new String(file.bytes(), StandardCharsets.ISO_8859_1);
        int exif = kept.indexOf("Exif\0\0MM");
        assertTrue(exif > 0, "which way is up is kept");
        assertEquals(6, ByteBuffer.wrap(file.bytes()).getShort(exif + 6 + 8 + 2 + 8));
        assertArrayEquals(file.bytes(), MediaFile.of(file.bytes()).bytes(), "once more changes nothing");
    }

    @Test
    void a_png_loses_its_texts_and_keeps_its_picture() throws IOException {
        byte[] plain = encoded("png");
        byte[] content = text("Comment\0" + PLACE);
        byte[] named = joined(text("tEXt"), content);
        CRC32 sum = new CRC32();
        sum.update(named);
        byte[] chunk = ByteBuffer.allocate(12 + content.length)
                .putInt(content.length)
                .put(named)
                .putInt((int) sum.getValue())
                .array();
        byte[] told = joined(behind(plain, 33, chunk), text(PLACE));
        MediaFile file = MediaFile.of(told);
        assertEquals("image/png", file.mediaType());
        assertFalse(holds(file.bytes(), PLACE));
        same(plain, file.bytes());
    }

    @Test
    void a_wav_loses_its_list_and_keeps_its_sound() throws IOException, UnsupportedAudioFileException {
        byte[] sound = new byte[8_000];
        new Random(3).nextBytes(sound);
        AudioFormat format = new AudioFormat(8_000, 8, 1, false, false);
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        AudioSystem.write(
                new AudioInputStream(new ByteArrayInputStream(sound), format, sound.length),
                AudioFileFormat.Type.WAVE,
                out);
        byte[] list = joined(text("LIST"), new byte[] {24, 0, 0, 0}, text(PLACE + " "));
        byte[] told = joined(out.toByteArray(), list);
        ByteBuffer.wrap(told).order(ByteOrder.LITTLE_ENDIAN).putInt(4, told.length - 8);
        MediaFile file = MediaFile.of(told);
        assertEquals("audio/wav", file.mediaType());
        assertFalse(holds(file.bytes(), PLACE));
        try (AudioInputStream in = AudioSystem.getAudioInputStream(new ByteArrayInputStream(file.bytes()))) {
            assertArrayEquals(sound, in.readAllBytes());
        }
    }

    @Test
    void the_boxes_of_an_mp4_that_tell_of_its_making_are_emptied_where_they_stand() {
        byte[] place = text(PLACE);
        byte[] told = box("udta", box("\u00A9xyz", place));
        byte[] moov = box("moov", joined(box("mvhd", new byte[20]), told));
        byte[] file = joined(box("ftyp", text("M4A isom")), moov, box("mdat", text("the sound itself")));
        byte[] kept = MediaFile.of(file).bytes();
        assertEquals(file.length, kept.length, "no place in it moves");
        assertFalse(holds(kept, PLACE));
        assertTrue(holds(kept, "the sound itself"));
        assertTrue(holds(kept, "mvhd"));
    }

    private static byte[] box(String name, byte[] content) {
        return ByteBuffer.allocate(8 + content.length)
                .putInt(8 + content.length)
                .put(text(name))
                .put(content)
                .array();
    }

    @Test
    void a_webp_loses_exif_and_xmp_and_says_so_in_its_head() {
        byte[] vp8x = joined(text("VP8X"), new byte[] {10, 0, 0, 0, 0x2C, 0, 0, 0, 63, 0, 0, 47, 0, 0});
        byte[] exif = joined(text("EXIF"), new byte[] {(byte) PLACE.length(), 0, 0, 0}, text(PLACE + "\0"));
        byte[] body = joined(text("WEBP"), vp8x, joined(text("VP8L"), new byte[] {4, 0, 0, 0, 1, 2, 3, 4}), exif);
        byte[] file = joined(
                text("RIFF"),
                ByteBuffer.allocate(4)
                        .order(ByteOrder.LITTLE_ENDIAN)
                        .putInt(body.length)
                        .array(),
                body);
        byte[] kept = MediaFile.of(file).bytes();
        assertFalse(holds(kept, PLACE));
        assertEquals(0x20, kept[20], "only the colour profile stays announced (RFC 9649, 2.7)");
        assertEquals(
                kept.length - 8,
                ByteBuffer.wrap(kept).order(ByteOrder.LITTLE_ENDIAN).getInt(4));
    }

    @Test
    void what_is_no_photo_or_memo_or_is_cut_off_is_refused() throws IOException {
        for (String text : List.of("", "<svg onload=alert(1)>", "<html>", "GIF89a....", "%PDF-1.7", "MZ")) {
            assertThrows(BadInput.class, () -> MediaFile.of(text(text)), text);
        }
        assertThrows(BadInput.class, () -> MediaFile.of(box("ftyp", text("heicmif1"))));
        byte[] jpeg = encoded("jpg");
        byte[] png = encoded("png");
        for (int length = 4; length < jpeg.length - 2; length += 37) {
            byte[] cut = java.util.Arrays.copyOf(jpeg, length);
            assertThrows(BadInput.class, () -> MediaFile.of(cut), "cut at " + cut.length);
        }
        for (int length = 9; length < png.length - 12; length += 37) {
            byte[] cut = java.util.Arrays.copyOf(png, length);
            assertThrows(BadInput.class, () -> MediaFile.of(cut), "cut at " + cut.length);
        }
    }

    @Test
    void random_bytes_behind_every_beginning_are_read_or_refused_and_never_break() {
        Random random = new Random(20_261_125);
        byte[][] beginnings = {
            {(byte) 0xFF, (byte) 0xD8, (byte) 0xFF},
            {(byte) 0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'},
            text("RIFF....WEBP"),
            text("RIFF....WAVE"),
            text("....ftypM4A ")
        };
        int refused = 0;
        for (int i = 0; i < 20_000; i++) {
            byte[] tail = new byte[random.nextInt(200)];
            random.nextBytes(tail);
            try {
                MediaFile.of(joined(beginnings[i % beginnings.length], tail));
            } catch (BadInput said) {
                refused++;
            }
        }
        assertTrue(refused > 5_000, refused + " were refused");
    }

    @Test
    void lengths_that_overflow_and_boxes_that_nest_without_end_are_refused() {
        byte[] png = {
            (byte) 0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n', 0x7F, -1, -1, -1, 'I', 'H', 'D', 'R', 0, 0, 0, 0
        };
        assertThrows(BadInput.class, () -> MediaFile.of(png));
        ByteArrayOutputStream nested = new ByteArrayOutputStream();
        nested.writeBytes(new byte[] {0, 0, 0, 16, 'f', 't', 'y', 'p', 'M', '4', 'A', ' ', 0, 0, 0, 0});
        for (int left = 200_000; left > 0; left--) {
            nested.writeBytes(java.nio.ByteBuffer.allocate(8)
                    .putInt(left * 8)
                    .put("moov".getBytes(StandardCharsets.US_ASCII))
                    .array());
        }
        assertThrows(BadInput.class, () -> MediaFile.of(nested.toByteArray()));
    }

    @TempDir
    Path folder;

    @Test
    void a_file_that_is_missing_or_was_changed_is_named_by_a_full_reading() throws IOException {
        try (Studio studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC())) {
            MediaFile photo = MediaFile.of(encoded("jpg"));
            LogEvent.Attached about =
                    new LogEvent.Attached(null, new ThingId("mix-1"), "", 0, photo.mediaType(), "the dab");
            LogEvent.Attached kept = studio.attachments().keep(photo, about);
            assertEquals(kept, studio.attachments().keep(photo, about), "the same photo is kept once");
            studio.write(new slabside.event.Actor(Studio.SOMEBODY, "this"), List.of(kept));
            assertEquals(List.of(), studio.attachments().check(studio.log()).wrong());
            Path file = studio.attachments().file(kept.sha256()).orElseThrow();
            byte[] bytes = Files.readAllBytes(file);
            bytes[100]++;
            Files.write(file, bytes);
            assertTrue(studio.attachments().check(studio.log()).wrong().get(0).contains("was changed"));
            Files.delete(file);
            assertTrue(studio.attachments().check(studio.log()).wrong().get(0).contains("not here"));
            assertEquals(1, studio.attachments().check(studio.log()).named());
        }
    }
}
