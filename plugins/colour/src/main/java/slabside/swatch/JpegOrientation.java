package slabside.swatch;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;

/** Which way up a JPEG is held, by its Exif tag 0x0112 (Exif 2.3): pictures of telephones are stored as the sensor lay. */
final class JpegOrientation {
    private static final int EXIF = 0xe1;
    private static final int SCAN = 0xda;
    private static final int TAG = 0x0112;

    private JpegOrientation() {}

    /** 1 to 8; 1 where nothing is said, or the file is no JPEG. */
    static int of(byte[] file) {
        int at = 2;
        boolean jpeg = file.length > 4 && (file[0] & 0xff) == 0xff && (file[1] & 0xff) == 0xd8;
        while (jpeg && at + 4 <= file.length && (file[at] & 0xff) == 0xff && (file[at + 1] & 0xff) != SCAN) {
            int length = (file[at + 2] & 0xff) << 8 | file[at + 3] & 0xff;
            if ((file[at + 1] & 0xff) == EXIF && at + 2 + length <= file.length) {
                int found = inExif(file, at + 4, at + 2 + length);
                if (found > 0) {
                    return found;
                }
            }
            at += 2 + Math.max(2, length);
        }
        return 1;
    }

    private static int inExif(byte[] file, int from, int end) {
        if (end - from < 14 || !new String(file, from, 4, StandardCharsets.ISO_8859_1).equals("Exif")) {
            return 0;
        }
        ByteBuffer tiff = ByteBuffer.wrap(file, from + 6, end - from - 6).slice();
        tiff.order(tiff.get(0) == 'I' ? ByteOrder.LITTLE_ENDIAN : ByteOrder.BIG_ENDIAN);
        int directory = tiff.getInt(4);
        if (directory < 8 || directory > tiff.limit() - 2) {
            return 0;
        }
        int entries = tiff.getShort(directory) & 0xffff;
        for (int i = 0; i < entries && directory + 2 + 12 * i + 12 <= tiff.limit(); i++) {
            int entry = directory + 2 + 12 * i;
            if ((tiff.getShort(entry) & 0xffff) == TAG) {
                int value = tiff.getShort(entry + 8) & 0xffff;
                return value >= 1 && value <= 8 ? value : 0;
            }
        }
        return 0;
    }
}
