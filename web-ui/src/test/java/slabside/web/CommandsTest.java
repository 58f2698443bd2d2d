package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import slabside.log.SqlEventLog;

/** The command line as a user meets it, on the demo's folder. */
class CommandsTest {
    @TempDir
    static Path folder;

    private record Ran(int code, String out, String err) {}

    private static Ran slabside(String... arguments) {
        return in(folder.resolve("data"), arguments);
    }

    private static Ran in(Path data, String... arguments) {
        List<String> all = new ArrayList<>(List.of(arguments));
        all.addAll(List.of(
                "--data", data.toString(), "--config", folder.resolve("config").toString()));
        return bare(all.toArray(String[]::new));
    }

    private static Ran bare(String... arguments) {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        ByteArrayOutputStream err = new ByteArrayOutputStream();
        int code = Main.run(
                new PrintStream(out, true, StandardCharsets.UTF_8),
                new PrintStream(err, true, StandardCharsets.UTF_8),
                arguments);
        Ran ran = new Ran(code, out.toString(StandardCharsets.UTF_8), err.toString(StandardCharsets.UTF_8));
        assertFalse(ran.err.contains("\tat ") || ran.out.contains("\tat "), "a stack trace: " + ran.err + ran.out);
        return ran;
    }

    @BeforeAll
    static void demo() {
        Ran made = slabside("demo", "--no-serve");
        assertEquals(0, made.code, made.err);
    }

    @Test
    void the_demo_does_not_write_over_a_studio() {
        Ran again = slabside("demo", "--no-serve");
        assertEquals(1, again.code);
        assertTrue(again.err.contains("Name a new folder"), again.err);
    }

    @Test
    void ninety_grams_of_heron_grey_are_a_bench_sheet() {
        Ran ran = slabside("rebuild", "Heron grey HG-2", "--grams", "90");
        assertEquals(0, ran.code, ran.err);
        assertTrue(ran.out.contains("65.60  65.73"), ran.out);
        assertTrue(
                ran.out.indexOf("Lay out 65.73 g of transparent base")
                        < ran.out.indexOf("Fold in 1.76 g of process blue"),
                ran.out);
        assertTrue(ran.out.contains("scale then reads 90.00 g"), ran.out);
        assertTrue(ran.out.contains("slightly amber"), ran.out);
        assertTrue(ran.out.contains("safety data sheet"), ran.out);
    }

    @Test
    void on_a_coarser_scale_a_let_down_is_offered_and_the_rounding_shown() {
        Ran ran = slabside("rebuild", "Heron grey HG-2", "--grams", "90", "--step", "0,1");
        assertTrue(ran.out.contains("black is only 14 steps of this scale. Better: 14.0 g of a let-down"), ran.out);
        assertTrue(ran.out.contains("12.60 g less base"), ran.out);
        assertTrue(ran.out.contains("+0.04"), ran.out);
    }

    @Test
    void the_same_answer_comes_as_json_and_csv() throws IOException {
        JsonNode json = new ObjectMapper()
                .readTree(slabside("rebuild", "Heron grey HG-2", "--grams", "90", "--format", "json").out);
        String base = "";
        for (JsonNode block : json.get("blocks")) {
            if (block.path("kind").asText().equals("table")) {
                base = block.path("rows").path(0).path(4).asText();
            }
        }
        assertEquals("65.73", base);
        Ran csv = slabside("rebuild", "Heron grey HG-2", "--grams", "90", "--format", "csv");
        assertTrue(csv.out.contains("transparent base,72.892"), csv.out);
    }

    @Test
    void the_ink_of_an_ok_proof_is_found_by_edition_and_run() {
        Ran ran = slabside("rebuild", "Tidewrack, Four Fathoms", "--run", "4", "--grams", "50");
        assertEquals(0, ran.code, ran.err);
        assertTrue(ran.out.contains("when the OK proof went through run 4"), ran.out);
        Ran blend = slabside("rebuild", "Tidewrack, Four Fathoms", "--run", "3", "--side", "2", "--grams", "50");
        assertTrue(blend.out.contains("violet"), blend.out);
    }

    @Test
    void an_earlier_moment_gives_the_ink_as_it_was_then() {
        String when = slabside("rebuild", "Heron grey HG-2", "--grams", "90", "--at", "2020-01-01").err;
        assertTrue(when.contains("nothing was in it at that moment"), when);
    }

