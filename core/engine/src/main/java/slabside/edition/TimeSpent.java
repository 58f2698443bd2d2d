package slabside.edition;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import slabside.event.EditionEvent;
import slabside.event.InkEvent;
import slabside.event.PaperEvent;
import slabside.event.Precision;
import slabside.event.PressEvent;
import slabside.event.PullMode;
import slabside.event.Stage;
import slabside.event.StoneEvent;
import slabside.event.StudioEvent;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.views.Role;
import slabside.views.Stories;
import slabside.views.StoryKey;
import slabside.views.Told;

/**
 * How long the work on an edition took, day by day and stage by stage. The time between two entries counts for the stage of
 * the later one, as long as it is not longer than {@link #BREAK_MS}; a longer one is a pause. What led up to the first entry of
 * a spell is not known and counts nothing, so the sum is a lower bound. Hours that somebody stated count instead of what
 * the entries of that day and stage say.
 *
 * @param days in order, each with its stages
 */
public record TimeSpent(Map<LocalDate, Map<Stage, Spent>> days) {
    /** A longer gap between two entries is a pause: an assumption. */
    public static final long BREAK_MS = 45 * 60_000L;

    /**
     * Time at a stage.
     *
     * @param ms by the clock
     * @param handMs by the clock, times the people at it
     * @param stated somebody said so
     */
    public record Spent(long ms, long handMs, boolean stated) {
        static final Spent NONE = new Spent(0, 0, false);

        Spent plus(Spent more) {
            return new Spent(ms + more.ms, handMs + more.handMs, stated || more.stated);
        }
    }

    private record Entry(Told told, Stage stage, int hands) {}

    /** By stage, over all days. */
    public Map<Stage, Spent> stages() {
        Map<Stage, Spent> stages = new EnumMap<>(Stage.class);
        days.values().forEach(day -> day.forEach((stage, spent) -> stages.merge(stage, spent, Spent::plus)));
        return stages;
    }

    public Spent total() {
        return stages().values().stream().reduce(Spent.NONE, Spent::plus);
    }

    /**
     * Folds what was written down about an edition and all that belongs to it.
     *
     * @param mixes made for its runs
     */
    static TimeSpent of(Stories stories, Edition edition, Set<ThingId> mixes) {
        Map<LocalDate, Map<Stage, Spent>> days = new TreeMap<>();
        Entry before = null;
        for (Entry entry : entries(stories, edition, mixes)) {
            if (before != null) {
                long gap = entry.told.key().millis() - before.told.key().millis();
                if (gap <= BREAK_MS) {
                    days.computeIfAbsent(day(before.told), day -> new EnumMap<>(Stage.class))
                            .merge(entry.stage, new Spent(gap, gap * entry.hands, false), Spent::plus);
                }
            }
            before = entry;
        }
        for (Told told : stories.of(edition.id(), Set.of(Role.NOTED), StoryKey.LAST)) {
            if (told.event() instanceof EditionEvent.TimeStated stated) {
                int hands = stated.hands() == null ? 1 : stated.hands();
                days.computeIfAbsent(day(told), day -> new EnumMap<>(Stage.class))
                        .put(stated.stage(), new Spent(stated.durationMs(), stated.durationMs() * hands, true));
            }
        }
        return new TimeSpent(days);
    }

    private static LocalDate day(Told told) {
        return Instant.ofEpochMilli(told.happened().instant(told.envelope().recorded()))
                .atZone(ZoneId.of(told.happened().zone()))
                .toLocalDate();
    }

    private static List<Entry> entries(Stories stories, Edition edition, Set<ThingId> mixes) {
        Map<Told, Optional<Stage>> stages = new LinkedHashMap<>();
        Set<ThingId> things = new LinkedHashSet<>();
        things.add(edition.id());
        things.addAll(mixes);
        for (Run run : edition.runs()) {
            things.add(run.id());
            run.pulls().forEach(pull -> pull.loading().forEach(load -> things.add(load.load())));
            Runs.stone(stories, run.id())
                    .ifPresent(stone -> Stone.ofImage(stories.of(stone, Set.of(Role.NOTED), StoryKey.LAST), run)
                            .forEach(told -> enter(stages, told)));
        }
        for (ThingId thing : things) {
            stories.of(thing, Set.of(Role.values()), StoryKey.LAST).forEach(told -> enter(stages, told));
        }
        List<Told> inOrder = new ArrayList<>(stages.keySet());
        inOrder.sort(Comparator.comparing(Told::key));
        List<Entry> entries = new ArrayList<>();
        boolean printing = false;
        int hands = 1;
        LocalDate of = null;
        for (Told told : inOrder) {
            if (!day(told).equals(of)) {
                of = day(told);
                hands = 1;
            }
            if (told.event() instanceof PressEvent.HandsChanged changed) {
                hands = Math.max(1, changed.people().size());
            } else if (told.event() instanceof PressEvent.RunStarted) {
                printing = false;
            } else if (told.event() instanceof PressEvent.Pulled pulled) {
                printing = pulled.mode() == PullMode.EDITION;
            }
            boolean stillProofing = !printing;
            int people = hands;
            stages.getOrDefault(told, Optional.empty())
                    .map(stage -> stage == Stage.PRINTING && stillProofing ? Stage.PROOFING : stage)
                    .ifPresent(stage -> entries.add(new Entry(told, stage, people)));
        }
        return entries;
    }

    private static void enter(Map<Told, Optional<Stage>> stages, Told told) {
        Precision precision = told.happened().precision();
        if (precision == Precision.EXACT || precision == Precision.MINUTE) {
            stages.computeIfAbsent(told, each -> stage(each.event()));
        }
    }

    /** The stage of an entry; empty for one that is made in passing. */
    private static Optional<Stage> stage(StudioEvent event) {
        if (event instanceof StoneEvent) {
            return Optional.of(Stage.STONE);
        } else if (event instanceof PaperEvent) {
            return Optional.of(Stage.PAPER);
        } else if (event instanceof InkEvent.Moved moved) {
            return Optional.of(ofMove(moved.why()));
        } else if (event instanceof InkEvent.Wrapped || event instanceof PressEvent.CleanedUp) {
            return Optional.of(Stage.CLEANING_UP);
        } else if (event instanceof TestEvent.DrynessJudged || event instanceof TestEvent.ColourRead) {
            return Optional.empty();
        } else if (event instanceof InkEvent || event instanceof TestEvent) {
            return Optional.of(Stage.MIXING);
        } else if (event instanceof PressEvent) {
            return Optional.of(Stage.PRINTING);
        } else if (event instanceof EditionEvent.OkSigned) {
            return Optional.of(Stage.PROOFING);
        } else if (event instanceof EditionEvent
                && !(event instanceof EditionEvent.Planned
                        || event instanceof EditionEvent.RunPlanned
                        || event instanceof EditionEvent.Stated
                        || event instanceof EditionEvent.TimeStated
                        || event instanceof EditionEvent.Closed)) {
            return Optional.of(Stage.CURATING);
        }
        return Optional.empty();
    }

    private static Stage ofMove(Why why) {
        return switch (why) {
            case CHARGED, SCRAPED_DOWN, RETURNED -> Stage.PRINTING;
            case WASHED_UP, WRAPPED, THROWN_AWAY -> Stage.CLEANING_UP;
            default -> Stage.MIXING;
        };
    }
}
