package slabside.notebook;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import slabside.event.InkEvent;
import slabside.event.LogEvent;
import slabside.event.MaterialRole;
import slabside.event.ShelfEvent;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.ink.Contents;
import slabside.log.Decision;
import slabside.log.Samples;
import slabside.measure.Amount;
import slabside.measure.BadInput;
import slabside.studio.Studio;
import slabside.views.Thing;

/** Notebooks as people keep them, with and without mistakes. All invented. */
class NotebookTest {
    private static final String GOOD = """
            date,time,mix,action,material,can,amount,unit,note
            2024-05-30,,,received,transparent base,B-17,1,kg,
            2024-05-30,,,received,green,G-2,250,g,
            2024-05-31,10:40,River green,,transparent base,B-17,45.0,g,
            ,,River green,,green,G-2,4.5,g,
            ,10:55,River green,set aside,,,12.5,g,slab was full
            ,,River green,,green,G-2,0.4-0.8,g,bluer
            ,,River green,agreed,,,,,as on the proof
            """;

    @TempDir
    Path folder;

    private final Random random = new Random(9);
    private Studio studio;

    @BeforeEach
    void open() {
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Samples.CLOCK);
    }

    @AfterEach
    void close() {
        studio.close();
    }

    private Notebook read(String text, boolean newCans) {
        return read(text.getBytes(StandardCharsets.UTF_8), newCans);
    }

    private Notebook read(byte[] file, boolean newCans) {
        return NotebookReader.read(
                file,
                studio.views(),
                new NotebookReader.Settings(
                        ZoneOffset.UTC, Samples.ACTOR, Optional.empty(), newCans, Samples.NOW.toEpochMilli()));
    }

    private ThingId write(Notebook notebook, String mix) {
        assertEquals(List.of(), notebook.problems());
        studio.append(Decision.of(notebook.drafts()));
        return studio.views().named("mix", mix).id();
    }

    private double share(Contents contents, String material) {
        return contents.byMaterial(studio.ledger()::material).stream()
                .filter(part -> studio.name(part.id()).equals(material))
                .mapToDouble(part -> part.share().value())
                .sum();
    }

    @Test
    void a_notebook_gives_a_mix_that_can_be_rebuilt() {
        ThingId mix = write(read(GOOD, false), "River green");
        Contents contents = studio.ledger().now(mix);
        // 45.0 and 4.5, less 12.5 of the two, and 0.6 by eye.
        double base = 45 * 37 / 49.5;
        double green = 4.5 * 37 / 49.5 + 0.6;
        assertEquals(base / (base + green), share(contents, "transparent base"), 1e-12);
        assertEquals(
                MaterialRole.BASE,
                studio.shelf()
                        .material(studio.views()
                                .named("material", "transparent base")
                                .id())
                        .role());
        assertEquals(
                1000 - 45,
                studio.ledger()
                        .left(studio.views().named("can", "B-17").id())
                        .grams()
                        .orElseThrow()
                        .value(),
                1e-9);
    }

    @Test
    void the_same_file_imported_again_adds_nothing() {
        write(read(GOOD, false), "River green");
        long last = studio.log().last();
        write(read(GOOD, false), "River green");
        assertEquals(last, studio.log().last());
    }

    @ParameterizedTest
    @ValueSource(strings = {"\n", "\r\n"})
    void a_notebook_that_was_written_on_adds_its_new_rows_only(String end) {
        String first = "mix,action,material,can,amount,note\nSky,,base,,45,\nSky,set aside,,,5,".replace("\n", end);
        String second = first + end + ",received,red,R-1,500," + end + "Sky,,red,R-1,1,\"two" + end + "lines\"" + end;
        String third = second + "Dusk,,base,,10," + end;
        ThingId sky = write(read(first, true), "Sky");
        long last = studio.log().last();
        assertEquals(2, moves(sky));
        Notebook more = read(second, true);
        assertTrue(more.remarks().get(0).contains("down to line 3 was imported before"), more.remarks()::toString);
        assertEquals(sky, write(more, "Sky"));
        assertEquals(last + 3, studio.log().last(), "the material, its can, and what was taken of it");
        assertEquals(3, moves(sky));
        Notebook most = read(third, true);
        assertTrue(most.remarks().get(0).contains("down to line 6 was imported before"), most.remarks()::toString);
        ThingId dusk = write(most, "Dusk");
        assertEquals(3, moves(sky), "nothing came in again");
        assertEquals(1, moves(dusk));
        assertEquals(last + 5, studio.log().last());
        write(read(third, true), "Dusk");
        write(read(third + end, true), "Dusk");
        assertEquals(last + 5, studio.log().last(), "nothing is new in it");
        assertEquals(40.0 / 41, share(studio.ledger().now(sky), "base"), 1e-12);
    }

    private int moves(ThingId mix) {
        return studio.ledger().steps(mix).size();
    }

    @Test
    void rows_that_were_imported_stay_before_those_that_date_their_mix() {
        String first = "date,mix,action,material,amount\n,Sky,,base,45\n,Sky,thrown away,,30\n";
        ThingId sky = write(read(first, true), "Sky");
        write(read(first + "2024-05-31,Sky,,blue,5\n2024-06-02,Sky,,blue,5\n", true), "Sky");
        assertEquals(4, moves(sky));
        assertEquals(15 / 25.0, share(studio.ledger().now(sky), "base"), 1e-12);
    }

    @Test
    void new_rows_go_on_with_the_things_of_the_old_ones_however_they_are_called_by_now() {
        String first = "mix,action,material,can,amount\n,received,Black,7,500\nSky,,Black,7,10\n";
        write(read(first, false), "Sky");
        ThingId can = studio.views().named("can", "7").id();
        ThingId other = new ThingId("material-other");
        append(new ShelfEvent.MaterialListed(other, "Black", MaterialRole.INK, null, null, null, null));
        append(new LogEvent.SameThing(
                studio.views().thing(can).map(Thing::of).map(ThingId::new).orElseThrow(), other));
        append(new ShelfEvent.CanReceived(
                new ThingId("can-other"), other, "7", null, Amount.net("grams", "100"), null, null, null));
        Notebook more = read(first + "Sky,,Black,7,20\n", false);
        assertEquals(1, more.fresh());
        write(more, "Sky");
        assertEquals(470, studio.ledger().left(can).grams().orElseThrow().value(), 1e-9, "of the can of the notebook");
        Notebook again = read("can,mix,action,material,amount\n7,,received,Black,500\n", false);
        assertTrue(
                again.remarks().get(0).contains("a can 7 of Black is in the log already"), again.remarks()::toString);
    }

    @Test
    void a_mix_that_was_taken_out_of_the_log_takes_no_new_rows() {
        String first = "mix,material,amount\nSky,base,45\n";
        Notebook notebook = read(first, true);
        write(notebook, "Sky");
        notebook.drafts().forEach(draft -> append(new LogEvent.Voided(draft.id(), null)));
        assertEquals(0, read(first, true).fresh(), "what was taken out stays out");
        Notebook more = read(first + "Sky,base,5\n", true);
        assertEquals("mix", more.problems().get(0).column(), more.problems()::toString);
    }

    @ParameterizedTest
    @ValueSource(strings = {"\n", ",,\n", "\r\n,,\r\n\r\n", " , ,\n"})
    void blank_lines_at_the_end_of_an_earlier_file_hide_nothing(String blank) {
        String first = "mix,material,amount\nSky,base,45\n" + blank;
        ThingId sky = write(read(first, true), "Sky");
        assertEquals(0, read(first, true).fresh());
        assertEquals(0, read(first + blank, true).fresh());
        Notebook more = read(first + "Sky,base,5\n", true);
        assertEquals(1, more.fresh());
        write(more, "Sky");
        assertEquals(2, moves(sky));
    }

    @Test
    void a_file_whose_last_line_break_is_gone_is_the_same_file() {
        String file = "mix,material,amount\r\nSky,base,45\r\n";
        write(read(file, true), "Sky");
        assertEquals(0, read(file.strip(), true).fresh());
    }

    @Test
    void a_return_within_a_cell_is_no_end_of_a_line() {
        String first = "mix,material,amount,note\nSky,base,10,\"a\rb\"\nSky,base,5,\nSky,base,3,\n";
        write(read(first, true), "Sky");
        Notebook more = read(first + "Sky,base,2,\n", true);
        assertEquals(4, more.fresh(), "nothing is taken for known");
        assertTrue(more.remarks().get(0).contains("is in the log already"), more.remarks()::toString);
    }

    @Test
    void a_file_that_came_in_whole_elsewhere_goes_on_with_its_own_mix() {
        String first = "mix,material,amount\nSky,base,45\n";
        String second = first + "Sky,base,5\n";
        Notebook elsewhere = read(second, true);
        ThingId whole = ((InkEvent.MixStarted) elsewhere.drafts().get(0).event()).mix();
        write(read(first, true), "Sky");
        studio.append(Decision.of(elsewhere.drafts()));
        Notebook third = read(second + "Sky,base,1\n", true);
        studio.append(Decision.of(third.drafts()));
        assertEquals(1, third.fresh());
        studio.views().catchUp();
        assertEquals(3, moves(whole));
    }

    private void append(StudioEvent event) {
        studio.append(Decision.of(Samples.draft(random, event)));
        studio.views().catchUp();
    }

    @Test
    void a_mix_whose_name_is_in_the_log_is_said_to_be_another_one() {
        write(read("mix,material,amount\nSky,base,45\n", true), "Sky");
        Notebook changed = read("mix,material,amount\nSky,base,46\n", true);
        assertTrue(
                changed.remarks().stream()
                        .anyMatch(remark -> remark.contains("a mix called Sky is in the log already")),
                changed.remarks()::toString);
    }

    @Test
    void rows_keep_the_order_of_the_notebook_though_most_have_no_time() {
        String late = "mix,action,material,amount\nA,,red,10\nA,taken out,,5\nA,,blue,5\n";
        ThingId mix = write(read(late, true), "A");
        assertEquals(0.5, share(studio.ledger().now(mix), "red"), 1e-12);
    }

    @Test
    void rows_with_and_without_a_time_keep_the_order_of_the_notebook() {
        String mixed = "date,time,mix,action,material,amount\n"
                + "2024-05-01,,A,,red,50\n"
                + "2024-05-01,10:05,A,taken out,,25\n"
                + ",,A,,blue,25\n"
                + "2024-05-02,09:00,A,taken out,,10\n"
                + "2024-05-02,,A,,red,10\n";
        ThingId mix = write(read(mixed, true), "A");
        Contents contents = studio.ledger().now(mix);
        assertEquals(50, contents.grams().value(), 1e-9);
        assertEquals(20 / 50.0, share(contents, "blue"), 1e-9);
        assertTrue(contents.gaps().isEmpty(), contents.gaps().toString());
    }

    @Test
    void rows_before_the_first_date_of_a_mix_count_as_of_that_day() {
        String undated = "date,mix,action,material,amount\n,A,,red,50\n2024-05-01,A,taken out,,25\n";
        ThingId mix = write(read(undated, true), "A");
        assertEquals(25, studio.ledger().now(mix).grams().value(), 1e-9);
        assertTrue(studio.ledger().lacking(mix).isEmpty());
    }

    @Test
    void a_comma_that_may_be_a_thousands_mark_is_refused_unless_the_file_shows_its_sign() {
        Notebook unclear = read("mix;material;amount\nSky;base;1,500\nSky;blue;5\n", true);
        assertEquals("amount", unclear.problems().get(0).column());
        assertTrue(
                unclear.problems().get(0).remedy().contains("1500"),
                unclear.problems().toString());
        assertEquals(
                List.of(),
                read("mix;material;amount\nSky;base;1,500\nSky;blue;2,5\n", true)
                        .problems());
    }

    @Test
    void problems_are_named_by_the_line_of_the_file_whatever_is_blank_or_broken_over_lines() {
        String gaps = "mix,material,amount,note\n\nSky,base,5,\n,,,\nSky,blue,1,\"first\nsecond\"\nSky,red,-2,\n";
        Notebook notebook = read(gaps, true);
        assertEquals(1, notebook.problems().size(), notebook.problems().toString());
        assertEquals(7, notebook.problems().get(0).line());
    }

    @Test
    void decimal_commas_semicolons_and_parts_are_read() {
        String comma =
                "mix;material;amount;unit\nSky;base;9;parts\nSky;blue;1;parts\nSea;base;12,5;g\nSea;blue;2,5;g\n";
        Notebook notebook = read("\uFEFF" + comma, true);
        ThingId sky = write(notebook, "Sky");
        assertEquals(0.9, share(studio.ledger().now(sky), "base"), 1e-12);
        ThingId sea = studio.views().named("mix", "Sea").id();
        assertEquals(15, studio.ledger().now(sea).grams().value(), 1e-12);
    }

    @Test
    void five_mistakes_are_named_by_line_and_column_and_nothing_is_imported() {
        String bad = GOOD
                + "2024-06-01,,River green,,green,G-2,-3,g,\n"
                + "2024-06-01,,River green,,green,G-9,3,g,\n"
                + "2099-06-01,,River green,,green,G-2,3,g,\n"
                + "2024-06-01,,River green,,green,G-2,\"1,5\",g,\n"
                + "2024-13-01,,River green,poured,green,G-2,3,oz,\n";
        Notebook notebook = read(bad, false);
        assertEquals(5, notebook.problems().size(), notebook.problems().toString());
        assertEquals(
                List.of("9 amount", "10 can", "11 date", "12 amount", "13 action"),
                notebook.problems().stream()
                        .map(p -> p.line() + " " + p.column())
                        .toList());
        assertTrue(notebook.drafts().isEmpty());
        assertEquals(0, studio.log().last());
        assertTrue(notebook.problems().get(0).toString().contains("cannot be negative"));
        assertTrue(notebook.problems().get(3).remedy().contains("decimal sign here"));
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "Sky;red;1.2345;g|amount",
                "Sky;red;3;oz|unit",
                "Sky;;3;g|material",
                ";red;3;g|mix",
                "Sky;red;three;g|amount",
                "Sky;red;1.500,2;g|amount",
                "Sky;red;5-2;g|amount",
                "Sky;red;0;g|amount"
            })
    void a_bad_cell_is_named_by_its_column(String row, String column) {
        Notebook notebook = read("mix;material;amount;unit\n" + row + "\n", true);
        assertEquals(
                List.of(column),
                notebook.problems().stream().map(Notebook.Problem::column).toList(),
                notebook.problems().toString());
        assertEquals(2, notebook.problems().get(0).line());
    }

    @Test
    void a_heading_that_is_missing_or_unknown_is_named() {
        assertEquals(
                "amount", read("mix,material\nA,red\n", true).problems().get(0).column());
        assertEquals(
                "colour",
                read("mix,material,amount,colour\nA,red,1,x\n", true)
                        .problems()
                        .get(0)
                        .column());
        assertEquals(1, read("mix,material,amount\n", true).problems().size(), "no rows");
        assertEquals(
                1,
                read("", true).problems().stream()
                        .filter(p -> p.column().equals("mix"))
                        .count());
    }

    @Test
    void another_encoding_is_refused_with_the_remedy() {
        byte[] latin = "mix,material,amount\nMüsli,grün,3\n".getBytes(Charset.forName("ISO-8859-1"));
        BadInput refused = assertThrows(BadInput.class, () -> read(latin, true));
        assertTrue(refused.getMessage().contains("UTF-8"), refused.getMessage());
    }

    @Test
    void a_very_long_cell_is_refused() {
        Notebook notebook = read("mix,material,amount,note\nA,red,3," + "x".repeat(5_000) + "\n", true);
        assertEquals("note", notebook.problems().get(0).column());
    }

    @Test
    void other_locales_read_the_same() {
        Locale before = Locale.getDefault();
        try {
            for (String tag : List.of("tr-TR", "ar-EG", "de-DE", "th-TH-u-ca-buddhist")) {
                Locale.setDefault(Locale.forLanguageTag(tag));
                assertEquals(List.of(), read(GOOD, false).problems(), tag);
            }
        } finally {
            Locale.setDefault(before);
        }
    }

    @Test
    void random_bytes_never_do_more_than_refuse() {
        Random random = new Random(4);
        for (int i = 0; i < 300; i++) {
            byte[] bytes = new byte[random.nextInt(400)];
            random.nextBytes(bytes);
            byte[] file = i % 2 == 0
                    ? bytes
                    : ("mix,material,amount\n" + new String(bytes, StandardCharsets.ISO_8859_1))
                            .getBytes(StandardCharsets.UTF_8);
            try {
                read(file, true);
            } catch (BadInput refused) {
                assertTrue(refused.getMessage().length() > 10);
            }
        }
        assertEquals(0, studio.log().last());
    }
}
