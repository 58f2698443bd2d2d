package slabside.ink;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Deque;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashSet;
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
 * @param runs that print from a vessel here, each with all the loads it was ever set up with
 */
record Gathering(
        List<Entry> entries,
        Set<ThingId> vessels,
        Set<ThingId> lots,
        Set<ThingId> met,
        Map<ThingId, Set<ThingId>> runs) {
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
        private final Map<ThingId, Set<ThingId>> runs = new HashMap<>();
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
                run(started.run());
            }
            return null;
        }

        /** Each pull takes from the loads that the run was last set up with before it. */
        private void run(ThingId run) {
            if (runs.containsKey(run)) {
                return;
            }
            Set<ThingId> all = new LinkedHashSet<>();
            runs.put(run, all);
            List<Told> story = stories.of(run, Set.of(Role.PRESS), StoryKey.LAST);
            List<ThingId> loads = story.stream()
                    .filter(told -> told.event() instanceof PressEvent.RunStarted)
                    .findFirst()
                    .map(first -> loads((PressEvent.RunStarted) first.event()))
                    .orElse(List.of());
            Set<ThingId> sheets = new HashSet<>();
            for (Told told : story) {
                if (told.event() instanceof PressEvent.RunStarted again) {
                    loads = loads(again);
                    loads.forEach(this::expect);
                    all.addAll(loads);
                } else if (told.event() instanceof PressEvent.Pulled && !countedBefore(told, sheets)) {
                    entries.put(told.key(), new Entry.Pull(told.id(), told.key(), run, loads));
                } else if (told.event() instanceof PressEvent.CleanedUp) {
                    entries.put(told.key(), new Entry.Cleaned(told.id(), told.key(), run, loads));
                }
            }
        }

        private List<ThingId> loads(PressEvent.RunStarted started) {
            return started.loads().stream()
                    .map(Load::load)
                    .map(stories::canonical)
                    .toList();
        }

        /** Two taps for one sheet are one pull, unless the second is marked a second hit. */
        private static boolean countedBefore(Told told, Set<ThingId> sheets) {
            return told.event() instanceof PressEvent.Pulled pulled
                    && pulled.mode() == PullMode.EDITION
                    && pulled.sheet() != null
                    && !sheets.add(pulled.sheet())
                    && !Boolean.TRUE.equals(pulled.secondHit());
        }
    }
}
