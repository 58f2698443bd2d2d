package slabside.ink;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.math.BigDecimal;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.event.InkEvent;
import slabside.event.MaterialRole;
import slabside.event.ShelfEvent;
import slabside.event.StudioEvent;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.log.Samples;
import slabside.measure.Amount;
import slabside.measure.Mass;
import slabside.studio.Studio;

/** Lots that changed, strengths, portions and let-downs, on numbers that can be checked by hand. */
class RebuildTest {
    private static final ThingId MIX = new ThingId("mix-1");

    @TempDir
    Path folder;

    private Studio studio;
    private final List<StudioEvent> events = new ArrayList<>();

    @BeforeEach
    void open() {
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Samples.ticking());
        material("base", MaterialRole.BASE);
        material("blue", MaterialRole.INK);
        material("mag", MaterialRole.POWDER);
        can("base-1", "base");
        can("blue-a", "blue");
        can("blue-b", "blue");
        can("mag-1", "mag");
    }

    @AfterEach
    void close() {
        studio.close();
    }

    private void material(String name, MaterialRole role) {
        events.add(new ShelfEvent.MaterialListed(new ThingId("m-" + name), name, role, null, null, null, null));
    }

    private void can(String lot, String material) {
        events.add(new ShelfEvent.CanReceived(
                new ThingId(lot), new ThingId("m-" + material), lot, null, Amount.net("net", "500"), null, null, null));
    }

    private void add(String can, String grams) {
        events.add(new InkEvent.Moved(new ThingId(can), MIX, Amount.net("amount", grams), Why.ADDED, null));
    }

    private void finished(String can) {
        events.add(new ShelfEvent.CanFinished(new ThingId(can), null));
    }

    private void strength(String lot, String against, String percent) {
        events.add(new TestEvent.StrengthJudged(new ThingId(lot), new ThingId(against), new BigDecimal(percent), null));
    }

    private Rebuild rebuild(String grams, String step) {
        studio.write(Samples.ACTOR, events);
        return Rebuild.of(
                studio.views(),
                studio.ledger(),
                studio.shelf(),
                studio.ledger().now(MIX),
                Mass.ofGrams(grams),
                Mass.ofGrams(step));
    }

    private static Rebuild.Line line(Rebuild rebuild, String material) {
        return rebuild.lines().stream()
                .filter(l -> l.material().name().equals(material))
                .findFirst()
                .orElseThrow();
    }

    @Test
    void each_old_lot_counts_with_its_own_strength() {
        add("base-1", "80.0");
        add("blue-a", "12.0");
        add("blue-b", "8.0");
        finished("blue-a");
        finished("blue-b");
        can("blue-new", "blue");
        strength("blue-new", "blue-a", "125");
        Rebuild rebuild = rebuild("100", "0.01");
        // 12 g of A are 9.6 g of the new one; 8 g of B, never tried, stay 8 g.
        assertEquals(17.6, line(rebuild, "blue").grams(), 1e-9);
        assertEquals(82.4, line(rebuild, "base").grams(), 1e-9);
        assertTrue(
                rebuild.changes().toString().contains("never tried"),
                rebuild.changes().toString());
    }

    @Test
    void a_can_still_on_the_shelf_takes_the_place_of_the_other_old_lot_by_its_strength() {
        add("base-1", "80.0");
        add("blue-a", "10.0");
        add("blue-b", "10.0");
        finished("blue-b");
        strength("blue-a", "blue-b", "200");
        assertEquals(15, line(rebuild("100", "0.01"), "blue").grams(), 1e-9);
    }

    @Test
    void a_judgement_the_other_way_round_counts_as_well() {
        add("base-1", "80.0");
        add("blue-a", "20.0");
        finished("blue-a");
        can("blue-new", "blue");
        strength("blue-a", "blue-new", "80");
        assertEquals(16, line(rebuild("100", "0.01"), "blue").grams(), 1e-9);
    }

    @Test
    void base_never_goes_below_nothing_and_the_larger_batch_is_said() {
        add("base-1", "10.0");
        add("blue-a", "90.0");
        finished("blue-a");
        can("blue-new", "blue");
        strength("blue-new", "blue-a", "80");
        Rebuild rebuild = rebuild("100", "0.1");
        assertEquals(0, line(rebuild, "base").grams(), 0);
        assertEquals(0, line(rebuild, "base").weighed().milligrams());
        assertTrue(
                rebuild.changes().toString().contains("comes out larger by 12.5 g"),
                rebuild.changes().toString());
    }

    @Test
    void powder_goes_in_by_portions_of_at_most_one_percent_and_a_trifle_is_made_from_a_let_down() {
        add("base-1", "95.5");
        add("blue-a", "1.5");
        add("mag-1", "3.0");
        Rebuild rebuild = rebuild("100", "0.1");
        assertEquals(
                List.of(new Mass(1000), new Mass(1000), new Mass(1000)),
                line(rebuild, "mag").portions());
        assertEquals(new Mass(15_000), line(rebuild, "blue").letDown().orElseThrow());
        assertEquals(13.5, rebuild.baseInLetDowns(), 1e-9);
        assertTrue(line(rebuild, "base").letDown().isEmpty());
    }
}
