package slabside.warning;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.event.Actor;
import slabside.event.CuratedAs;
import slabside.event.EditionEvent;
import slabside.event.ImpressionKind;
import slabside.event.PaperEvent;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.Sheet;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.measure.BadInput;
import slabside.studio.Studio;

/** What is asked or said about sheets from the press to the buyer; every rule firing and silent. */
class EditionGuardsTest {
    private static final ThingId EDITION = new ThingId("edition-1");
    private static final ThingId PERSON = new ThingId("person-artist");

    @TempDir
    Path folder;

    private Studio studio;
    private Guards guards;

    @BeforeEach
    void open() {
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC());
        guards = new Guards(studio.views(), studio.runs());
        List<Sheet> sheets = new ArrayList<>();
        for (int i = 1; i <= 6; i++) {
            sheets.add(new Sheet(sheet(i), "S-" + i));
        }
        write(
                new EditionEvent.Planned(
                        EDITION, "Invented", null, 4, null, null, null, null, null, null, null, null, null),
                new PaperEvent.Torn(new ThingId("paper-1"), sheets, null, null, EDITION, null),
                new EditionEvent.RunPlanned(run(1), EDITION, 1, null, null, "the flat", null),
                new EditionEvent.RunPlanned(run(2), EDITION, 2, null, null, "the key", null));
    }

    @AfterEach
    void close() {
        studio.close();
    }

    private static ThingId sheet(int i) {
        return new ThingId("sheet-" + i);
    }

    private static ThingId run(int order) {
        return new ThingId("run-" + order);
    }

    private void write(StudioEvent... events) {
        studio.write(new Actor(Studio.SOMEBODY, "this"), List.of(events));
    }

    private static PressEvent.Pulled pulled(int run, int sheet, PressGrade grade) {
        return new PressEvent.Pulled(run(run), sheet(sheet), PullMode.EDITION, null, null, grade, List.of(), null);
    }

    private void print(int run, int... sheets) {
        for (int sheet : sheets) {
            write(pulled(run, sheet, PressGrade.GOOD));
        }
    }

    private List<Rule> pulling(int run, int sheet) {
        return guards
                .pulling(studio.runs().atPress(run(run)).orElseThrow(), pulled(run, sheet, PressGrade.GOOD))
                .stream()
                .map(Warning::rule)
                .toList();
    }

    private static EditionEvent.Numbered numbered(int sheet, int number) {
        return new EditionEvent.Numbered(EDITION, sheet(sheet), ImpressionKind.NUMBERED, number, 4, null);
    }

    @Test
    void a_sheet_that_an_earlier_run_has_not_had_is_said_in_passing() {
        assertEquals(List.of(), pulling(2, 1), "an edition may begin with its second run");
        print(1, 1, 2, 3);
        assertEquals(List.of(), pulling(2, 1));
        assertEquals(List.of(Rule.NOT_THROUGH_BEFORE), pulling(2, 4));
        assertEquals(Rule.Grade.STRIP, Rule.NOT_THROUGH_BEFORE.grade(), "nobody is stopped while pulling");
        assertEquals(
                List.of("S-1", "S-2", "S-3"),
                studio.runs().atPress(run(2)).orElseThrow().next().stream()
                        .map(Sheet::code)
                        .toList());
        assertEquals(6, studio.runs().atPress(run(2)).orElseThrow().pending().size());
    }

    @Test
    void a_sheet_that_was_lost_is_said_in_passing_and_offered_no_more() {
        print(1, 1, 2);
        write(pulled(1, 3, PressGrade.SPOILED));
        write(new PaperEvent.Spoiled(List.of(sheet(2)), "coffee"));
        assertEquals(List.of(), pulling(2, 1));
        assertEquals(List.of(Rule.SHEET_WAS_LOST), pulling(2, 3));
        assertEquals(List.of(Rule.SHEET_WAS_LOST), pulling(2, 2));
        assertEquals(
                List.of("S-1"),
                studio.runs().atPress(run(2)).orElseThrow().next().stream()
                        .map(Sheet::code)
                        .toList());
    }

    @Test
    void a_sheet_not_through_every_run_is_asked_about_before_it_is_numbered() {
        print(1, 1, 2);
        print(2, 1);
        assertEquals(List.of(), guards.numbering(List.of(numbered(1, 1))));
        List<Warning> asked = guards.numbering(List.of(numbered(1, 1), numbered(2, 2)));
        assertEquals(Rule.NOT_THROUGH_EVERY_RUN, asked.get(0).rule());
        assertEquals("Not through every run: S-2.", asked.get(0).text());
        assertEquals(
                List.of(),
                guards.numbering(List.of(new EditionEvent.Numbered(
                        EDITION, sheet(2), ImpressionKind.SEPARATION_PROOF, null, null, null))),
                "a separation proof is meant to be through one run only");
    }

    @Test
    void a_print_that_leaves_unsigned_is_asked_about() {
        write(numbered(1, 1), numbered(2, 2));
        write(new EditionEvent.Signed(EDITION, List.of(sheet(1)), PERSON, null, "pencil"));
        EditionEvent.Released signed = new EditionEvent.Released(EDITION, List.of(sheet(1)), PERSON, null);
        EditionEvent.Released both = new EditionEvent.Released(EDITION, List.of(sheet(1), sheet(2)), PERSON, null);
        assertEquals(List.of(), guards.releasing(signed));
        assertEquals(
                "Not signed, as far as is written down: 2/4.",
                guards.releasing(both).get(0).text());
    }

    @Test
    void what_is_no_impression_or_is_gone_cannot_be_released() {
        write(numbered(1, 1));
        EditionEvent.Released first = new EditionEvent.Released(EDITION, List.of(sheet(1)), PERSON, null);
        studio.runs().register(EDITION).check(first, studio.views());
        EditionEvent.Released unnumbered = new EditionEvent.Released(EDITION, List.of(sheet(2)), PERSON, null);
        assertTrue(refused(unnumbered).contains("no impression yet"));
        write(first);
        assertTrue(refused(first).contains("1/4 was released already"));
        write(new EditionEvent.Returned(EDITION, List.of(sheet(1)), PERSON, null));
        studio.runs().register(EDITION).check(first, studio.views());
    }

    @Test
    void only_what_left_comes_back_and_what_was_destroyed_stays_so() {
        write(numbered(1, 1), numbered(2, 2));
        EditionEvent.Returned back = new EditionEvent.Returned(EDITION, List.of(sheet(1)), PERSON, null);
        assertThrows(BadInput.class, () -> studio.runs().register(EDITION).check(back, studio.views()));
        write(new EditionEvent.Released(EDITION, List.of(sheet(1)), PERSON, null));
        studio.runs().register(EDITION).check(back, studio.views());
        write(new EditionEvent.Destroyed(EDITION, List.of(sheet(1)), null, null));
        assertThrows(BadInput.class, () -> studio.runs().register(EDITION).check(back, studio.views()));
        assertThrows(
                BadInput.class, () -> studio.runs().register(EDITION).checkThere(List.of(sheet(1)), studio.views()));
        studio.runs().register(EDITION).checkThere(List.of(sheet(2)), studio.views());
        print(1, 2);
        assertEquals(List.of(Rule.SHEET_WAS_LOST), pulling(2, 1), "destroyed sheets are offered no more");
    }

    private String refused(EditionEvent.Released event) {
        return String.valueOf(assertThrows(
                        BadInput.class, () -> studio.runs().register(EDITION).check(event, studio.views()))
                .getMessage());
    }

    @Test
    void an_edition_with_sheets_left_is_asked_about_before_it_is_closed() {
        print(1, 1, 2);
        print(2, 1, 2);
        EditionEvent.Closed closed = new EditionEvent.Closed(EDITION, null);
        assertTrue(guards.closing(closed).get(0).text().contains("S-1, S-2"));
        write(new EditionEvent.Curated(EDITION, sheet(1), CuratedAs.GOOD, null));
        write(new EditionEvent.Curated(EDITION, sheet(2), CuratedAs.SECOND, "thin"));
        List<Warning> left = guards.closing(closed);
        assertTrue(left.get(0).text().contains("S-1"));
        assertFalse(left.get(0).text().contains("S-2"));
        write(numbered(1, 1));
        assertEquals(List.of(), guards.closing(closed));
    }

    @Test
    void a_second_is_not_numbered() {
        write(new EditionEvent.Curated(EDITION, sheet(1), CuratedAs.SECOND, "thin"));
        assertTrue(String.valueOf(assertThrows(
                                BadInput.class,
                                () -> studio.runs().register(EDITION).check(numbered(1, 1), studio.views()))
                        .getMessage())
                .contains("found a second"));
        write(new EditionEvent.Curated(EDITION, sheet(1), CuratedAs.GOOD, null));
        studio.runs().register(EDITION).check(numbered(1, 1), studio.views());
    }
}
