package slabside.ink;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import slabside.event.EventCodec;
import slabside.event.ThingId;
import slabside.log.Stored;
import slabside.measure.Uncertain;
import slabside.statistics.Propagated;
import slabside.views.MemoryStories;
import slabside.views.StoryKey;

/**
 * Ink is conserved, whatever was written down in whatever order: made-up histories, nested, split, late, voided, amended.
 * The seed of a failing history is in its message.
 */
class RandomLedgersTest {
    private static final int LEDGERS = Integer.getInteger("slabside.ledgers", 10_000);

    private static Set<ThingId> vessels(List<Stored> events) {
        Set<ThingId> vessels = new TreeSet<>();
        for (Stored stored : events) {
            EventCodec.about(stored.event()).stream()
                    .filter(id -> id.text().startsWith("mix-") || id.text().startsWith("can-"))
                    .forEach(vessels::add);
        }
        return vessels;
    }

    private record Totals(double in, double lacking, double held, double out) {}

    private static Totals totals(List<Stored> events) {
        Gathering gathering = Gathering.whole(MemoryStories.of(events), vessels(events));
        double[] flows = new double[2];
        Fold fold = new Fold(gathering, new Settlement(gathering, load -> new Uncertain(0, 0)), ThingId::text)
                .watching(flow -> {
                    flows[0] += flow.from().equals(ThingId.SUPPLY) ? flow.grams() : 0;
                    flows[1] += flow.to().isOutside() ? flow.grams() : 0;
                });
        fold.to(StoryKey.LAST);
        double held = fold.held().values().stream()
                .flatMap(lots -> lots.values().stream())
                .mapToDouble(Propagated::value)
                .sum();
        double lacking =
                fold.shortfalls().stream().mapToDouble(Fold.Shortfall::grams).sum();
        return new Totals(flows[0], lacking, held, flows[1]);
    }

    @Test
    void what_came_in_is_what_is_held_and_what_went_out_to_the_milligram() {
        int shortfalls = 0;
        for (int seed = 0; seed < LEDGERS; seed++) {
            Totals totals = totals(Histories.madeUp(seed, 25).events());
            assertEquals(
                    Math.round((totals.in + totals.lacking) * 1000),
                    Math.round((totals.held + totals.out) * 1000),
                    1.0,
                    "seed " + seed);
            shortfalls += totals.lacking > 0 ? 1 : 0;
        }
        assertTrue(
                shortfalls > LEDGERS / 20, "some histories must draw a vessel below zero, or that path is not tried");
    }

    @Test
    void the_same_events_give_the_same_shares_in_any_order_of_arrival() {
        Random random = new Random(5);
        for (int seed = 0; seed < LEDGERS; seed++) {
            List<Stored> events = Histories.madeUp(seed, 25).events();
            List<Stored> shuffled = new ArrayList<>(events);
            Collections.shuffle(shuffled, random);
            Ledger first = new Ledger(MemoryStories.of(events), load -> new Uncertain(0, 0));
            Ledger second = new Ledger(MemoryStories.of(shuffled), load -> new Uncertain(0, 0));
            for (ThingId vessel : vessels(events)) {
                assertEquals(first.now(vessel).byLot(), second.now(vessel).byLot(), "seed " + seed + ", " + vessel);
            }
        }
    }

    @Test
    void folding_in_two_goes_is_folding_in_one() {
        for (int seed = 0; seed < LEDGERS / 20; seed++) {
            List<Stored> events = Histories.madeUp(seed, 25).events();
            MemoryStories stories = MemoryStories.of(events);
            Gathering gathering = Gathering.whole(stories, vessels(events));
            Settlement settlement = new Settlement(gathering, load -> new Uncertain(0, 0));
            StoryKey half =
                    gathering.entries().get(gathering.entries().size() / 2).key();
            Fold once = new Fold(gathering, settlement, ThingId::text).to(StoryKey.LAST);
            Fold twice = new Fold(gathering, settlement, ThingId::text).to(half).to(StoryKey.LAST);
            for (ThingId vessel : vessels(events)) {
                assertEquals(
                        once.contents(vessel).byLot(), twice.contents(vessel).byLot(), "seed " + seed);
            }
        }
    }

    @Test
    void shares_of_a_vessel_add_up_to_one() {
        for (int seed = 0; seed < LEDGERS / 20; seed++) {
            List<Stored> events = Histories.madeUp(seed, 25).events();
            Ledger ledger = new Ledger(MemoryStories.of(events), load -> new Uncertain(0, 0));
            for (ThingId vessel : vessels(events)) {
                List<Contents.Part> parts = ledger.now(vessel).byLot();
                if (!parts.isEmpty()) {
                    assertEquals(
                            1,
                            parts.stream().mapToDouble(p -> p.share().value()).sum(),
                            1e-9,
                            "seed " + seed);
                }
            }
        }
    }
}
