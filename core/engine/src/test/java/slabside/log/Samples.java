package slabside.log;

import java.time.Clock;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
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
        return new Clock() {
            private long now = NOW.toEpochMilli();

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
                now += 1000;
                return Instant.ofEpochMilli(now);
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
