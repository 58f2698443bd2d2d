package slabside.host;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.math.BigDecimal;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.event.Actor;
import slabside.event.Condition;
import slabside.event.Dryness;
import slabside.event.EditionEvent;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.LogEvent;
import slabside.event.Margin;
import slabside.event.Match;
import slabside.event.MaterialRole;
import slabside.event.MatrixKind;
import slabside.event.PaperEvent;
import slabside.event.Portion;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.Sheet;
import slabside.event.ShelfEvent;
import slabside.event.Stiffness;
import slabside.event.StoneEvent;
import slabside.event.StudioEvent;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.event.ToolKind;
import slabside.event.Treatment;
import slabside.event.Why;
import slabside.measure.Amount;
import slabside.measure.Lab;
import slabside.measure.Mass;
import slabside.plugin.StudioView;
import slabside.studio.Studio;

/**
 * Every rule of the trade that a run is held against: silent in a run that was printed as it should be, speaking up in one that
 * was not. The rules are common practice, no source; the thresholds are assumptions.
 */
class TradeRulesTest {
    private static final ThingId EDITION = new ThingId("edition-1");
    private static final ThingId STONE = new ThingId("stone-1");
    private static final ThingId ROLLER = new ThingId("tool-1");
    private static final ThingId RECIPE = new ThingId("recipe-1");

    /** A clock set by hand. */
    private static final class Hands extends Clock {
        private Instant now = Instant.parse("2026-03-02T08:00:00Z");

        @Override
        public ZoneId getZone() {
            return ZoneOffset.UTC;
        }

        @Override
        public Clock withZone(ZoneId zone) {
            return this;
        }

        @Override
        public Instant instant() {
            return now;
        }
    }

    @TempDir
    Path folder;

    private final Hands clock = new Hands();
    private Studio studio;

