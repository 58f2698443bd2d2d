package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;
import slabside.demo.Demo;
import slabside.host.Drawn;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Progress;
import slabside.studio.Studio;

/** Every paper of the made-up studio: whole, embedded, and with the same numbers as the answer that pages and JSON show. */
class PapersCheckedTest {
    @TempDir
    static Path folder;

    private static Studio studio;

    @BeforeAll
    static void write() {
        Demo.write(folder.resolve("data"), folder.resolve("config"), LocalDate.of(2026, 6, 15), ZoneOffset.UTC);
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC());
        studio.views().catchUp();
    }

    @AfterAll
    static void close() {
        studio.close();
    }

    private record Asked(String calculator, Map<String, String> replies, Paper.Size size) {
        Answer answer() {
            return studio.host().ask(studio.host().calculator(calculator), replies, Progress.NONE);
        }

        byte[] pdf(Answer answer) {
            Calculator of = studio.host().calculator(calculator);
            return Paper.as(
                    "pdf",
                    answer,
                    of.card(),
                    new Paper.Sheet(size, "https://192.168.1.20:4174", Paper.Sheet.told(studio.log())));
        }

        @Override
        public String toString() {
            return calculator + " " + replies + " " + size;
        }
    }

    private static final String EDITION = "Tidewrack, Four Fathoms";

    static List<Asked> papers() {
        List<Asked> papers = new ArrayList<>();
        Map<String, List<Map<String, String>>> asked = new LinkedHashMap<>();
        asked.put(
                "documentation-sheet",
                List.of(
                        Map.of("edition", EDITION),
                        Map.of("edition", EDITION, "law", "Maryland"),
                        Map.of("edition", EDITION, "law", "Hawaii"),
                        Map.of("edition", EDITION, "law", "New York"),
                        Map.of("edition", EDITION, "law", "California"),
                        Map.of("edition", EDITION, "law", "Illinois")));
        asked.put("recipe-card", List.of(Map.of("mix", "Heron grey HG-2"), Map.of("mix", "Slack water B2")));
        asked.put("bench-sheet", List.of(Map.of("mix", "Heron grey HG-2", "grams", "90")));
        asked.put(
                "run-sheet",
                List.of(
                        Map.of("run", "Weir, Slack Water"),
                        Map.of("run", "Weir, Slack Water", "as", "empty, to tally by hand")));
        asked.put("drawer-list", List.of(Map.of()));
        asked.put("materials-and-cost", List.of(Map.of("of", EDITION)));
        asked.put("time-and-materials", List.of(Map.of("edition", EDITION, "rate", "40", "currency", "EUR")));
        asked.put("stock", List.of(Map.of()));
        asked.put("studio-year", List.of(Map.of("year", "2026"), Map.of("year", "1999")));
        asked.put("mix-and-cautions", List.of(Map.of("mix", "Heron grey HG-2")));
        asked.put("trace-of-a-lot", List.of(Map.of("lot", "PB-3315")));
        asked.put("what-went-wrong", List.of(Map.of("run", "Weir, Slack Water"), Map.of("run", EDITION)));
        asked.put("topping-up", List.of(Map.of("run", "Weir, Slack Water", "charge", "6")));
        asked.forEach((calculator, all) -> all.forEach(replies -> {
            for (Paper.Size size : Paper.Size.values()) {
                papers.add(new Asked(calculator, replies, size));
            }
        }));
        return papers;
    }

    /** What of an answer is said in words and figures, as it is shown. */
    private static List<String> said(List<Answer.Block> blocks) {
        List<String> said = new ArrayList<>();
        for (Answer.Block block : blocks) {
            if (block instanceof Answer.Quantity quantity) {
                said.add(Drawn.number(quantity.value(), quantity.u()));
                said.add(quantity.label());
            } else if (block instanceof Answer.Table table) {
                table.rows().forEach(said::addAll);
            } else if (block instanceof Answer.Steps steps) {
                steps.steps().forEach(step -> {
                    said.add(step.text());
                    said.add(step.reading());
                });
            } else if (block instanceof Answer.Fields fields) {
                fields.fields().forEach(field -> {
                    said.add(field.label());
                    said.add(field.value().isEmpty() ? field.note() : field.value());
                });
            } else if (block instanceof Answer.Text text) {
                said.add(text.text());
            } else if (block instanceof Answer.Caution caution) {
                said.add(caution.text());
            } else if (block instanceof Answer.Assumption assumption) {
                said.add(assumption.text());
            } else if (block instanceof Answer.Deeper deeper) {
                said.addAll(said(deeper.blocks()));
            }
        }
        said.removeIf(word -> word.isEmpty() || word.equals("☐"));
        return said;
    }

    /** Lines are broken anywhere, and a table's head may stand between two lines of a cell. */
    private static String plain(String text) {
        return text.replaceAll("[\\s\\u00ad]+", "");
    }

    @ParameterizedTest
    @MethodSource("papers")
    void the_numbers_on_paper_are_those_of_the_answer(Asked asked) throws IOException {
        Answer answer = asked.answer();
        String text;
        byte[] pdf = asked.pdf(answer);
        PaperTest.inside(pdf, asked.toString());
        try (PDDocument document = Loader.loadPDF(pdf)) {
            text = plain(new PDFTextStripper().getText(document));
        }
        List<String> said = said(answer.blocks());
        assertFalse(said.isEmpty());
        for (String each : said) {
            assertTrue(text.contains(plain(each)), each + " is on paper: " + text);
        }
        // Cells in their order: a row whose cells are short stands on one line.
        for (Answer.Block block : answer.blocks()) {
            if (block instanceof Answer.Table table && asked.size != Paper.Size.A5) {
                for (List<String> row : table.rows()) {
                    if (row.stream().allMatch(cell -> cell.length() <= SHORT && !cell.equals("☐"))) {
                        assertTrue(text.contains(plain(String.join("", row))), row + " in its order: " + text);
                    }
                }
            }
        }
    }

    private static final int SHORT = 9;

    /** The page and the JSON, asked for over HTTP as anybody does, say what the paper says. */
    @Test
    void the_numbers_on_screen_and_in_json_are_those_of_the_paper() throws IOException, InterruptedException {
        HttpClient http = HttpClient.newHttpClient();
        try (Server server = Server.start(studio, 0)) {
            for (Asked asked : papers()) {
                if (asked.size == Paper.Size.A4) {
                    List<String> said = said(asked.answer().blocks());
                    String path = server.address() + "/calculators/" + asked.calculator;
                    String query = asked.replies.isEmpty()
                            ? "?_asked=1"
                            : asked.replies.entrySet().stream()
                                    .map(each -> each.getKey() + "="
                                            + URLEncoder.encode(each.getValue(), StandardCharsets.UTF_8))
                                    .collect(Collectors.joining("&", "?", ""));
                    String page = plain(got(http, path + query)
                            .replaceAll("(?s)<[^>]*>", "")
                            .replace("&lt;", "<")
                            .replace("&gt;", ">")
                            .replace("&#34;", "\"")
                            .replace("&#39;", "'")
                            .replace("&amp;", "&"));
                    JsonNode json = new ObjectMapper().readTree(got(http, path + "/as/json" + query));
                    Set<String> values = new HashSet<>();
                    values(json, values);
                    for (String each : said) {
                        assertTrue(page.contains(plain(each)), asked + ": " + each + " is on the page");
                    }
                    for (Answer.Block block : asked.answer().blocks()) {
                        if (block instanceof Answer.Table table) {
                            table.rows()
                                    .forEach(row -> row.forEach(cell -> assertTrue(
                                            values.contains(cell), asked + ": " + cell + " is in the JSON")));
                        } else if (block instanceof Answer.Quantity quantity) {
                            assertTrue(
                                    values.contains(Double.toString(quantity.value())),
                                    asked + ": " + quantity.value() + " is in the JSON");
                        }
                    }
                }
            }
        }
    }

    private static String got(HttpClient http, String address) throws IOException, InterruptedException {
        HttpResponse<String> got =
                http.send(HttpRequest.newBuilder(URI.create(address)).build(), HttpResponse.BodyHandlers.ofString());
        assertEquals(200, got.statusCode(), address);
        return got.body();
    }

    private static void values(JsonNode node, Set<String> into) {
        if (node.isValueNode()) {
            into.add(node.isNumber() ? Double.toString(node.doubleValue()) : node.asText());
        }
        node.forEach(each -> values(each, into));
    }

    private static boolean has(String tool) {
        try {
            return new ProcessBuilder(tool, "--version")
                            .redirectErrorStream(true)
                            .start()
                            .waitFor()
                    >= 0;
        } catch (IOException none) {
            return false;
        } catch (InterruptedException stopped) {
            Thread.currentThread().interrupt();
            return false;
        }
    }

    private static String ran(String... command) throws IOException, InterruptedException {
        Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
        String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        int code = process.waitFor();
        // The library that packs the objects counts two that are free; qpdf says so, and nothing else is let pass.
        boolean counted =
                said.lines().filter(line -> line.startsWith("WARNING")).count() == 1
                        && said.contains("is not one plus the highest object number");
        assertTrue(code == 0 || code == 3 && counted, String.join(" ", command) + ": " + said);
        return said;
    }

    /** With qpdf, pdffonts and pdftotext, general tools that share nothing with the library that wrote them. */
    @Test
    void papers_are_whole_for_other_peoples_tools() throws IOException, InterruptedException {
        assumeTrue(
                has("qpdf") && has("pdffonts") && has("pdftotext"),
                "qpdf or poppler-utils are not on this machine; their check of papers is skipped");
        for (Asked asked : papers()) {
            if (asked.size != Paper.Size.A4) {
                continue;
            }
            Answer answer = asked.answer();
            Path pdf = folder.resolve("paper.pdf");
            Files.write(pdf, asked.pdf(answer));
            String checked = ran("qpdf", "--check", pdf.toString());
            assertTrue(checked.contains("File is not encrypted"), asked + ": " + checked);
            List<String> fonts = ran("pdffonts", pdf.toString()).lines().skip(2).toList();
            assertFalse(fonts.isEmpty());
            for (String font : fonts) {
                assertTrue(font.matches(".*\\s+yes\\s+(yes|no)\\s+(yes|no)\\s+\\d+\\s+\\d+\\s*"), asked + ": " + font);
            }
            String pages = ran("pdfinfo", pdf.toString());
            assertTrue(pages.matches("(?s).*Title:\\s+\\S.*Tagged:\\s+yes.*"), asked + ": " + pages);
            String text = plain(ran("pdftotext", "-raw", pdf.toString(), "-"));
            for (Answer.Block block : answer.blocks()) {
                if (block instanceof Answer.Quantity quantity) {
                    String number = plain(Drawn.number(quantity.value(), quantity.u()));
                    assertTrue(text.contains(number), asked + ": " + number);
                }
            }
        }
    }

    @ParameterizedTest
    @ValueSource(strings = {"Weir, Slack Water", "Weir, Slack Water (over-charged instead)", EDITION})
    void what_went_wrong_stands_on_one_page_when_asked_so(String run) throws IOException {
        for (Paper.Size size : List.of(Paper.Size.A4, Paper.Size.LETTER)) {
            Asked asked = new Asked("what-went-wrong", Map.of("run", run, "as", "on one page"), size);
            try (PDDocument document = Loader.loadPDF(asked.pdf(asked.answer()))) {
                assertEquals(1, document.getNumberOfPages(), run + " on " + size);
            }
        }
    }

    /** The trade's made-up edition, whose sums were set down before this program: inks of each run and where they went. */
    @Test
    void the_inks_of_the_made_up_edition_add_up() {
        Map<String, List<String>> went = Map.of(
                "run 1", List.of("26.50", "22.00", "3.00", "38.50"),
                "run 2", List.of("9.00", "18.00", "4.00", "29.00"),
                "run 3", List.of("17.30", "28.70", "4.00", "40.00"),
                "run 4", List.of("4.60", "16.00", "2.50", "26.90"),
                "run 5", List.of("3.70", "15.00", "2.00", "24.30"));
        Answer answer = new Asked("materials-and-cost", Map.of("of", EDITION), Paper.Size.A4).answer();
        Answer.Table balance = table(answer, "Where it went");
        went.forEach((run, grams) -> {
            List<String> row = balance.rows().stream()
                    .filter(each -> each.get(0).contains(run))
                    .findFirst()
                    .orElseThrow();
            List<String> places = List.of("on paper, g", "washed up, g", "tests, g", "in packets, g");
            for (int i = 0; i < places.size(); i++) {
                assertEquals(
                        grams.get(i), row.get(balance.headings().indexOf(places.get(i))), run + ", " + places.get(i));
            }
        });
        Answer.Table materials = table(answer, "Ink, by material");
        assertTrue(materials.rows().stream()
                .anyMatch(row ->
                        row.get(0).equals("transparent base") && row.get(1).equals("231.80")));
    }

    private static Answer.Table table(Answer answer, String caption) {
        return answer.blocks().stream()
                .filter(Answer.Table.class::isInstance)
                .map(Answer.Table.class::cast)
                .filter(each -> each.caption().equals(caption))
                .findFirst()
                .orElseThrow();
    }

    /** 90 g of the trade's old grey, weighed out of the lots at hand. */
    @Test
    void the_bench_sheet_weighs_out_the_old_grey() {
        Answer answer =
                new Asked("bench-sheet", Map.of("mix", "Heron grey HG-2", "grams", "90"), Paper.Size.A4).answer();
        String steps = answer.blocks().stream()
                .filter(Answer.Steps.class::isInstance)
                .toList()
                .toString();
        for (String grams : List.of(
                "65.73 g of transparent base",
                "1.76 g of process blue",
                "1.40 g of black",
                "0.98 g of ochre",
                "0.48 g of rubine",
                "0.56 g of magnesium",
                "0.72 g of tack reducer")) {
            assertTrue(steps.contains(grams), grams + " in " + steps);
        }
        assertTrue(steps.contains("reading=90.00 g"), steps);
    }
}
