package slabside.edition;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import slabside.event.EditionEvent;
import slabside.event.MatrixEnd;
import slabside.event.PullMode;
import slabside.event.StoneEvent;
import slabside.event.ThingId;
import slabside.event.Treatment;
import slabside.views.Role;
import slabside.views.Stories;
import slabside.views.StoryKey;
import slabside.views.Told;

/**
 * A stone or plate as its events tell it: what was done to it, whether it lies under gum, which runs its image is for and
 * how many sheets still have to go through each.
 *
 * @param listed as it was entered in the list; empty when it is only named elsewhere
 * @param life what was done to it, in order; the printer's own words stand in the events
 * @param gummed since when it lies under gum; empty while it is open
 * @param ended the end of its present image, if it came to one
 * @param holds runs of its present image, in the order of their editions
 */
public record Stone(
        ThingId id,
        Optional<StoneEvent.Listed> listed,
        List<Told> life,
        Optional<Told> gummed,
        Optional<Told> ended,
        List<Holding> holds) {
    private static final Set<Treatment> UNDER_GUM = Set.of(Treatment.GUMMED, Treatment.CLOSED);
    private static final Set<Treatment> OPEN = Set.of(
            Treatment.OPENED,
            Treatment.WASHED_OUT,
            Treatment.ROLLED_UP,
            Treatment.COUNTER_ETCHED,
            Treatment.GRAINED,
            Treatment.DRAWN);
    /** What begins another image. */
    private static final Set<Treatment> AFRESH = Set.of(Treatment.GRAINED);

    public Stone {
        life = List.copyOf(life);
        holds = List.copyOf(holds);
    }

    /**
     * A run that is printed from it.
     *
     * @param pending sheets that have not been through yet; 0 when the edition is closed
     * @param closed whether the edition is
     * @param cancelled whether a cancellation impression was pulled
     */
    public record Holding(Run run, int pending, boolean closed, boolean cancelled) {}

    /** Folds the story of a stone or plate. */
    static Stone of(Stories stories, ThingId id, Runs runs) {
        StoneEvent.Listed listed = null;
        Told gummed = null;
        Told ended = null;
        StoryKey afresh = null;
        List<Told> life = new ArrayList<>();
        List<EditionEvent.RunPlanned> plans = new ArrayList<>();
        for (Told told : stories.of(id, Set.of(Role.DEFINES, Role.NOTED), StoryKey.LAST)) {
            if (told.event() instanceof StoneEvent.Listed each) {
                listed = each;
            } else if (told.event() instanceof StoneEvent.Treated treated) {
                life.add(told);
                gummed = gummed(gummed, told, treated.treatment());
                if (AFRESH.contains(treated.treatment())) {
                    afresh = told.key();
                    ended = null;
                }
            } else if (told.event() instanceof StoneEvent.Disposed disposed) {
                life.add(told);
                ended = disposed.end() == MatrixEnd.KEPT ? ended : told;
            } else if (told.event() instanceof StoneEvent.Inspected) {
                life.add(told);
            } else if (told.event() instanceof EditionEvent.RunPlanned plan
                    && stories.canonical(id).equals(plan.stone() == null ? null : stories.canonical(plan.stone()))) {
                plans.add(plan);
            }
        }
        return new Stone(
                id,
                Optional.ofNullable(listed),
                life,
                Optional.ofNullable(gummed),
                Optional.ofNullable(ended),
                holds(stories, plans, runs, afresh));
    }

    private static @Nullable Told gummed(@Nullable Told before, Told told, Treatment treatment) {
        if (UNDER_GUM.contains(treatment)) {
            return before == null ? told : before;
        }
        return OPEN.contains(treatment) ? null : before;
    }

    /** Runs printed or still to be printed since the image that is on it now was begun. */
    private static List<Holding> holds(
            Stories stories, List<EditionEvent.RunPlanned> plans, Runs runs, @Nullable StoryKey afresh) {
        List<Holding> holds = new ArrayList<>();
        plans.stream()
                .map(EditionEvent.RunPlanned::run)
                .distinct()
                .forEach(id -> runs.atPress(id)
                        .filter(press -> afresh == null
                                || press.run().pulls().isEmpty()
                                || press.run()
                                                .pulls()
                                                .get(press.run().pulls().size() - 1)
                                                .key()
                                                .compareTo(afresh)
                                        > 0)
                        .ifPresent(press -> {
                            boolean closed = press.run()
                                    .edition()
                                    .filter(edition -> closed(stories, edition))
                                    .isPresent();
                            holds.add(new Holding(
                                    press.run(),
                                    closed ? 0 : press.pending().size(),
                                    closed,
                                    press.run().pulls().stream()
                                            .anyMatch(pull -> pull.event().mode() == PullMode.CANCELLATION)));
                        }));
        holds.sort(Comparator.comparingInt(holding -> holding.run().order()));
        return holds;
    }

    private static boolean closed(Stories stories, ThingId edition) {
        return stories.of(edition, Set.of(Role.NOTED), StoryKey.LAST).stream()
                .anyMatch(told -> told.event() instanceof EditionEvent.Closed);
    }

    /** Of what was done to it, what belongs to the image that a run is printed from. */
    public List<Told> lifeOfImage(Run run) {
        return ofImage(life, run);
    }

    /** Of all that a stone went through, what belongs to the image that a run was printed from. */
    static List<Told> ofImage(List<Told> life, Run run) {
        List<Told> image = new ArrayList<>();
        boolean grainedOnly = true;
        boolean printed = false;
        for (Told told : life) {
            boolean grained =
                    told.event() instanceof StoneEvent.Treated treated && treated.treatment() == Treatment.GRAINED;
            printed |= !run.pulls().isEmpty()
                    && told.key().compareTo(run.pulls().get(0).key()) > 0;
            if (grained && !grainedOnly) {
                if (printed) {
                    break;
                }
                image.clear();
            }
            grainedOnly = grained;
            image.add(told);
        }
        return image;
    }

    /** The last thing that was done to it. */
    public Optional<Treatment> state() {
        return life.stream()
                .filter(told -> told.event() instanceof StoneEvent.Treated)
                .map(told -> ((StoneEvent.Treated) told.event()).treatment())
                .reduce((first, last) -> last);
    }

    /** The first run of its image that still has sheets to come. */
    public Optional<Holding> next() {
        return holds.stream().filter(holding -> holding.pending > 0).findFirst();
    }
}
