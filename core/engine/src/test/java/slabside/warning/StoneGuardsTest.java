package slabside.warning;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.edition.Stone;
import slabside.event.Actor;
import slabside.event.EditionEvent;
import slabside.event.MatrixEnd;
import slabside.event.MatrixKind;
import slabside.event.PaperEvent;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.Sheet;
import slabside.event.StoneEvent;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.event.Treatment;
import slabside.studio.Studio;

/** What is asked once more before an image on a stone is changed or ended; every rule firing and silent. */
class StoneGuardsTest {
    private static final ThingId STONE = new ThingId("stone-14");
    private static final ThingId RUN = new ThingId("run-1");
    private static final ThingId EDITION = new ThingId("edition-1");

    @TempDir
    Path folder;

    private Studio studio;
    private Guards guards;

    @BeforeEach
    void open() {
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC());
        guards = new Guards(studio.views(), studio.runs());
        List<Sheet> sheets = new ArrayList<>();
        for (int i = 1; i <= 4; i++) {
            sheets.add(new Sheet(new ThingId("sheet-" + i), "S-" + i));
        }
        write(
                new StoneEvent.Listed(STONE, MatrixKind.STONE, "stone 14", 480_000L, 620_000L, "grey", "rack B"),
                new EditionEvent.Planned(
                        EDITION, "Invented", null, 4, null, null, null, null, null, null, null, null, null),
                new PaperEvent.Torn(new ThingId("paper-1"), sheets, null, null, EDITION, null));
        treat(Treatment.GRAINED);
        treat(Treatment.DRAWN);
        treat(Treatment.GUMMED);
    }

    @AfterEach
    void close() {
        studio.close();
    }

    private void write(StudioEvent... events) {
        studio.write(new Actor(Studio.SOMEBODY, "this"), List.of(events));
    }

    private static StoneEvent.Treated treated(Treatment treatment) {
        return new StoneEvent.Treated(STONE, treatment, null, null, null);
    }

    private void treat(Treatment treatment) {
        write(treated(treatment));
    }

    private void plan() {
        write(new EditionEvent.RunPlanned(RUN, EDITION, 1, null, STONE, "the key", null));
    }

    private void pull(int from, int to) {
        for (int i = from; i <= to; i++) {
            write(new PressEvent.Pulled(
                    RUN, new ThingId("sheet-" + i), PullMode.EDITION, null, null, PressGrade.GOOD, List.of(), null));
        }
    }

    private List<Rule> ending(MatrixEnd end, boolean cancellation) {
        return guards.ending(new StoneEvent.Disposed(STONE, end, null, null, cancellation)).stream()
                .map(Warning::rule)
                .toList();
    }

    private List<Rule> treating(Treatment treatment) {
        return guards.treating(treated(treatment)).stream().map(Warning::rule).toList();
    }

    @Test
    void a_stone_that_holds_no_run_may_be_ground_off() {
        assertEquals(List.of(), ending(MatrixEnd.GROUND_OFF, false));
        assertEquals(List.of(), treating(Treatment.GRAINED));
    }

    @Test
    void sheets_that_are_not_through_hold_the_stone_back() {
        plan();
        pull(1, 1);
        assertEquals(List.of(Rule.STONE_IS_NEEDED, Rule.NO_CANCELLATION), ending(MatrixEnd.GROUND_OFF, false));
        Warning first = guards.ending(new StoneEvent.Disposed(STONE, MatrixEnd.DEFACED, null, null, true))
                .get(0);
        assertEquals("stone 14 holds Invented, the key, 3 sheets not yet through.", first.text());
        assertEquals(List.of(Rule.STONE_IS_NEEDED, Rule.NO_CANCELLATION), treating(Treatment.GRAINED));
        assertEquals(List.of(), ending(MatrixEnd.KEPT, false), "a stone that is kept is not ended");
        pull(2, 4);
        assertFalse(ending(MatrixEnd.GROUND_OFF, true).contains(Rule.STONE_IS_NEEDED));
    }

    @Test
    void an_open_edition_is_asked_about_and_a_closed_one_is_not() {
        plan();
        pull(1, 4);
        assertEquals(List.of(Rule.EDITION_IS_OPEN), ending(MatrixEnd.DEFACED, true));
        write(new EditionEvent.Closed(EDITION, null));
        assertEquals(List.of(), ending(MatrixEnd.DEFACED, true));
    }

    @Test
    void a_cancellation_impression_is_asked_for_until_one_is_written_down() {
        plan();
        pull(1, 4);
        write(new EditionEvent.Closed(EDITION, null));
        assertEquals(List.of(Rule.NO_CANCELLATION), ending(MatrixEnd.DEFACED, false));
        write(new PressEvent.Pulled(RUN, null, PullMode.CANCELLATION, null, null, PressGrade.GOOD, List.of(), null));
        assertEquals(List.of(), ending(MatrixEnd.DEFACED, false));
    }

    @Test
    void rework_in_the_middle_of_a_run_stops_and_before_or_after_it_does_not() {
        plan();
        assertEquals(List.of(), treating(Treatment.DELETION), "nothing is printed yet");
        pull(1, 2);
        assertEquals(List.of(Rule.REWORKED_IN_A_RUN), treating(Treatment.DELETION));
        assertEquals(List.of(Rule.REWORKED_IN_A_RUN), treating(Treatment.COUNTER_ETCHED));
        assertEquals(List.of(), treating(Treatment.GUMMED), "gumming up changes no image");
        pull(3, 4);
        assertEquals(List.of(), treating(Treatment.DELETION));
    }

    @Test
    void an_image_that_came_to_its_end_is_not_asked_about_again_and_a_new_one_holds_nothing_yet() {
        plan();
        pull(1, 4);
        write(
                new EditionEvent.Closed(EDITION, null),
                new StoneEvent.Disposed(STONE, MatrixEnd.GROUND_OFF, null, null, true));
        assertEquals(List.of(), treating(Treatment.GRAINED));
        treat(Treatment.GRAINED);
        Stone stone = studio.runs().matrix(STONE);
        assertTrue(stone.ended().isEmpty());
        assertEquals(List.of(), stone.holds(), "the old run belongs to the image before");
    }

    @Test
    void a_stone_lies_under_gum_from_the_gumming_until_it_is_opened() {
        assertTrue(studio.runs().matrix(STONE).gummed().isPresent());
        long since = studio.runs().matrix(STONE).gummed().orElseThrow().pos();
        treat(Treatment.CLOSED);
        assertEquals(since, studio.runs().matrix(STONE).gummed().orElseThrow().pos(), "since the first of them");
        treat(Treatment.WASHED_OUT);
        assertTrue(studio.runs().matrix(STONE).gummed().isEmpty());
        assertEquals(Treatment.WASHED_OUT, studio.runs().matrix(STONE).state().orElseThrow());
    }
}
