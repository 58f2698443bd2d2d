package slabside.host;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.math.BigDecimal;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.event.Actor;
import slabside.event.EditionEvent;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.MaterialRole;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.Price;
import slabside.event.PullMode;
import slabside.event.ShelfEvent;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.measure.Amount;
import slabside.plugin.StudioView;
import slabside.studio.Studio;

/** What a run took and where it went, worked out by hand: nothing twice, nothing lost. */
class InkUseTest {
    private static final Actor ACTOR = new Actor(Studio.SOMEBODY, "this");

    @TempDir
    Path folder;

    private final ThingId edition = new ThingId("edition-1");
    private final ThingId run1 = new ThingId("run-1");
    private final ThingId run2 = new ThingId("run-2");
    private final ThingId can = new ThingId("can-1");
    private final ThingId mix = new ThingId("mix-1");
    private final ThingId packet = new ThingId("packet-1");
    private final ThingId load1 = new ThingId("load-1");
    private final ThingId load2 = new ThingId("load-2");
    private Studio studio;

    @BeforeEach
    void open() {
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC());
        ThingId blue = new ThingId("material-1");
        write(
                new EditionEvent.Planned(
                        edition, "Invented", null, 20, null, null, null, null, null, null, null, null, null),
                new EditionEvent.RunPlanned(run1, edition, 1, null, null, null, null),
                new EditionEvent.RunPlanned(run2, edition, 2, null, null, null, null),
                new ShelfEvent.MaterialListed(blue, "blue", MaterialRole.INK, null, null, null, null),
                new ShelfEvent.CanReceived(
                        can,
                        blue,
                        "B-1",
                        "K7RM",
                        Amount.net("net", "100.0"),
                        null,
                        new Price(new BigDecimal("20.00"), "EUR"),
                        null),
                new InkEvent.MixStarted(mix, "the ink", null, run1, null, null));
    }

    @AfterEach
    void close() {
        studio.close();
    }

    private void write(StudioEvent... events) {
        for (StudioEvent event : events) {
            studio.write(ACTOR, List.of(event));
        }
        studio.views().catchUp();
    }

    private static StudioEvent moved(ThingId from, ThingId to, String grams, Why why) {
        return new InkEvent.Moved(
                from, to, grams.isEmpty() ? new Amount.Rest("rest") : Amount.net("grams", grams), why, null);
    }

    private void setUp(ThingId run, ThingId load) {
        write(new PressEvent.RunStarted(run, List.of(new Load(load, "", null)), null, null, null, null, null));
    }

    private void pull(ThingId run, int times) {
        List<StudioEvent> pulls = new ArrayList<>();
        for (int i = 0; i < times; i++) {
            pulls.add(new PressEvent.Pulled(run, null, PullMode.EDITION, null, null, PressGrade.GOOD, List.of(), null));
        }
        write(pulls.toArray(new StudioEvent[0]));
    }

    private List<StudioView.RunInk> inks() {
        return studio.host().view().inkOf(edition.text());
    }

    private static Map<String, Double> went(StudioView.RunInk ink) {
        Map<String, Double> went = new TreeMap<>();
        ink.went()
                .forEach(each -> went.put(each.where(), Math.round(each.grams().value() * 1e6) / 1e6));
        return went;
    }

    /** 60 g are mixed, 20 charged, the rest wrapped; next day all of the packet is charged, 50 printed, 10 washed up. */
    @Test
    void a_leftover_of_its_own_is_no_second_lot() {
        setUp(run1, load1);
        write(
                moved(can, mix, "60.0", Why.ADDED),
                moved(mix, load1, "20.0", Why.CHARGED),
                moved(mix, packet, "", Why.WRAPPED),
                new InkEvent.Wrapped(packet, "M4PQ", "drawer", null));
        pull(run1, 10);
        write(moved(packet, load1, "", Why.CHARGED));
        pull(run1, 40);
        write(moved(load1, ThingId.WASH_UP, "10.0", Why.WASHED_UP), new PressEvent.CleanedUp(run1, null));
        StudioView.RunInk ink = inks().get(0);
        assertEquals(1, ink.lots().size(), ink.toString());
        assertEquals(60, ink.lots().get(0).grams().value(), 1e-9);
        assertEquals(12, ink.lots().get(0).cost().orElseThrow().value(), 1e-9, "60 g of 100 g for 20.00");
        assertEquals(Map.of("on paper", 50.0, "washed up", 10.0), went(ink));
    }

    /** 5 g of the first run's ink go onto the second's slab: they count once in the edition, and are named. */
    @Test
    void what_another_run_took_over_counts_once() {
        setUp(run1, load1);
        setUp(run2, load2);
        write(
                moved(can, mix, "60.0", Why.ADDED),
                moved(mix, load1, "20.0", Why.CHARGED),
                moved(mix, load2, "5.0", Why.CHARGED),
                moved(can, load2, "2.0", Why.CHARGED));
        List<StudioView.RunInk> inks = inks();
        assertEquals(
                62,
                inks.stream()
                        .flatMap(ink -> ink.lots().stream())
                        .mapToDouble(lot -> lot.grams().value())
                        .sum(),
                1e-9);
        assertEquals(5, went(inks.get(0)).get("in other inks"), 1e-9);
        assertTrue(
                inks.get(1).gaps().stream().anyMatch(gap -> gap.startsWith("5.00 g came from the ink")),
                inks.get(1).gaps().toString());
    }

    /** The rest of a stranger's packet: its can is the lot, by what was in it before it was emptied. */
    @Test
    void the_rest_of_an_older_packet_is_told_by_its_can() {
        ThingId old = new ThingId("mix-old");
        write(
                new InkEvent.MixStarted(old, "old", null, null, null, null),
                moved(can, old, "8.0", Why.ADDED),
                moved(old, packet, "", Why.WRAPPED),
                new InkEvent.Wrapped(packet, "M4PQ", null, null),
                moved(packet, mix, "", Why.FOLDED_IN),
                moved(can, mix, "2.0", Why.ADDED));
        StudioView.RunInk ink = inks().get(0);
        assertEquals(
                List.of(can.text()),
                ink.lots().stream().map(StudioView.LotUsed::lot).toList());
        assertEquals(10, ink.lots().get(0).grams().value(), 1e-9);
        assertEquals(Map.of("left", 10.0), went(ink));
    }

    /** Two parts and one: no grams, until the cup is weighed; then 40 and 20. */
    @Test
    void parts_are_grams_only_when_something_was_weighed() {
        ThingId other = new ThingId("can-2");
        write(
                new ShelfEvent.CanReceived(
                        other, new ThingId("material-1"), "B-2", null, Amount.net("net", "100.0"), null, null, null),
                new InkEvent.Moved(
                        can, mix, new Amount.Parts(BigDecimal.valueOf(2), "mix-1", "2 parts"), Why.ADDED, null),
                new InkEvent.Moved(other, mix, new Amount.Parts(BigDecimal.ONE, "mix-1", "1 part"), Why.ADDED, null));
        StudioView.RunInk unknown = inks().get(0);
        assertEquals(List.of(), unknown.lots());
        assertEquals(2, unknown.gaps().size(), unknown.toString());
        write(new ShelfEvent.VesselWeighed(mix, 60_000, 0L, 100, "60.0"));
        Map<String, Double> lots = new TreeMap<>();
        inks().get(0)
                .lots()
                .forEach(lot -> lots.put(lot.lot(), Math.round(lot.grams().value() * 1e6) / 1e6));
        assertEquals(Map.of("can-1", 40.0, "can-2", 20.0), lots);
        double added = studio.host().view().flows(0, Long.MAX_VALUE / 2).stream()
                .filter(flow -> flow.why().equals("added"))
                .mapToDouble(StudioView.Flow::grams)
                .sum();
        assertEquals(60, added, 1e-6);
        assertEquals(
                40,
                studio.host()
                        .view()
                        .from(can.text())
                        .get(0)
                        .grams()
                        .orElseThrow()
                        .value(),
                1e-6,
                "seen from the can too");
    }

    @Test
    void a_time_holds_what_happened_in_it_and_no_more() {
        setUp(run1, load1);
        write(moved(can, mix, "30.0", Why.ADDED), moved(mix, load1, "20.0", Why.CHARGED));
        pull(run1, 4);
        write(new PressEvent.Pulled(run1, null, PullMode.CANCELLATION, null, null, PressGrade.GOOD, List.of(), null));
        long now = Clock.systemUTC().millis();
        StudioView view = studio.host().view();
        assertEquals(List.of(), view.flows(now + 60_000, now + 120_000));
        assertEquals(List.of(), view.printed(0, now - 600_000));
        StudioView.PrintedThen printed =
                view.printed(now - 600_000, now + 60_000).get(0);
        assertEquals(4, printed.pulls());
        assertEquals(0, printed.proofs(), "a cancellation impression is no proof");
        assertTrue(!printed.learned(), "its balance has not closed");
        assertTrue(inks().get(0).gaps().stream().anyMatch(gap -> gap.contains("has not closed")));
    }
}
