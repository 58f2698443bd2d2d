package slabside.swatch;

import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.Iterator;
import java.util.Locale;
import java.util.Set;
import javax.imageio.ImageIO;
import javax.imageio.ImageReadParam;
import javax.imageio.ImageReader;
import javax.imageio.stream.ImageInputStream;
import javax.imageio.stream.ImageOutputStream;
import javax.imageio.stream.MemoryCacheImageInputStream;
import javax.imageio.stream.MemoryCacheImageOutputStream;
import slabside.measure.BadInput;
import slabside.plugin.Question;
import slabside.plugin.Upload;

/**
 * A picture, read no larger than asked: rows and columns are left out while it is read, so that a large one takes no more memory.
 *
 * @param rgb of each pixel, 0xRRGGBB, row by row
 */
record PictureRead(int width, int height, int[] rgb) {
    /** A progressive JPEG is held whole while it is read. */
    private static final long MOST_PIXELS = 40_000_000;

    private static final Set<String> FORMATS = Set.of("png", "jpeg", "jpg");

    /**
     * @param longest pixels along its longer side at most
     */
    static PictureRead of(Question<Upload> question, Upload upload, int longest) {
        try (ImageInputStream in = new MemoryCacheImageInputStream(new ByteArrayInputStream(upload.bytes()))) {
            Iterator<ImageReader> readers = ImageIO.getImageReaders(in);
            if (!readers.hasNext()) {
                throw refused(question, upload, "this is no PNG and no JPEG; save it as one of them");
            }
            ImageReader reader = readers.next();
            try {
                if (!FORMATS.contains(reader.getFormatName().toLowerCase(Locale.ROOT))) {
                    throw refused(question, upload, "this is no PNG and no JPEG; save it as one of them");
                }
                reader.setInput(in, true, true);
                long width = reader.getWidth(0);
                long height = reader.getHeight(0);
                if (width * height > MOST_PIXELS) {
                    throw refused(
                            question,
                            upload,
                            "it has " + width + " × " + height + " pixels; give one of at most "
                                    + MOST_PIXELS / 1_000_000 + " million");
                }
                int every = (int) Math.max(1, (Math.max(width, height) + longest - 1) / longest);
                ImageReadParam param = reader.getDefaultReadParam();
                param.setSourceSubsampling(every, every, 0, 0);
                BufferedImage image = reader.read(0, param);
                int w = image.getWidth();
                int h = image.getHeight();
                int[] rgb = image.getRGB(0, 0, w, h, null, 0, w);
                for (int i = 0; i < rgb.length; i++) {
                    rgb[i] = onWhite(rgb[i]);
                }
                return new PictureRead(w, h, rgb);
            } finally {
                reader.dispose();
            }
        } catch (BadInput said) {
            throw said;
        } catch (IOException | IllegalArgumentException | IndexOutOfBoundsException broken) {
            throw refused(question, upload, "it cannot be read as a picture; save it again");
        }
    }

    private static BadInput refused(Question<Upload> question, Upload upload, String remedy) {
        return new BadInput(question.label(), upload.name(), remedy);
    }

    /** What can be seen through shows the paper. */
    private static int onWhite(int argb) {
        int alpha = argb >>> 24;
        if (alpha == 255) {
            return argb & 0xffffff;
        }
        int all = 0;
        for (int shift = 0; shift <= 16; shift += 8) {
            int channel = argb >> shift & 0xff;
            all |= (channel * alpha + 255 * (255 - alpha)) / 255 << shift;
        }
        return all;
    }

    /** As a PNG. */
    static Upload png(String name, int width, int height, int[] rgb) {
        BufferedImage image = new BufferedImage(width, height, BufferedImage.TYPE_INT_RGB);
        image.setRGB(0, 0, width, height, rgb, 0, width);
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        try (ImageOutputStream to = new MemoryCacheImageOutputStream(out)) {
            ImageIO.write(image, "png", to);
        } catch (IOException broken) {
            throw new UncheckedIOException(broken);
        }
        return Upload.of(name, "image/png", out.toByteArray());
    }
}
