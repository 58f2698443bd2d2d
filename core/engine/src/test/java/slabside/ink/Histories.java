package slabside.ink;

import java.math.BigDecimal;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import slabside.event.Actor;
import slabside.event.Envelope;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.Hlc;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.LogEvent;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.RawBody;
import slabside.event.ShelfEvent;
import slabside.event.StudioEvent;
import slabside.event.Surface;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.log.Stored;
import slabside.measure.Amount;

/** Writes histories in memory, one event after another, as a log would hold them. */
final class Histories {
    private static final Actor ACTOR = new Actor(new ThingId("person-a"), "test");

    private final Random random;
    private final List<Stored> events = new ArrayList<>();
    private long recorded = 1_700_000_000_000L;

    Histories(long seed) {
        this.random = new Random(seed);
    }

    List<Stored> events() {
        return events;
    }

    Stored write(StudioEvent event) {
        return write(event, recorded);
    }

    /** Written down now, but happened at {@code happened}. */
    Stored write(StudioEvent event, long happened) {
        recorded += 1_000;
        EventId id = EventId.at(recorded, random);
        Envelope envelope = new Envelope(
                "00000000000000aa",
                events.size() + 1,
                id,
                Happened.exactly(Math.min(happened, recorded), ZoneOffset.UTC),
                null,
                recorded,
                new Hlc(recorded, 0),
                ACTOR,
                slabside.event.Catalogue.of(event).type(),
                1,
                EventCodec.about(event),
                EventCodec.body(event));
        Stored stored = new Stored(events.size() + 1, "00".repeat(32), EventCodec.line(envelope));
        events.add(stored);
        return stored;
    }

    Stored can(String id, String grams) {
        return write(new ShelfEvent.CanReceived(
                new ThingId(id), new ThingId("material-" + id), id, null, Amount.net("net", grams), null, null, null));
    }

    Stored move(String from, String to, String grams) {
        return move(from, to, Amount.net("amount", grams));
    }

    Stored move(String from, String to, Amount amount) {
        return write(new InkEvent.Moved(new ThingId(from), new ThingId(to), amount, Why.ADDED, null));
    }

    void start(String run, String... loads) {
        write(new PressEvent.RunStarted(
                new ThingId(run),
                java.util.Arrays.stream(loads)
                        .map(l -> new Load(new ThingId(l), "", null))
                        .toList(),
                null,
                null,
                Surface.FLAT,
                null,
                null));
    }

    Stored pull(String run, String sheet) {
        return write(new PressEvent.Pulled(
                new ThingId(run), new ThingId(sheet), PullMode.EDITION, null, 6, PressGrade.GOOD, List.of(), null));
    }

    Stored weigh(String vessel, String reading, String tare, String step) {
        return write(new ShelfEvent.VesselWeighed(
                new ThingId(vessel), mg(reading), tare == null ? null : Long.valueOf(mg(tare)), mg(step), reading));
    }

    private static long mg(String grams) {
        return new BigDecimal(grams).movePointRight(3).longValueExact();
    }

    Stored takeBack(Stored event) {
        return write(new LogEvent.Voided(event.envelope().id(), null));
    }

    Stored amend(Stored event, StudioEvent now) {
        EventId id = event.envelope().id();
        return write(new LogEvent.Amended(
                id, List.of(id), new RawBody(EventCodec.body(now).toString()), null, null, null));
    }

    /** A made-up history: cans, mixes of mixes, splits, the rest of it, late entries, voids and amendments. */
    static Histories madeUp(long seed, int steps) {
        Histories history = new Histories(seed);
        Random random = history.random;
        List<String> vessels = new ArrayList<>();
        for (int i = 0; i < 3; i++) {
            history.can("can-" + i, Integer.toString(200 + random.nextInt(800)));
            vessels.add("can-" + i);
        }
        List<Stored> moves = new ArrayList<>();
        for (int i = 0; i < steps; i++) {
            String from = vessels.get(random.nextInt(vessels.size()));
            String to = random.nextInt(3) == 0 ? "mix-" + vessels.size() : vessels.get(random.nextInt(vessels.size()));
            to = switch (random.nextInt(10)) {
                case 0 -> "waste";
                case 1 -> "test";
                default -> to;
            };
            if (to.equals(from) || to.startsWith("can-") && random.nextInt(4) > 0) {
                continue;
            }
            if (!vessels.contains(to) && to.startsWith("mix-")) {
                vessels.add(to);
            }
            Amount amount = from.startsWith("mix-") && random.nextInt(5) == 0
                    ? new Amount.Rest("rest")
                    : new Amount.Net(1 + random.nextInt(60_000), 100, "x");
            InkEvent.Moved moved = new InkEvent.Moved(new ThingId(from), new ThingId(to), amount, Why.ADDED, null);
            moves.add(history.write(moved, history.recorded - (random.nextInt(5) == 0 ? random.nextInt(20_000) : 0)));
            if (random.nextInt(12) == 0) {
                history.takeBack(moves.get(random.nextInt(moves.size())));
            }
            if (random.nextInt(12) == 0) {
                Stored put = moves.get(random.nextInt(moves.size()));
                InkEvent.Moved old = (InkEvent.Moved) put.event();
                history.amend(
                        put,
                        new InkEvent.Moved(
                                old.from(),
                                old.to(),
                                new Amount.Net(1 + random.nextInt(60_000), 100, "x"),
                                Why.ADDED,
                                "misread"));
            }
        }
        return history;
    }
}
