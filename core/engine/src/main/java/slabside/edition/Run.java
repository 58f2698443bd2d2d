package slabside.edition;

import static java.util.Objects.requireNonNull;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import slabside.event.EditionEvent;
import slabside.event.Load;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.Surface;
import slabside.event.ThingId;
import slabside.measure.BadInput;
import slabside.views.Role;
import slabside.views.Stories;
import slabside.views.StoryKey;
import slabside.views.Told;

/**
 * One printing of one stone or plate, as its events tell it.
 *
 * @param edition that it belongs to, where that was said
 * @param order among the runs of the edition, or 0
 * @param loading inks in order across the roller, as it was last set up
 * @param pulls in story order
 */
public record Run(
        ThingId id,
        Optional<ThingId> edition,
        int order,
        Optional<Surface> surface,
        List<Load> loading,
        List<Pull> pulls,
        boolean cleanedUp) {
    /**
     * One pull. Its number is its place among the run's edition pulls; newsprint and proofs have none.
     *
     * @param number 0 for newsprint, proofs and cancellation impressions
     * @param countedBefore the same sheet had been counted already and this is no second hit: two taps for one pull
     * @param loading inks in order across the roller, as the run was set up then
     * @param batch counted from 1; a new one begins when the run is set up again after a clean-up
     */
    public record Pull(
            Told told, PressEvent.Pulled event, int number, boolean countedBefore, List<Load> loading, int batch) {
        public StoryKey key() {
            return told.key();
        }

        public @Nullable ThingId sheet() {
            return event.sheet();
        }
    }

    /** Folds the story of a run; empty when nothing was ever printed or planned under this id. */
    public static Optional<Run> of(Stories stories, ThingId id) {
        List<Told> story = stories.of(id, Set.of(Role.PRESS, Role.DEFINES), StoryKey.LAST);
        if (story.isEmpty()) {
            return Optional.empty();
        }
        ThingId edition = null;
        int order = 0;
        Surface surface = null;
        List<Load> loads = story.stream()
                .filter(told -> told.event() instanceof PressEvent.RunStarted)
                .findFirst()
                .map(first -> ((PressEvent.RunStarted) first.event()).loads())
                .orElse(List.of());
        List<Pull> pulls = new ArrayList<>();
        Set<ThingId> sheets = new HashSet<>();
        boolean cleanedUp = false;
        int number = 0;
        int batch = 1;
        for (Told told : story) {
            if (told.event() instanceof EditionEvent.RunPlanned planned) {
                edition = planned.edition();
                order = planned.order();
                surface = surface == null ? planned.surface() : surface;
            } else if (told.event() instanceof PressEvent.RunStarted started) {
                surface = started.surface() == null ? surface : started.surface();
                loads = started.loads();
                batch += cleanedUp ? 1 : 0;
                cleanedUp = false;
            } else if (told.event() instanceof PressEvent.Pulled pulled) {
                ThingId sheet = pulled.sheet();
                // A second hit of a sheet without a code is told by its own word alone.
                boolean again = pulled.mode() == PullMode.EDITION
                        && (sheet == null ? Boolean.TRUE.equals(pulled.secondHit()) : !sheets.add(sheet));
                boolean counts = pulled.mode() == PullMode.EDITION && !again;
                number += counts ? 1 : 0;
                int shown = pulled.mode() == PullMode.EDITION ? number : 0;
                if (again && sheet != null) {
                    shown = pulls.stream()
                            .filter(p -> p.number > 0 && sheet.equals(p.sheet()))
                            .mapToInt(Pull::number)
                            .findFirst()
                            .orElse(number);
                }
                pulls.add(
                        new Pull(told, pulled, shown, again && !Boolean.TRUE.equals(pulled.secondHit()), loads, batch));
            } else if (told.event() instanceof PressEvent.CleanedUp) {
                cleanedUp = true;
            }
        }
        return Optional.of(new Run(
                id, Optional.ofNullable(edition), order, Optional.ofNullable(surface), loads, pulls, cleanedUp));
    }

    /** Vessels that stand for slab, roller and stone of a run, in order across the roller, as it was last set up. */
    public List<ThingId> loads() {
        return loading.stream().map(Load::load).toList();
    }

    /** Part of each pull's ink that comes from a load: as its width was logged, else an even part. */
    public double part(ThingId load) {
        List<Load> together = Stream.concat(Stream.of(loading), pulls.stream().map(Pull::loading))
                .filter(loads -> loads.stream().anyMatch(each -> each.load().equals(load)))
                .findFirst()
                .orElse(loading);
        return together.stream()
                .filter(each -> each.load().equals(load) && each.widthShare() != null)
                .map(each -> requireNonNull(each.widthShare()).doubleValue())
                .findFirst()
                .orElse(1.0 / Math.max(1, together.size()));
    }

    /** The edition pull with a number. */
    public Pull pull(int number) {
        return pulls.stream()
                .filter(p -> p.number == number)
                .findFirst()
                .orElseThrow(() -> new BadInput(
                        "pull",
                        number,
                        "this run has edition pulls 1 to "
                                + pulls.stream().mapToInt(Pull::number).max().orElse(0)));
    }

    /** The last pull that a sheet went through; empty when it never did. */
    public Optional<Pull> pullOf(ThingId sheet) {
        return pulls.stream().filter(p -> sheet.equals(p.sheet())).reduce((a, b) -> b);
    }

    /** Edition sheets pulled, each once. */
    public int printed() {
        return (int) pulls.stream()
                .filter(p -> p.number > 0)
                .mapToInt(Pull::number)
                .distinct()
                .count();
    }

    /** The first pull of each edition sheet, in story order: second hits and second taps left out. */
    public List<Pull> firstPulls() {
        Set<Integer> numbers = new HashSet<>();
        return pulls.stream()
                .filter(pull -> pull.number > 0 && numbers.add(pull.number))
                .toList();
    }

    /** Edition sheets of a grade at the press; a sheet's last grade counts. */
    public int graded(PressGrade grade) {
        return (int) pulls.stream()
                .filter(p -> p.number > 0)
                .collect(java.util.stream.Collectors.toMap(Pull::number, p -> p.event.grade(), (a, b) -> b))
                .values()
                .stream()
                .filter(grade::equals)
                .count();
    }

    /** Batches in which it was printed so far. */
    public int batches() {
        return pulls.stream().mapToInt(Pull::batch).max().orElse(0);
    }

    /** Newsprint pulls and proofs. */
    public int beforeTheEdition() {
        return (int) pulls.stream()
                .filter(p -> p.event.mode() == PullMode.NEWSPRINT || p.event.mode() == PullMode.PROOF)
                .count();
    }
}
