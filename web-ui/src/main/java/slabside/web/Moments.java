package slabside.web;

import java.util.Optional;
import slabside.event.EventId;
import slabside.event.ThingId;
import slabside.ink.Rebuild;
import slabside.measure.BadInput;
import slabside.studio.Studio;
import slabside.views.Role;
import slabside.views.Sentence;
import slabside.views.StoryKey;
import slabside.views.Told;

/** Which moment of a mix is meant. */
final class Moments {
    private Moments() {}

    /** A moment in the story and what it is, in words. */
    record Moment(StoryKey key, String words) {}

    /** The one meant when nobody says: when its colour was agreed; else after the last thing that went into it. */
    static Moment usual(Studio studio, ThingId mix) {
        Optional<StoryKey> agreed = Rebuild.agreed(studio.views(), mix);
        if (agreed.isPresent()) {
            return new Moment(agreed.get(), "As it was when its colour was agreed.");
        }
        return studio.views().of(mix, java.util.Set.of(Role.IN), StoryKey.LAST).stream()
                .map(Told::key)
                .reduce((a, b) -> b)
                .map(key -> new Moment(key, "As it was after the last addition; no agreed colour is written down."))
                .orElse(new Moment(StoryKey.LAST, "As it ended."));
    }

    /**
     * The moment that a page asks for, if it asks for one.
     *
     * @param at a day or a day and time, as typed; or an empty text
     * @param after id of an event; or an empty text
     */
    static Optional<Moment> asked(Desk desk, String at, String after) {
        if (!after.isEmpty()) {
            Told told = desk.studio
                    .views()
                    .told(new EventId(after))
                    .orElseThrow(() -> new BadInput("after", after, "there is no event with this id in the log"));
            return Optional.of(new Moment(
                    told.key(),
                    "As it was just after this: " + Sentence.of(told.event(), desk.studio::name) + " ("
                            + desk.answers.when(told) + ")."));
        }
        return at.isEmpty()
                ? Optional.empty()
                : Optional.of(new Moment(
                        StoryKey.endOf(desk.moment("at", at, 0)),
                        "As it was at the end of " + at.replace('T', ' ') + "."));
    }
}
