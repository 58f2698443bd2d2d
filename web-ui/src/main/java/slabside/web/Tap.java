package slabside.web;

import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneId;
import java.time.format.DateTimeParseException;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import slabside.event.Actor;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.ThingId;
import slabside.measure.BadInput;

/**
 * One tap on one device: what was typed, when it happened, by whom. Its id was made where the tap happened, and every id
 * of a thing that it makes follows from it, so that sending it again is harmless.
 *
 * @param confirmed names of the rules whose stop was already confirmed
 * @param back page it was sent from
 * @param late it was entered for an earlier moment than the tap
 */
record Tap(
        EventId id,
        Happened happened,
        @Nullable EventId after,
        Actor actor,
        Form form,
        Set<String> confirmed,
        String back,
        boolean late) {
    private static final String LETTERS = "abcdefghjkmnpqrstvwxyz0123456789";
    private static final int THING_LENGTH = 16;
    /** A device whose clock is further off than this from the studio's was not measured when its page was loaded. */
    private static final long WILD_CLOCK_MS = 400L * 24 * 3600 * 1000;

    /** Reads the hidden fields of a form: tap, at, offset, back, confirmed, and when it happened if not now. */
    static Tap of(Map<String, List<String>> values, Actor actor, Clock clock, EventId fallback) {
        Form form = new Form(values);
        EventId id = form.has("tap") ? new EventId(form.text("tap")) : fallback;
        if (!id.isTap()) {
            throw new BadInput("tap", id.text(), "the id of a tap ends in 00; load the page again");
        }
        String back = form.text("back");
        if (!back.isEmpty() && (!back.startsWith("/") || back.startsWith("//") || back.contains("\\"))) {
            throw new BadInput("back", back, "only a page of this studio can be named");
        }
        Happened now = now(form, clock);
        Happened happened = happened(form, now, clock.getZone());
        return new Tap(
                id,
                happened,
                form.has("after") ? new EventId(form.text("after")) : null,
                actor,
                form,
                Set.copyOf(form.all("confirmed")),
                back.isEmpty() ? "/today" : back,
                form.has("after") || !happened.equals(now));
    }

    /** The device's own time and how far it is off, where it said so; else the studio's clock. */
    private static Happened now(Form form, Clock clock) {
        if (!form.has("at")) {
            return Happened.exactly(clock.millis(), clock.getZone());
        }
        long at = whole(form, "at");
        long offset = form.has("offset") ? whole(form, "offset") : 0;
        if (Math.abs(at + offset - clock.millis()) > WILD_CLOCK_MS) {
            throw new BadInput(
                    "at", form.text("at"), "the clock of this device is far off; set it and load the page again");
        }
        return new Happened(
                slabside.event.Precision.EXACT,
                at + offset,
                at + offset,
                clock.getZone().getId(),
                at,
                offset);
    }

    private static long whole(Form form, String field) {
        try {
            return Long.parseLong(form.text(field));
        } catch (NumberFormatException wrong) {
            throw new BadInput(field, form.text(field), "give milliseconds as a whole number");
        }
    }

    /** "About 10:40", "yesterday", a day, or now. */
    private static Happened happened(Form form, Happened now, ZoneId zone) {
        String day = form.text("day");
        String time = form.text("time");
        if (day.isEmpty() && time.isEmpty()) {
            return now;
        }
        LocalDate today = Instant.ofEpochMilli(now.instant(0)).atZone(zone).toLocalDate();
        LocalDate date = today;
        try {
            date = switch (day) {
                case "", "today" -> today;
                case "yesterday" -> today.minusDays(1);
                default -> LocalDate.parse(day);
            };
        } catch (DateTimeParseException wrong) {
            throw new BadInput("day", day, "write today, yesterday, or a day as 2024-05-31");
        }
        if (time.isEmpty()) {
            return day.isEmpty() || day.equals("today") ? now : Happened.day(date, zone);
        }
        try {
            Instant at = date.atTime(LocalTime.parse(time)).atZone(zone).toInstant();
            if (at.toEpochMilli() > now.instant(0) + 60_000) {
                throw new BadInput("time", time, "that is still to come; choose yesterday, or an earlier time");
            }
            return Happened.minute(at, zone);
        } catch (DateTimeParseException wrong) {
            throw new BadInput("time", time, "write a time as 10:40");
        }
    }

    /** The id of a thing that this tap makes; always the same for the same tap. */
    ThingId thing(String kind) {
        return thing(kind, 0);
    }

    ThingId thing(String kind, int n) {
        try {
            byte[] hash = MessageDigest.getInstance("SHA-256")
                    .digest((id.text() + " " + kind + " " + n).getBytes(java.nio.charset.StandardCharsets.UTF_8));
            StringBuilder name = new StringBuilder(kind).append('-');
            for (int i = 0; i < THING_LENGTH; i++) {
                name.append(LETTERS.charAt(hash[i] & 31));
            }
            return new ThingId(name.toString());
        } catch (NoSuchAlgorithmException missing) {
            throw new IllegalStateException("every Java has SHA-256", missing);
        }
    }
}
