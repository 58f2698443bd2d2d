package slabside.ink;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.math.BigDecimal;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import slabside.edition.Runs;
import slabside.event.Actor;
import slabside.event.Condition;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.LogEvent;
import slabside.event.MaterialRole;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.RawBody;
import slabside.event.ShelfEvent;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.log.Decision;
import slabside.log.Draft;
import slabside.measure.Amount;
import slabside.studio.Studio;
import slabside.views.Told;

/**
 * Answers that were given before are given again as long as nothing they were made from changes. After every event of a
 * made-up history, corrections, late entries and joined records among them, a ledger that remembers says the same as one
 * that was just made.
 */
class StandingAnswersTest {
    private static final Actor ACTOR = new Actor(Studio.SOMEBODY, "this");
    private static final int EVENTS = 170;

    @TempDir
    Path folder;

    private final List<ThingId> cans = new ArrayList<>();
    private final List<ThingId> mixes = new ArrayList<>();
    private final List<ThingId> runs = new ArrayList<>();
    private final List<ThingId> loads = new ArrayList<>();
    private final List<ThingId> packets = new ArrayList<>();
    private Random random = new Random(0);
    private Studio studio;
    private @Nullable EventId awaited;
    private long now = Instant.parse("2025-03-01T08:00:00Z").toEpochMilli();

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4})
    void what_is_remembered_is_what_would_be_found_anew(long seed) {
        random = new Random(seed);
        try (Studio opened = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC())) {
            studio = opened;
            for (int i = 0; i < 5; i++) {
                can(i);
            }
            mix();
            for (int i = 0; i < EVENTS; i++) {
                step();
                compare("seed " + seed + ", event " + studio.log().last());
            }
            assertTrue(runs.size() > 1 && mixes.size() > 5 && packets.size() > 1, "the history is worth something");
        }
    }

    private void compare(String when) {
        Runs fresh = new Runs(studio.views());
        Shelf shelf = new Shelf(studio.views(), fresh.ledger());
        List<ThingId> vessels = new ArrayList<>(cans);
        vessels.addAll(mixes);
        vessels.addAll(loads);
        vessels.addAll(packets);
        for (ThingId vessel : vessels) {
            String what = when + ", " + vessel;
            assertEquals(fresh.ledger().left(vessel), studio.ledger().left(vessel), what);
            Contents one = fresh.ledger().now(vessel);
            Contents two = studio.ledger().now(vessel);
            assertEquals(one.grams(), two.grams(), what);
            assertEquals(one.gaps(), two.gaps(), what);
            assertEquals(
                    one.byMaterial(fresh.ledger()::material).toString(),
                    two.byMaterial(studio.ledger()::material).toString(),
                    what);
            assertEquals(shelf.seen(vessel), studio.shelf().seen(vessel), what);
            assertEquals(fresh.ledger().steps(vessel), studio.ledger().steps(vessel), what);
        }
        assertEquals(kept(shelf), kept(studio.shelf()), when);
        for (ThingId run : runs) {
            assertEquals(fresh.ledger().perPull(run), studio.ledger().perPull(run), when + ", " + run);
        }
        assertEquals(fresh.pastRuns(), studio.runs().pastRuns(), when);
    }

    private static List<ThingId> kept(Shelf shelf) {
        return shelf.packets().stream().map(packet -> packet.thing().id()).toList();
    }

    private EventId write(StudioEvent event) {
        return write(event, Happened.exactly(now, ZoneOffset.UTC), null);
    }

    private EventId write(StudioEvent event, Happened happened, @Nullable EventId after) {
        now += 60_000;
        EventId id = EventId.at(now, random);
        studio.append(Decision.of(new Draft(id, happened, after, ACTOR, event)));
        return id;
    }

    private void can(int i) {
        ThingId material = new ThingId("material-" + i);
        ThingId can = new ThingId("can-" + i);
        cans.add(can);
        write(new ShelfEvent.MaterialListed(material, "ink " + i, MaterialRole.INK, null, null, null, null));
        write(new ShelfEvent.CanReceived(can, material, "L" + i, null, Amount.net("grams", "500"), null, null, null));
    }

    private ThingId mix() {
        ThingId mix = new ThingId("mix-" + mixes.size());
        mixes.add(mix);
        write(new InkEvent.MixStarted(mix, "mix " + mixes.size(), null, null, null, null));
        return mix;
    }

    private <T> T any(List<T> from) {
        return from.get(random.nextInt(from.size()));
    }

    private Amount amount() {
        return switch (random.nextInt(8)) {
            case 0 -> new Amount.Unknown("not weighed yet");
            case 1 -> new Amount.Estimated(1_000, 2_000, "1 to 2 g by eye");
            default -> Amount.net("grams", 1 + random.nextInt(20) + "." + random.nextInt(10));
        };
    }

    private void step() {
        switch (random.nextInt(20)) {
            case 0 -> mix();
            case 1, 2, 3 -> write(new InkEvent.Moved(any(cans), any(mixes), amount(), Why.ADDED, null));
            case 4 -> {
                ThingId from = any(mixes);
                ThingId to = any(mixes);
                if (!from.equals(to)) {
                    write(new InkEvent.Moved(
                            from,
                            to,
                            random.nextBoolean() ? new Amount.Rest("the rest") : amount(),
                            Why.FOLDED_IN,
                            null));
                }
            }
            case 5 -> write(new InkEvent.Moved(any(mixes), ThingId.TEST, amount(), Why.TESTED, null));
            case 6 -> run();
            case 7, 8 -> pulls();
            case 9 -> cleanUp();
            case 10 -> correct();
            case 11 -> late();
            case 12 -> write(new ShelfEvent.VesselInspected(any(cans), List.of(Condition.SKIN), null));
            case 13 -> write(new InkEvent.Named(any(mixes), "called " + random.nextInt(100)));
            case 14 -> write(new ShelfEvent.VesselWeighed(any(mixes), 20_000, 0L, 100, "20.0"));
            case 15, 16 -> wrapOrTake();
            case 17 -> parts();
            default -> rare();
        }
    }

    /** A packet is made of a mix, or its rest taken into one. */
    private void wrapOrTake() {
        if (!packets.isEmpty() && random.nextInt(3) == 0) {
            write(
                    random.nextBoolean()
                            ? new InkEvent.Moved(any(mixes), any(packets), amount(), Why.WRAPPED, null)
                            : new ShelfEvent.VesselWeighed(any(packets), 9_000, 0L, 100, "9.0"));
        } else if (packets.isEmpty() || random.nextBoolean()) {
            ThingId packet = new ThingId("packet-" + packets.size());
            packets.add(packet);
            write(new InkEvent.Wrapped(packet, null, "drawer", null));
            write(new InkEvent.Moved(any(mixes), packet, amount(), Why.WRAPPED, null));
        } else {
            write(new InkEvent.Moved(any(packets), any(mixes), new Amount.Rest("the rest"), Why.ADDED, null));
        }
    }

    private void parts() {
        ThingId mix = mix();
        for (int n = 1; n <= 2; n++) {
            write(new InkEvent.Moved(
                    any(cans), mix, new Amount.Parts(BigDecimal.valueOf(n), "first", n + " parts"), Why.ADDED, null));
        }
    }

    private void rare() {
        switch (random.nextInt(5)) {
            case 0 -> write(new InkEvent.Moved(any(mixes), any(cans), amount(), Why.RETURNED, null));
            case 3, 4 -> beforeWhatItFollows();
            case 1 -> write(new ShelfEvent.CanFinished(any(cans), null));
            default -> write(new LogEvent.SameThing(any(cans), any(cans)));
        }
    }

    /** An event comes before the one that it was written down behind, as from another machine. */
    private void beforeWhatItFollows() {
        if (awaited == null) {
            awaited = EventId.at(now, random);
            write(
                    new InkEvent.Moved(any(mixes), ThingId.TEST, new Amount.Rest("the rest"), Why.TESTED, null),
                    Happened.exactly(now, ZoneOffset.UTC),
                    awaited);
            return;
        }
        Happened happened = Happened.exactly(now - random.nextInt(40) * 600_000L, ZoneOffset.UTC);
        StudioEvent looked = new ShelfEvent.VesselInspected(any(cans), List.of(Condition.SKIN), null);
        studio.append(Decision.of(new Draft(awaited, happened, null, ACTOR, looked)));
        awaited = null;
    }

    private void run() {
        ThingId run = new ThingId("run-" + runs.size());
        ThingId load = new ThingId("load-" + loads.size());
        runs.add(run);
        loads.add(load);
        write(new PressEvent.RunStarted(run, List.of(new Load(load, "", null)), null, null, null, null, null));
        write(new InkEvent.Moved(any(mixes), load, Amount.net("grams", "20.0"), Why.CHARGED, null));
    }

    private void pulls() {
        if (runs.isEmpty()) {
            return;
        }
        write(new PressEvent.Pulled(any(runs), null, PullMode.EDITION, null, null, PressGrade.GOOD, List.of(), null));
    }

    private void cleanUp() {
        if (runs.isEmpty()) {
            return;
        }
        int which = random.nextInt(runs.size());
        write(new InkEvent.Moved(loads.get(which), ThingId.WASH_UP, Amount.net("grams", "5.0"), Why.WASHED_UP, null));
        write(new PressEvent.CleanedUp(runs.get(which), null));
    }

    /** Takes a move or pull back, or writes another amount for it. */
    private void correct() {
        List<Told> moves = studio.views().ofType(random.nextBoolean() ? "ink.moved" : "press.pulled", 40);
        if (moves.isEmpty()) {
            return;
        }
        Told told = any(moves);
        if (random.nextBoolean() || !(told.event() instanceof InkEvent.Moved moved)) {
            write(new LogEvent.Voided(told.id(), null));
            return;
        }
        InkEvent.Moved other =
                new InkEvent.Moved(moved.from(), moved.to(), Amount.net("grams", "3.3"), moved.why(), "put right");
        write(new LogEvent.Amended(
                told.id(),
                told.amended() ? told.versions() : List.of(told.id()),
                new RawBody(EventCodec.body(other).toString()),
                null,
                null,
                null));
    }

    private void late() {
        InkEvent.Moved moved = new InkEvent.Moved(any(cans), any(mixes), amount(), Why.ADDED, "late");
        write(moved, Happened.exactly(now - random.nextInt(20) * 600_000L, ZoneOffset.UTC), null);
    }
}
