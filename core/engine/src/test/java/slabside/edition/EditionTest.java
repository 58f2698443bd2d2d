package slabside.edition;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import slabside.demo.Demo;
import slabside.event.Actor;
import slabside.event.CuratedAs;
import slabside.event.Dryness;
import slabside.event.EditionEvent;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.ImpressionKind;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.LogEvent;
import slabside.event.PaperEvent;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.RawBody;
import slabside.event.Rebuilt;
import slabside.event.Sheet;
import slabside.event.ShelfEvent;
import slabside.event.Stage;
import slabside.event.StoneEvent;
import slabside.event.StudioEvent;
import slabside.event.Surface;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.event.Treatment;
import slabside.event.Why;
import slabside.log.Decision;
import slabside.log.Draft;
import slabside.measure.Amount;
import slabside.studio.Studio;

/** What an edition's events add up to: sheets and losses, the OK proof and what came after it, drying, hours. */
class EditionTest {
    private static final ThingId EDITION = new ThingId("edition-1");
    private static final ThingId RUN = new ThingId("run-1");
    private static final ThingId NEXT = new ThingId("run-2");
    private static final ThingId STONE = new ThingId("stone-1");
    private static final ThingId INK = new ThingId("can-ink");
    private static final ThingId BASE = new ThingId("can-base");
    private static final ThingId PROOF = new ThingId("sheet-p");
    private static final ThingId SHEET = new ThingId("sheet-1");

    @TempDir
    Path folder;

    private final Random random = new Random(4);
    private Studio studio;

