package slabside.web;

import com.openhtmltopdf.pdfboxout.PdfRendererBuilder;
import com.openhtmltopdf.svgsupport.BatikSVGDrawer;
import com.openhtmltopdf.util.XRLog;
import gg.jte.ContentType;
import gg.jte.TemplateEngine;
import gg.jte.output.StringOutput;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.EnumSet;
import java.util.Objects;
import slabside.host.Drawn;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Card;

/** An answer on paper: A4, embedded fonts, title and language. The same blocks as on the page, what is one step deeper at the end. */
final class Paper {
    private static final TemplateEngine TEMPLATES =
            TemplateEngine.createPrecompiled(null, ContentType.Html, Paper.class.getClassLoader(), "slabside.web");

    static {
        // It tells the standard error stream what it does.
        XRLog.setLoggingEnabled(false);
    }

    private Paper() {}

    /**
     * An answer in one of the formats of {@link Drawn#FORMATS}.
     *
     * @throws BadInput when there is no such format
     */
    static byte[] as(String format, Answer answer, Card card) {
        if (!Drawn.FORMATS.contains(format)) {
            throw new BadInput("format", format, "use one of " + String.join(", ", Drawn.FORMATS));
        }
        return format.equals("pdf")
                ? pdf(answer, card)
                : Drawn.as(format, answer).getBytes(StandardCharsets.UTF_8);
    }

    private static byte[] pdf(Answer answer, Card card) {
        StringOutput html = new StringOutput();
        TEMPLATES.render("paper.jte", java.util.Map.of("answer", answer, "asks", card.asks()), html);
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        try (BatikSVGDrawer drawings = new BatikSVGDrawer()) {
            PdfRendererBuilder builder = new PdfRendererBuilder()
                    .useSVGDrawer(drawings)
                    .withProducer("Slabside")
                    .usePdfUaAccessibility(true)
                    .withHtmlContent(printable(html.toString()), null)
                    .toStream(out);
            font(builder, "atkinson-400.ttf", "Text", 400);
            font(builder, "atkinson-700.ttf", "Text", 700);
            font(builder, "serif-600.ttf", "Heads", 600);
            builder.run();
        } catch (IOException failed) {
            throw new UncheckedIOException(failed);
        }
        return out.toByteArray();
    }

    /** With a sign in the place of what XML cannot hold (XML 1.0, 2.2): control characters and halves of a letter. */
    private static String printable(String html) {
        StringBuilder printable = new StringBuilder(html.length());
        html.codePoints()
                .map(c -> c == 9
                                || c == 10
                                || c == 13
                                || c >= 0x20 && c <= 0xD7FF
                                || c >= 0xE000 && c <= 0xFFFD
                                || c >= 0x10000
                        ? c
                        : 0xFFFD)
                .forEach(printable::appendCodePoint);
        return printable.toString();
    }

    private static void font(PdfRendererBuilder builder, String file, String family, int weight) {
        builder.useFont(
                () -> resource(file),
                family,
                weight,
                com.openhtmltopdf.outputdevice.helper.BaseRendererBuilder.FontStyle.NORMAL,
                true,
                EnumSet.of(
                        com.openhtmltopdf.outputdevice.helper.BaseRendererBuilder.FSFontUseCase.DOCUMENT,
                        com.openhtmltopdf.outputdevice.helper.BaseRendererBuilder.FSFontUseCase.SVG));
    }

    private static InputStream resource(String file) {
        return Objects.requireNonNull(Paper.class.getResourceAsStream("/paper/" + file), file);
    }
}