    @Test
    void a_trace_names_the_sheets() {
        Ran ran = slabside("trace", "Slack water B2");
        assertTrue(ran.out.contains("WS-23") && ran.out.contains("WS-36") && !ran.out.contains("WS-22"), ran.out);
    }

    @Test
    void calculators_are_listed_and_asked() {
        Ran list = slabside("calculate");
        assertTrue(list.out.contains("let-down: ") && list.out.contains("times=…"), list.out);
        Ran ran = slabside("calculate", "scale-a-mix", "mix=Slack water B1", "grams=20");
        assertEquals(2, ran.code, "B1 was wrapped, nothing is left in the cup");
        Ran packet = slabside("calculate", "ink-for-an-edition", "surface=flat", "width=38", "height=52", "sheets=60");
        assertEquals(0, packet.code, packet.err);
        assertTrue(packet.out.contains("From this studio's own runs"), packet.out);
    }

    @Test
    void verify_says_that_all_is_well_and_where_each_chain_ends() {
        Ran ran = slabside("verify");
        assertEquals(0, ran.code, ran.err);
        assertTrue(ran.out.contains("Every event is as it was written."), ran.out);
        assertTrue(ran.out.matches("(?s).*fingerprint [0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}.*"), ran.out);
    }

    @Test
    void an_export_is_imported_elsewhere_byte_for_byte() throws IOException {
        Path first = folder.resolve("first.jsonl");
        Path second = folder.resolve("second.jsonl");
        Path elsewhere = folder.resolve("elsewhere");
        assertEquals(0, slabside("export", first.toString()).code);
        assertEquals(2, slabside("export", first.toString()).code, "never writes over a file");
        assertEquals(0, in(elsewhere, "import", first.toString(), "--write").code);
        assertEquals(0, in(elsewhere, "export", second.toString()).code);
        assertEquals(-1, Files.mismatch(first, second));
        assertEquals(
                slabside("rebuild", "Heron grey HG-2", "--grams", "90", "--format", "json").out,
                in(elsewhere, "rebuild", "Heron grey HG-2", "--grams", "90", "--format", "json")
                        .out
                        .replace("person-orla", "Orla Fenwether (invented)"),
                "names of people stand outside the log");
    }

    @Test
    void a_notebook_is_shown_first_and_written_when_asked() throws IOException {
        Path book = folder.resolve("book.csv");
        Path studio = folder.resolve("book-studio");
        Files.writeString(book, "mix,material,amount\nSky,base,45\nSky,blue,5\n");
        Ran dry = in(studio, "import", book.toString());
        assertEquals(0, dry.code, dry.err);
        assertTrue(dry.out.contains("Nothing was written yet"), dry.out);
        assertTrue(in(studio, "trace", "Sky").err.contains("there is no thing of that name"));
        assertEquals(0, in(studio, "import", book.toString(), "--write").code);
        assertTrue(in(studio, "rebuild", "Sky", "--grams", "30").out.contains("Lay out 27"), "27 g of base");
        assertTrue(in(studio, "import", book.toString(), "--write").out.contains("all of them here already"));
        Files.writeString(book, "Sky,red,1\n", StandardOpenOption.APPEND);
        String more = in(studio, "import", book.toString(), "--write").out;
        assertTrue(more.contains("down to line 3 was imported before"), more);
        assertTrue(more.contains("3 rows, 1 of them new, gave 3 events, now in the log."), more);
    }

