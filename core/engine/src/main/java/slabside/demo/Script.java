package slabside.demo;

import java.math.BigDecimal;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import slabside.event.Actor;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.InkEvent;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.log.Decision;
import slabside.log.Draft;
import slabside.log.EventLog;
import slabside.measure.Amount;
import slabside.measure.Mass;
import slabside.studio.Ids;
import slabside.views.Views;

/**
 * Writes an invented studio down event by event, each at its own time, as if it had been kept from the first day. The same
 * seed and day give the same studio.
 */
final class Script {
    /** A clock that shows what the script says. */
    static final class Hands extends Clock {
        private final ZoneId zone;
        private volatile Instant now = Instant.EPOCH;

        Hands(ZoneId zone) {
            this.zone = zone;
        }

        @Override
        public ZoneId getZone() {
            return zone;
        }

        @Override
        public Clock withZone(ZoneId other) {
            return this;
        }

        @Override
        public Instant instant() {
            return now;
        }
    }

    private final EventLog log;
    private final Hands clock;
    private final Random random;
    private final Ids ids;
    private final Map<ThingId, Cup> cups = new LinkedHashMap<>();
    private final Map<String, ThingId> labels = new LinkedHashMap<>();
    private final List<StudioEvent> together = new ArrayList<>();
    private Actor actor = new Actor(new ThingId("person-demo"), "demo");

    /** A cup on the scale. */
    private static final class Cup {
        private long readingMg;
        private @Nullable String lastEvent;

        Cup(long readingMg) {
            this.readingMg = readingMg;
        }
    }

    Script(EventLog log, Views views, Hands clock, long seed) {
        this.log = log;
        this.clock = clock;
        this.random = new Random(seed);
        this.ids = new Ids(views, random);
    }

    void at(LocalDate day, int hour, int minute) {
        clock.now = day.atTime(hour, minute).atZone(clock.zone).toInstant();
    }

    void later(int minutes) {
        clock.now = clock.now.plus(Duration.ofMinutes(minutes));
    }

    void secondsLater(int seconds) {
        clock.now = clock.now.plus(Duration.ofSeconds(seconds));
    }

    Instant now() {
        return clock.now;
    }

    void by(ThingId person) {
        actor = new Actor(person, "demo");
    }

    ThingId thing(String kind) {
        return ids.thing(kind);
    }

    String label() {
        String label = ids.label();
        while (labels.containsKey(label)) {
            label = ids.label();
        }
        labels.put(label, new ThingId("taken"));
        return label;
    }

    double noise(double spread) {
        return Math.max(-2.5, Math.min(2.5, random.nextGaussian())) * spread;
    }

    EventId write(StudioEvent event) {
        EventId id = EventId.at(clock.now.toEpochMilli(), random);
        Draft draft = new Draft(id, Happened.exactly(clock.now.toEpochMilli(), clock.zone), null, actor, event);
        log.append(Decision.of(draft));
        return id;
    }

    /** A cup of this tare is put on the scale for a mix. */
    void cup(ThingId mix, String tareGrams) {
        cups.put(mix, new Cup(Mass.ofGrams(tareGrams).milligrams()));
    }

    /** Adds ink to a cup that stays on the scale; the reading before is the one after the last addition. */
    void add(ThingId from, ThingId mix, String grams, String step, @Nullable String words) {
        Cup cup = cups.computeIfAbsent(mix, m -> new Cup(0));
        long before = cup.readingMg;
        cup.readingMg += Mass.ofGrams(grams).milligrams();
        Amount amount = new Amount.Weighed(
                before,
                cup.readingMg,
                Mass.ofGrams(step).milligrams(),
                cup.lastEvent,
                new Mass(before) + " → " + new Mass(cup.readingMg));
        later(2);
        EventId id = write(new InkEvent.Moved(from, mix, amount, Why.ADDED, words));
        cup.lastEvent = id.text();
    }

    /** Takes ink out on a square of paper: one tared weighing. */
    void take(ThingId from, ThingId to, String grams, String step, Why why, @Nullable String words) {
        later(1);
        write(new InkEvent.Moved(from, to, net(grams, step), why, words));
        Cup cup = cups.get(from);
        if (cup != null) {
            cup.readingMg -= Mass.ofGrams(grams).milligrams();
            cup.lastEvent = null;
        }
    }

    void rest(ThingId from, ThingId to, Why why, @Nullable String words) {
        later(1);
        write(new InkEvent.Moved(from, to, new Amount.Rest("the rest"), why, words));
    }

    static Amount net(String grams, String step) {
        return Amount.net(Mass.ofGrams(grams), Mass.ofGrams(step));
    }

    static BigDecimal decimal(double value, int places) {
        return BigDecimal.valueOf(Math.round(value * Math.pow(10, places)), places);
    }
}
