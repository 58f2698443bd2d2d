package slabside.views;

import java.util.ArrayDeque;
import java.util.Comparator;
import java.util.Deque;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import slabside.event.Envelope;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.LogEvent;
import slabside.event.StudioEvent;
import slabside.log.Stored;

/**
 * Tells how an event reads after its corrections, the one place where these rules stand.
 *
 * <p>A void beats an amendment and can itself be voided. Of amendments, those count that no other counting amendment
 * replaces; of several the later in known order (clock, origin, place) wins and the event is disputed. "After" is followed
 * through amended events; a circle or a missing event leaves an event at its own time.
 */
final class Teller {
    /** Where events are looked up. */
    interface Source {
        Optional<Stored> find(EventId id);

        /** Events that amend or void the one with this id. */
        List<Stored> corrections(EventId id);
    }

    private static final Comparator<Envelope> KNOWN_ORDER =
            Comparator.comparing(Envelope::hlc).thenComparing(Envelope::origin).thenComparingLong(Envelope::oseq);

    /** A longer path of "after" is cut there. */
    private static final int LONGEST_PATH = 1_000;

    private final Source source;
    private final long knownUntil;

    /**
     * @param knownUntil corrections and events recorded later, in ms, are not known yet
     */
    Teller(Source source, long knownUntil) {
        this.source = source;
        this.knownUntil = knownUntil;
    }

    private record Version(
            StudioEvent event, Happened happened, @Nullable EventId after) {}

    /** An event that nothing ever put right, whose place is known: what the views remember of it is enough. */
    static Told plain(Stored stored, StoryKey key) {
        Envelope envelope = stored.envelope();
        return new Told(
                stored.pos(),
                key,
                envelope,
                stored.event(),
                envelope.happened(),
                envelope.after(),
                false,
                List.of(),
                false);
    }

    Told tell(Stored stored) {
        Envelope envelope = stored.envelope();
        List<Stored> corrections = source.corrections(envelope.id());
        if (corrections.isEmpty() && envelope.after() == null) {
            return plain(stored, StoryKey.of(envelope, envelope.happened()));
        }
        List<Envelope> tips = tips(envelope);
        Version version = version(envelope, tips);
        StoryKey own = StoryKey.of(envelope, version.happened);
        Optional<StoryKey> behind = behind(envelope.id(), version.after);
        return new Told(
                stored.pos(),
                behind.map(key -> key.followedBy(own)).orElse(own),
                envelope,
                version.event,
                version.happened,
                version.after,
                isVoided(envelope.id(), new HashSet<>()),
                tips.stream().map(Envelope::id).toList(),
                version.after != null && behind.isEmpty());
    }

    /**
     * How an event reads by each amendment that counts and that no other replaces, the one that wins last; a single one, or
     * none, when it is not disputed.
     */
    List<Told.Reading> sideBySide(Stored stored) {
        Envelope envelope = stored.envelope();
        List<Envelope> amendments = amendments(envelope);
        return tips(envelope).stream()
                .map(tip -> {
                    Version version = read(envelope, tip, amendments);
                    return new Told.Reading(tip, version.event, version.happened, version.after);
                })
                .toList();
    }

    private Version version(Envelope envelope, List<Envelope> tips) {
        return tips.isEmpty() ? original(envelope) : read(envelope, tips.get(tips.size() - 1), amendments(envelope));
    }

    /**
     * The key of the event that {@code id} directly follows; empty when there is none, it is missing, or following on
     * leads back to {@code id}. A circle further on is cut where it is met.
     */
    private Optional<StoryKey> behind(EventId id, @Nullable EventId after) {
        Deque<StoryKey> path = new ArrayDeque<>();
        Set<EventId> met = new HashSet<>();
        EventId next = after;
        while (next != null && path.size() < LONGEST_PATH && met.add(next)) {
            if (next.equals(id)) {
                return Optional.empty();
            }
            Stored anchor =
                    source.find(next).filter(each -> known(each.envelope())).orElse(null);
            if (anchor == null) {
                break;
            }
            Version version = version(anchor.envelope(), tips(anchor.envelope()));
            path.push(StoryKey.of(anchor.envelope(), version.happened));
            next = version.after;
        }
        return path.stream().reduce((before, behind) -> before.followedBy(behind));
    }

    private boolean known(Envelope envelope) {
        return envelope.recorded() <= knownUntil;
    }

    private List<Envelope> amendments(Envelope envelope) {
        return source.corrections(envelope.id()).stream()
                .map(Stored::envelope)
                .filter(this::known)
                .filter(each -> each.event() instanceof LogEvent.Amended)
                .filter(each -> !isVoided(each.id(), new HashSet<>()))
                .sorted(KNOWN_ORDER)
                .toList();
    }

    /** Amendments that count and that no other replaces, the winner last. */
    private List<Envelope> tips(Envelope envelope) {
        List<Envelope> all = amendments(envelope);
        Set<EventId> replaced = new HashSet<>();
        all.forEach(each -> replaced.addAll(((LogEvent.Amended) each.event()).replaces()));
        return all.stream().filter(each -> !replaced.contains(each.id())).toList();
    }

    private static Version original(Envelope envelope) {
        return new Version(envelope.event(), envelope.happened(), envelope.after());
    }

    /** What an amendment leaves out it takes from the newest version it replaces. */
    private Version read(Envelope original, Envelope amendment, List<Envelope> all) {
        LogEvent.Amended amended = (LogEvent.Amended) amendment.event();
        Version before = all.stream()
                .filter(each -> amended.replaces().contains(each.id()))
                .filter(each -> KNOWN_ORDER.compare(each, amendment) < 0)
                .reduce((earlier, later) -> later)
                .map(each -> read(original, each, all))
                .orElseGet(() -> original(original));
        return new Version(
                amended.body() == null
                        ? before.event
                        : EventCodec.read(
                                original.type(),
                                original.version(),
                                EventCodec.tree(amended.body().json())),
                amended.happened() == null ? before.happened : amended.happened(),
                after(original, amended, before));
    }

    private static @Nullable EventId after(Envelope original, LogEvent.Amended amended, Version before) {
        EventId after = amended.after();
        return after == null ? before.after : after.equals(original.id()) ? null : after;
    }

    private boolean isVoided(EventId id, Set<EventId> asking) {
        if (!asking.add(id)) {
            return false;
        }
        for (Stored each : source.corrections(id)) {
            Envelope correction = each.envelope();
            if (known(correction)
                    && correction.event() instanceof LogEvent.Voided
                    && !isVoided(correction.id(), asking)) {
                return true;
            }
        }
        return false;
    }
}
