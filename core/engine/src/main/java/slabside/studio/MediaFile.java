package slabside.studio;

import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.util.Set;
import slabside.measure.BadInput;

/**
 * A photo or voice memo, known by what is in it and not by its name, with everything taken out that could tell where or by
 * whom it was made. The picture or sound itself is not touched, nor what its colours need.
 *
 * <p>Photos: JPEG, PNG, WebP. Memos: WAV, MP4 audio, WebM and Ogg; the last two are taken as a browser records them, which
 * is without a place. Anything else is refused.
 *
 * @see "ITU-T T.81, Annex B; PNG (Third Edition), 11; RFC 9649; ISO/IEC 14496-12, 4.2; Exif 2.3, 4.6 (from memory)"
 */
public record MediaFile(String mediaType, byte[] bytes) {
    private static final Set<String> PNG_KEPT = Set.of(
            "IHDR", "PLTE", "IDAT", "IEND", "tRNS", "cHRM", "gAMA", "iCCP", "sBIT", "sRGB", "bKGD", "hIST", "pHYs");
    private static final Set<String> WEBP_KEPT = Set.of("VP8 ", "VP8L", "VP8X", "ALPH", "ANIM", "ANMF", "ICCP");
    private static final Set<String> WAV_KEPT = Set.of("fmt ", "data", "fact");
    private static final Set<String> MP4_EMPTIED = Set.of("udta", "meta", "uuid");
    /** Pictures come in the same boxes; most browsers cannot show these. */
    private static final Set<String> PICTURES_IN_BOXES =
            Set.of("heic", "heix", "hevc", "heim", "heis", "mif1", "msf1", "avif", "avis");

