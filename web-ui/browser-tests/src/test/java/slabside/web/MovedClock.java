package slabside.web;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;

/** A clock that ticks, and that a test moves on, so that weeks at the press take minutes. It never goes back. */
final class MovedClock extends Clock {
    private volatile Duration ahead;

    MovedClock(Instant now) {
        ahead = Duration.between(Instant.now(), now);
    }

    void later(int seconds) {
        ahead = ahead.plusSeconds(seconds);
    }

    void to(Instant moment) {
        if (moment.isAfter(instant())) {
            ahead = Duration.between(Instant.now(), moment);
        }
    }

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
        return Instant.now().plus(ahead);
    }
}