    @BeforeEach
    void open() {
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), clock);
        can("base", MaterialRole.BASE, "T1");
        can("blue", MaterialRole.INK, "T2");
        can("mag", MaterialRole.POWDER, "T3");
        can("reducer", MaterialRole.TACK_REDUCER, "T4");
        can("drier", MaterialRole.DRIER, "T5");
        List<Sheet> sheets = new ArrayList<>();
        for (int i = 1; i <= 100; i++) {
            sheets.add(new Sheet(sheet(i), "S-" + i));
        }
        write(
                new EditionEvent.Planned(
                        EDITION, "Invented", null, 90, 300_000L, 400_000L, null, null, null, null, null, null, null),
                new PaperEvent.Torn(new ThingId("paper-1"), sheets, null, null, EDITION, null),
                new StoneEvent.Listed(STONE, MatrixKind.STONE, "7", null, null, null, null),
                new ShelfEvent.ToolListed(ROLLER, ToolKind.ROLLER, "the large roller", 200_000L, null, null, null),
                new InkEvent.RecipePlanned(
                        RECIPE,
                        "blue water",
                        List.of(
                                new Portion(new ThingId("material-base"), new BigDecimal("90")),
                                new Portion(new ThingId("material-blue"), new BigDecimal("9.5")),
                                new Portion(new ThingId("material-reducer"), new BigDecimal("0.5"))),
                        null,
                        null),
                new EditionEvent.RunPlanned(run(1), EDITION, 1, null, STONE, "the flat", RECIPE),
                new EditionEvent.RunPlanned(run(2), EDITION, 2, null, STONE, "the key", null));
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
        clock.now = clock.now.plusSeconds(20);
    }

    private void later(double hours) {
        clock.now = clock.now.plus(Duration.ofSeconds((long) (3600 * hours)));
    }

    private void can(String name, MaterialRole role, String can) {
        write(
                new ShelfEvent.MaterialListed(new ThingId("material-" + name), name, role, null, null, null, null),
                new ShelfEvent.CanReceived(
                        new ThingId("can-" + can),
                        new ThingId("material-" + name),
                        can,
                        null,
                        net("1000"),
                        null,
                        null,
                        null));
    }

    private static Amount net(String grams) {
        return new Amount.Net(Mass.ofGrams(grams).milligrams(), 10, grams);
    }

    private void move(String from, ThingId to, String grams, Why why) {
        write(new InkEvent.Moved(new ThingId(from), to, net(grams), why, null));
    }

    private ThingId mix(int n, @Nullable ThingId recipe, String... canAndGrams) {
        ThingId mix = new ThingId("mix-" + n);
        write(new InkEvent.MixStarted(mix, "mix " + n, null, run(1), recipe, null));
        for (int i = 0; i < canAndGrams.length; i += 2) {
            move("can-" + canAndGrams[i], mix, canAndGrams[i + 1], Why.ADDED);
        }
        return mix;
    }

    /** As it should be. */
    private ThingId usual(int n) {
        return mix(n, RECIPE, "T1", "90", "T2", "9.5", "T4", "0.5");
    }

    private ThingId start(int run, ThingId roller, ThingId... mixes) {
        List<Load> loads = new ArrayList<>();
        for (int i = 0; i < mixes.length; i++) {
            loads.add(new Load(new ThingId("load-" + run + "-" + i), mixes.length > 1 ? "ink " + i : "", null));
        }
        write(new PressEvent.RunStarted(run(run), loads, roller, null, null, null, null));
        for (int i = 0; i < mixes.length; i++) {
            move(mixes[i].text(), loads.get(i).load(), "10", Why.CHARGED);
        }
        return loads.get(0).load();
    }

    private void pull(int run, int from, int to) {
        for (int i = from; i <= to; i++) {
            write(new PressEvent.Pulled(
                    run(run), sheet(i), PullMode.EDITION, null, 6, PressGrade.GOOD, List.of(), null));
        }
    }

    private void noted(@Nullable String water, @Nullable String celsius, @Nullable String packing) {
        write(new PressEvent.Noted(
                run(1), water, celsius == null ? null : new BigDecimal(celsius), null, packing, null, null, null));
    }

    private List<StudioView.Check> checks(int run) {
        return studio.host().view().runRecord(run(run).text()).orElseThrow().checks();
    }

    private void speaks(TradeRule rule, int run, String... words) {
        List<StudioView.Check> checks = checks(run);
        String text = checks.stream()
                .filter(check -> check.rule().equals(rule.words()))
                .map(StudioView.Check::text)
                .collect(Collectors.joining("; "));
        assertFalse(text.isEmpty(), rule + " in " + checks);
        for (String word : words) {
            assertTrue(text.contains(word), text);
        }
    }

    private void only(int run, TradeRule... rules) {
        assertEquals(
                List.of(rules).stream().map(TradeRule::words).sorted().toList(),
                checks(run).stream()
                        .map(StudioView.Check::rule)
                        .filter(rule -> !rule.equals(TradeRule.NOT_WRITTEN_DOWN.words()))
                        .distinct()
                        .sorted()
                        .toList());
    }

    @Test
    void a_run_that_was_printed_as_it_should_be_is_held_against_nothing() {
        ThingId load = start(1, ROLLER, usual(1));
        noted("fresh", "20", null);
        pull(1, 1, 10);
        noted("changed", "21", null);
        move("mix-1", load, "2", Why.CHARGED);
        pull(1, 11, 20);
        write(new PressEvent.Matched(run(1), sheet(3), Match.MATCH, null));
        only(1);
        later(48);
        write(new TestEvent.DrynessJudged(run(1), null, Dryness.RUB_DRY, null));
        write(new ShelfEvent.ToolCleaned(ROLLER, null));
        start(2, ROLLER, mix(2, null, "T1", "50", "T2", "5"));
        pull(2, 1, 10);
        only(2);
    }

    @Test
    void what_is_missing_is_said_to_be_a_limit() {
        write(new PressEvent.Pulled(run(1), null, PullMode.EDITION, null, null, PressGrade.GOOD, List.of(), null));
        speaks(
                TradeRule.NOT_WRITTEN_DOWN,
                1,
                "which sheet went through",
                "passes",
                "which ink was charged",
                "beside the OK proof");
        only(1);
    }

    @Test
    void a_slip_of_ten_in_a_second_batch() {
        ThingId load = start(1, ROLLER, usual(1));
        pull(1, 1, 3);
        ThingId other = mix(2, RECIPE, "T1", "90", "T2", "9.5", "T4", "5.0");
        move(other.text(), load, "20", Why.CHARGED);
        pull(1, 4, 6);
        speaks(TradeRule.FACTOR_OF_TEN, 1, "reducer in mix 2: 5.0 g, 4.78 %, where the recipe asks 0.50 %");
        speaks(TradeRule.NOT_AS_PLANNED, 1, "from pull 4 on");
        speaks(TradeRule.SHARES_CHANGED_BETWEEN_BATCHES, 1, "reducer: 0.50 % in mix 1, 4.78 % in mix 2");
        only(1, TradeRule.FACTOR_OF_TEN, TradeRule.NOT_AS_PLANNED, TradeRule.SHARES_CHANGED_BETWEEN_BATCHES);
    }

    @Test
    void a_load_that_grows() {
        ThingId load = start(1, ROLLER, usual(1));
        for (int i = 0; i < 5; i++) {
            pull(1, 3 * i + 1, 3 * i + 3);
            move("mix-1", load, i < 2 ? "1" : "8", Why.CHARGED);
        }
        pull(1, 16, 18);
        speaks(TradeRule.CHARGED_MORE_THAN_GOES_OUT, 1, "on slab and roller at pull 16");
        only(1, TradeRule.CHARGED_MORE_THAN_GOES_OUT);
    }

    @Test
    void what_belongs_in_just_before_printing() {
        ThingId mix = mix(1, null, "T1", "90", "T2", "9", "T4", "0.5", "T5", "0.5");
        later(9);
        start(1, ROLLER, mix);
        pull(1, 1, 3);
        speaks(TradeRule.TACK_REDUCER_LONG_BEFORE, 1, "into mix 1 9 hours before its first pull");
        speaks(TradeRule.HOURS_SINCE_THE_DRIER, 1, "into mix 1 9 hours before the last pull");
        only(1, TradeRule.TACK_REDUCER_LONG_BEFORE, TradeRule.HOURS_SINCE_THE_DRIER);
    }

    @Test
    void how_it_was_mixed() {
        ThingId mix = mix(1, null, "T2", "9", "T1", "90", "T3", "2.5", "T3", "0.9");
        start(1, ROLLER, mix);
        pull(1, 1, 3);
        speaks(TradeRule.POWDER_AT_ONCE, 1, "2.5 g of mag into 99.0 g of mix 1 at once");
        speaks(TradeRule.BASE_INTO_STRONG_INK, 1, "mix 1 was begun with strong ink");
        only(1, TradeRule.POWDER_AT_ONCE, TradeRule.BASE_INTO_STRONG_INK);
        assertEquals(
                1,
                checks(1).stream()
                        .filter(check -> check.rule().equals(TradeRule.POWDER_AT_ONCE.words()))
                        .count(),
                "0.9 g into 101.5 g is a little at a time");
    }

    @Test
    void a_blend_of_two_bodies() {
        ThingId one = mix(1, null, "T1", "50", "T2", "5");
        ThingId two = mix(2, null, "T1", "50", "T2", "2");
        write(new TestEvent.Compared(one, two, Stiffness.STIFFER, null, null));
        start(1, ROLLER, one, two);
        pull(1, 1, 3);
        speaks(TradeRule.BLEND_OF_DIFFERENT_BODY, 1, "mix 1 was stiffer than mix 2");
        only(1, TradeRule.BLEND_OF_DIFFERENT_BODY);
    }

    @Test
    void another_can_and_one_with_a_skin() {
        write(new ShelfEvent.CanReceived(
                new ThingId("can-T9"), new ThingId("material-blue"), "T9", null, net("500"), null, null, null));
        ThingId load = start(1, ROLLER, usual(1));
        pull(1, 1, 3);
        write(new ShelfEvent.VesselInspected(new ThingId("can-T9"), List.of(Condition.SKIN), null));
        ThingId other = mix(2, RECIPE, "T1", "90", "T9", "9.5", "T4", "0.5");
        move(other.text(), load, "5", Why.CHARGED);
        pull(1, 4, 6);
        speaks(TradeRule.LOT_CHANGED, 1, "blue: ", "in mix 2");
        speaks(TradeRule.SKINNED_CAN, 1, "had a skin when last looked into");
        only(1, TradeRule.LOT_CHANGED, TradeRule.SKINNED_CAN);
    }

    @Test
    void a_can_that_was_sound_again_is_not_held_against_the_run() {
        write(new ShelfEvent.VesselInspected(new ThingId("can-T2"), List.of(Condition.SKIN), null));
        write(new ShelfEvent.VesselInspected(new ThingId("can-T2"), List.of(Condition.SOUND), null));
        start(1, ROLLER, usual(1));
        pull(1, 1, 3);
        write(new ShelfEvent.VesselInspected(new ThingId("can-T1"), List.of(Condition.SKIN), null));
        only(1);
    }

    @Test
    void the_layer_below() {
        start(1, ROLLER, usual(1));
        pull(1, 1, 5);
        later(20);
        write(new TestEvent.DrynessJudged(run(1), null, Dryness.TACKY, null));
        write(new ShelfEvent.ToolCleaned(ROLLER, null));
        start(2, ROLLER, mix(2, null, "T1", "50", "T2", "5"));
        pull(2, 1, 3);
        speaks(TradeRule.LAYER_BELOW_NOT_KNOWN_DRY, 2, "was not judged rub-dry before this run began, 20 hours");
        only(2, TradeRule.LAYER_BELOW_NOT_KNOWN_DRY);
    }

    @Test
    void the_layer_below_for_too_long() {
        start(1, ROLLER, usual(1));
        pull(1, 1, 5);
        later(24 * 20);
        write(new TestEvent.DrynessJudged(run(1), null, Dryness.RUB_DRY, null));
        write(new ShelfEvent.ToolCleaned(ROLLER, null));
        start(2, ROLLER, mix(2, null, "T1", "50", "T2", "5"));
        pull(2, 1, 3);
        speaks(TradeRule.LAYER_BELOW_TOO_LATE, 2, "had lain for 20 days");
        only(2, TradeRule.LAYER_BELOW_TOO_LATE);
    }

    @Test
    void paper_and_roller() {
        write(new PaperEvent.Torn(
                new ThingId("paper-2"),
                List.of(new Sheet(new ThingId("sheet-200"), "B-1")),
                null,
                null,
                EDITION,
                null));
        ThingId small = new ThingId("tool-2");
        write(new ShelfEvent.ToolListed(small, ToolKind.ROLLER, "the small roller", 100_000L, null, null, null));
        write(new EditionEvent.RunPlanned(run(3), new ThingId("edition-2"), 1, null, null, "another job", null));
        write(new PressEvent.RunStarted(run(3), List.of(), small, null, null, null, null));
        start(1, small, usual(1));
        pull(1, 1, 3);
        pull(1, 200, 200);
        speaks(TradeRule.PAPER_CHANGED, 1, "more than one paper went through");
        speaks(TradeRule.ROLLER_HAD_ANOTHER_COLOUR, 1, "the small roller was last used for");
        speaks(TradeRule.CIRCUMFERENCE_SHORTER_THAN_THE_IMAGE, 1, "turns once in 31.4 cm", "40.0 cm");
        only(
                1,
                TradeRule.PAPER_CHANGED,
                TradeRule.ROLLER_HAD_ANOTHER_COLOUR,
                TradeRule.CIRCUMFERENCE_SHORTER_THAN_THE_IMAGE);
    }

    @Test
    void at_the_press() {
        start(1, ROLLER, usual(1));
        noted("fresh", "20", null);
        pull(1, 1, 3);
        noted(null, "27", "one sheet more");
        pull(1, 4, 5);
        write(new PressEvent.HandsChanged(run(1), List.of(new ThingId("person-2")), null));
        write(new PressEvent.Paused(run(1), true, null));
        later(0.5);
        write(new StoneEvent.Treated(STONE, Treatment.OPENED, null, null, null));
        write(new StoneEvent.Treated(STONE, Treatment.ETCHED, null, "weak", null));
        write(new StoneEvent.Treated(STONE, Treatment.ADDITION, null, null, null));
        pull(1, 6, 98);
        speaks(TradeRule.TEMPERATURE, 1, "20.0 to 27.0 °C");
        speaks(TradeRule.PACKING_OR_BAR_CHANGED, 1, "before pull 4: packing one sheet more");
        speaks(TradeRule.HANDS_CHANGED, 1, "other hands took over before pull 6");
        assertTrue(checks(1).stream().noneMatch(check -> check.text().contains("person")), "never whose");
        speaks(TradeRule.GUMMED_UP, 1, "before pull 6, 3", "minutes after the pull before");
        speaks(TradeRule.REOPENED, 1, "opened before pull 6");
        speaks(TradeRule.ETCHED_AGAIN, 1, "etched before pull 6, weak");
        speaks(TradeRule.REWORKED_WHILE_PENDING, 1, "addition before pull 6");
        speaks(TradeRule.WATER_NOT_CHANGED, 1, "98 pulls, from 1 to 98");
    }

    @Test
    void what_was_warned_of_and_does_not_show_by_itself() {
        ThingId mix = usual(1);
        write(new LogEvent.Warned("above-the-limit", List.of(mix), Map.of("share", "4 %"), true));
        start(1, ROLLER, mix);
        pull(1, 1, 3);
        speaks(TradeRule.WARNED, 1, "above the limit, share 4 %; it was confirmed");
        only(1, TradeRule.WARNED);
    }

    private void read(int sheet, String density) {
        write(new PressEvent.Measured(run(1), sheet(sheet), "density", new BigDecimal(density), null, null));
    }

    private List<String> outOfBand() {
        return LastPulls.outOfBand(
                studio.views(), studio.runs(), studio.runs().run(run(1)).orElseThrow());
    }

    @Test
    void the_last_pulls_are_held_against_the_approved_opening() {
        start(1, ROLLER, usual(1));
        pull(1, 1, 12);
        String[] opening = {"1.00", "1.02", "0.99", "1.01", "1.00", "0.98", "1.01", "1.00", "1.02", "0.99"};
        for (int i = 0; i < opening.length; i++) {
            read(i + 1, opening[i]);
            assertEquals(List.of(), outOfBand(), "after " + (i + 1) + " readings");
        }
        read(11, "1.18");
        assertEquals(1, outOfBand().size());
        assertTrue(
                outOfBand().get(0).startsWith("density 1.18 at pull 11, the band is 0.8"),
                outOfBand().toString());
        read(12, "1.01");
        assertEquals(List.of(), outOfBand(), "it came back");
        write(new PressEvent.Pulled(run(1), sheet(13), PullMode.EDITION, null, 7, PressGrade.GOOD, List.of(), null));
        assertEquals(List.of(), outOfBand(), "one pass more is nothing");
        write(new PressEvent.Matched(run(1), sheet(12), Match.DARKER, null));
        assertEquals(List.of(), outOfBand(), "once is nothing");
        write(new PressEvent.Matched(run(1), sheet(13), Match.DARKER, null));
        assertEquals(List.of("beside the OK proof: darker twice in a row, at pulls 12 and 13"), outOfBand());
        assertEquals(
                outOfBand(),
                studio.host().view().runRecord(run(1).text()).orElseThrow().outOfBand(),
                "plugins see the same");
    }

    @Test
    void the_ok_proof_is_the_centre_of_the_band() {
        start(1, ROLLER, usual(1));
        write(new PressEvent.Pulled(run(1), sheet(90), PullMode.PROOF, null, 6, PressGrade.GOOD, List.of(), null));
        write(new EditionEvent.OkSigned(EDITION, sheet(90), null, null));
        read(90, "1.20");
        pull(1, 1, 8);
        String[] values = {"1.00", "1.02", "0.99", "1.01", "1.00", "1.01", "1.00", "0.99"};
        for (int i = 0; i < values.length; i++) {
            read(i + 1, values[i]);
        }
        assertTrue(
                outOfBand().get(0).startsWith("density 0.99 at pull 8, the band is 1.1"),
                outOfBand().toString());
    }

    private void colour(int sheet, String l, String a, String b, @Nullable String light, @Nullable String hours) {
        write(new TestEvent.ColourRead(
                run(1),
                sheet(sheet),
                null,
                new Lab(new BigDecimal(l), new BigDecimal(a), new BigDecimal(b)),
                null,
                null,
                null,
                light,
                null,
                null,
                hours == null ? null : new BigDecimal(hours),
                null,
                null));
    }

    /** First pair of Sharma, Wu and Dalal (2005): ΔE00 2.0425. Spectra count by their D50, other lights and wet beside dry not. */
    @Test
    void colours_of_sheets_are_followed_as_their_distance_from_the_ok_proof() {
        start(1, ROLLER, usual(1));
        write(new PressEvent.Pulled(run(1), sheet(90), PullMode.PROOF, null, 6, PressGrade.GOOD, List.of(), null));
        write(new EditionEvent.OkSigned(EDITION, sheet(90), null, null));
        pull(1, 1, 5);
        colour(90, "50", "2.6772", "-79.7751", "D50", "30");
        colour(1, "50", "0", "-82.7485", null, null);
        colour(2, "50", "2.6772", "-79.7751", "D50", "48");
        colour(3, "50", "0", "-82.7485", "A", "48");
        colour(4, "50", "0", "-82.7485", "D50", "1");
        StudioView.RunRecord told =
                studio.host().view().runRecord(run(1).text()).orElseThrow();
        String apart = "ΔE00 to the OK proof";
        assertEquals(2.0425, told.pulls().get(0).readings().getOrDefault(apart, 0.0), 5e-5);
        assertEquals(0.0, told.pulls().get(1).readings().get(apart));
        assertEquals(
                Map.of("L*", 50.0, "a*", 0.0, "b*", -82.7485),
                told.pulls().get(2).readings(),
                "under another light");
        assertEquals(
                Map.of("L*", 50.0, "a*", 0.0, "b*", -82.7485),
                told.pulls().get(3).readings(),
                "wet beside dry");
        assertEquals(
                Map.of("L*", 50.0, "a*", 2.6772, "b*", -79.7751),
                told.standard(),
                "the proof is no distance from itself");
    }

    @Test
    void hands_are_told_without_their_names() {
        start(1, ROLLER, usual(1));
        pull(1, 1, 2);
        write(new PressEvent.HandsChanged(run(1), List.of(new ThingId("person-mara")), "Mara after lunch"));
        pull(1, 3, 4);
        assertTrue(studio.host().view().runRecord(run(1).text()).orElseThrow().happenings().stream()
                .anyMatch(each -> each.text().equals("other hands took over")));
    }

    /** A second tap for a sheet that was counted, and a late second hit, move nothing that happened between. */
    @Test
    void events_stay_before_the_pull_that_followed_them() {
        ThingId load = start(1, ROLLER, usual(1));
        pull(1, 1, 20);
        noted(null, null, "one sheet more");
        move("mix-1", load, "2", Why.CHARGED);
        pull(1, 21, 30);
        pull(1, 7, 7);
        write(new PressEvent.Pulled(run(1), sheet(8), PullMode.EDITION, true, 6, PressGrade.GOOD, List.of(), null));
        speaks(TradeRule.PACKING_OR_BAR_CHANGED, 1, "before pull 21: packing");
        StudioView.RunRecord told =
                studio.host().view().runRecord(run(1).text()).orElseThrow();
        assertTrue(
                told.happenings().stream()
                        .filter(each -> each.type().equals("ink.charged")
                                && each.numbers().get("g").equals(2.0))
                        .allMatch(each -> each.before() == 21),
                told.happenings().toString());
    }

    @Test
    void two_looks_at_one_sheet_are_both_kept() {
        start(1, ROLLER, usual(1));
        pull(1, 1, 3);
        write(new PressEvent.Matched(run(1), sheet(2), Match.DARKER, null));
        write(new PressEvent.Matched(run(1), sheet(2), null, Margin.TINT));
        StudioView.PullRow row = studio.host()
                .view()
                .runRecord(run(1).text())
                .orElseThrow()
                .pulls()
                .get(1);
        assertEquals("darker", row.match());
        assertEquals("tint", row.margin());
    }

    /** A batch of the layer below that was printed after this run is no layer of its sheets. */
    @Test
    void a_later_batch_of_the_layer_below_is_no_layer() {
        start(1, ROLLER, usual(1));
        pull(1, 1, 5);
        later(48);
        write(new TestEvent.DrynessJudged(run(1), null, Dryness.RUB_DRY, null));
        write(new ShelfEvent.ToolCleaned(ROLLER, null));
        start(2, ROLLER, mix(2, null, "T1", "50", "T2", "5"));
        pull(2, 1, 5);
        later(24 * 30);
        pull(1, 6, 8);
        write(new TestEvent.DrynessJudged(run(1), null, Dryness.TACKY, null));
        only(2);
    }

    /** Somebody else's ink of the same can, weeks from this run's, is not held against it. */
    @Test
    void a_warning_about_another_ink_of_the_same_material_is_not_this_runs() {
        ThingId mix = usual(1);
        later(3);
        write(new LogEvent.Warned("above-the-limit", List.of(new ThingId("material-reducer")), Map.of(), true));
        later(1);
        start(1, ROLLER, mix);
        pull(1, 1, 3);
        only(1);
    }
}