    @Test
    void mistakes_in_a_notebook_are_named_one_a_line() throws IOException {
        Path book = folder.resolve("bad.csv");
        Files.writeString(book, "mix,material,amount\nSky,base,-4\nSky,,5\n");
        Ran ran = in(folder.resolve("bad-studio"), "import", book.toString(), "--write");
        assertEquals(2, ran.code);
        assertEquals(3, ran.err.lines().count(), ran.err);
        assertTrue(ran.err.contains("line 2, column \"amount\": \"-4 g\""), ran.err);
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "rebuild;Heron gray;--grams;90|2|no thing of",
                "rebuild;Heron grey HG-2;--grams;-5|2|cannot be negative",
                "rebuild;Heron grey HG-2;--grams;0|2|above zero",
                "rebuild;Heron grey HG-2;--grams;1,500|2|write 1500 or 1.500",
                "rebuild;Heron grey HG-2|2|--grams",
                "rebuild;Heron grey HG-2;--grams;90;--format;pdf|2|use text, json or csv",
                "rebuild;Tidewrack, Four Fathoms;--run;9;--grams;50|2|this edition has runs",
                "calculate;no-such|2|there are: ",
                "calculate;let-down;times=2;mix=Heron grey HG-2|2|nothing is left in it",
                "calculate;let-down;times=2|2|Mix",
                "calculate;let-down;colour=red|2|there is no such question",
                "trace;ZZZZ|2|no thing of that name",
                "import;/no/such/file|2|there is no such file",
                "export;/no/such/folder/log.jsonl|2|name a file in a folder that exists",
                "rebuild;Heron grey HG-2;--grams;90;--at;yesterday|2|write a day as",
                "polish|2|Unmatched argument",
                "serve;--port;x|2|--port"
            })
    void a_refusal_is_one_line_that_says_what_to_do(String arguments, int code, String says) {
        Ran ran = slabside(arguments.split(";"));
        assertEquals(code, ran.code, ran.err + ran.out);
        assertEquals(1, ran.err.lines().count(), ran.err);
        assertTrue(ran.err.contains(says), ran.err);
    }

    @Test
    void a_folder_without_a_studio_is_named_with_the_remedy() {
        Ran ran = in(folder.resolve("nowhere"), "verify");
        assertEquals(1, ran.code);
        assertTrue(ran.err.contains("There is no studio in"), ran.err);
        assertFalse(Files.exists(folder.resolve("nowhere")), "asking makes nothing");
    }

    @Test
    void a_locked_studio_is_read_beside_its_writer_and_not_written() throws IOException {
        Path data = folder.resolve("locked");
        in(data, "demo", "--no-serve");
        Path book = folder.resolve("locked.csv");
        Files.writeString(book, "mix,material,amount\nSky,base,45\n");
        try (SqlEventLog holder = SqlEventLog.open(
                data, folder.resolve("config"), java.time.Clock.systemUTC(), new java.util.Random(1))) {
            holder.announce("the pages at http://127.0.0.1:4173");
            assertEquals(0, in(data, "rebuild", "Heron grey HG-2", "--grams", "90").code);
            Ran refused = in(data, "import", book.toString(), "--write");
            assertEquals(1, refused.code);
            assertTrue(refused.err.contains("http://127.0.0.1:4173"), refused.err);
        }
    }

    @Test
    void the_usual_folders_follow_each_system() {
        assertEquals(
                Path.of("/h/.local/share/slabside"),
                Folders.usual(Map.of(), "Linux", "/h").data());
        assertEquals(
                Path.of("/d/slabside"),
                Folders.usual(Map.of("XDG_DATA_HOME", "/d"), "Linux", "/h").data());
        assertEquals(
                Path.of("/h/Library/Application Support/Slabside"),
                Folders.usual(Map.of(), "Mac OS X", "/h").data());
        assertEquals(
                Path.of("/a/Slabside"),
                Folders.usual(Map.of("APPDATA", "/a"), "Windows 11", "/h").data());
    }

    @Test
    void help_and_version_are_there() {
        assertTrue(bare("--version").out.startsWith("Slabside "));
        assertTrue(bare("rebuild", "--help").out.contains("--grams"));
        assertTrue(bare().out.contains("Commands: demo"));
    }

    @Test
    void a_minute_or_a_second_that_was_typed_counts_to_its_end() {
        var utc = java.time.ZoneOffset.UTC;
        assertEquals(
                java.time.Instant.parse("2024-05-31T14:05:59.999Z").toEpochMilli(),
                Times.endOf("at", "2024-05-31T14:05", utc));
        assertEquals(
                java.time.Instant.parse("2024-05-31T14:05:30.999Z").toEpochMilli(),
                Times.endOf("at", "2024-05-31T14:05:30", utc));
        assertEquals(
                java.time.Instant.parse("2024-05-31T23:59:59.999Z").toEpochMilli(),
                Times.endOf("at", "2024-05-31", utc));
    }

    @Test
    void a_notebook_with_tabs_is_not_taken_for_an_exported_log() throws IOException {
        Path book = folder.resolve("tabs.csv");
        Files.writeString(
                book,
                "date\ttime\tmix\taction\tmaterial\tcan\tamount\tunit\tnote\r\n"
                        + "2024-05-31\t\t\treceived\tbase\tB-1\t500\tg\t\r\n");
        Ran ran = in(folder.resolve("tabs-studio"), "import", book.toString());
        assertEquals(0, ran.code, ran.err);
    }
}
