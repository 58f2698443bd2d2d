package slabside.edition;

import static java.util.Objects.requireNonNull;

import java.util.ArrayList;
import java.util.IdentityHashMap;
import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import slabside.event.CuratedAs;
import slabside.event.EditionEvent;
import slabside.event.EventCodec;
import slabside.event.Load;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.Surface;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.ink.Contents;
import slabside.ink.Ledger;
import slabside.ink.PullRates;
import slabside.measure.BadInput;
import slabside.measure.Uncertain;
import slabside.views.Role;
import slabside.views.Stories;
import slabside.views.StoryKey;
import slabside.views.Told;
import slabside.views.Views;

/** The runs of a studio: what each pull used, and what was on the load at any pull. */
public final class Runs {
    /**
     * Grams a pull takes where this studio has no closed run of the surface yet. No published value for hand printing was
     * found: assumptions, from a film of 2 to 4 g/m² on flats, 1 to 2 on crayon and wash.
     */
    private static final Map<Surface, Uncertain> ASSUMED = Map.of(
            Surface.FLAT, new Uncertain(0.4, 0.2),
            Surface.WASH, new Uncertain(0.15, 0.08),
            Surface.CRAYON, new Uncertain(0.1, 0.05),
            Surface.KEY, new Uncertain(0.08, 0.04),
            Surface.BLEND, new Uncertain(0.3, 0.15));

    private static final int PAST_RUNS = 20;
    private static final int JUDGED_LATELY = 60;
    private static final int CURATED_LATELY = 600;
    private static final int MOST_MIXES = 100;

    private final Views views;
    private final Ledger ledger;
    /** A rate that its balance does not give is left out, so what is assumed for it does not matter. */
    private final Ledger alone;

    private final Map<ThingId, Past> past = new ConcurrentHashMap<>();

    public Runs(Views views) {
        this.views = views;
        this.ledger = new Ledger(views, rates(views));
        this.alone = new Ledger(views, load -> new Uncertain(0, 0));
    }

    /** The ledger as it reads now. */
    public Ledger ledger() {
        return ledger;
    }

    /** The ledger as the log was known at a moment of recording. */
    public Ledger ledger(Stories stories) {
        return stories == views ? ledger : new Ledger(stories, rates(stories));
    }

    private PullRates rates(Stories stories) {
        return load -> {
            Optional<Run> run = stories.thing(load)
                    .map(thing -> thing.of())
                    .filter(of -> !of.isEmpty())
                    .flatMap(of -> Run.of(stories, new ThingId(of)));
            Surface surface = run.flatMap(Run::surface).orElse(Surface.FLAT);
            double share = run.map(r -> r.part(load)).orElse(1.0);
            return learned(surface, run.map(Run::id)).times(share);
        };
    }

    /** Mean of the studio's closed runs of a surface, or the assumption. */
    private Uncertain learned(Surface surface, Optional<ThingId> except) {
        List<Double> values = pastRuns().stream()
                .filter(p -> p.surface().equals(EventCodec.word(surface)) && !except.equals(Optional.of(p.run())))
                .map(p -> p.perPull().value())
                .toList();
        if (values.isEmpty()) {
            return ASSUMED.getOrDefault(surface, new Uncertain(0.2, 0.1));
        }
        double mean = values.stream().mapToDouble(v -> v).average().orElseThrow();
        double spread =
                values.stream().mapToDouble(v -> (v - mean) * (v - mean)).sum() / Math.max(1, values.size() - 1);
        return new Uncertain(mean, values.size() == 1 ? mean / 4 : StrictMath.sqrt(spread));
    }

    /**
     * What a finished run used.
     *
     * @param perPull grams, from its balance
     */
    public record Past(ThingId run, String surface, Uncertain perPull, int pulls) {}

    /** Runs whose balance has closed, newest first. */
    public List<Past> pastRuns() {
        List<Past> found = new ArrayList<>();
        for (Told told : views.ofType("press.cleaned-up", PAST_RUNS)) {
            past(((PressEvent.CleanedUp) told.event()).run()).ifPresent(found::add);
        }
        return found;
    }

