package slabside.host;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import slabside.edition.Drying;
import slabside.edition.Edition;
import slabside.edition.Run;
import slabside.edition.Runs;
import slabside.event.Dryness;
import slabside.event.EditionEvent;
import slabside.event.EventCodec;
import slabside.event.InkEvent;
import slabside.event.LogEvent;
import slabside.event.PaperEvent;
import slabside.event.PressEvent;
import slabside.event.ShelfEvent;
import slabside.event.Stiffness;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.ink.Contents;
import slabside.ink.Recipe;
import slabside.plugin.StudioView;
import slabside.views.Role;
import slabside.views.StoryKey;
import slabside.views.Told;
import slabside.views.Views;

/** Rules of the trade that a run can be held against from the log alone; all of them in one place, common practice, no source. */
final class RunChecks {
    /** Every rule. */
    enum Rule {
        /** A share on the load is three times, or a third of, what the recipe plans. */
        NOT_AS_PLANNED,
        /** The roller turns more than once over the image. */
        CIRCUMFERENCE_SHORTER_THAN_THE_IMAGE,
        /** The two inks of a blend were found of different body. */
        BLEND_OF_DIFFERENT_BODY,
        /** The layer below was not judged rub-dry before this run began. */
        LAYER_BELOW_NOT_KNOWN_DRY,
        /** Sheets of more than one paper went through. */
        PAPER_CHANGED,
        /** A rule spoke up while mixing or setting up. */
        WARNED,
        /** Something is not written down that an audit needs. */
        NOT_WRITTEN_DOWN
    }

    private static final double FACTOR = 3;
    private static final double WORTH_A_WORD = 0.002;
    private static final int WARNINGS_LOOKED_AT = 500;

    private final Views views;
    private final Runs runs;
    private final Run run;
    private final List<StudioView.Check> found = new ArrayList<>();

    private RunChecks(Views views, Runs runs, Run run) {
        this.views = views;
        this.runs = runs;
        this.run = run;
    }

    static List<StudioView.Check> of(Views views, Runs runs, Run run) {
        RunChecks checks = new RunChecks(views, runs, run);
        checks.planned();
        checks.circumference();
        checks.body();
        checks.layerBelow();
        checks.paper();
        checks.warned();
        checks.missing();
        return List.copyOf(checks.found);
    }

    private void add(Rule rule, String text, String event) {
        found.add(new StudioView.Check(EventCodec.word(rule).replace('-', ' '), text, event));
    }

    private List<Run.Pull> edition() {
        return run.pulls().stream().filter(pull -> pull.number() > 0).toList();
    }

    /** Every mix charged for this run, with the event that brought it first. */
    private Map<ThingId, Told> mixes() {
        Map<ThingId, Told> mixes = new LinkedHashMap<>();
        run.pulls().stream()
                .flatMap(pull -> pull.loading().stream())
                .map(load -> load.load())
                .distinct()
                .forEach(load -> views.of(load, Set.of(Role.IN), StoryKey.LAST).forEach(told -> {
                    if (told.event() instanceof InkEvent.Moved moved && moved.why() == Why.CHARGED) {
                        mixes.putIfAbsent(views.canonical(moved.from()), told);
                    }
                }));
        return mixes;
    }

