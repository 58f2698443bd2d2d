package slabside.ink;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Deque;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import slabside.event.EventId;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.PressEvent;
import slabside.event.PullMode;
import slabside.event.ShelfEvent;
import slabside.event.ThingId;
import slabside.measure.Amount;
import slabside.views.Role;
import slabside.views.Stories;
import slabside.views.StoryKey;
import slabside.views.Told;

/**
 * The ledger lines of some vessels and of all that their ink ever came from, in story order.
 *
 * <p>A can that only ever came from the supply is a lot: its ink is all alike, so what else was taken from it need not be
 * read.
 *
 * @param vessels whose whole story is here
 * @param lots those of the vessels that only ever came from the supply
 * @param met these vessels and all that ink came from whose story did not have to be read
 * @param runs that print from a vessel here
 */
record Gathering(
        List<Entry> entries,
        Set<ThingId> vessels,
        Set<ThingId> lots,
        Set<ThingId> met,
        Map<ThingId, PressEvent.RunStarted> runs) {
    private static final Set<Role> INFLOW = Set.of(Role.IN);
    private static final Set<Role> REST = Set.of(Role.OUT, Role.OBSERVED, Role.PRESS);

    static Gathering of(Stories stories, Collection<ThingId> roots) {
        return new Gatherer(stories).gather(roots, false);
    }

    /** As {@link #of}, with every withdrawal from the roots too, even where they are cans. */
    static Gathering whole(Stories stories, Collection<ThingId> roots) {
        return new Gatherer(stories).gather(roots, true);
    }

    private static final class Gatherer {
        private final Stories stories;
        private final Map<StoryKey, Entry> entries = new TreeMap<>();
        private final Set<EventId> taken = new HashSet<>();
        private final Set<ThingId> vessels = new HashSet<>();
        private final Set<ThingId> lots = new HashSet<>();
        private final Set<ThingId> asked = new HashSet<>();
        private final Set<ThingId> needed = new HashSet<>();
        private final Set<ThingId> met = new HashSet<>();
        private final Map<ThingId, PressEvent.RunStarted> runs = new HashMap<>();
        private final Deque<ThingId> waiting = new ArrayDeque<>();

        Gatherer(Stories stories) {
            this.stories = stories;
        }

        Gathering gather(Collection<ThingId> roots, boolean whole) {
            for (ThingId root : roots) {
                ThingId vessel = stories.canonical(root);
                asked.add(vessel);
                if (whole) {
                    needed.add(vessel);
                }
                expect(vessel);
            }
            while (!waiting.isEmpty()) {
                visit(waiting.pop());
            }
            return new Gathering(new ArrayList<>(entries.values()), vessels, lots, met, runs);
        }

        private void expect(ThingId vessel) {
            if (!vessel.isOutside() && met.add(vessel)) {
                waiting.push(vessel);
            }
        }

        /** How much "the rest" of a vessel is depends on all that ever left it, even where it is a can. */
        private void expectWhole(ThingId vessel) {
            if (!vessel.isOutside() && needed.add(vessel)) {
                met.add(vessel);
                waiting.push(vessel);
            }
        }

        private void visit(ThingId vessel) {
            boolean mixed = stories.isMixed(vessel);
            boolean whole = mixed || needed.contains(vessel);
            boolean received = false;
            if (whole || asked.contains(vessel)) {
                List<Told> inflow = stories.of(vessel, INFLOW, StoryKey.LAST);
                inflow.forEach(this::take);
                received = !inflow.isEmpty();
            }
            if (whole) {
                vessels.add(vessel);
                stories.of(vessel, REST, StoryKey.LAST).forEach(this::take);
                if (!mixed && received) {
                    lots.add(vessel);
                }
            }
        }

        private void take(Told told) {
            if (!taken.add(told.id())) {
                return;
            }
            Entry entry = entry(told);
            if (entry != null) {
                entries.put(told.key(), entry);
            }
        }

        private @Nullable Entry entry(Told told) {
            if (told.event() instanceof InkEvent.Moved moved) {
                ThingId from = stories.canonical(moved.from());
                expect(from);
                if (moved.amount() instanceof Amount.Rest) {
                    expectWhole(from);
                }
                return new Entry.Move(told.id(), told.key(), from, stories.canonical(moved.to()), moved.amount());
            } else if (told.event() instanceof ShelfEvent.CanReceived received) {
                return new Entry.Move(
                        told.id(), told.key(), ThingId.SUPPLY, stories.canonical(received.can()), received.net());
            } else if (told.event() instanceof ShelfEvent.VesselWeighed weighed) {
                return new Entry.Weighing(
                        told.id(),
                        told.key(),
                        stories.canonical(weighed.vessel()),
                        weighed.readingMg() / 1000.0,
                        weighed.tareMg() == null ? null : weighed.tareMg() / 1000.0,
                        weighed.stepMg() / 1000.0);
            } else if (told.event() instanceof ShelfEvent.CanFinished finished) {
                return new Entry.Finished(told.id(), told.key(), stories.canonical(finished.can()));
            } else if (told.event() instanceof PressEvent.RunStarted started) {
                run(started);
                return null;
            }
            return press(told);
        }

        private void run(PressEvent.RunStarted started) {
            if (runs.put(started.run(), started) == null) {
                started.loads().forEach(load -> expect(stories.canonical(load.load())));
                Set<ThingId> sheets = new HashSet<>();
                stories.of(started.run(), Set.of(Role.PRESS), StoryKey.LAST).stream()
                        .filter(told -> !countedBefore(told, sheets))
                        .forEach(this::take);
            }
        }

        /** Two taps for one sheet are one pull, unless the second is marked a second hit. */
        private static boolean countedBefore(Told told, Set<ThingId> sheets) {
            return told.event() instanceof PressEvent.Pulled pulled
                    && pulled.mode() == PullMode.EDITION
                    && pulled.sheet() != null
                    && !sheets.add(pulled.sheet())
                    && !Boolean.TRUE.equals(pulled.secondHit());
        }

        private @Nullable Entry press(Told told) {
            if (told.event() instanceof PressEvent.Pulled pulled) {
                return new Entry.Pull(told.id(), told.key(), pulled.run(), loads(pulled.run()));
            } else if (told.event() instanceof PressEvent.CleanedUp cleaned) {
                return new Entry.Cleaned(told.id(), told.key(), cleaned.run(), loads(cleaned.run()));
            }
            return null;
        }

        private List<ThingId> loads(ThingId run) {
            PressEvent.RunStarted started = runs.get(run);
            return started == null
                    ? List.of()
                    : started.loads().stream()
                            .map(Load::load)
                            .map(stories::canonical)
                            .toList();
        }
    }
}