    private Optional<Past> past(ThingId run) {
        Optional<Ledger.PerPull> perPull = alone.perPull(run).filter(Ledger.PerPull::learned);
        if (perPull.isEmpty()) {
            return Optional.empty();
        }
        Past known = past.get(run);
        // The ledger gives the same answer again as long as nothing was written of the run.
        if (known == null || known.perPull() != perPull.get().grams()) {
            known = new Past(
                    run,
                    Run.of(views, run)
                            .flatMap(Run::surface)
                            .map(EventCodec::word)
                            .orElse(""),
                    perPull.get().grams(),
                    perPull.get().pulls());
            past.put(run, known);
        }
        return Optional.of(known);
    }

    public Optional<Run> run(ThingId id) {
        return Run.of(views, views.canonical(id));
    }

    /** How a run stands at the press; empty when nothing is known under this id. */
    public Optional<AtPress> atPress(ThingId id) {
        return run(id).map(run ->
                AtPress.of(views, run, run.edition().map(this::of).orElse(List.of(run)), stone(run.id())));
    }

    /** A stone or plate by id, whatever is known of it. */
    public Stone matrix(ThingId id) {
        return Stone.of(views, views.canonical(id), this);
    }

    /** Where every impression of an edition is. */
    public Register register(ThingId edition) {
        return Register.of(views, views.canonical(edition));
    }

    /** An edition as its events tell it. */
    public Edition edition(ThingId id) {
        return Edition.of(views, views.canonical(id));
    }

    /** The OK proof of an edition as the log reads now; empty when none was signed. */
    public Optional<OkProof> okProof(ThingId edition) {
        return OkProof.of(views, ledger, views.canonical(edition));
    }

    /** The OK proof as the log was known when it was signed. */
    public Optional<OkProof> okProofAsSigned(ThingId edition) {
        return okProof(edition).flatMap(ok -> {
            Stories then = views.asKnown(ok.signed().envelope().recorded());
            return OkProof.of(then, ledger(then), views.canonical(edition));
        });
    }

    /** What became of each run between its OK proof and the last pull of the edition. */
    public List<OkProof.Since> sinceOk(OkProof ok) {
        return OkProof.since(views, this, ok);
    }

    /** How the batches of a run dried. */
    public List<Drying> drying(Run run) {
        Optional<Run> next = run.edition().stream()
                .flatMap(edition -> of(edition).stream())
                .filter(other -> other.order() > run.order())
                .findFirst();
        return Drying.of(views, run, next);
    }

    /** Batches whose dryness was judged lately, newest judgement first. */
    public List<Drying> pastDrying() {
        return views.ofType("test.dryness-judged", JUDGED_LATELY).stream()
                .map(told -> views.canonical(((TestEvent.DrynessJudged) told.event()).of()))
                .distinct()
                .map(this::run)
                .flatMap(Optional::stream)
                .flatMap(run -> drying(run).stream())
                .toList();
    }

    /** What was lost at the press and at curating lately. */
    public PastLosses pastLosses() {
        return new PastLosses(
                views.ofType("press.cleaned-up", 2 * PAST_RUNS).stream()
                        .map(told -> ((PressEvent.CleanedUp) told.event()).run())
                        .distinct()
                        .map(this::run)
                        .flatMap(Optional::stream)
                        .filter(run -> run.printed() > 0)
                        .map(run -> new PastLosses.AtPress(
                                run.id(), run.surface(), run.printed(), run.graded(PressGrade.SPOILED)))
                        .toList(),
                views.ofType("edition.curated", CURATED_LATELY).stream()
                        .map(told -> ((EditionEvent.Curated) told.event()).edition())
                        .distinct()
                        .map(edition -> {
                            var graded = register(edition).graded().values();
                            return new PastLosses.AtCurating(edition, graded.size(), (int) graded.stream()
                                    .filter(each -> each.grade() == CuratedAs.GOOD)
                                    .count());
                        })
                        .toList());
    }

