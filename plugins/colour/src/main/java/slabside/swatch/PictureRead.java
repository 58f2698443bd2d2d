package slabside.swatch;

import java.awt.color.ColorSpace;
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
                return pixels(image).turned(JpegOrientation.of(upload.bytes()));
            } finally {
                reader.dispose();
            }
        } catch (BadInput said) {
            throw said;
        } catch (IOException | IllegalArgumentException | IndexOutOfBoundsException broken) {
            throw refused(question, upload, "it cannot be read as a picture; save it again");
        }
    }

    private static PictureRead pixels(BufferedImage image) {
        int w = image.getWidth();
        int h = image.getHeight();
        int[] rgb = new int[w * h];
        boolean grey = image.getColorModel().getColorSpace().getType() == ColorSpace.TYPE_GRAY;
        if (grey) {
            // The library would take grey for light and make it brighter; a scan's grey is coded as a screen's.
            int shift = Math.max(0, image.getColorModel().getComponentSize(0) - 8);
            int least = image.getColorModel().getComponentSize(0);
            boolean clear = image.getColorModel().hasAlpha();
            int[] samples = new int[image.getRaster().getNumBands()];
            for (int i = 0; i < rgb.length; i++) {
                image.getRaster().getPixel(i % w, i / w, samples);
                int value = least < 8 ? samples[0] * 255 / ((1 << least) - 1) : samples[0] >> shift;
                int alpha = clear ? samples[1] >> shift : 255;
                rgb[i] = onWhite(alpha << 24 | value << 16 | value << 8 | value);
            }
        } else {
            image.getRGB(0, 0, w, h, rgb, 0, w);
            for (int i = 0; i < rgb.length; i++) {
                rgb[i] = onWhite(rgb[i]);
            }
        }
        return new PictureRead(w, h, rgb);
    }

    /** As a browser shows it, by the tag of its orientation (Exif 2.3, 0x0112): 1 as it is, to 8. */
    private PictureRead turned(int orientation) {
        boolean swapped = orientation >= 5;
        int w = swapped ? height : width;
        int h = swapped ? width : height;
        int[] turned = new int[rgb.length];
        for (int y = 0; y < height; y++) {
            for (int x = 0; x < width; x++) {
                int right = width - 1 - x;
                int down = height - 1 - y;
                int to = switch (orientation) {
                    case 2 -> y * w + right;
                    case 3 -> down * w + right;
                    case 4 -> down * w + x;
                    case 5 -> x * w + y;
                    case 6 -> x * w + down;
                    case 7 -> right * w + down;
                    case 8 -> right * w + y;
                    default -> y * w + x;
                };
                turned[to] = rgb[y * width + x];
            }
        }
        return new PictureRead(w, h, turned);
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
