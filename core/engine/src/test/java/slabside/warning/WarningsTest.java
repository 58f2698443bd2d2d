package slabside.warning;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.math.BigDecimal;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.event.Actor;
import slabside.event.Condition;
import slabside.event.EditionEvent;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.MaterialRole;
import slabside.event.Portion;
import slabside.event.PressEvent;
import slabside.event.ShelfEvent;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.event.ToolKind;
import slabside.event.Why;
import slabside.measure.Amount;
import slabside.measure.Mass;
import slabside.studio.Studio;

/** Every rule, once speaking up and once silent. The thresholds are common practice, no source. */
class WarningsTest {
    private static final long NOW = Instant.parse("2026-03-02T10:00:00Z").toEpochMilli();
    private static final ThingId MIX = new ThingId("mix-1");
    private static final ThingId RUN = new ThingId("run-1");

    @TempDir
    Path folder;

    private Studio studio;
    private Warnings warnings;

    @BeforeEach
    void open() {
        Clock clock = Clock.fixed(Instant.ofEpochMilli(NOW), ZoneOffset.UTC);
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), clock);
        warnings = new Warnings(studio.views(), studio.runs(), studio.shelf());
        material("base", MaterialRole.BASE);
        material("blue", MaterialRole.INK);
        material("mag", MaterialRole.POWDER);
        material("reducer", MaterialRole.TACK_REDUCER);
        write(
                new EditionEvent.Planned(
                        new ThingId("edition-1"),
                        "one",
                        null,
                        null,
                        null,
                        null,
                        null,
                        null,
                        null,
                        null,
                        null,
                        null,
                        null),
                new EditionEvent.RunPlanned(RUN, new ThingId("edition-1"), 1, null, null, null, null),
                new InkEvent.RecipePlanned(
                        new ThingId("recipe-1"),
                        "blue water",
                        List.of(portion("base", "90"), portion("blue", "9.5"), portion("reducer", "0.5")),
                        60_000L,
                        null),
                new InkEvent.MixStarted(MIX, null, null, RUN, new ThingId("recipe-1"), null));
    }

    @AfterEach
    void close() {
        studio.close();
    }

    private void write(StudioEvent... events) {
        studio.write(new Actor(new ThingId("person-1"), "test"), List.of(events));
    }

    private void material(String name, MaterialRole role) {
        write(new ShelfEvent.MaterialListed(new ThingId("material-" + name), name, role, null, null, null, null));
        can(name, name);
    }

    private void can(String id, String material) {
        write(new ShelfEvent.CanReceived(
                new ThingId("can-" + id),
                new ThingId("material-" + material),
                "lot " + id,
                null,
                grams("500"),
                null,
                null,
                null));
    }

    private static Portion portion(String material, String percent) {
        return new Portion(new ThingId("material-" + material), new BigDecimal(percent));
    }

    private static Amount grams(String grams) {
        return Amount.net(Mass.ofGrams(grams), Mass.ofGrams("0.1"));
    }

    private void add(ThingId mix, String can, String grams) {
        write(new InkEvent.Moved(new ThingId("can-" + can), mix, grams(grams), Why.ADDED, null));
    }

    private List<Rule> adding(String can, String grams, long secondsLater) {
        return warnings.adding(MIX, new ThingId("can-" + can), grams(grams), NOW + secondsLater * 1000).stream()
                .map(Warning::rule)
                .toList();
    }

    private List<Rule> adding(String can, String grams) {
        return adding(can, grams, 60);
    }

    @Test
    void a_slip_of_the_decimal_point_either_way_stops() {
        assertEquals(List.of(), adding("base", "54.0"));
        assertEquals(List.of(Rule.TEN_TIMES_THE_RECIPE), adding("base", "540.0"));
        assertEquals(List.of(Rule.TEN_TIMES_THE_RECIPE), adding("base", "5.4"));
        assertEquals(List.of(), adding("base", "20.0"), "a portion is no slip");
        add(MIX, "base", "54.0");
        assertEquals(List.of(Rule.TEN_TIMES_THE_RECIPE), adding("blue", "57.0"));
        assertEquals(List.of(), adding("base", "6.0"), "a correction of the colour is no slip");
    }

    @Test
    void a_modifier_above_its_limit_stops_and_one_below_does_not() {
        add(MIX, "base", "54.0");
        add(MIX, "blue", "5.7");
        assertEquals(List.of(), adding("reducer", "0.3"));
        assertEquals(List.of(Rule.TEN_TIMES_THE_RECIPE, Rule.ABOVE_THE_LIMIT), adding("reducer", "3.0"));
        assertEquals(List.of(Rule.ABOVE_THE_LIMIT, Rule.POWDER_AT_ONCE), adding("mag", "4.0"));
    }

    @Test
    void powder_goes_in_a_little_at_a_time() {
        add(MIX, "base", "54.0");
        assertEquals(List.of(), adding("mag", "0.5"));
        assertEquals(List.of(Rule.POWDER_AT_ONCE), adding("mag", "0.7"));
    }

    @Test
    void strong_ink_goes_into_the_base() {
        assertEquals(List.of(Rule.STRONG_INK_FIRST), adding("blue", "5.7"));
        add(MIX, "base", "54.0");
        assertEquals(List.of(), adding("blue", "5.7"));
    }

    @Test
    void the_same_grams_from_the_same_can_within_twenty_seconds_are_remarked_on() {
        add(MIX, "base", "20.0");
        assertEquals(List.of(Rule.SAME_AGAIN), adding("base", "20.0", 5));
        assertEquals(List.of(), adding("base", "20.0", 25));
        assertEquals(List.of(), adding("base", "20.1", 5));
    }

    @Test
    void another_lot_is_remarked_on_in_the_mix_and_in_the_next_batch_of_the_run() {
        can("base2", "base");
        add(MIX, "base", "20.0");
        assertEquals(List.of(), adding("base", "25.0"));
        assertEquals(List.of(Rule.LOT_DIFFERS), adding("base2", "25.0"));
        ThingId second = new ThingId("mix-2");
        write(new InkEvent.MixStarted(second, null, null, RUN, null, null));
        assertEquals(
                List.of(Rule.LOT_DIFFERS),
                warnings.adding(second, new ThingId("can-base2"), grams("25.0"), NOW).stream()
                        .map(Warning::rule)
                        .toList());
    }

    @Test
    void a_skinned_can_is_remarked_on_until_it_was_looked_into_again() {
        write(new ShelfEvent.VesselInspected(new ThingId("can-base"), List.of(Condition.SKIN), null));
        assertEquals(List.of(Rule.CAN_SKINNED), adding("base", "54.0"));
        write(new ShelfEvent.VesselInspected(new ThingId("can-base"), List.of(Condition.SOUND), null));
        assertEquals(List.of(), adding("base", "54.0"));
    }

    @Test
    void an_ink_of_another_job_stops_through_its_packet_too() {
        ThingId other = new ThingId("mix-other");
        ThingId packet = new ThingId("packet-other");
        write(
                new EditionEvent.Planned(
                        new ThingId("edition-2"),
                        "two",
                        null,
                        null,
                        null,
                        null,
                        null,
                        null,
                        null,
                        null,
                        null,
                        null,
                        null),
                new EditionEvent.RunPlanned(new ThingId("run-2"), new ThingId("edition-2"), 1, null, null, null, null),
                new InkEvent.MixStarted(other, null, null, new ThingId("run-2"), null, null));
        add(other, "base", "30.0");
        write(
                new InkEvent.Moved(other, packet, grams("10.0"), Why.WRAPPED, null),
                new InkEvent.Wrapped(packet, "AAAC", null, null));
        assertTrue(warnings.adding(MIX, packet, grams("5.0"), NOW).stream()
                .anyMatch(warning -> warning.rule() == Rule.OF_ANOTHER_JOB));
        write(new PressEvent.RunStarted(
                RUN, List.of(new Load(new ThingId("load-1"), "", null)), null, null, null, null, null));
        var run = studio.runs().run(RUN).orElseThrow();
        assertEquals(
                List.of(Rule.OF_ANOTHER_JOB),
                warnings.charging(run, other).stream().map(Warning::rule).toList());
        assertEquals(List.of(), warnings.charging(run, MIX));
    }

    @Test
    void a_roller_that_nobody_cleaned_is_remarked_on() {
        ThingId roller = new ThingId("tool-1");
        write(
                new ShelfEvent.ToolListed(roller, ToolKind.ROLLER, "nap", null, null, null, null),
                new PressEvent.RunStarted(
                        new ThingId("run-0"),
                        List.of(new Load(new ThingId("load-0"), "", null)),
                        roller,
                        null,
                        null,
                        null,
                        null));
        assertEquals(
                List.of(Rule.ROLLER_HAD_ANOTHER_COLOUR),
                warnings.settingUp(RUN, roller, List.of(MIX)).stream()
                        .map(Warning::rule)
                        .toList());
        write(new ShelfEvent.ToolCleaned(roller, null));
        assertEquals(List.of(), warnings.settingUp(RUN, roller, List.of(MIX)));
    }

    @Test
    void a_packet_says_that_it_holds_tack_reducer() {
        add(MIX, "base", "54.0");
        assertEquals(List.of(), warnings.wrapping(MIX));
        add(MIX, "reducer", "0.3");
        assertEquals(
                "Holds reducer: it will be on the label.",
                warnings.wrapping(MIX).get(0).text());
    }
}
