package slabside.web;

import java.util.Optional;
import slabside.event.EventId;
import slabside.ink.Rebuild;
import slabside.measure.BadInput;
import slabside.views.Sentence;
import slabside.views.StoryKey;
import slabside.views.Told;

/** Which moment of a mix is meant. */
final class Moments {
    private Moments() {}

    /**
     * The moment that a page asks for, if it asks for one.
     *
     * @param at a day or a day and time, as typed; or an empty text
     * @param after id of an event; or an empty text
     */
    static Optional<Rebuild.Moment> asked(Desk desk, String at, String after) {
        if (!after.isEmpty()) {
            Told told = desk.studio
                    .views()
                    .told(new EventId(after))
                    .orElseThrow(() -> new BadInput("after", after, "there is no event with this id in the log"));
            return Optional.of(new Rebuild.Moment(
                    told.key(),
                    "As it was just after this: " + Sentence.of(told.event(), desk.studio::name) + " ("
                            + desk.answers.when(told) + ")."));
        }
        return at.isEmpty()
                ? Optional.empty()
                : Optional.of(new Rebuild.Moment(
                        StoryKey.endOf(desk.moment("at", at, 0)),
                        "As it was at the end of " + at.replace('T', ' ') + "."));
    }
}
