package slabside.web;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.InkEvent;
import slabside.event.LogEvent;
import slabside.event.PressEvent;
import slabside.event.StudioEvent;
import slabside.log.Decision;
import slabside.log.Draft;
import slabside.log.LogTrouble;
import slabside.log.Stored;
import slabside.measure.BadInput;
import slabside.studio.Studio;
import slabside.views.Told;
import slabside.warning.Warning;

/**
 * Writes taps down, each once however often it is sent. A stop holds a tap back until it is sent again with the rule's name
 * among those confirmed; what was confirmed, and every strip shown, is logged beside it.
 */
final class Taps {
    /** For so long after it was written a tap can be taken back without going to its event. */
    private static final long UNDO_MS = 30 * 60_000;

    /** So often a tap is decided before it is given up. */
    private static final int MOST_TRIES = 20;

    private final Studio studio;

    Taps(Studio studio) {
        this.studio = studio;
    }

    /**
     * What a tap is to write.
     *
     * @param events the first of them bears the id of the tap
     * @param said for the screen, such as "Pull 23"
     * @param where to go on
     * @param place where in the story they belong, when not at the moment of the tap
     * @param moments when each of them happened, where each has its own; else none
     */
    record Meant(
            List<StudioEvent> events,
            List<Warning> warnings,
            String said,
            String where,
            @Nullable Place place,
            List<Happened> moments) {
        Meant {
            moments = List.copyOf(moments);
            events = List.copyOf(events);
            warnings = List.copyOf(warnings);
        }

        Meant(List<StudioEvent> events, List<Warning> warnings, String said, String where) {
            this(events, warnings, said, where, null, List.of());
        }

        Meant(List<StudioEvent> events, List<Warning> warnings, String said, String where, @Nullable Place place) {
            this(events, warnings, said, where, place, List.of());
        }

        static Meant of(String said, String where, StudioEvent... events) {
            return new Meant(List.of(events), List.of(), said, where);
        }

        Meant warned(List<Warning> more) {
            return new Meant(events, more, said, where, place, moments);
        }
    }

    /**
     * A place in the story.
     *
     * @param after the event that the first of the tap's directly follows, each of the others following the one before it
     */
    record Place(@Nullable EventId after, Happened happened) {}

    /** Decides what a tap means. May refuse with a {@link BadInput}. */
    @FunctionalInterface
    interface Deed {
        Meant of(Tap tap);
    }

    /**
     * How it went.
     *
     * @param stops not empty when nothing was written because a rule asks first
     * @param strips to show for some seconds
     */
    record Done(String said, String where, List<Warning> stops, List<Warning> strips) {}

    /**
     * One tap after the other, and each decided anew where something else was written meanwhile, such as at another server of the
     * same log: what a deed found out still holds when it is written down.
     */
    synchronized Done take(Tap tap, Deed deed) {
        for (int i = 0; i < MOST_TRIES; i++) {
            Optional<Done> done = attempt(tap, deed);
            if (done.isPresent()) {
                return done.get();
            }
        }
        throw new LogTrouble(
                "Nothing was recorded: so much is being written elsewhere that this could not be decided. Tap again.");
    }

    private Optional<Done> attempt(Tap tap, Deed deed) {
        studio.views().catchUp();
        long seen = studio.views().version();
        Optional<Stored> before = studio.log().find(tap.id());
        if (before.isPresent()) {
            return Optional.of(again(tap, before.get()));
        }
        Meant meant = deed.of(tap);
        List<Warning> stops = meant.warnings.stream()
                .filter(Warning::stops)
                .filter(warning -> !tap.confirmed().contains(EventCodec.word(warning.rule())))
                .toList();
        if (!stops.isEmpty()) {
            return Optional.of(new Done("", tap.back(), stops, List.of()));
        }
        List<StudioEvent> events = new ArrayList<>(meant.events);
        meant.warnings.forEach(warning -> events.add(warning.logged()));
        List<Draft> drafts = drafts(tap, meant, events);
        AtomicBoolean overtaken = new AtomicBoolean();
        studio.append(Decision.of(drafts, log -> {
            overtaken.set(log.last() != seen);
            return !overtaken.get();
        }));
        return overtaken.get()
                ? Optional.empty()
                : Optional.of(new Done(
                        meant.said,
                        meant.where,
                        List.of(),
                        meant.warnings.stream()
                                .filter(warning -> !warning.stops())
                                .toList()));
    }

