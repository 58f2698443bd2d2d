package slabside.web;

import java.util.Optional;
import slabside.event.ThingId;
import slabside.ink.Rebuild;
import slabside.studio.Studio;
import slabside.views.Role;
import slabside.views.StoryKey;
import slabside.views.Told;

/** Which moment of a mix is meant when nobody says. */
final class Moments {
    private Moments() {}

    /** A moment in the story and what it is, in words. */
    record Moment(StoryKey key, String words) {}

    /** When its colour was agreed; else after the last thing that went into it. */
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
}
