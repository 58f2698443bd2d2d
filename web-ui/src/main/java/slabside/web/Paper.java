package slabside.web;

import com.openhtmltopdf.bidi.support.ICUBidiReorderer;
import com.openhtmltopdf.bidi.support.ICUBidiSplitter;
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
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Objects;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import slabside.host.Drawn;
import slabside.log.EventLog;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Card;

/** An answer on paper: A4, A5 or Letter, embedded fonts, title and language. The same blocks as on the page, what is one step deeper at the end. */
final class Paper {
    private static final TemplateEngine TEMPLATES =
            TemplateEngine.createPrecompiled(null, ContentType.Html, Paper.class.getClassLoader(), "slabside.web");

    static {
        // It tells the standard error stream what it does.
        XRLog.setLoggingEnabled(false);
    }

    /** Sizes of paper (ISO 216, and ANSI/ASME Y14.1 A). */
    enum Size {
        A4("A4", "20mm 18mm 22mm", 170, 200),
        A5("A5", "12mm 11mm 16mm", 124, 130),
        LETTER("letter", "20mm 18mm 22mm", 176, 185);

        private final String css;
        private final String margin;
        private final int wide;
        private final int high;

        Size(String css, String margin, int wide, int high) {
            this.css = css;
            this.margin = margin;
            this.wide = wide;
            this.high = high;
        }

        /** @throws BadInput when there is none of that name */
        static Size named(String name) {
            for (Size size : values()) {
                if (size.name().equalsIgnoreCase(name)) {
                    return size;
                }
            }
            throw new BadInput("paper", name, "use A4, A5 or letter");
        }

        public String css() {
            return css;
        }

        public String margin() {
            return margin;
        }

        /** mm between the margins. */
        public int wide() {
            return wide;
        }

        /** mm that a picture may be high. */
        public int high() {
            return high;
        }
    }

    /**
     * What stands on every sheet beside its answer.
     *
     * @param address at which the studio's pages are served, or an empty text
     * @param log how far the log had come, with its last hash, or an empty text
     */
    record Sheet(Size size, String address, String log) {
        private static final int MOST_HEADS = 3;
        private static final int HASH = 16;
        static final Sheet PLAIN = new Sheet(Size.A4, "", "");

        /** How far a log had come, so that a paper can be held against it. */
        static String told(EventLog log) {
            return "entry " + log.last() + " of the log, "
                    + log.heads().stream()
                            .limit(MOST_HEADS)
                            .map(head -> head.hash()
                                    .substring(0, Math.min(HASH, head.hash().length())))
                            .collect(Collectors.joining(" "));
        }

        /** What a code on it says: where the thing is shown or, while nothing is served, its id. */
        public String leadsTo(String id) {
            return address.isEmpty() ? id : address + "/thing/" + id;
        }
    }

    private static final int LONGEST_FOOT = 60;
    /** Fields that stand one below the other however short they are. */
    private static final int MOST_BELOW = 3;

    private Paper() {}

    /** Cautions that follow each other stand in one box, a line for each. */
    static List<Answer.Block> together(List<Answer.Block> blocks) {
        List<Answer.Block> together = new ArrayList<>();
        for (Answer.Block block : blocks) {
            int last = together.size() - 1;
            if (block instanceof Answer.Caution next
                    && last >= 0
                    && together.get(last) instanceof Answer.Caution before) {
                together.set(last, new Answer.Caution(before.text() + "\n" + next.text()));
            } else {
                together.add(block);
            }
        }
        return together;
    }

    /** As much of a title as goes onto one line at the foot. */
    static String brief(String title) {
        int letters = title.codePointCount(0, title.length());
        return letters <= LONGEST_FOOT
                ? title
                : title.substring(0, title.offsetByCodePoints(0, LONGEST_FOOT - 1)) + "…";
    }

    /** Whether a table is to be ticked off by hand, and needs room for it. */
    static boolean isTicked(Answer.Table table) {
        return table.rows().stream().anyMatch(row -> row.contains("☐"));
    }

    /** In how many columns fields stand: in two where all are short. */
    static int across(Answer.Fields fields, Size size) {
        int label = size.wide / 8;
        int value = size.wide / 5;
        return fields.fields().size() > MOST_BELOW
                        && fields.fields().stream()
                                .allMatch(field -> field.label().length() <= label
                                        && field.value().length() <= value
                                        && field.note().length() <= value)
                ? 2
                : 1;
    }

    /** The sheet of labels that an answer fills and nothing else; null for all other answers. */
    static Answer.@Nullable LabelSheet labels(Answer answer) {
        return answer.blocks().stream()
                .filter(Answer.Labels.class::isInstance)
                .map(block -> ((Answer.Labels) block).sheet())
                .findFirst()
                .orElse(null);
    }

    /**
     * An answer in one of the formats of {@link Drawn#FORMATS}.
     *
     * @throws BadInput when there is no such format
     */
    static byte[] as(String format, Answer answer, Card card) {
        return as(format, answer, card, Sheet.PLAIN);
    }

    static byte[] as(String format, Answer answer, Card card, Sheet sheet) {
        if (!Drawn.FORMATS.contains(format)) {
            throw new BadInput("format", format, "use one of " + String.join(", ", Drawn.FORMATS));
        }
        return format.equals("pdf")
                ? pdf(answer, card, sheet)
                : Drawn.as(format, answer).getBytes(StandardCharsets.UTF_8);
    }

    private static byte[] pdf(Answer answer, Card card, Sheet sheet) {
        // A sheet of labels has room for nothing else.
        Answer printed = labels(answer) == null
                ? answer
                : new Answer(
                        answer.title(),
                        answer.blocks().stream()
                                .filter(Answer.Labels.class::isInstance)
                                .limit(1)
                                .toList());
        StringOutput html = new StringOutput();
        TEMPLATES.render("paper.jte", java.util.Map.of("answer", printed, "asks", card.asks(), "sheet", sheet), html);
        Letters.Printable letters = Letters.here(printable(html.toString()));
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        try (BatikSVGDrawer drawings = new BatikSVGDrawer()) {
            PdfRendererBuilder builder = new PdfRendererBuilder()
                    .useSVGDrawer(drawings)
                    .withProducer("Slabside")
                    .usePdfUaAccessibility(true)
                    .withHtmlContent(letters.html(), null)
                    .useUnicodeBidiSplitter(new ICUBidiSplitter.ICUBidiSplitterFactory())
                    .useUnicodeBidiReorderer(new ICUBidiReorderer())
                    .toStream(out);
            letters.fonts().forEach((family, file) -> builder.useFont(file, family));
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
