package slabside.log;

import java.time.Clock;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.Supplier;
import slabside.event.Actor;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.InkEvent;
import slabside.event.StudioEvent;
import slabside.event.ThingId;

/** Small things that many tests write down. */
public final class Samples {
    public static final Instant NOW = Instant.parse("2026-03-01T10:00:00Z");
    public static final Clock CLOCK = Clock.fixed(NOW, ZoneOffset.UTC);
    public static final Actor ACTOR = new Actor(new ThingId("person-a"), "tablet");

    private Samples() {}

    /** A clock that goes on by a second each time it is read. */
    public static Clock ticking() {
        AtomicLong now = new AtomicLong(NOW.toEpochMilli());
        return clock(() -> Instant.ofEpochMilli(now.addAndGet(1000)));
    }

    /** A clock that shows whatever it is told to, in UTC. */
    public static Clock clock(Supplier<Instant> shown) {
        return new Clock() {
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
                return shown.get();
            }
        };
    }

    public static Draft draft(Random random, StudioEvent event) {
        long at = NOW.toEpochMilli() - 60_000;
        return new Draft(EventId.at(at, random), Happened.exactly(at, ZoneOffset.UTC), null, ACTOR, event);
    }

    public static StudioEvent named(int number) {
        return new InkEvent.Named(new ThingId("mix-" + number), "mix number " + number);
    }

    public static List<Draft> drafts(Random random, int count) {
        List<Draft> drafts = new ArrayList<>();
        for (int i = 0; i < count; i++) {
            drafts.add(draft(random, named(i)));
        }
        return drafts;
    }
}