    private void planned() {
        List<Run.Pull> edition = edition();
        Optional<Recipe> recipe = mixes().keySet().stream()
                .flatMap(mix -> Recipe.of(views, mix).stream())
                .findFirst();
        if (edition.isEmpty() || recipe.isEmpty() || run.loading().size() != 1) {
            return;
        }
        Map<ThingId, Integer> since = new LinkedHashMap<>();
        Map<ThingId, Double> last = new LinkedHashMap<>();
        Map<Run.Pull, List<Contents>> loads = runs.loadsAtEach(run);
        for (Run.Pull pull : edition) {
            loads.getOrDefault(pull, List.of()).stream()
                    .limit(1)
                    .flatMap(load -> load.byMaterial(runs.ledger()::material).stream())
                    .forEach(part -> {
                        double planned = recipe.get().share(part.id());
                        double here = part.share().value();
                        boolean off = Math.max(planned, here) > WORTH_A_WORD
                                && (here > FACTOR * planned || planned > FACTOR * here);
                        if (off) {
                            since.putIfAbsent(part.id(), pull.number());
                            last.put(part.id(), here);
                        }
                    });
        }
        since.forEach((material, pull) -> add(
                Rule.NOT_AS_PLANNED,
                String.format(
                        Locale.ROOT,
                        "%s: %.2f %% in the recipe, from pull %d on up to %.2f %% on the load",
                        views.name(material),
                        recipe.get().share(material) * 100,
                        pull,
                        last.getOrDefault(material, 0.0) * 100),
                ""));
    }

    private Optional<EditionEvent.Planned> plan() {
        return run.edition().flatMap(edition -> runs.edition(edition).plan());
    }

    private void circumference() {
        long side = plan().map(plan -> Math.max(
                        plan.imageWidthUm() == null ? 0 : plan.imageWidthUm(),
                        plan.imageHeightUm() == null ? 0 : plan.imageHeightUm()))
                .orElse(0L);
        for (Told told : views.of(run.id(), Set.of(Role.PRESS), StoryKey.LAST)) {
            if (!(told.event() instanceof PressEvent.RunStarted started) || started.roller() == null || side == 0) {
                continue;
            }
            views.of(started.roller(), Set.of(Role.DEFINES), StoryKey.LAST).forEach(tool -> {
                if (tool.event() instanceof ShelfEvent.ToolListed listed && listed.diameterUm() != null) {
                    double turn = StrictMath.PI * listed.diameterUm();
                    if (turn < side) {
                        add(
                                Rule.CIRCUMFERENCE_SHORTER_THAN_THE_IMAGE,
                                String.format(
                                        Locale.ROOT,
                                        "%s turns once in %.1f cm, the longer side of the image is %.1f cm: a lap line is to"
                                                + " be expected",
                                        listed.name(),
                                        turn / 10_000,
                                        side / 10_000.0),
                                told.id().text());
                    }
                }
            });
        }
    }

    private void body() {
        Set<ThingId> mixes = mixes().keySet();
        for (ThingId mix : mixes) {
            for (Told told : views.of(mix, Set.of(Role.NOTED), StoryKey.LAST)) {
                if (told.event() instanceof TestEvent.Compared compared
                        && mixes.contains(views.canonical(compared.against()))
                        && compared.stiffness() != null
                        && compared.stiffness() != Stiffness.SAME) {
                    add(
                            Rule.BLEND_OF_DIFFERENT_BODY,
                            views.name(mix) + " was " + EventCodec.word(compared.stiffness()) + " than "
                                    + views.name(compared.against()),
                            told.id().text());
                }
            }
        }
    }

    private void layerBelow() {
        List<Run.Pull> edition = edition();
        Optional<Run> below = run.edition().stream()
                .flatMap(edition1 -> runs.of(edition1).stream())
                .filter(other -> other.order() < run.order() && other.printed() > 0)
                .reduce((first, last) -> last);
        if (below.isEmpty() || edition.isEmpty()) {
            return;
        }
        List<Drying> batches = runs.drying(below.get());
        if (batches.isEmpty()) {
            return;
        }
        Drying last = batches.get(batches.size() - 1);
        boolean dry = last.judged()
                .filter(told -> told.key().compareTo(edition.get(0).key()) < 0)
                .filter(told -> ((TestEvent.DrynessJudged) told.event()).dryness() == Dryness.RUB_DRY)
                .isPresent();
        if (!dry) {
            add(
                    Rule.LAYER_BELOW_NOT_KNOWN_DRY,
                    String.format(
                            Locale.ROOT,
                            "%s was not judged rub-dry before this run began, %.0f hours after its last pull",
                            views.name(below.get().id()),
                            (edition.get(0).key().millis() - last.printed()) / 3_600_000.0),
                    last.judged().map(told -> told.id().text()).orElse(""));
        }
    }

