package slabside.views;

import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import slabside.event.EventId;
import slabside.event.LogEvent;
import slabside.event.ThingId;
import slabside.log.Stored;

/**
 * Stories told from a list of events held in memory, at any state of knowledge. For small logs and for checking the views
 * against.
 */
public final class MemoryStories implements Stories {
    private final Map<EventId, Told> told = new HashMap<>();
    private final Map<ThingId, Map<Role, List<Told>>> parts = new HashMap<>();
    private final Map<ThingId, Thing> things = new HashMap<>();
    private final Joined joined;

    private MemoryStories(Collection<Stored> events, long knownUntil) {
        Map<EventId, Stored> byId = new HashMap<>();
        Map<EventId, List<Stored>> corrections = new HashMap<>();
        for (Stored stored : events) {
            var envelope = stored.envelope();
            byId.put(envelope.id(), stored);
            target(envelope.event())
                    .ifPresent(id -> corrections
                            .computeIfAbsent(id, i -> new ArrayList<>())
                            .add(stored));
        }
        Teller teller = new Teller(
                new Teller.Source() {
                    @Override
                    public Optional<Stored> find(EventId id) {
                        return Optional.ofNullable(byId.get(id));
                    }

                    @Override
                    public List<Stored> corrections(EventId id) {
                        return corrections.getOrDefault(id, List.of());
                    }
                },
                knownUntil);
        List<Told> all = events.stream()
                .filter(each -> each.envelope().recorded() <= knownUntil)
                .map(teller::tell)
                .sorted(Comparator.comparing(Told::key))
                .toList();
        joined = Joined.of(all);
        for (Told each : all) {
            told.put(each.id(), each);
            if (!each.voided()) {
                Role.parts(each.event()).forEach(part -> add(part, each));
            }
        }
    }

    private void add(Role.Part part, Told each) {
        ThingId thing = joined.canonical(part.thing());
        parts.computeIfAbsent(thing, t -> new EnumMap<>(Role.class))
                .computeIfAbsent(part.role(), r -> new ArrayList<>())
                .add(each);
        if (part.role() == Role.DEFINES) {
            Thing.fold(Optional.ofNullable(things.get(thing)), thing, each.event())
                    .ifPresent(now -> things.put(thing, now));
        }
    }

    public static MemoryStories of(Collection<Stored> events) {
        return new MemoryStories(events, Long.MAX_VALUE);
    }

    /** As the log was known at the end of a moment of recording, in ms. */
    public static MemoryStories asKnown(Collection<Stored> events, long knownUntil) {
        return new MemoryStories(events, knownUntil);
    }

    /** The event that a correction puts right. */
    static Optional<EventId> target(slabside.event.StudioEvent event) {
        if (event instanceof LogEvent.Amended amended) {
            return Optional.of(amended.event());
        }
        return event instanceof LogEvent.Voided voided ? Optional.of(voided.event()) : Optional.empty();
    }

    @Override
    public List<Told> of(ThingId thing, Collection<Role> roles, StoryKey until) {
        Map<Role, List<Told>> mine = parts.getOrDefault(canonical(thing), Map.of());
        return roles.stream()
                .flatMap(role -> mine.getOrDefault(role, List.of()).stream())
                .filter(each -> each.key().compareTo(until) <= 0)
                .distinct()
                .sorted(Comparator.comparing(Told::key))
                .toList();
    }

    @Override
    public Optional<Told> told(EventId id) {
        return Optional.ofNullable(told.get(id));
    }

    @Override
    public ThingId canonical(ThingId thing) {
        return joined.canonical(thing);
    }

    @Override
    public Optional<Thing> thing(ThingId id) {
        return Optional.ofNullable(things.get(canonical(id)));
    }

    @Override
    public long version() {
        return 0;
    }
}
