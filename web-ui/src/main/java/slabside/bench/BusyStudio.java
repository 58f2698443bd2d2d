package slabside.bench;

import java.math.BigDecimal;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import slabside.event.Actor;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.MaterialRole;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.ShelfEvent;
import slabside.event.StudioEvent;
import slabside.event.Surface;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.log.Draft;
import slabside.measure.Amount;

/** Makes up the events of a busy workshop, job after job, as many as are wanted; the same for the same seed. */
final class BusyStudio {
    private static final int CANS = 120;
    private static final int PULLS = 40;
    private static final Actor ACTOR = new Actor(new ThingId("person-bench"), "bench");

    private final Random random;
    private final List<ThingId> cans = new ArrayList<>();
    private final List<ThingId> packets = new ArrayList<>();
    private final List<Draft> ready = new ArrayList<>();
    private long now;
    private int jobs;
    /** A packet with leftovers of leftovers, ten levels deep. */
    private ThingId deep = new ThingId("mix-deep-0");

    BusyStudio(long seed, long from) {
        this.random = new Random(seed);
        this.now = from;
        for (int i = 0; i < CANS; i++) {
            ThingId material = new ThingId("material-" + i % 30);
            ThingId can = new ThingId("can-" + i);
            if (i < 30) {
                add(new ShelfEvent.MaterialListed(
                        material, "ink " + i, i == 0 ? MaterialRole.BASE : MaterialRole.INK, null, null, null, null));
            }
            add(new ShelfEvent.CanReceived(
                    can, material, "L-" + i, null, new Amount.Net(100_000_000, 100, "100000"), null, null, null));
            cans.add(can);
        }
        nested();
    }

    ThingId deep() {
        return deep;
    }

    ThingId someMix() {
        return new ThingId("mix-" + jobs / 2);
    }

    /** The next events, at least {@code count}. */
    List<Draft> next(int count) {
        while (ready.size() < count) {
            job();
        }
        List<Draft> batch = new ArrayList<>(ready.subList(0, count));
        ready.subList(0, count).clear();
        return batch;
    }

    private void nested() {
        for (int level = 0; level <= 10; level++) {
            ThingId mix = new ThingId("mix-deep-" + level);
            add(new InkEvent.MixStarted(mix, "deep " + level, null, null, null, null));
            for (int i = 0; i < 5; i++) {
                add(new InkEvent.Moved(
                        cans.get((level * 5 + i) % CANS), mix, grams(20_000 + i * 500), Why.ADDED, null));
            }
            if (level > 0) {
                add(new InkEvent.Moved(deep, mix, grams(30_000), Why.FOLDED_IN, null));
            }
            deep = mix;
        }
    }

    private static Amount grams(long mg) {
        return new Amount.Net(mg, 100, Long.toString(mg / 1000));
    }

    private void add(StudioEvent event) {
        now += 20_000 + random.nextInt(60_000);
        ready.add(new Draft(EventId.at(now, random), Happened.exactly(now, ZoneOffset.UTC), null, ACTOR, event));
    }

    private void job() {
        int job = jobs++;
        ThingId run = new ThingId("run-" + job);
        ThingId mix = new ThingId("mix-" + job);
        ThingId load = new ThingId("load-" + job);
        add(new InkEvent.MixStarted(mix, "job " + job + (job % 7 == 0 ? " grey" : " green"), null, run, null, null));
        int steps = 5 + random.nextInt(6);
        for (int i = 0; i < steps; i++) {
            add(new InkEvent.Moved(
                    cans.get(random.nextInt(CANS)),
                    mix,
                    grams(1_000 + random.nextInt(30_000)),
                    Why.ADDED,
                    i > 4 ? "a shade warmer" : null));
        }
        if (!packets.isEmpty() && random.nextInt(4) == 0) {
            add(new InkEvent.Moved(
                    packets.remove(random.nextInt(packets.size())), mix, new Amount.Rest("rest"), Why.FOLDED_IN, null));
        }
        add(new PressEvent.RunStarted(run, List.of(new Load(load, "", null)), null, null, Surface.FLAT, null, null));
        add(new InkEvent.Moved(mix, load, grams(25_000), Why.CHARGED, null));
        for (int i = 0; i < PULLS; i++) {
            add(new PressEvent.Pulled(
                    run,
                    new ThingId("sheet-" + job + "-" + i),
                    PullMode.EDITION,
                    null,
                    6,
                    PressGrade.GOOD,
                    List.of(),
                    null));
            if (i % 5 == 4) {
                add(new PressEvent.Measured(
                        run,
                        new ThingId("sheet-" + job + "-" + i),
                        "solid density",
                        BigDecimal.valueOf(100 + random.nextInt(20), 2),
                        null,
                        null));
            }
        }
        add(new InkEvent.Moved(load, ThingId.WASH_UP, grams(12_000), Why.WASHED_UP, null));
        add(new PressEvent.CleanedUp(run, null));
        ThingId packet = new ThingId("packet-" + job);
        add(new InkEvent.Moved(mix, packet, new Amount.Rest("rest"), Why.WRAPPED, null));
        add(new InkEvent.Wrapped(packet, null, "drawer " + job % 9, null));
        if (packets.size() < 400) {
            packets.add(packet);
        }
    }
}