    /** How long the work on an edition took, as its entries tell. */
    public TimeSpent timeSpent(Edition edition) {
        Set<ThingId> mixes = new LinkedHashSet<>();
        edition.runs()
                .forEach(run -> views.thingsOf("mix", run.id(), MOST_MIXES).forEach(mix -> mixes.add(mix.id())));
        return TimeSpent.of(views, edition, mixes);
    }

    /** The stone or plate that a run was planned for. */
    public Optional<ThingId> stone(ThingId run) {
        return stone(views, run);
    }

    static Optional<ThingId> stone(Stories stories, ThingId run) {
        return stories.of(run, Set.of(Role.DEFINES), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof EditionEvent.RunPlanned planned && planned.stone() != null)
                .map(told -> ((EditionEvent.RunPlanned) told.event()).stone())
                .reduce((a, b) -> b);
    }

    /** For how many more pulls the ink beside the slab lasts, load by load; those that nothing feeds are left out. */
    public List<InkLeft> inkLeft(AtPress press) {
        return press.run().loading().stream()
                .flatMap(load ->
                        InkLeft.of(ledger, load.load(), press.feeding().getOrDefault(load.load(), List.of())).stream())
                .toList();
    }

    /** Runs of an edition in their order. */
    public List<Run> of(ThingId edition) {
        return Edition.runs(views, edition);
    }

    /** What was on each load when a pull was made, in order across the roller. */
    public List<Contents> loadsAt(Run.Pull pull) {
        return pull.loading().stream()
                .map(Load::load)
                .map(load -> ledger.justBefore(load, List.of(pull.key())).get(0))
                .toList();
    }

    /** What was on the loads at every pull of a run, in order across the roller; each load is folded once. */
    public Map<Run.Pull, List<Contents>> loadsAtEach(Run run) {
        Map<ThingId, List<Run.Pull>> byLoad = new LinkedHashMap<>();
        run.pulls()
                .forEach(pull -> pull.loading()
                        .forEach(load -> byLoad.computeIfAbsent(load.load(), id -> new ArrayList<>())
                                .add(pull)));
        Map<ThingId, Iterator<Contents>> folded = new LinkedHashMap<>();
        byLoad.forEach((load, pulls) -> folded.put(
                load,
                ledger.justBefore(load, pulls.stream().map(Run.Pull::key).toList())
                        .iterator()));
        Map<Run.Pull, List<Contents>> found = new IdentityHashMap<>();
        for (Run.Pull pull : run.pulls()) {
            found.put(
                    pull,
                    pull.loading().stream()
                            .map(load -> requireNonNull(folded.get(load.load())).next())
                            .toList());
        }
        return found;
    }

    /** The sheet that was signed as the OK proof of an edition; empty when none was. */
    public Optional<ThingId> okSheet(ThingId edition) {
        return views.of(edition, Set.of(Role.NOTED), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof EditionEvent.OkSigned)
                .map(told -> ((EditionEvent.OkSigned) told.event()).sheet())
                .reduce((a, b) -> b);
    }

    /**
     * The pull at which the OK proof of an edition went through its run of an order.
     *
     * @throws BadInput when no OK proof was signed, there is no such run, or the sheet never went through it
     */
    public Run.Pull okPull(ThingId edition, int order) {
        ThingId sheet = okSheet(edition)
                .orElseThrow(() -> new BadInput(
                        "OK proof",
                        views.name(edition),
                        "no OK proof was signed for this edition; name a mix or a moment instead"));
        return runOf(edition, order)
                .pullOf(sheet)
                .orElseThrow(() -> new BadInput(
                        "run", order, "the OK proof " + views.name(sheet) + " did not go through this run"));
    }

    /** The run of an edition with an order. */
    public Run runOf(ThingId edition, int order) {
        return of(edition).stream()
                .filter(run -> run.order() == order)
                .findFirst()
                .orElseThrow(() -> new BadInput(
                        "run",
                        order,
                        "this edition has runs "
                                + of(edition).stream().map(r -> "" + r.order()).toList()));
    }
}
