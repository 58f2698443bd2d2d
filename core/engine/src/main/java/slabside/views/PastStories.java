package slabside.views;

import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import slabside.event.EventId;
import slabside.event.ThingId;

/** Stories as they were known at a past moment: told from the events about one thing, never by replaying the studio. */
final class PastStories implements Stories {
    private final Views views;
    private final long knownUntil;

    PastStories(Views views, long knownUntil) {
        this.views = views;
        this.knownUntil = knownUntil;
    }

    @Override
    public List<Told> of(ThingId thing, Collection<Role> roles, StoryKey until) {
        ThingId whole = canonical(thing);
        return views.ever(thing, knownUntil).stream()
                .filter(told -> !told.voided() && told.key().compareTo(until) <= 0)
                .filter(told -> Role.parts(told.event()).stream()
                        .anyMatch(part -> roles.contains(part.role())
                                && canonical(part.thing()).equals(whole)))
                .sorted(Comparator.comparing(Told::key))
                .toList();
    }

    @Override
    public Optional<Told> told(EventId id) {
        return views.told(id, knownUntil);
    }

    /** Joins are facts about identity, not about what happened: what is known now counts. */
    @Override
    public ThingId canonical(ThingId thing) {
        return views.canonical(thing);
    }

    @Override
    public Optional<Thing> thing(ThingId id) {
        return views.thing(id);
    }

    @Override
    public long version() {
        return views.version() ^ (knownUntil * 31);
    }
}