    private void paper() {
        Optional<Edition> edition = run.edition().map(runs::edition);
        if (edition.isEmpty()) {
            return;
        }
        Set<ThingId> through = edition().stream()
                .flatMap(pull -> Optional.ofNullable(pull.sheet()).stream())
                .collect(Collectors.toSet());
        Set<String> papers = new TreeSet<>();
        for (Told told : views.of(edition.get().id(), Set.of(Role.NOTED), StoryKey.LAST)) {
            if (told.event() instanceof PaperEvent.Torn torn
                    && torn.sheets().stream().anyMatch(sheet -> through.contains(sheet.sheet()))) {
                papers.add(views.name(torn.lot()));
            }
        }
        if (papers.size() > 1) {
            add(Rule.PAPER_CHANGED, "more than one paper went through: " + String.join(", ", papers), "");
        }
    }

    /** What spoke up about this run's inks, recipes and rollers up to its last pull. */
    private void warned() {
        List<Run.Pull> edition = edition();
        if (edition.isEmpty()) {
            return;
        }
        Set<ThingId> things = new LinkedHashSet<>(mixes().keySet());
        things.add(run.id());
        long first = edition.get(0).key().millis();
        for (ThingId mix : mixes().keySet()) {
            Recipe.of(views, mix).ifPresent(recipe -> things.add(recipe.id()));
            for (Told told : views.of(mix, Set.of(Role.IN, Role.DEFINES), StoryKey.LAST)) {
                first = Math.min(first, told.key().millis());
                if (told.event() instanceof InkEvent.Moved moved) {
                    things.add(views.canonical(moved.from()));
                    things.add(runs.ledger().material(views.canonical(moved.from())));
                }
            }
        }
        long last = edition.get(edition.size() - 1).key().millis();
        for (Told told : views.ofType("log.warned", WARNINGS_LOOKED_AT)) {
            LogEvent.Warned warned = (LogEvent.Warned) told.event();
            boolean then = told.key().millis() >= first && told.key().millis() <= last;
            if (then
                    && !told.voided()
                    && warned.things().stream().map(views::canonical).anyMatch(things::contains)) {
                add(
                        Rule.WARNED,
                        warned.rule().replace('-', ' ')
                                + warned.values().entrySet().stream()
                                        .sorted(Map.Entry.comparingByKey())
                                        .map(each -> ", " + each.getKey() + " " + each.getValue())
                                        .collect(Collectors.joining())
                                + (warned.confirmed() ? "; it was confirmed" : ""),
                        told.id().text());
            }
        }
    }

    private void missing() {
        List<Run.Pull> edition = edition();
        List<String> missing = new ArrayList<>();
        if (edition.stream().allMatch(pull -> pull.sheet() == null)) {
            missing.add("which sheet went through at which pull");
        }
        if (edition.stream().allMatch(pull -> pull.event().passes() == null)) {
            missing.add("passes");
        }
        if (mixes().isEmpty()) {
            missing.add("which ink was charged");
        } else if (runs.ledger()
                .perPull(run.id())
                .filter(rate -> rate.learned())
                .isEmpty()) {
            missing.add("a weighing that closes the balance of the load, so grams a pull are an estimate");
        }
        boolean read = views.of(run.id(), Set.of(Role.NOTED), StoryKey.LAST).stream()
                .anyMatch(told ->
                        told.event() instanceof PressEvent.Measured || told.event() instanceof PressEvent.Matched);
        if (!read) {
            missing.add("any reading, and any look beside the OK proof");
        }
        if (!missing.isEmpty()) {
            add(
                    Rule.NOT_WRITTEN_DOWN,
                    "not written down, and so a limit of this audit: " + String.join("; ", missing),
                    "");
        }
    }
}
