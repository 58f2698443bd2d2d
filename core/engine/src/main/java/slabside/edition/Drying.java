package slabside.edition;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import slabside.event.Dryness;
import slabside.event.PressEvent;
import slabside.event.PullMode;
import slabside.event.Surface;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.views.Role;
import slabside.views.Stories;
import slabside.views.StoryKey;
import slabside.views.Told;

/**
 * How one batch of a run dried: what was judged and when, what was printed over it and how that went. A run that was judged
 * only once was dry by then, not since then.
 *
 * @param batch of the run, counted from 1
 * @param printed when its last pull was made, in ms
 * @param put racked, stacked or taken apart last; empty when nobody said
 * @param judged the last judgement; empty when nobody rubbed it
 * @param dryBy hours from the last pull to the first judgement of rub-dry
 * @param notDryAt hours from the last pull to the last judgement of anything less before that
 * @param overprinted hours from the last pull to the first edition pull of the next run on one of its sheets
 * @param trouble faults of that run that may come from a layer not dry, or too dry, as they were named at the press
 */
public record Drying(
        ThingId run,
        Optional<Surface> surface,
        int batch,
        long printed,
        Optional<Told> put,
        Optional<Told> judged,
        OptionalDouble dryBy,
        OptionalDouble notDryAt,
        OptionalDouble overprinted,
        Set<String> trouble) {
    /** Faults that have to do with the layer below (common practice, no source). */
    private static final Set<String> OF_THE_LAYER_BELOW =
            Set.of("set-off", "pluck", "refusal", "crystallised", "mottle", "under-colour lifts", "stuck sheets");

    private static final double MS_PER_HOUR = 3_600_000;
    private static final int EVIDENCE = 5;

    /**
     * When the next run is sensible at the earliest, from this studio's own past.
     *
     * @param from by when as many hours had passed as the slowest of the evidence took; in ms
     * @param evidence past batches that were rubbed dry, newest first
     * @param sameSurface whether all of them are of this run's surface
     */
    public record Expected(long from, List<Drying> evidence, boolean sameSurface) {}

    /** Whether its last judgement was rub-dry. */
    public boolean isDry() {
        return judged.filter(told -> ((TestEvent.DrynessJudged) told.event()).dryness() == Dryness.RUB_DRY)
                .isPresent();
    }

    /** The batches of a run, each with the batch of the next run that went over it. */
    static List<Drying> of(Stories stories, Run run, Optional<Run> next) {
        Map<Integer, List<Run.Pull>> batches = new TreeMap<>();
        run.pulls().stream()
                .filter(pull -> pull.event().mode() == PullMode.EDITION)
                .forEach(pull -> batches.computeIfAbsent(pull.batch(), each -> new ArrayList<>())
                        .add(pull));
        List<Drying> drying = new ArrayList<>();
        List<List<Run.Pull>> inOrder = List.copyOf(batches.values());
        for (int i = 0; i < inOrder.size(); i++) {
            StoryKey until = i + 1 < inOrder.size() ? inOrder.get(i + 1).get(0).key() : StoryKey.LAST;
            drying.add(batch(stories, run, inOrder.get(i), until, next));
        }
        return drying;
    }

    private static Drying batch(Stories stories, Run run, List<Run.Pull> pulls, StoryKey until, Optional<Run> next) {
        Run.Pull last = pulls.get(pulls.size() - 1);
        Told put = null;
        Told judged = null;
        OptionalDouble dryBy = OptionalDouble.empty();
        OptionalDouble notDryAt = OptionalDouble.empty();
        for (Told told : stories.of(run.id(), Set.of(Role.NOTED), until)) {
            if (told.key().compareTo(last.key()) < 0) {
                continue;
            }
            if (told.event() instanceof TestEvent.DrynessJudged each) {
                judged = told;
                double hours = hours(last, told.key());
                if (each.dryness() == Dryness.RUB_DRY) {
                    dryBy = dryBy.isPresent() ? dryBy : OptionalDouble.of(hours);
                } else if (dryBy.isEmpty()) {
                    notDryAt = OptionalDouble.of(hours);
                }
            } else if (told.event() instanceof PressEvent.Racked
                    || told.event() instanceof PressEvent.Stacked
                    || told.event() instanceof PressEvent.Unstacked) {
                put = told;
            }
        }
        Set<ThingId> sheets = new LinkedHashSet<>();
        pulls.forEach(pull -> Optional.ofNullable(pull.sheet()).ifPresent(sheets::add));
        List<Run.Pull> over = next.stream()
                .flatMap(other -> other.pulls().stream())
                .filter(pull -> pull.event().mode() == PullMode.EDITION && sheets.contains(pull.sheet()))
                .filter(pull -> pull.key().compareTo(last.key()) > 0)
                .toList();
        Set<String> trouble = new LinkedHashSet<>();
        over.forEach(pull -> pull.event().faults().stream()
                .filter(OF_THE_LAYER_BELOW::contains)
                .forEach(trouble::add));
        return new Drying(
                run.id(),
                run.surface(),
                last.batch(),
                last.key().millis(),
                Optional.ofNullable(put),
                Optional.ofNullable(judged),
                dryBy,
                notDryAt,
                over.isEmpty()
                        ? OptionalDouble.empty()
                        : OptionalDouble.of(hours(last, over.get(0).key())),
                trouble);
    }

    private static double hours(Run.Pull last, StoryKey then) {
        return Math.max(0, (then.millis() - last.key().millis()) / MS_PER_HOUR);
    }

    /**
     * When the next run is sensible at the earliest; empty when no batch here was ever rubbed dry.
     *
     * @param past as {@link Runs#pastDrying} gives it
     */
    public Optional<Expected> expected(List<Drying> past) {
        List<Drying> dried = past.stream()
                .filter(each -> each.dryBy.isPresent() && each.printed < printed)
                .sorted(Comparator.comparingLong(Drying::printed).reversed())
                .toList();
        List<Drying> alike = dried.stream()
                .filter(each -> surface.isPresent() && each.surface.equals(surface))
                .toList();
        List<Drying> evidence =
                (alike.isEmpty() ? dried : alike).stream().limit(EVIDENCE).toList();
        if (evidence.isEmpty()) {
            return Optional.empty();
        }
        double slowest = evidence.stream()
                .mapToDouble(each -> each.dryBy.orElseThrow())
                .max()
                .orElseThrow();
        return Optional.of(new Expected(printed + Math.round(slowest * MS_PER_HOUR), evidence, !alike.isEmpty()));
    }
}