    private static final Set<String> MP4_OPENED = Set.of("moov", "trak");
    private static final int DEEPEST_BOX = 8;
    private static final byte[] PNG_SIGNATURE = {(byte) 0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'};
    private static final int WEBP_FLAGS_OF_METADATA = 0x08 | 0x04;

    /**
     * Looks into a file.
     *
     * @throws BadInput when it is none of the kinds above, or broken
     */
    public static MediaFile of(byte[] file) {
        try {
            if (begins(file, 0, 0xFF, 0xD8, 0xFF)) {
                return new MediaFile("image/jpeg", jpeg(file));
            } else if (begins(file, 0, 0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n')) {
                return new MediaFile("image/png", png(file));
            } else if (named(file, 0, "RIFF") && named(file, 8, "WEBP")) {
                return new MediaFile("image/webp", riff(file, WEBP_KEPT));
            } else if (named(file, 0, "RIFF") && named(file, 8, "WAVE")) {
                return new MediaFile("audio/wav", riff(file, WAV_KEPT));
            } else if (named(file, 4, "ftyp")
                    && !PICTURES_IN_BOXES.contains(new String(file, 8, 4, StandardCharsets.ISO_8859_1))) {
                return new MediaFile("audio/mp4", mp4(file));
            } else if (begins(file, 0, 0x1A, 0x45, 0xDF, 0xA3)) {
                return new MediaFile("audio/webm", file.clone());
            } else if (named(file, 0, "OggS")) {
                return new MediaFile("audio/ogg", file.clone());
            }
        } catch (IndexOutOfBoundsException | IllegalArgumentException cut) {
            throw cut instanceof BadInput bad ? bad : broken(file);
        }
        throw new BadInput(
                "file",
                file.length + " bytes",
                "this is no photo (JPEG, PNG, WebP) and no voice memo (WAV, MP4, WebM, Ogg); save it as one of these");
    }

    public boolean isSound() {
        return mediaType.startsWith("audio/");
    }

    private static BadInput broken(byte[] file) {
        return new BadInput("file", file.length + " bytes", "it is cut off or broken; take it again");
    }

    private static boolean begins(byte[] file, int at, int... bytes) {
        if (file.length < at + bytes.length) {
            return false;
        }
        for (int i = 0; i < bytes.length; i++) {
            if ((file[at + i] & 0xFF) != bytes[i]) {
                return false;
            }
        }
        return true;
    }

    private static boolean named(byte[] file, int at, String name) {
        return file.length >= at + 4 && new String(file, at, 4, StandardCharsets.ISO_8859_1).equals(name);
    }

    /** Segments that draw the picture, its colour profile and which way is up; and nothing behind its end. */
    private static byte[] jpeg(byte[] file) {
        ByteArrayOutputStream out = new ByteArrayOutputStream(file.length);
        out.write(file, 0, 2);
        int at = 2;
        while (true) {
            if ((file[at] & 0xFF) != 0xFF) {
                throw broken(file);
            }
            int marker = file[at + 1] & 0xFF;
            if (marker == 0xFF) {
                at++;
                continue;
            }
            if (marker == 0xD9) {
                out.write(file, at, 2);
                return out.toByteArray();
            }
            int length = (file[at + 2] & 0xFF) << 8 | file[at + 3] & 0xFF;
            int end = at + 2 + length;
            if (length < 2 || end > file.length) {
                throw broken(file);
            }
            if (marker == 0xE1) {
                int up = orientation(file, at + 4, end);
                if (up > 1) {
                    writeOrientation(out, up);
                }
            } else if (!isMetadata(file, at, marker)) {
                out.write(file, at, end - at);
            }
            at = marker == 0xDA ? scan(file, end, out) : end;
        }
    }

    /** Comments and application segments, but for JFIF, a colour profile and the one that says how colours are coded. */
    private static boolean isMetadata(byte[] file, int at, int marker) {
        boolean profile = marker == 0xE2 && named(file, at + 4, "ICC_");
        return marker == 0xFE || marker > 0xE0 && marker <= 0xEF && marker != 0xEE && !profile;
    }

    /** Copies the coded picture; returns where the next marker stands. */
    private static int scan(byte[] file, int from, ByteArrayOutputStream out) {
        int at = from;
        while (!((file[at] & 0xFF) == 0xFF
                && file[at + 1] != 0
                && ((file[at + 1] & 0xFF) < 0xD0 || (file[at + 1] & 0xFF) > 0xD7))) {
            at++;
        }
        out.write(file, from, at - from);
        return at;
    }

    /** Which way is up, 1 to 8; 1 when nothing is said. */
    private static int orientation(byte[] file, int from, int end) {
        if (end - from < 14 || !named(file, from, "Exif")) {
            return 1;
        }
        ByteBuffer tiff = ByteBuffer.wrap(file, from + 6, end - from - 6).slice();
        tiff.order(tiff.get(0) == 'I' ? ByteOrder.LITTLE_ENDIAN : ByteOrder.BIG_ENDIAN);
        int directory = tiff.getInt(4);
        if (directory < 8 || directory + 2 > tiff.limit()) {
            return 1;
        }
        int entries = tiff.getShort(directory) & 0xFFFF;
        for (int i = 0; i < entries && directory + 2 + 12 * i + 12 <= tiff.limit(); i++) {
            int entry = directory + 2 + 12 * i;
            if ((tiff.getShort(entry) & 0xFFFF) == 0x0112) {
                int up = tiff.getShort(entry + 8) & 0xFFFF;
                return up >= 1 && up <= 8 ? up : 1;
            }
        }
        return 1;
    }

    private static void writeOrientation(ByteArrayOutputStream out, int up) {
        ByteBuffer segment = ByteBuffer.allocate(36);
        segment.put((byte) 0xFF).put((byte) 0xE1).putShort((short) 34);
        segment.put("Exif\0\0MM".getBytes(StandardCharsets.ISO_8859_1))
                .putShort((short) 42)
                .putInt(8);
        segment.putShort((short) 1);
        segment.putShort((short) 0x0112)
                .putShort((short) 3)
                .putInt(1)
                .putShort((short) up)
                .putShort((short) 0);
        segment.putInt(0);
        out.writeBytes(segment.array());
    }

    private static byte[] png(byte[] file) {
        ByteArrayOutputStream out = new ByteArrayOutputStream(file.length);
        out.writeBytes(PNG_SIGNATURE);
        ByteBuffer in = ByteBuffer.wrap(file);
        int at = PNG_SIGNATURE.length;
        while (true) {
            int length = in.getInt(at);
            String name = new String(file, at + 4, 4, StandardCharsets.ISO_8859_1);
            if (length < 0 || length > file.length - at - 12) {
                throw broken(file);
            }
            int size = 12 + length;
            if (PNG_KEPT.contains(name)) {
                out.write(file, at, size);
            }
            if (name.equals("IEND")) {
                return out.toByteArray();
            }
            at += size;
        }
    }

    private static byte[] riff(byte[] file, Set<String> kept) {
        ByteBuffer in = ByteBuffer.wrap(file).order(ByteOrder.LITTLE_ENDIAN);
        int end = (int) Math.min(file.length, 8 + (in.getInt(4) & 0xFFFF_FFFFL));
        ByteArrayOutputStream out = new ByteArrayOutputStream(file.length);
        out.write(file, 0, 12);
        int at = 12;
        while (at + 8 <= end) {
            String name = new String(file, at, 4, StandardCharsets.ISO_8859_1);
            long length = in.getInt(at + 4) & 0xFFFF_FFFFL;
            long size = 8 + length + (length & 1);
            // A recorder that was stopped hard leaves a last chunk longer than its file.
            int there = (int) Math.min(size, file.length - at);
            if (kept.contains(name)) {
                byte[] chunk = java.util.Arrays.copyOfRange(file, at, at + there);
                if (name.equals("VP8X")) {
                    chunk[8] &= (byte) ~WEBP_FLAGS_OF_METADATA;
                }
                out.writeBytes(chunk);
            }
            at += there;
        }
        byte[] bytes = out.toByteArray();
        ByteBuffer.wrap(bytes).order(ByteOrder.LITTLE_ENDIAN).putInt(4, bytes.length - 8);
        return bytes;
    }

    /** Empties the boxes that hold what is said about a recording; nothing moves, so its table of places stays right. */
    private static byte[] mp4(byte[] file) {
        byte[] bytes = file.clone();
        boxes(bytes, 0, bytes.length, 0);
        return bytes;
    }

    private static void boxes(byte[] bytes, int from, int end, int depth) {
        if (depth > DEEPEST_BOX) {
            throw broken(bytes);
        }
        ByteBuffer box = ByteBuffer.wrap(bytes);
        int at = from;
        while (at + 8 <= end) {
            long size = box.getInt(at) & 0xFFFF_FFFFL;
            String name = new String(bytes, at + 4, 4, StandardCharsets.ISO_8859_1);
            int head = 8;
            if (size == 1) {
                size = box.getLong(at + 8);
                head = 16;
            } else if (size == 0) {
                size = end - at;
            }
            if (size < head || at + size > end) {
                throw broken(bytes);
            }
            if (MP4_EMPTIED.contains(name)) {
                System.arraycopy("free".getBytes(StandardCharsets.ISO_8859_1), 0, bytes, at + 4, 4);
                java.util.Arrays.fill(bytes, at + head, (int) (at + size), (byte) 0);
            } else if (MP4_OPENED.contains(name)) {
                boxes(bytes, at + head, (int) (at + size), depth + 1);
            }
            at += (int) size;
        }
    }
}
