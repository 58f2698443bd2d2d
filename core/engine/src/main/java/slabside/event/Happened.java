package slabside.event;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import org.jspecify.annotations.Nullable;
import slabside.measure.BadInput;

/**
 * When something happened, as well as that is known.
 *
 * @param from first instant it can have happened, in ms since 1970; absent when unknown
 * @param to last instant it can have happened
 * @param zone IANA time zone of the studio
 * @param device what the clock of the tapping device showed, in ms, where an event came by tap
 * @param offset studio clock minus device clock in ms, as measured when the page was loaded
 */
public record Happened(
        Precision precision,
        @Nullable Long from,
        @Nullable Long to,
        String zone,
        @Nullable Long device,
        @Nullable Long offset) {
    private static final long MINUTE = 60_000;

    public Happened {
        if (precision == Precision.UNKNOWN ? from != null || to != null : from == null || to == null) {
            throw new BadInput(
                    "happened", precision + " from " + from + " to " + to, "give both ends, or none when unknown");
        }
        if (from != null && to != null && from > to) {
            throw new BadInput("happened", from + " to " + to, "the end is before the beginning");
        }
    }

    public static Happened exactly(long millis, ZoneId zone) {
        return new Happened(Precision.EXACT, millis, millis, zone.getId(), null, null);
    }

    public static Happened minute(Instant instant, ZoneId zone) {
        long from = instant.toEpochMilli() / MINUTE * MINUTE;
        return new Happened(Precision.MINUTE, from, from + MINUTE - 1, zone.getId(), null, null);
    }

    public static Happened day(LocalDate day, ZoneId zone) {
        long from = day.atStartOfDay(zone).toInstant().toEpochMilli();
        long to = day.plusDays(1).atStartOfDay(zone).toInstant().toEpochMilli() - 1;
        return new Happened(Precision.DAY, from, to, zone.getId(), null, null);
    }

    public static Happened unknown(ZoneId zone) {
        return new Happened(Precision.UNKNOWN, null, null, zone.getId(), null, null);
    }

    /**
     * The instant that story order uses: the beginning when exact or to the minute, the end of the local day for a day,
     * the time of recording when unknown.
     */
    public long instant(long recorded) {
        if (from == null || to == null) {
            return recorded;
        }
        return precision == Precision.DAY ? to : from;
    }
}
