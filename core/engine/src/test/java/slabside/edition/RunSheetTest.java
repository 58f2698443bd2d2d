package slabside.edition;

import static org.junit.jupiter.api.Assertions.assertEquals;
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
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import slabside.event.Actor;
import slabside.event.EditionEvent;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.PaperEvent;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.Sheet;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.measure.Amount;
import slabside.measure.BadInput;
import slabside.studio.Studio;

/** A tallied run is read as it is written on paper, whole or not at all. */
class RunSheetTest {
    private static final Actor ACTOR = new Actor(Studio.SOMEBODY, "this");

    @TempDir
    Path folder;

    private final ThingId run = new ThingId("run-1");
    private final ThingId mix = new ThingId("mix-1");
    private Studio studio;

    @BeforeEach
    void open() {
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC());
        ThingId edition = new ThingId("edition-1");
        List<Sheet> sheets = new ArrayList<>();
        for (int i = 1; i <= 30; i++) {
            sheets.add(new Sheet(new ThingId("sheet-" + i), String.format(java.util.Locale.ROOT, "S-%02d", i)));
        }
        studio.write(
                ACTOR,
                List.of(
                        new EditionEvent.Planned(
                                edition, "Invented", null, 20, null, null, null, null, null, null, null, null, null),
                        new EditionEvent.RunPlanned(run, edition, 1, null, null, null, null),
                        new PaperEvent.Torn(new ThingId("paper-1"), sheets, null, null, edition, null),
                        new InkEvent.MixStarted(mix, "the ink", "K7RM", run, null, null),
                        new PressEvent.RunStarted(
                                run, List.of(new Load(new ThingId("load-1"), "", null)), null, null, null, null, null),
                        new InkEvent.Moved(
                                mix, new ThingId("load-1"), Amount.net("grams", "20.0"), Why.CHARGED, null)));
    }

    @AfterEach
    void close() {
        studio.close();
    }

    private List<StudioEvent> events(String text) {
        return RunSheet.read(text)
                .events(
                        studio.runs().atPress(run).orElseThrow(),
                        name -> studio.views().named("mix", name).id());
    }

    @Test
    void a_tally_becomes_pulls_charges_and_notes_in_their_order() {
        List<StudioEvent> events = events(
                "2 newsprint, 3 proofs; 1–22 good, 23 spoiled (scum, hickey)\n24-30 good; charged 12,5 g at 23; charged 3 g of K7RM at 30; fresh water before 20; washed up 14.8 g");
        studio.write(ACTOR, events);
        Run told = studio.runs().run(run).orElseThrow();
        assertEquals(30, told.printed());
        assertEquals(29, told.graded(PressGrade.GOOD));
        assertEquals(5, told.beforeTheEdition());
        assertEquals(List.of("scum", "hickey"), told.pull(23).event().faults());
        assertEquals("S-23", studio.name(told.pull(23).sheet()));
        assertEquals(23, told.pull(23).event().said());
        int charge = events.indexOf(events.stream()
                .filter(event -> event instanceof InkEvent.Moved moved
                        && moved.amount().entered().equals("12,5 g"))
                .findFirst()
                .orElseThrow());
        assertEquals(23, ((PressEvent.Pulled) events.get(charge + 1)).said(), "the charge stands before its pull");
        assertTrue(events.stream()
                .anyMatch(event -> event instanceof PressEvent.Noted noted && "fresh water".equals(noted.words())));
        assertTrue(events.get(events.size() - 1) instanceof InkEvent.Moved last
                && last.to().equals(ThingId.WASH_UP));
        assertEquals(
                3,
                events.stream()
                        .filter(event -> event instanceof PressEvent.Pulled pull && pull.mode() == PullMode.PROOF)
                        .count());
    }

    @Test
    void a_second_sheet_goes_on_where_the_first_ended() {
        studio.write(ACTOR, events("1–3 good"));
        studio.write(ACTOR, events("4 query, 5–6 good"));
        assertEquals(6, studio.runs().run(run).orElseThrow().printed());
        assertEquals(
                "S-04", studio.name(studio.runs().run(run).orElseThrow().pull(4).sheet()));
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "2 newsprint; 3 proofs; 1–22 good; charged 12,5 g of K7RM at 23; 23 spoiled (scum, hickey); 24–30 good; washed up 14.8 g",
                "charged 3.0 g of K7RM; 1 newsprint; charged 2 g of K7RM at 1; 1–3 good 5 passes; 4 query 7 passes (lap line); second hit of 4 good; 5 good 5 passes",
                "1–2 good; charged ? of K7RM at 3; fresh water at 3; 1 newsprint at 3; 3 good; charged 3–4 g of K7RM at 4; charged 35.2 → 41.7 of K7RM at 4; 4–6 good"
            })
    void what_was_tallied_is_told_in_the_same_words(String text) {
        studio.write(ACTOR, events(text));
        Tally tally = Tally.of(studio.views(), studio.runs().run(run).orElseThrow());
        assertEquals("charged 20.0 g of K7RM; " + text, tally.text());
        assertEquals(List.of(), tally.besides());
    }

    @Test
    void capitals_of_a_telephone_change_nothing() {
        List<StudioEvent> events =
                events("2 Newsprint; 1–2 Good\nCharged 12 g of K7RM at 2\nWashed up 3 g\n3 Spoiled (Scum)");
        assertTrue(events.stream().noneMatch(PressEvent.Noted.class::isInstance), events.toString());
        assertEquals(2, events.stream().filter(InkEvent.Moved.class::isInstance).count());
        assertTrue(events.stream()
                .anyMatch(event ->
                        event instanceof PressEvent.Pulled pull && pull.faults().equals(List.of("Scum"))));
    }

    /** Without codes on the sheets a second hit is told by its word alone. */
    @Test
    void a_second_hit_without_a_sheet_takes_no_number() {
        ThingId other = new ThingId("run-2");
        studio.write(
                ACTOR,
                List.of(
                        new EditionEvent.RunPlanned(other, new ThingId("edition-2"), 1, null, null, null, null),
                        new PressEvent.RunStarted(
                                other,
                                List.of(new Load(new ThingId("load-2"), "", null)),
                                null,
                                null,
                                null,
                                null,
                                null)));
        studio.write(
                ACTOR,
                RunSheet.read("1–4 good; second hit of 4; 5 good")
                        .events(studio.runs().atPress(other).orElseThrow(), name -> mix));
        assertEquals(
                5,
                studio.runs().run(other).orElseThrow().pulls().stream()
                        .mapToInt(Run.Pull::number)
                        .max()
                        .orElse(0));
        Tally tally = Tally.of(studio.views(), studio.runs().run(other).orElseThrow());
        assertEquals("1–4 good; second hit of 4 good; 5 good", tally.text());
    }

    @Test
    void what_a_run_sheet_has_no_words_for_is_told_besides() {
        studio.write(ACTOR, events("1–3 good"));
        studio.write(
                ACTOR,
                List.of(
                        new PressEvent.Noted(run, "fresh", null, null, null, null, null, null),
                        new InkEvent.Moved(
                                new ThingId("load-1"), ThingId.TEST, Amount.net("grams", "1.0"), Why.TESTED, null)));
        Tally tally = Tally.of(studio.views(), studio.runs().run(run).orElseThrow());
        assertEquals("charged 20.0 g of K7RM; 1–3 good", tally.text());
        assertEquals(2, tally.besides().size());
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', textBlock = """
            1–22 good, 24 good               | nothing is told of pull 23
            2–5 good                         | nothing is told of pull 1
            1–5 good, 5 spoiled              | pull 5 is told twice
            5–1 good                         | count upwards
            1–5 goood                        | cannot be read
            1–5 good; charged 3 g at 9       | no pull 9
            1–5 good; charged three at 2     | use g, kg, mg or parts
            1–5 good; charged 3 g of ZZZZ at 2 | no mix of that name
            good                             | cannot be read
            1–5 good; second hit of 7        | no pull 7
            1–5 good; charged 3 g on side 2 at 2 | has 1 inks
            1–5 good; 1 newsprint at 9       | no pull 9
            ;;                               | write the pulls
            1–260 good                       | at most 250
            """)
    void what_does_not_add_up_is_refused_with_the_place(String text, String remedy) {
        BadInput refused = assertThrows(BadInput.class, () -> events(text));
        assertTrue(refused.getMessage().contains(remedy), refused.getMessage());
    }
}