    private static List<Draft> drafts(Tap tap, Meant meant, List<StudioEvent> events) {
        Place place = meant.place;
        List<Draft> drafts = new ArrayList<>();
        EventId after = place == null ? tap.after() : place.after;
        Happened happened = place == null ? tap.happened() : place.happened;
        for (int i = 0; i < events.size(); i++) {
            EventId id = tap.id().companion(i);
            drafts.add(new Draft(
                    id, i < meant.moments.size() ? meant.moments.get(i) : happened, after, tap.actor(), events.get(i)));
            after = after == null ? null : id;
        }
        return drafts;
    }

    /** A tap that came before adds nothing; one that only bears the same id is refused. */
    private Done again(Tap tap, Stored stored) {
        Long device = tap.happened().device();
        Long known = stored.envelope().happened().device();
        if (!stored.envelope().actor().device().equals(tap.actor().device())
                || device != null && known != null && !device.equals(known)) {
            throw new BadInput(
                    "tap", tap.id().text(), "this id was used before for something else; load the page again");
        }
        return new Done("Already written down", where(stored.event()).orElse(tap.back()), List.of(), List.of());
    }

    private static Optional<String> where(StudioEvent event) {
        if (event instanceof InkEvent.MixStarted started) {
            return Optional.of("/bench/" + started.mix());
        } else if (event instanceof PressEvent.RunStarted started) {
            return Optional.of("/press/" + started.run());
        }
        return Optional.empty();
    }

    /** Every event that the tap of an event wrote and that still stands, except warnings. */
    List<EventId> together(EventId event) {
        List<EventId> all = new ArrayList<>();
        EventId first = event.tap();
        if (!event.equals(first) && studio.log().find(first).isEmpty()) {
            return List.of(event);
        }
        for (int i = 0; i < 256; i++) {
            EventId id = first.companion(i);
            Optional<Stored> stored = studio.log().find(id);
            if (stored.isEmpty()) {
                break;
            }
            boolean stands =
                    studio.views().told(id).filter(told -> !told.voided()).isPresent();
            if (stands && !(stored.get().event() instanceof LogEvent.Warned)) {
                all.add(id);
            }
        }
        return all.isEmpty() ? List.of(event) : all;
    }

    /** The newest of some events, as long as one tap can take it back. */
    Optional<Told> undoable(Stream<Told> story) {
        long now = studio.log().clock().millis();
        return story.max(Comparator.comparingLong(Told::pos))
                .filter(told -> now - told.envelope().recorded() <= UNDO_MS);
    }

    /** Takes back an event and all that was written by the same tap. */
    Meant undo(EventId event, @Nullable String reason, String said, String where) {
        List<StudioEvent> voids = new ArrayList<>();
        together(event).forEach(id -> voids.add(new LogEvent.Voided(id, reason)));
        return new Meant(voids, List.of(), said, where);
    }

    /** As the page's script reads it. */
    static LinkedHashMap<String, Object> json(Done done) {
        LinkedHashMap<String, Object> json = new LinkedHashMap<>();
        json.put("said", done.said);
        json.put("where", done.where);
        json.put("stops", done.stops.stream().map(Taps::json).toList());
        json.put("strips", done.strips.stream().map(Taps::json).toList());
        return json;
    }

    private static LinkedHashMap<String, Object> json(Warning warning) {
        LinkedHashMap<String, Object> json = new LinkedHashMap<>();
        json.put("rule", EventCodec.word(warning.rule()));
        json.put("text", warning.text());
        return json;
    }
}
