package slabside.bench;

import java.math.BigDecimal;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import slabside.event.Actor;
import slabside.event.EditionEvent;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.LogEvent;
import slabside.event.MaterialRole;
import slabside.event.PaperEvent;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.RawBody;
import slabside.event.Sheet;
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
    /** A can of 20 kg of base, and cans of 1 kg of ink, which are followed by others when they are empty. */
    private static final long BASE_MG = 20_000_000;

    private static final long INK_MG = 1_000_000;
    /** Packets in the drawer; of those over, the oldest goes to the waste. */
    private static final int PACKETS = 60;

    private static final int SHEETS = 40;
    /** Of one edition. */
    private static final int RUNS = 5;

    private static final Actor ACTOR = new Actor(new ThingId("person-bench"), "bench");

    private final Random random;
    private final String mark;
    private final List<ThingId> cans = new ArrayList<>();
    private final long[] left = new long[CANS];
    private int received;
    private final List<ThingId> packets = new ArrayList<>();
    private final List<Draft> ready = new ArrayList<>();
    private long now;
    private int jobs;
    /** A packet with leftovers of leftovers, ten levels deep. */
    private ThingId deep = new ThingId("mix-deep");

    /**
     * @param mark at the end of every id, so that two studios have no thing in common
     */
    BusyStudio(String mark, long seed, long from) {
        this.mark = mark;
        this.random = new Random(seed);
        this.now = from;
        for (int i = 0; i < CANS; i++) {
            ThingId material = new ThingId("material-" + i % 30 + mark);
            if (i < 30) {
                add(new ShelfEvent.MaterialListed(
                        material, "ink " + i, i == 0 ? MaterialRole.BASE : MaterialRole.INK, null, null, null, null));
            }
            cans.add(can(i));
            receive(i);
        }
        nested();
    }

    ThingId deep() {
        return deep;
    }

    private void receive(int place) {
        int number = received++;
        ThingId can = can(number);
        left[place] = place == 0 ? BASE_MG : INK_MG;
        add(new ShelfEvent.CanReceived(
                can,
                new ThingId("material-" + place % 30 + mark),
                "L-" + number,
                null,
                grams(left[place]),
                null,
                null,
                null));
        cans.set(place, can);
    }

    private void take(int place, ThingId mix, long mg, @Nullable String words) {
        if (left[place] < mg) {
            add(new ShelfEvent.CanFinished(cans.get(place), null));
            receive(place);
        }
        left[place] -= mg;
        add(new InkEvent.Moved(cans.get(place), mix, grams(mg), Why.ADDED, words));
    }

    ThingId can(int number) {
        return new ThingId("can-" + number + mark);
    }

    /** One that was received in the middle of it all. */
    ThingId someCan() {
        return can(received / 2);
    }

    ThingId mix(int job) {
        return id("mix", job);
    }

    ThingId load(int job) {
        return id("load", job);
    }

    ThingId edition(long number) {
        return id("edition", number);
    }

    ThingId run(int job) {
        return id("run", job);
    }

    ThingId sheet(int edition, int number) {
        return id("sheet", edition * 100L + number);
    }

    int jobs() {
        return jobs;
    }

    /** Ids come in no order, as they do in a studio. */
    private ThingId id(String kind, long number) {
        return new ThingId(kind + "-" + Long.toString((number + 1) * 0x9E3779B97F4A7C15L >>> 4, 36) + mark);
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
            ThingId mix = new ThingId("mix-deep-" + level + mark);
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
        if (job % RUNS == 0) {
            tear(job / RUNS);
        }
        ThingId run = run(job);
        ThingId mix = mix(job);
        ThingId load = load(job);
        add(new EditionEvent.RunPlanned(run, edition(job / RUNS), job % RUNS + 1, Surface.FLAT, null, null, null));
        add(new InkEvent.MixStarted(mix, "job " + job + (job % 7 == 0 ? " grey" : " green"), null, run, null, null));
        int steps = 5 + random.nextInt(6);
        take(0, mix, 40_000 + random.nextInt(40_000), null);
        for (int i = 1; i < steps; i++) {
            take(1 + random.nextInt(CANS - 1), mix, 1_000 + random.nextInt(20_000), i > 4 ? "a shade warmer" : null);
        }
        if (random.nextInt(3) == 0) {
            putRight(mix);
        }
        if (!packets.isEmpty() && random.nextInt(4) == 0) {
            add(new InkEvent.Moved(
                    packets.remove(random.nextInt(packets.size())), mix, new Amount.Rest("rest"), Why.FOLDED_IN, null));
        }
        add(new PressEvent.RunStarted(run, List.of(new Load(load, "", null)), null, null, Surface.FLAT, null, null));
        add(new InkEvent.Moved(mix, load, grams(25_000), Why.CHARGED, null));
        for (int i = 0; i < SHEETS; i++) {
            ThingId sheet = sheet(job / RUNS, i);
            add(new PressEvent.Pulled(run, sheet, PullMode.EDITION, null, 6, PressGrade.GOOD, List.of(), null));
            if (i % 5 == 4) {
                add(new PressEvent.Measured(
                        run, sheet, "solid density", BigDecimal.valueOf(100 + random.nextInt(20), 2), null, null));
            }
        }
        add(new InkEvent.Moved(load, ThingId.WASH_UP, grams(12_000), Why.WASHED_UP, null));
        add(new PressEvent.CleanedUp(run, null));
        ThingId packet = id("packet", job);
        add(new InkEvent.Moved(mix, packet, new Amount.Rest("rest"), Why.WRAPPED, null));
        add(new InkEvent.Wrapped(packet, null, "drawer " + job % 9, null));
        packets.add(packet);
        if (packets.size() > PACKETS) {
            add(new InkEvent.Moved(packets.remove(0), ThingId.WASTE, new Amount.Rest("rest"), Why.THROWN_AWAY, null));
        }
        if (job % RUNS == RUNS - 1) {
            add(new EditionEvent.Closed(edition(job / RUNS), null));
        }
    }

    private void tear(int number) {
        ThingId edition = edition(number);
        add(new EditionEvent.Planned(
                edition, "edition " + number, null, SHEETS, null, null, null, null, null, null, null, null, null));
        List<Sheet> sheets = new ArrayList<>();
        for (int i = 0; i < SHEETS; i++) {
            sheets.add(new Sheet(sheet(number, i), "E" + number + "-" + i));
        }
        add(new PaperEvent.Torn(id("paper", number % 50), sheets, null, null, edition, null));
    }

    /** The addition written down last was another amount. */
    private void putRight(ThingId mix) {
        Draft wrong = ready.get(ready.size() - 1);
        if (wrong.event() instanceof InkEvent.Moved moved) {
            InkEvent.Moved right =
                    new InkEvent.Moved(moved.from(), mix, grams(1_000 + random.nextInt(30_000)), Why.ADDED, null);
            add(new LogEvent.Amended(
                    wrong.id(),
                    List.of(wrong.id()),
                    new RawBody(EventCodec.body(right).toString()),
                    null,
                    null,
                    "misread"));
        }
    }
}
