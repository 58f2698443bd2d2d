package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.google.zxing.BinaryBitmap;
import com.google.zxing.ChecksumException;
import com.google.zxing.DecodeHintType;
import com.google.zxing.FormatException;
import com.google.zxing.NotFoundException;
import com.google.zxing.RGBLuminanceSource;
import com.google.zxing.common.HybridBinarizer;
import com.google.zxing.qrcode.QRCodeReader;
import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.OptionalLong;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import javax.imageio.ImageIO;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.common.PDRectangle;
import org.apache.pdfbox.pdmodel.font.PDFont;
import org.apache.pdfbox.rendering.PDFRenderer;
import org.apache.pdfbox.text.PDFTextStripper;
import org.apache.pdfbox.text.TextPosition;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.host.Drawn;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Card;
import slabside.plugin.Json;
import slabside.plugin.Upload;

/** Every block of an answer on paper: readable, in embedded fonts, tagged, whatever letters it holds. */
class PaperTest {
    @TempDir
    Path folder;

    private static final Card CARD = new Card("tried", "Tried", "Does it print?");

    private static byte[] picture(String format) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        ImageIO.write(new BufferedImage(40, 30, BufferedImage.TYPE_INT_RGB), format, out);
        return out.toByteArray();
    }

    /** One of each, with what tends to break. */
    private static Answer everything(String odd) throws IOException {
        List<List<String>> rows = new ArrayList<>();
        for (int i = 1; i <= 120; i++) {
            rows.add(List.of("row " + i, String.valueOf(i), odd));
        }
        return Answer.titled("Everything " + odd)
                .heading("A heading " + odd)
                .text("Some words " + odd)
                .quantity("mass", 12.5, "g", "weighed " + odd)
                .table("A long table", List.of("what", "n", "words"), rows)
                .table("An empty table", List.of("what", "n"), List.of())
                .with(new Answer.Steps(
                        List.of(new Answer.Step("do this " + odd, "12.5 g"), new Answer.Step("then that", ""))))
                .with(new Answer.Strip(
                        "A strip",
                        List.of(new Answer.Part("base " + odd, 0.9, ""), new Answer.Part("blue", 0.1, "#203060"))))
                .with(new Answer.Swatches(
                        "Colours",
                        List.of(
                                new Answer.Swatch("blue " + odd, "#203060", "a guess"),
                                new Answer.Swatch("none", "\" onload=\"x", ""))))
                .with(new Answer.Picture("A picture", Upload.of("p.png", "image/png", picture("png"))))
                .with(new Answer.Picture("A photo", Upload.of("p.jpg", "", picture("jpg"))))
                .with(new Answer.Chart(
                        "A chart " + odd,
                        "pull",
                        "density",
                        List.of(new Answer.Point(1, 1.4), new Answer.Point(2, 1.5)),
                        List.of(new Answer.Mark(2, "lunch " + odd, true, "")),
                        List.of(new Answer.Band(1.3, 1.4, 1.5, "band"))))
                .chart("A chart of nothing", "pull", "density", List.of())
                .chart("A chart of one value", "pull", "density", List.of(new Answer.Point(1e6, 1e-9)))
                .assumption("the moon is up", "assumption")
                .caution("Mind the solvent " + odd)
                .with(new Answer.Link("an entry", "01890000-0000-7000-8000-000000000001"))
                .with(new Answer.Ask("ask on", "let-down", Map.of("mix", odd)))
                .with(new Answer.Fields(
                        "Fields",
                        List.of(
                                new Answer.Field("Artist " + odd, "somebody " + odd, ""),
                                new Answer.Field("Publisher", "", "not known"),
                                new Answer.Field("Signature", "", ""))))
                .with(new Answer.Boxes("Dabs", List.of("wet " + odd, "dry", "over black", "as printed", "old")))
                .with(new Answer.Code("The thing itself " + odd, "mix-9wz4x2k7p3m1h8qd"))
                .with(new Answer.Timer("Spread", 60))
                .with(new Answer.Proposed(
                        "An entry",
                        List.of(new Answer.Proposal(
                                "plugin.a.read", 1, Json.fields(), "read it " + odd, List.of(), OptionalLong.empty()))))
                .with(new Answer.Deeper("Deeper", List.of(new Answer.Text("deep down " + odd))));
    }

    private static String text(byte[] pdf) throws IOException {
        try (PDDocument document = Loader.loadPDF(pdf)) {
            assertEquals("en", document.getDocumentCatalog().getLanguage());
            assertTrue(document.getDocumentCatalog().getMarkInfo().isMarked(), "tagged");
            for (PDPage page : document.getPages()) {
                for (var name : page.getResources().getFontNames()) {
                    PDFont font = page.getResources().getFont(name);
                    assertTrue(font.isEmbedded(), font.getName() + " is embedded");
                }
            }
            PDFTextStripper stripper = new PDFTextStripper();
            for (int page = 1; page <= document.getNumberOfPages(); page++) {
                stripper.setStartPage(page);
                stripper.setEndPage(page);
                assertTrue(
                        stripper.getText(document)
                                        .strip()
                                        .replaceAll("Slabside · .*|entry 12 of .*|\\d+ / \\d+", "")
                                        .strip()
                                        .length()
                                > 20,
                        "page " + page + " is not blank");
            }
            stripper.setStartPage(1);
            stripper.setEndPage(document.getNumberOfPages());
            return stripper.getText(document).replaceAll("\\s+", " ");
        }
    }

    private static Answer.Labels labels(int count) {
        List<Answer.Label> labels = new ArrayList<>();
        for (int i = 0; i < count; i++) {
            labels.add(new Answer.Label(
                    "packet-" + i, "AB" + (10 + i % 90), "Heron grey " + i, List.of("19.0 g", "HOLDS drier"), "dab"));
        }
        return new Answer.Labels(
                "labels", new Answer.LabelSheet("A4, 3 x 7", 210, 297, 63.5, 38.1, 3, 7, 7.2, 15.1, 66, 38.1), labels);
    }

    /** 21 on a sheet: 22 labels are two sheets, none blank; each letter of the last is there. */
    @Test
    void labels_fill_their_sheets() throws IOException {
        byte[] pdf = Paper.as("pdf", Answer.titled("Labels").with(labels(22)).caution("no room for this"), CARD);
        try (PDDocument document = Loader.loadPDF(pdf)) {
            assertEquals(2, document.getNumberOfPages());
            assertEquals(210 / 25.4 * 72, document.getPage(0).getMediaBox().getWidth(), 1);
            PDFTextStripper stripper = new PDFTextStripper();
            stripper.setStartPage(2);
            String second = stripper.getText(document);
            assertTrue(second.contains("AB31") && second.contains("HOLDS drier"), second);
        }
        assertTrue(Drawn.text(Answer.titled("Labels").with(labels(3))).contains("AB12  Heron grey 2"));
        assertThrows(
                BadInput.class,
                () -> new Answer.LabelSheet("too wide", 100, 100, 63.5, 38.1, 3, 7, 7.2, 15.1, 66, 38.1));
    }

    /** Read back with zxing, an open decoder, from a picture of the page at 300 dots to the inch. */
    @Test
    void a_code_leads_back_to_its_thing_on_every_size()
            throws IOException, NotFoundException, ChecksumException, FormatException {
        for (Paper.Size size : Paper.Size.values()) {
            byte[] pdf = Paper.as(
                    "pdf",
                    Answer.titled("A card").with(new Answer.Code("The ink itself", "mix-9wz4x2k7p3m1h8qd")),
                    CARD,
                    new Paper.Sheet(size, "https://192.168.1.20:4174", "entry 12 of the log, 0123456789abcdef"));
            try (PDDocument document = Loader.loadPDF(pdf)) {
                BufferedImage page = new PDFRenderer(document).renderImageWithDPI(0, 300);
                int[] pixels = page.getRGB(0, 0, page.getWidth(), page.getHeight(), null, 0, page.getWidth());
                String read = new QRCodeReader()
                        .decode(
                                new BinaryBitmap(new HybridBinarizer(
                                        new RGBLuminanceSource(page.getWidth(), page.getHeight(), pixels))),
                                Map.of(DecodeHintType.TRY_HARDER, true))
                        .getText();
                assertEquals("https://192.168.1.20:4174/thing/mix-9wz4x2k7p3m1h8qd", read);
                PDRectangle box = document.getPage(0).getMediaBox();
                // ISO 216 and ANSI A, in points of 1/72 inch.
                assertEquals(
                        switch (size) {
                            case A4 -> 297 / 25.4 * 72;
                            case A5 -> 210 / 25.4 * 72;
                            case LETTER -> 11 * 72;
                        },
                        box.getHeight(),
                        1);
            }
            assertTrue(text(pdf).contains("entry 12 of the log, 0123456789abcdef"), "how far the log had come");
        }
        assertThrows(BadInput.class, () -> Paper.Size.named("A3"));
    }

    @Test
    void every_kind_of_block_is_on_paper_and_in_every_other_form() throws IOException {
        Answer answer = everything("& <b>\"so\"</b>");
        // Labels fill their sheets alone: they have a test of their own.
        Answer all = answer.with(labels(1));
        for (Class<?> kind : Answer.Block.class.getPermittedSubclasses()) {
            assertTrue(all.blocks().stream().anyMatch(kind::isInstance), kind.getSimpleName() + " is tried here");
        }
        String paper = text(Paper.as("pdf", answer, CARD));
        String plain = Drawn.text(answer);
        String csv = Drawn.csv(answer);
        for (String each : List.of(
                "A heading & <b>\"so\"</b>",
                "Some words & <b>\"so\"</b>",
                "12.5 g",
                "row 120",
                "do this & <b>",
                "lunch & <b>",
                "the moon is up",
                "Mind the solvent & <b>",
                "60 s",
                "read it & <b>",
                "deep down & <b>")) {
            assertTrue(paper.contains(each), each + " on paper: " + paper);
            assertTrue(plain.replaceAll("\\s+", " ").contains(each), each + " as text");
        }
        assertTrue(paper.contains("base & <b>\"so\"</b> 90.0 %, blue 10.0 %"), paper);
        assertTrue(paper.split("what n words", -1).length > 3, "heads of a long table are repeated: " + paper);
        assertTrue(csv.contains("read it &") && csv.contains("timer,Spread,60"), csv);
    }

    /** Every letter that is drawn lies on its sheet. */
    static void inside(byte[] pdf, String what) throws IOException {
        try (PDDocument document = Loader.loadPDF(pdf)) {
            List<String> outside = new ArrayList<>();
            PDFTextStripper stripper = new PDFTextStripper() {
                @Override
                protected void processTextPosition(TextPosition text) {
                    if (text.getX() < 0
                            || text.getX() + text.getWidth() > text.getPageWidth()
                            || text.getY() < 0
                            || text.getY() > text.getPageHeight()) {
                        outside.add(text.getUnicode() + " at " + text.getX() + ", " + text.getY());
                    }
                    super.processTextPosition(text);
                }
            };
            stripper.getText(document);
            assertEquals(List.of(), outside.stream().limit(5).toList(), what);
        }
    }

    @Test
    void letters_of_any_kind_break_nothing() throws IOException {
        for (String odd : List.of(
                "\u0000\u0007\u001b",
                "\ud83c\udfa8 \ud800 \uffff",
                "\u0644\u064a\u062b\u0648 \u77f3\u7248\u753b",
                "]]> --> &#0; </style></body>",
                "→ ⌀ µ σ ₂ Δ ≤",
                "a".repeat(4_000),
                "A very long title of an edition, as artists like them, ".repeat(12),
                "")) {
            for (Paper.Size size : Paper.Size.values()) {
                inside(
                        Paper.as("pdf", everything(odd), CARD, new Paper.Sheet(size, "", "")),
                        odd.substring(0, Math.min(20, odd.length())) + " on " + size);
            }
            byte[] pdf = Paper.as("pdf", everything(odd), CARD);
            assertTrue(text(pdf).contains("An empty table"), odd);
            assertFalse(Drawn.as("json", everything(odd)).isEmpty());
        }
    }

    /** From a font of the machine where it has one: here the one that PDFBox brings, with Hebrew in it and no Chinese. */
    @Test
    void a_letter_that_no_font_has_is_told_by_its_code_point() throws IOException {
        Path font = folder.resolve("liberation.ttf");
        try (InputStream in =
                PDDocument.class.getResourceAsStream("/org/apache/pdfbox/resources/ttf/LiberationSans-Regular.ttf")) {
            Files.copy(in, font);
        }
        Files.writeString(folder.resolve("no font at all.ttf"), "nothing");
        Letters letters =
                new Letters(() -> List.of(folder.resolve("no font at all.ttf").toUri(), font.toUri()));
        Letters.Printable page = letters.printable(
                "<html><head><title>\u05d0\u77f3</title></head><p class=\"a > \u77f3\">é \u05d0 \u77f3\ud83c\udfa8\ufe0f</p>"
                        + "<svg><text>\u05d0\u77f3</text></svg>");
        assertEquals(
                "<html><head><title>\u05d0\u77f3</title></head><p class=\"a > \u77f3\">é \u05d0 "
                        + "<span class=\"letter\">U+77F3</span><span class=\"letter\">U+1F3A8</span>\ufe0f</p>"
                        + "<svg><text>U+05D0U+77F3</text></svg>",
                page.html());
        assertEquals(Map.of("Other0", font.toFile()), page.fonts());
        assertEquals(
                "<p>\u77f3 only in a <b>tag</b></p>".replace("\u77f3", "<span class=\"letter\">U+77F3</span>"),
                new Letters(List::of)
                        .printable("<p>\u77f3 only in a <b>tag</b></p>")
                        .html());
    }

    /** From right to left (Unicode Standard Annex 9): the first letter of a word stands farthest right. */
    @Test
    void what_is_read_from_right_to_left_is_set_so() throws IOException {
        String word = "\u05d0\u05d1\u05d2";
        byte[] pdf = Paper.as(
                "pdf",
                Answer.titled("Right to left")
                        .text("a word " + word + " in Hebrew, or its code points where no font has them"),
                CARD);
        try (PDDocument document = Loader.loadPDF(pdf)) {
            List<String> places = new ArrayList<>();
            PDFTextStripper stripper = new PDFTextStripper() {
                @Override
                protected void processTextPosition(TextPosition text) {
                    if (word.contains(text.getUnicode())) {
                        places.add(String.format(Locale.ROOT, "%07.2f %s", text.getX(), text.getUnicode()));
                    }
                    super.processTextPosition(text);
                }
            };
            String said = stripper.getText(document);
            Collections.sort(places);
            String set = places.stream().map(place -> place.substring(8)).collect(Collectors.joining());
            assertTrue(set.equals("\u05d2\u05d1\u05d0") || said.contains("U+05D0"), set + " in " + said);
        }
    }

    @Test
    void an_answer_of_every_length_has_no_blank_page() throws IOException {
        for (Paper.Size size : Paper.Size.values()) {
            int fewest = size == Paper.Size.A5 ? 14 : 30;
            for (int lines : IntStream.concat(IntStream.range(fewest, fewest + 16), IntStream.of(0, 1, 200))
                    .toArray()) {
                Answer answer = Answer.titled("Lines");
                for (int i = 0; i < lines; i++) {
                    answer = answer.text(
                            "line " + i + " with enough words on it to be seen by whoever looks for it on a page");
                }
                text(Paper.as(
                        "pdf",
                        answer.text("the end of it, and nothing comes after this line on any page at all"),
                        CARD,
                        new Paper.Sheet(size, "", "entry 12 of the log, 0123456789abcdef")));
            }
        }
    }

    @Test
    void a_title_may_hold_any_sign() throws IOException {
        for (String title :
                List.of("6\" roller", "back\\\\", "two\nlines", "} body { display: none", "</style>", "Δ for Ω")) {
            String paper = text(Paper.as(
                    "pdf", Answer.titled(title).text("what it says, in words enough to be seen on a page"), CARD));
            assertTrue(paper.contains("what it says"), title);
            assertTrue(paper.contains("Slabside · " + title.replaceAll("\\s+", " ")), title + " at the foot: " + paper);
        }
    }

    /** Ticks that differ by less than a double can show once filled the memory. */
    @Test
    void a_chart_of_equal_values_is_drawn() {
        for (double[] pair :
                new double[][] {{0.3, 0.1 + 0.2}, {1e300, 1e300}, {0, 5e-324}, {-1e-9, 1e9}, {1e15, 1e15 + 0.125}}) {
            String drawn = Pictures.chart(new Answer.Chart(
                    "c",
                    "pull",
                    "value",
                    List.of(new Answer.Point(1, pair[0]), new Answer.Point(2, pair[1])),
                    List.of()));
            assertTrue(drawn.length() < 4_000 && drawn.contains("circle") && !drawn.contains("NaN"), drawn);
        }
    }

    @Test
    void a_number_keeps_the_digits_before_its_point() {
        assertEquals("12346", Drawn.number(12345.6, 0));
        assertEquals("1235", Drawn.number(1234.56, 0));
        assertEquals("1234568", Drawn.number(1234567.5, 0));
        assertEquals("12.35", Drawn.number(12.3456, 0));
        assertEquals("0.0001235", Drawn.number(0.000123456, 0));
        String csv = Drawn.csv(Answer.titled("t").with(new Answer.Quantity("q", 1234.567, 0.01, "g", "")));
        assertTrue(csv.contains("quantity,q,1234.567,0.02,g,"), csv);
    }

    @Test
    void there_is_no_other_format() {
        assertThrows(BadInput.class, () -> Paper.as("docx", everything(""), CARD));
    }

    @Test
    void the_formats_are_those_that_pages_link_to() throws IOException {
        for (String format : Drawn.FORMATS) {
            assertTrue(Paper.as(format, everything(""), CARD).length > 100, format);
        }
        assertEquals(
                4,
                Stream.of("pdf", "csv", "json", "text")
                        .filter(Drawn.FORMATS::contains)
                        .count());
    }
}
