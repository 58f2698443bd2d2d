package slabside.web;

import com.google.zxing.BinaryBitmap;
import com.google.zxing.DecodeHintType;
import com.google.zxing.LuminanceSource;
import com.google.zxing.RGBLuminanceSource;
import com.google.zxing.ReaderException;
import com.google.zxing.common.HybridBinarizer;
import com.google.zxing.qrcode.QRCodeReader;
import io.javalin.http.Context;
import io.javalin.http.UploadedFile;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.image.BufferedImage;
import java.io.IOException;
import java.io.InputStream;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import javax.imageio.ImageIO;
import javax.imageio.ImageReadParam;
import javax.imageio.ImageReader;
import javax.imageio.stream.ImageInputStream;
import slabside.measure.BadInput;
import slabside.views.Thing;

/** Finds a can, packet or other thing by its label: by the short id, by a photo of its code, or with a camera that reads codes. */
final class LabelPage {
    private static final int MOST = 30;
    /** Pixels along a side to which a photo is made smaller before it is read; a code of a label is read well at both. */
    private static final int[] SIDES = {1_600, 900, 2_600};

    private static final int LARGEST_SIDE = 2_600;
    private static final long MOST_PIXELS = 60_000_000;
    private static final Pattern LED_TO = Pattern.compile("(?:.*/thing/)?([A-Za-z0-9][A-Za-z0-9:._-]{0,79})");

    private final Desk desk;

    LabelPage(Desk desk) {
        this.desk = desk;
    }

    /**
     * @param found what bears such an id or name, when it is not one thing alone
     * @param problem why nothing was found, or an empty text
     */
    public record Shown(Frame frame, String asked, List<Desk.Piece> found, String problem) {}

    /** Where the one thing is shown that was asked for; else what can be chosen from. */
    record Looked(Optional<String> where, Shown page) {}

    Looked look(String asked) {
        desk.studio.views().catchUp();
        String text = asked.strip();
        if (text.isEmpty()) {
            return new Looked(Optional.empty(), page("", List.of(), ""));
        }
        // A short id may be typed in small letters, and what a camera read may be a whole address.
        List<Thing> called = new ArrayList<>(desk.studio.views().called("", text));
        if (called.isEmpty()) {
            called.addAll(desk.studio.views().called("", text.toUpperCase(Locale.ROOT)));
        }
        Matcher led = LED_TO.matcher(text);
        if (called.isEmpty() && led.matches()) {
            called.addAll(desk.studio.views().called("", led.group(1)));
        }
        if (called.size() == 1) {
            return new Looked(Optional.of("/thing/" + called.get(0).id()), page(text, List.of(), ""));
        }
        List<Thing> near = called.isEmpty() ? desk.studio.views().things("", text, MOST) : called;
        return new Looked(
                Optional.empty(),
                page(
                        text,
                        near.stream()
                                .map(thing -> new Desk.Piece(
                                        desk.studio.name(thing.id()) + " (" + thing.kind() + ")",
                                        "/thing/" + thing.id()))
                                .toList(),
                        near.isEmpty()
                                ? "Nothing here is called " + text
                                        + ". A short id has four characters; O, 0, I and 1 are never among them."
                                : ""));
    }

    private Shown page(String asked, List<Desk.Piece> found, String problem) {
        return new Shown(desk.frame("Find by its label", "shelf"), asked, found, problem);
    }

    /** Reads the code on a photo and goes to what it names. */
    Looked photo(Context ctx) {
        UploadedFile file = ctx.uploadedFile("photo");
        if (file == null || file.size() == 0) {
            return new Looked(Optional.empty(), page("", List.of(), "Take a photo of the label first."));
        }
        try (InputStream in = file.content()) {
            return read(image(in))
                    .map(this::look)
                    .orElseGet(() -> new Looked(
                            Optional.empty(),
                            page(
                                    "",
                                    List.of(),
                                    "No code was found on this photo. Hold the label flat and in the light, fill half of the picture"
                                            + " with it, or type its four characters.")));
        } catch (IOException unread) {
            throw new BadInput("photo", file.filename(), "it cannot be read as a picture: " + unread.getMessage());
        }
    }

    /** One at a time, for a picture takes much more room unpacked. */
    private static synchronized BufferedImage image(InputStream in) throws IOException {
        try (ImageInputStream stream = ImageIO.createImageInputStream(in)) {
            var readers = ImageIO.getImageReaders(stream);
            if (!readers.hasNext()) {
                throw new IOException("give a PNG or JPEG");
            }
            ImageReader reader = readers.next();
            try {
                reader.setInput(stream);
                // Asked before anything is unpacked, for a small file may hold a huge picture.
                int longest = Math.max(reader.getWidth(0), reader.getHeight(0));
                if ((long) reader.getWidth(0) * reader.getHeight(0) > MOST_PIXELS) {
                    throw new IOException("it has more than 60 million pixels");
                }
                ImageReadParam param = reader.getDefaultReadParam();
                int every = Math.max(1, longest / LARGEST_SIDE);
                param.setSourceSubsampling(every, every, 0, 0);
                return reader.read(0, param);
            } catch (RuntimeException broken) {
                // Readers of pictures throw all sorts of things at a file that is cut or made to harm.
                throw new IOException("it is cut or broken", broken);
            } finally {
                reader.dispose();
            }
        }
    }

    /** What the code on a picture says; empty when there is none that can be read. */
    static Optional<String> read(BufferedImage picture) {
        for (int side : SIDES) {
            BufferedImage scaled = scaled(picture, side);
            int wide = scaled.getWidth();
            int high = scaled.getHeight();
            LuminanceSource grey = new RGBLuminanceSource(wide, high, scaled.getRGB(0, 0, wide, high, null, 0, wide));
            for (LuminanceSource tried : List.of(grey, grey.invert())) {
                Optional<String> said = decoded(tried);
                if (said.isPresent()) {
                    return said;
                }
            }
        }
        return Optional.empty();
    }

    private static Optional<String> decoded(LuminanceSource grey) {
        try {
            return Optional.of(new QRCodeReader()
                    .decode(new BinaryBitmap(new HybridBinarizer(grey)), Map.of(DecodeHintType.TRY_HARDER, true))
                    .getText());
        } catch (ReaderException none) {
            // No code at this size; it may be found at another.
            return Optional.empty();
        }
    }

    private static BufferedImage scaled(BufferedImage picture, int side) {
        double scale = Math.min(1, (double) side / Math.max(picture.getWidth(), picture.getHeight()));
        int wide = Math.max(1, (int) (picture.getWidth() * scale));
        int high = Math.max(1, (int) (picture.getHeight() * scale));
        BufferedImage scaled = new BufferedImage(wide, high, BufferedImage.TYPE_INT_RGB);
        Graphics2D into = scaled.createGraphics();
        into.setRenderingHint(RenderingHints.KEY_INTERPOLATION, RenderingHints.VALUE_INTERPOLATION_BILINEAR);
        into.drawImage(picture, 0, 0, wide, high, java.awt.Color.WHITE, null);
        into.dispose();
        return scaled;
    }
}