    @BeforeEach
    void open() {
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC());
    }

    @AfterEach
    void close() {
        studio.close();
    }

    private EventId at(String time, StudioEvent event) {
        long millis = Instant.parse(time + ":00Z").toEpochMilli();
        EventId id = EventId.at(millis, random);
        studio.append(Decision.of(new Draft(
                id, Happened.exactly(millis, ZoneOffset.UTC), null, new Actor(Studio.SOMEBODY, "this"), event)));
        return id;
    }

    private static InkEvent.Moved moved(String from, String to, String grams, Why why) {
        return new InkEvent.Moved(new ThingId(from), new ThingId(to), Amount.net("grams", grams), why, null);
    }

    private static PressEvent.Pulled pulled(ThingId run, ThingId sheet, PullMode mode, String... faults) {
        return new PressEvent.Pulled(run, sheet, mode, null, 6, PressGrade.GOOD, List.of(faults), null);
    }

    private static StoneEvent.Treated treated(Treatment treatment) {
        return new StoneEvent.Treated(STONE, treatment, null, null, null);
    }

    private static PressEvent.RunStarted started(ThingId run, String load, Surface surface) {
        return new PressEvent.RunStarted(
                run, List.of(new Load(new ThingId(load), "", null)), null, null, surface, null, null);
    }

    private static ShelfEvent.CanReceived received(ThingId can) {
        return new ShelfEvent.CanReceived(
                can,
                new ThingId("material-" + can.text()),
                can.text(),
                null,
                Amount.net("net", "900"),
                null,
                null,
                null);
    }

    @Test
    void the_sheets_of_tidewrack_add_up() {
        Demo.write(folder.resolve("demo"), folder.resolve("demo-config"), LocalDate.of(2026, 6, 15), ZoneOffset.UTC);
        try (Studio demo = Studio.open(folder.resolve("demo"), folder.resolve("demo-config"), Clock.systemUTC())) {
            demo.views().catchUp();
            ThingId id =
                    demo.views().named("edition", "Tidewrack, Four Fathoms").id();
            Edition edition = demo.runs().edition(id);
            assertEquals(50, edition.printed().size());
            Map<Integer, Integer> lost = new TreeMap<>();
            edition.losses().forEach(loss -> lost.merge(loss.run(), 1, Integer::sum));
            assertEquals(Map.of(0, 2, 1, 1, 2, 2, 3, 4, 4, 1, 5, 2), lost);
            assertEquals(List.of(), edition.toCurate());
            assertEquals(List.of(), edition.toNumber());
            assertEquals(
                    List.of("P-01", "P-02", "P-03", "P-04", "P-05"),
                    edition.proofs().stream().map(Sheet::code).toList());
            Map<ImpressionKind, Long> kinds = new TreeMap<>();
            edition.register().impressions().values().forEach(each -> kinds.merge(each.kind(), 1L, Long::sum));
            assertEquals(
                    Map.of(
                            ImpressionKind.NUMBERED, 40L,
                            ImpressionKind.ARTISTS_PROOF, 4L,
                            ImpressionKind.PRINTERS_PROOF, 2L,
                            ImpressionKind.ARCHIVE_COPY, 1L,
                            ImpressionKind.PRESENTATION_PROOF, 1L,
                            ImpressionKind.OK_PROOF, 1L,
                            ImpressionKind.COLOUR_TRIAL_PROOF, 3L),
                    kinds);
            OkProof ok = demo.runs().okProof(id).orElseThrow();
            assertEquals("P-01", edition.code(ok.sheet()));
            assertEquals(5, ok.standards().size());
            for (OkProof.Since since : demo.runs().sinceOk(ok)) {
                OkProof.Farthest farthest = since.farthest().orElseThrow();
                assertEquals(farthest.ok(), farthest.here(), 1e-9, "one mix for proof and edition");
            }
            Map<Stage, TimeSpent.Spent> stages = demo.runs().timeSpent(edition).stages();
            assertTrue(stages.keySet().containsAll(Set.of(Stage.STONE, Stage.MIXING, Stage.PRINTING, Stage.CURATING)));
            PastLosses losses = demo.runs().pastLosses();
            PastLosses.AtPress blend = losses.runs().stream()
                    .filter(run -> run.surface().equals(Optional.of(Surface.BLEND)))
                    .findFirst()
                    .orElseThrow();
            assertEquals(57, blend.in());
            assertEquals(4, blend.spoiled());
            PastLosses.AtCurating curated = losses.curatings().stream()
                    .filter(each -> each.edition().equals(id))
                    .findFirst()
                    .orElseThrow();
            assertEquals(50, curated.seen());
            assertEquals(48, curated.good());
        }
    }

    /** A proof from one mix, a deletion on the stone, the edition from another mix made again after the first. */
    private void proofAndEdition() {
        at(
                "2025-05-02T09:00",
                new EditionEvent.Planned(
                        EDITION, "Invented", null, 4, null, null, null, null, null, null, null, null, null));
        at("2025-05-02T09:01", new EditionEvent.RunPlanned(RUN, EDITION, 1, Surface.FLAT, STONE, "flat", null));
        at(
                "2025-05-02T09:02",
                new PaperEvent.Torn(
                        new ThingId("paper-1"),
                        List.of(new Sheet(PROOF, "P-1"), new Sheet(SHEET, "S-1")),
                        null,
                        null,
                        EDITION,
                        null));
        at("2025-05-02T09:03", received(INK));
        at("2025-05-02T09:04", received(BASE));
        at("2025-05-02T09:05", treated(Treatment.ROLLED_UP));
        at("2025-05-02T09:10", new InkEvent.MixStarted(new ThingId("mix-1"), "proof ink", null, RUN, null, null));
        at("2025-05-02T09:11", moved("can-base", "mix-1", "90", Why.ADDED));
        at("2025-05-02T09:12", moved("can-ink", "mix-1", "10", Why.ADDED));
        at("2025-05-02T09:20", started(RUN, "load-1", Surface.FLAT));
        at("2025-05-02T09:21", moved("mix-1", "load-1", "20", Why.CHARGED));
        at("2025-05-02T09:22", new PressEvent.Noted(RUN, "fresh", null, null, "two sheets", null, null, null));
        at("2025-05-02T09:30", pulled(RUN, PROOF, PullMode.PROOF));
        at(
                "2025-05-02T09:31",
                new PressEvent.Measured(RUN, PROOF, "solid density", new java.math.BigDecimal("0.62"), null, null));
        at("2025-05-02T10:00", new EditionEvent.OkSigned(EDITION, PROOF, null, "this one"));
        at("2025-05-02T10:30", new PressEvent.CleanedUp(RUN, null));
        at("2025-05-02T11:00", treated(Treatment.DELETION));
        at(
                "2025-05-09T09:00",
                new InkEvent.MixStarted(
                        new ThingId("mix-2"), "edition ink", null, RUN, null, new Rebuilt(new ThingId("mix-1"), null)));
        at("2025-05-09T09:01", moved("can-base", "mix-2", "88", Why.ADDED));
        at("2025-05-09T09:02", moved("can-ink", "mix-2", "12", Why.ADDED));
        at("2025-05-09T09:10", started(RUN, "load-2", Surface.FLAT));
        at("2025-05-09T09:11", moved("mix-2", "load-2", "20", Why.CHARGED));
        at("2025-05-09T09:20", pulled(RUN, SHEET, PullMode.EDITION));
    }

    @Test
    void the_ok_proof_holds_run_by_run_what_it_was_printed_with() {
        proofAndEdition();
        OkProof ok = studio.runs().okProof(EDITION).orElseThrow();
        assertEquals(PROOF, ok.sheet());
        assertEquals(Optional.of(new ThingId("paper-1")), ok.paper());
        OkProof.Standard standard = ok.standards().get(0);
        assertEquals(0.1, standard.ink().get(0).share(INK).value(), 1e-12);
        assertEquals(List.of(new ThingId("mix-1")), standard.mixes());
        assertEquals(
                Treatment.ROLLED_UP,
                ((StoneEvent.Treated) standard.state().orElseThrow().event()).treatment());
        assertEquals(Map.of("water", "fresh", "packing", "two sheets"), standard.conditions());
        assertEquals(1, standard.readings().size());
    }

    @Test
    void what_changed_between_proof_and_edition_is_found() {
        proofAndEdition();
        OkProof ok = studio.runs().okProof(EDITION).orElseThrow();
        OkProof.Since since = studio.runs().sinceOk(ok).get(0);
        assertEquals(List.of(new ThingId("mix-2")), since.mixes());
        assertEquals(List.of(new ThingId("mix-2")), since.remade());
        OkProof.Farthest farthest = since.farthest().orElseThrow();
        assertEquals(0.02, Math.abs(farthest.here() - farthest.ok()), 1e-12);
        assertEquals(
                List.of("stone.treated", "press.run-started"),
                since.changes().stream().map(told -> told.envelope().type()).toList());
    }

    @Test
    void what_was_signed_stays_what_was_signed() {
        proofAndEdition();
        EventId drop = studio.views().ofType("ink.moved", 10).stream()
                .filter(told -> told.event() instanceof InkEvent.Moved m
                        && m.from().equals(INK)
                        && m.to().equals(new ThingId("mix-1")))
                .findFirst()
                .orElseThrow()
                .id();
        StudioEvent right = moved("can-ink", "mix-1", "30", Why.ADDED);
        at(
                "2025-06-01T10:00",
                new LogEvent.Amended(
                        drop,
                        List.of(drop),
                        new RawBody(EventCodec.body(right).toString()),
                        null,
                        null,
                        "read wrongly"));
        assertEquals(0.25, share(studio.runs().okProof(EDITION)), 1e-12, "as it reads now");
        assertEquals(0.1, share(studio.runs().okProofAsSigned(EDITION)), 1e-12, "as it was known when signed");
    }

    private static double share(Optional<OkProof> ok) {
        return ok.orElseThrow().standards().get(0).ink().get(0).share(INK).value();
    }

    private void printed(ThingId run, String day, Surface surface, ThingId sheet, String... faults) {
        at(day + "T09:00", started(run, "load-of-" + run, surface));
        at(day + "T10:00", pulled(run, sheet, PullMode.EDITION, faults));
        at(day + "T10:10", new PressEvent.CleanedUp(run, null));
    }

    private void edition(ThingId edition, ThingId first, ThingId second, ThingId sheet) {
        at(
                "2025-05-01T09:00",
                new EditionEvent.Planned(
                        edition, "Invented", null, 4, null, null, null, null, null, null, null, null, null));
        at("2025-05-01T09:00", new EditionEvent.RunPlanned(first, edition, 1, null, null, null, null));
        at("2025-05-01T09:00", new EditionEvent.RunPlanned(second, edition, 2, null, null, null, null));
        at(
                "2025-05-01T09:00",
                new PaperEvent.Torn(
                        new ThingId("paper-1"), List.of(new Sheet(sheet, sheet.text())), null, null, edition, null));
    }

    @Test
    void the_next_run_is_sensible_once_the_slowest_of_the_past_was_dry() {
        edition(EDITION, RUN, NEXT, SHEET);
        printed(RUN, "2025-05-02", Surface.FLAT, SHEET);
        Drying first = studio.runs().drying(run(RUN)).get(0);
        assertEquals(Optional.empty(), first.expected(studio.runs().pastDrying()), "no past, no number");
        assertFalse(first.isDry());
        judged(RUN, "2025-05-03T06:00", Dryness.SET);
        judged(RUN, "2025-05-03T16:00", Dryness.RUB_DRY);
        printed(NEXT, "2025-05-04", Surface.KEY, SHEET, "pluck");
        first = studio.runs().drying(run(RUN)).get(0);
        assertTrue(first.isDry());
        assertEquals(30, first.dryBy().orElseThrow(), 1e-9);
        assertEquals(20, first.notDryAt().orElseThrow(), 1e-9);
        assertEquals(48, first.overprinted().orElseThrow(), 1e-9);
        assertEquals(Set.of("pluck"), first.trouble());

        ThingId again = new ThingId("edition-2");
        ThingId flat = new ThingId("run-3");
        ThingId key = new ThingId("run-4");
        ThingId other = new ThingId("sheet-2");
        edition(again, flat, key, other);
        printed(flat, "2025-06-01", Surface.FLAT, other);
        Drying.Expected expected = studio.runs()
                .drying(run(flat))
                .get(0)
                .expected(studio.runs().pastDrying())
                .orElseThrow();
        assertEquals(Instant.parse("2025-06-02T16:00:00Z").toEpochMilli(), expected.from());
        assertTrue(expected.sameSurface());
        assertEquals(List.of(RUN), expected.evidence().stream().map(Drying::run).toList());
        printed(key, "2025-06-03", Surface.KEY, other);
        Drying.Expected unlike = studio.runs()
                .drying(run(key))
                .get(0)
                .expected(studio.runs().pastDrying())
                .orElseThrow();
        assertFalse(unlike.sameSurface(), "no key was rubbed yet, so all surfaces count");
    }

    private Run run(ThingId id) {
        return studio.runs().run(id).orElseThrow();
    }

    private void judged(ThingId run, String time, Dryness dryness) {
        at(time, new TestEvent.DrynessJudged(run, null, dryness, "thumb"));
    }

    @Test
    void hours_come_from_the_entries_until_somebody_states_them() {
        at(
                "2025-05-01T09:00",
                new EditionEvent.Planned(
                        EDITION, "Invented", null, 4, null, null, null, null, null, null, null, null, null));
        at("2025-05-01T09:00", new EditionEvent.RunPlanned(RUN, EDITION, 1, null, STONE, null, null));
        at("2025-05-01T10:00", treated(Treatment.GRAINED));
        at("2025-05-01T10:30", treated(Treatment.DRAWN));
        at("2025-05-02T09:00", treated(Treatment.ETCHED));
        at("2025-05-02T09:10", new InkEvent.MixStarted(new ThingId("mix-1"), "ink", null, RUN, null, null));
        at("2025-05-02T09:20", moved("can-ink", "mix-1", "10", Why.ADDED));
        at("2025-05-02T09:30", started(RUN, "load-1", Surface.FLAT));
        at("2025-05-02T09:35", pulled(RUN, PROOF, PullMode.PROOF));
        at(
                "2025-05-02T09:40",
                new PressEvent.HandsChanged(RUN, List.of(new ThingId("person-a"), new ThingId("person-b")), null));
        at("2025-05-02T09:45", pulled(RUN, SHEET, PullMode.EDITION));
        at("2025-05-02T10:31", pulled(RUN, new ThingId("sheet-2"), PullMode.EDITION));
        at("2025-05-02T10:51", new PressEvent.CleanedUp(RUN, null));
        at("2025-05-03T10:00", new EditionEvent.Curated(EDITION, SHEET, CuratedAs.GOOD, null));
        at("2025-05-03T10:05", new EditionEvent.Curated(EDITION, new ThingId("sheet-2"), CuratedAs.GOOD, null));
        // Another image on the same stone later is none of this edition's hours.
        at("2025-07-01T10:00", treated(Treatment.GRAINED));
        at("2025-07-01T10:20", treated(Treatment.DRAWN));
        assertEquals(
                Map.of(
                        Stage.STONE, spent(30, 30),
                        Stage.MIXING, spent(20, 20),
                        Stage.PROOFING, spent(20, 25),
                        Stage.PRINTING, spent(5, 10),
                        Stage.CLEANING_UP, spent(20, 40),
                        Stage.CURATING, spent(5, 5)),
                stages());
        at("2025-05-03T18:00", new EditionEvent.TimeStated(EDITION, Stage.CURATING, 60 * 60_000L, 3, null));
        assertEquals(new TimeSpent.Spent(60 * 60_000L, 180 * 60_000L, true), stages().get(Stage.CURATING));
        assertEquals(spent(30, 30), stages().get(Stage.STONE));
    }

    private Map<Stage, TimeSpent.Spent> stages() {
        return studio.runs().timeSpent(studio.runs().edition(EDITION)).stages();
    }

    private static TimeSpent.Spent spent(int minutes, int handMinutes) {
        return new TimeSpent.Spent(minutes * 60_000L, handMinutes * 60_000L, false);
    }

    /** Common practice, no source: the ways in which impressions are written under the print. */
    @ParameterizedTest
    @CsvSource({
        "NUMBERED, 7, 40, , 7/40",
        "NUMBERED, 4, 10, roman, IV/X",
        "ARTISTS_PROOF, 1, 4, , AP 1/4",
        "ARTISTS_PROOF, 3, 4, 'roman, EA', EA III/IV",
        "PRINTERS_PROOF, 2, , roman, PP II",
        "HORS_COMMERCE, 1, 5, , HC 1/5",
        "OK_PROOF, , , BAT, BAT",
        "ARCHIVE_COPY, , , , archive copy"
    })
    void impressions_are_written_in_their_style(
            ImpressionKind kind,
            @Nullable Integer number,
            @Nullable Integer of,
            @Nullable String style,
            String written) {
        at("2025-05-01T09:00", new EditionEvent.Numbered(EDITION, SHEET, kind, number, of, style));
        assertEquals(
                written,
                studio.runs().register(EDITION).impressions().get(SHEET).written());
    }

    /** Roman figures as any reference work on numerals gives them (from memory). */
    @ParameterizedTest
    @CsvSource({"1, I", "4, IV", "9, IX", "14, XIV", "40, XL", "49, XLIX", "90, XC", "144, CXLIV", "1999, MCMXCIX"})
    void roman_figures(int value, String roman) {
        assertEquals(roman, Register.roman(value));
    }

    @Test
    void impressions_are_named_as_a_printer_names_them() {
        at(
                "2025-05-01T09:00",
                new PaperEvent.Torn(
                        new ThingId("paper-1"),
                        List.of(
                                new Sheet(new ThingId("sheet-1"), "S-1"),
                                new Sheet(new ThingId("sheet-2"), "S-2"),
                                new Sheet(new ThingId("sheet-3"), "S-3"),
                                new Sheet(new ThingId("sheet-4"), "S-4")),
                        null,
                        null,
                        EDITION,
                        null));
        for (int i = 1; i <= 2; i++) {
            at(
                    "2025-05-01T10:0" + i,
                    new EditionEvent.Numbered(
                            EDITION, new ThingId("sheet-" + (3 - i)), ImpressionKind.NUMBERED, i, 2, null));
        }
        at(
                "2025-05-01T10:05",
                new EditionEvent.Numbered(
                        EDITION, new ThingId("sheet-3"), ImpressionKind.ARTISTS_PROOF, 1, 4, "roman"));
        assertEquals(List.of("S-1"), named("2"));
        assertEquals(List.of("S-2", "S-1"), named("1…2"));
        assertEquals(List.of("S-1", "S-2"), named("2/2, 1/2"));
        assertEquals(List.of("S-3"), named("ap 1"));
        assertEquals(List.of("S-3"), named("AP I/IV"));
        assertEquals(List.of("S-1", "S-2", "S-3", "S-4"), named("S-1 to S-3, s-4"));
        assertTrue(refused("3").contains("no impression of this edition has this number"));
        assertTrue(refused("S-9").contains("S-9"));
    }

    private List<String> named(String typed) {
        Edition edition = studio.runs().edition(EDITION);
        return edition.which("which", typed).stream().map(edition::code).toList();
    }

    private String refused(String typed) {
        return String.valueOf(
                org.junit.jupiter.api.Assertions.assertThrows(slabside.measure.BadInput.class, () -> named(typed))
                        .getMessage());
    }

    @Test
    void a_print_signed_before_it_is_numbered_is_signed() {
        at(
                "2025-05-01T09:00",
                new EditionEvent.Signed(EDITION, List.of(SHEET), new ThingId("person-a"), "lower right", "pencil"));
        at("2025-05-01T09:05", new EditionEvent.Numbered(EDITION, SHEET, ImpressionKind.NUMBERED, 1, 4, null));
        assertTrue(studio.runs().register(EDITION).impressions().get(SHEET).signed());
    }

    /** Only the title is needed; a number, an artist, sheets and runs may never be written down. */
    @Test
    void an_edition_of_which_hardly_anything_is_known_has_its_answers() {
        at(
                "2025-05-01T09:00",
                new EditionEvent.Planned(
                        EDITION, "Invented", null, null, null, null, null, null, null, null, null, null, null));
        Edition edition = studio.runs().edition(EDITION);
        assertEquals(Optional.empty(), edition.register().declared());
        assertEquals(List.of(), edition.printed());
        assertEquals(List.of(), edition.toCurate());
        assertEquals(List.of(), edition.losses());
        assertEquals(Optional.empty(), studio.runs().okProof(EDITION));
        assertTrue(studio.runs().timeSpent(edition).stages().isEmpty());
    }

    /** Codes such as 01 are codes; a number that is also a code names nothing; ranges run upwards. */
    @Test
    void numbers_and_codes_are_not_mixed_up() {
        at(
                "2025-05-01T09:00",
                new PaperEvent.Torn(
                        new ThingId("paper-1"),
                        List.of(
                                new Sheet(new ThingId("sheet-1"), "01"),
                                new Sheet(new ThingId("sheet-2"), "2"),
                                new Sheet(new ThingId("sheet-3"), "3")),
                        null,
                        null,
                        EDITION,
                        null));
        for (int i = 1; i <= 3; i++) {
            at(
                    "2025-05-01T10:0" + i,
                    new EditionEvent.Numbered(
                            EDITION, new ThingId("sheet-" + (4 - i)), ImpressionKind.NUMBERED, i, 3, null));
        }
        assertEquals(List.of("01"), named("01"), "a code");
        assertEquals(List.of("3"), named("1/3"), "a number as it stands on the print");
        assertTrue(refused("2").contains("a number and the code of a sheet"));
        assertTrue(refused("3…1").contains("from the lower number to the higher"));
        assertTrue(refused(",").contains("name one at least"));
        Edition edition = studio.runs().edition(EDITION);
        for (Register.Impression impression : edition.register().impressions().values()) {
            assertEquals(
                    List.of(impression.sheet()),
                    edition.which("which", edition.called(impression)),
                    "what is proposed is found again: " + edition.called(impression));
        }
    }

    @Test
    void an_image_used_again_is_linked_both_ways() {
        ThingId later = new ThingId("edition-2");
        at(
                "2025-05-01T09:00",
                new EditionEvent.Planned(
                        EDITION, "Invented", null, 4, null, null, null, null, null, null, null, null, null));
        at(
                "2026-05-01T09:00",
                new EditionEvent.Planned(
                        later, "Invented, in blue", null, 4, null, null, null, null, null, null, null, EDITION, null));
        assertEquals(List.of(later), studio.runs().edition(EDITION).again());
        assertEquals(EDITION, studio.runs().edition(later).plan().orElseThrow().earlier());
    }
}
