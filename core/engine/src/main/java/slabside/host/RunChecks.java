package slabside.host;

import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
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
import slabside.event.StoneEvent;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.event.Treatment;
import slabside.event.Why;
import slabside.ink.Recipe;
import slabside.ink.Shelf;
import slabside.plugin.StudioView;
import slabside.views.Role;
import slabside.views.StoryKey;
import slabside.views.Timeline;
import slabside.views.Told;
import slabside.views.Views;

/** Holds a run against every {@link TradeRule}: here those of press, stone, paper and record; {@link InkChecks} has those of its ink. */
final class RunChecks {
    private static final int WARNINGS_LOOKED_AT = 500;
    /** A warning comes with its tap; entries written down a little later are let pass. */
    private static final long ABOUT_THEN_MS = 15 * 60_000;

    private static final double MS_PER_HOUR = 3_600_000;
    /** Days after which a layer below may refuse ink: assumption. */
    private static final double TOO_LATE_DAYS = 14;
    /** Pulls with one water that are worth a word: assumption. */
    private static final int PULLS_ON_ONE_WATER = 80;
    /** Warmth that is worth a word, and how far it may move: assumptions. */
    private static final double WARM = 26;

    private static final double MOVED_FAR = 4;

    /** Warnings for which the log itself shows the thing that was warned of. */
    private static final Map<String, TradeRule> SHOWN = Map.of(
            "ten-times-the-recipe", TradeRule.FACTOR_OF_TEN,
            "powder-at-once", TradeRule.POWDER_AT_ONCE,
            "strong-ink-first", TradeRule.BASE_INTO_STRONG_INK,
            "can-skinned", TradeRule.SKINNED_CAN,
            "lot-differs", TradeRule.LOT_CHANGED,
            "roller-had-another-colour", TradeRule.ROLLER_HAD_ANOTHER_COLOUR,
            "reworked-in-a-run", TradeRule.REWORKED_WHILE_PENDING);

    private final Views views;
    private final Runs runs;
    private final Run run;
    private final List<Run.Pull> edition;
    private final List<StudioView.Check> found = new ArrayList<>();

    private RunChecks(Views views, Runs runs, Run run) {
        this.views = views;
        this.runs = runs;
        this.run = run;
        this.edition = run.firstPulls();
    }

    static List<StudioView.Check> of(Views views, Runs runs, Shelf shelf, Run run) {
        RunChecks checks = new RunChecks(views, runs, run);
        if (checks.edition.isEmpty()) {
            return List.of();
        }
        Map<ThingId, Told> mixes = checks.mixes();
        new InkChecks(views, runs, shelf, run, checks.edition, mixes, checks::add).all();
        checks.circumference();
        checks.roller();
        checks.layerBelow();
        checks.paper();
        checks.press();
        checks.room();
        checks.stone();
        checks.warned(mixes.keySet());
        checks.missing(mixes.keySet());
        return List.copyOf(checks.found);
    }

    private void add(TradeRule rule, String text, @Nullable Told told) {
        found.add(new StudioView.Check(
                rule.words(), text, told == null ? "" : told.id().text()));
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
                                TradeRule.CIRCUMFERENCE_SHORTER_THAN_THE_IMAGE,
                                String.format(
                                        Locale.ROOT,
                                        "%s turns once in %.1f cm, the longer side of the image is %.1f cm: a lap line is to"
                                                + " be expected",
                                        listed.name(),
                                        turn / 10_000,
                                        side / 10_000.0),
                                told);
                    }
                }
            });
        }
    }

    private List<Told> setUps() {
        return views.of(run.id(), Set.of(Role.PRESS), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof PressEvent.RunStarted)
                .toList();
    }

    private void roller() {
        for (Told setUp : setUps()) {
            ThingId roller = ((PressEvent.RunStarted) setUp.event()).roller();
            if (roller == null) {
                continue;
            }
            ThingId before = null;
            for (Told told : views.of(roller, Set.of(Role.NOTED), setUp.key())) {
                if (told.event() instanceof PressEvent.RunStarted started
                        && !told.id().equals(setUp.id())) {
                    before = started.run().equals(run.id()) ? null : started.run();
                } else if (told.event() instanceof ShelfEvent.ToolCleaned) {
                    before = null;
                }
            }
            if (before != null) {
                add(
                        TradeRule.ROLLER_HAD_ANOTHER_COLOUR,
                        views.name(roller) + " was last used for " + views.name(before)
                                + ", and nobody wrote down that it was cleaned",
                        setUp);
            }
        }
    }

    private void layerBelow() {
        Optional<Run> below = run.edition().stream()
                .flatMap(edition1 -> runs.of(edition1).stream())
                .filter(other -> other.order() < run.order() && other.printed() > 0)
                .reduce((first, last) -> last);
        if (below.isEmpty() || edition.isEmpty()) {
            return;
        }
        StoryKey begin = edition.get(0).key();
        // A batch that was printed later is no layer of these sheets.
        long printed = below.get().pulls().stream()
                .filter(pull -> pull.number() > 0 && pull.key().compareTo(begin) < 0)
                .mapToLong(pull -> pull.key().millis())
                .max()
                .orElse(Long.MAX_VALUE);
        if (printed == Long.MAX_VALUE) {
            return;
        }
        List<Told> judged = views.of(below.get().id(), Set.of(Role.NOTED), begin).stream()
                .filter(told -> told.event() instanceof TestEvent.DrynessJudged
                        && told.key().millis() >= printed)
                .toList();
        boolean dry =
                judged.stream().anyMatch(told -> ((TestEvent.DrynessJudged) told.event()).dryness() == Dryness.RUB_DRY);
        if (!dry) {
            add(
                    TradeRule.LAYER_BELOW_NOT_KNOWN_DRY,
                    String.format(
                            Locale.ROOT,
                            "%s was not judged rub-dry before this run began, %.0f hours after its last pull",
                            views.name(below.get().id()),
                            (begin.millis() - printed) / MS_PER_HOUR),
                    judged.isEmpty() ? null : judged.get(judged.size() - 1));
        }
        double days = (begin.millis() - printed) / MS_PER_HOUR / 24;
        if (days > TOO_LATE_DAYS) {
            add(
                    TradeRule.LAYER_BELOW_TOO_LATE,
                    String.format(
                            Locale.ROOT,
                            "%s had lain for %.0f days when this run began; a layer that old may refuse ink (from %.0f on:"
                                    + " assumption)",
                            views.name(below.get().id()),
                            days,
                            TOO_LATE_DAYS),
                    edition.get(0).told());
        }
    }

    private void paper() {
        Optional<Edition> of = run.edition().map(runs::edition);
        if (of.isEmpty()) {
            return;
        }
        Set<ThingId> through = edition.stream()
                .flatMap(pull -> Optional.ofNullable(pull.sheet()).stream())
                .collect(Collectors.toSet());
        Set<String> papers = new TreeSet<>();
        for (Told told : views.of(of.get().id(), Set.of(Role.NOTED), StoryKey.LAST)) {
            if (told.event() instanceof PaperEvent.Torn torn
                    && torn.sheets().stream().anyMatch(sheet -> through.contains(sheet.sheet()))) {
                papers.add(views.name(torn.lot()));
            }
        }
        if (papers.size() > 1) {
            add(TradeRule.PAPER_CHANGED, "more than one paper went through: " + String.join(", ", papers), null);
        }
    }

    /** First edition pull after a moment, or 0 when that was before the first or after the last. */
    private int between(Told told) {
        if (told.key().compareTo(edition.get(0).key()) < 0) {
            return 0;
        }
        return edition.stream()
                .filter(pull -> pull.key().compareTo(told.key()) > 0)
                .mapToInt(Run.Pull::number)
                .min()
                .orElse(0);
    }

    /** What was changed at the press between the first pull and the last. */
    private void press() {
        int water = 1;
        for (Told told : views.of(run.id(), Set.of(Role.NOTED), StoryKey.LAST)) {
            int before = between(told);
            if (before == 0) {
                continue;
            }
            if (told.event() instanceof PressEvent.Noted noted) {
                if (noted.packing() != null || noted.pressure() != null) {
                    add(
                            TradeRule.PACKING_OR_BAR_CHANGED,
                            "before pull " + before + ": "
                                    + (noted.packing() == null ? "" : "packing " + noted.packing())
                                    + (noted.packing() != null && noted.pressure() != null ? ", " : "")
                                    + (noted.pressure() == null ? "" : "pressure " + noted.pressure()),
                            told);
                }
                if (noted.water() != null) {
                    sameWater(water, before);
                    water = before;
                }
            } else if (told.event() instanceof PressEvent.HandsChanged) {
                add(TradeRule.HANDS_CHANGED, "other hands took over before pull " + before, told);
            } else if (told.event() instanceof PressEvent.Paused paused && Boolean.TRUE.equals(paused.gummedUp())) {
                add(TradeRule.GUMMED_UP, "before pull " + before + gap(before), told);
            }
        }
        sameWater(water, edition.get(edition.size() - 1).number() + 1);
    }

    private void sameWater(int from, int to) {
        if (to - from >= PULLS_ON_ONE_WATER) {
            add(
                    TradeRule.WATER_NOT_CHANGED,
                    (to - from) + " pulls, from " + from + " to " + (to - 1)
                            + ", and no other water is written down (worth a word from " + PULLS_ON_ONE_WATER
                            + " on: assumption)",
                    null);
        }
    }

    /** How long the press stood before a pull. */
    private String gap(int before) {
        long last = 0;
        for (Run.Pull pull : edition) {
            if (pull.number() == before) {
                return String.format(
                        Locale.ROOT,
                        ", %.0f minutes after the pull before",
                        (pull.key().millis() - last) / 60_000.0);
            }
            last = pull.key().millis();
        }
        return "";
    }

    private void room() {
        double low = Double.POSITIVE_INFINITY;
        double high = Double.NEGATIVE_INFINITY;
        Told warmest = null;
        for (Told told : views.of(run.id(), Set.of(Role.NOTED), StoryKey.LAST)) {
            if (told.event() instanceof PressEvent.Noted noted && noted.celsius() != null) {
                double celsius = noted.celsius().doubleValue();
                low = Math.min(low, celsius);
                warmest = celsius > high ? told : warmest;
                high = Math.max(high, celsius);
            }
        }
        if (high > WARM || high - low > MOVED_FAR) {
            add(
                    TradeRule.TEMPERATURE,
                    String.format(
                            Locale.ROOT,
                            "%.1f to %.1f °C; warmth loosens ink and narrows the window between scum and pluck (worth a word"
                                    + " above %.0f °C or when it moves by more than %.0f: assumption)",
                            low,
                            high,
                            WARM,
                            MOVED_FAR),
                    warmest);
        }
    }

    /** What was done to the stone or plate between the first pull and the last. */
    private void stone() {
        Optional<ThingId> stone = runs.stone(run.id());
        if (stone.isEmpty()) {
            return;
        }
        for (Told told : views.of(stone.get(), Set.of(Role.NOTED), StoryKey.LAST)) {
            if (!(told.event() instanceof StoneEvent.Treated treated) || between(told) == 0) {
                continue;
            }
            String text = EventCodec.word(treated.treatment()).replace('-', ' ') + " before pull " + between(told)
                    + (treated.words() == null ? "" : ", " + treated.words());
            TradeRule rule = rule(treated.treatment());
            if (rule != null) {
                add(rule, text, told);
            }
        }
    }

    private static @Nullable TradeRule rule(Treatment treatment) {
        return switch (treatment) {
            case ETCHED -> TradeRule.ETCHED_AGAIN;
            case CLOSED, OPENED -> TradeRule.REOPENED;
            case GUMMED -> TradeRule.GUMMED_UP;
            case ADDITION, DELETION, COUNTER_ETCHED, DRAWN, TRANSFERRED, GRAINED -> TradeRule.REWORKED_WHILE_PENDING;
            case TRACED, WASHED_OUT, ROLLED_UP -> null;
        };
    }

    /**
     * What spoke up about this run, its inks and recipes up to its last pull, where the log does not show it itself. A warning
     * that names only a material or a can is this run's when that went into one of its mixes about then.
     */
    private void warned(Set<ThingId> mixes) {
        Set<ThingId> things = new LinkedHashSet<>(mixes);
        things.add(run.id());
        Map<ThingId, List<Long>> added = new HashMap<>();
        long first = edition.get(0).key().millis();
        for (ThingId mix : mixes) {
            Recipe.of(views, mix).ifPresent(recipe -> things.add(recipe.id()));
            for (Told told : views.of(mix, Set.of(Role.IN, Role.DEFINES), StoryKey.LAST)) {
                first = Math.min(first, told.key().millis());
                if (told.event() instanceof InkEvent.Moved moved) {
                    ThingId can = views.canonical(moved.from());
                    for (ThingId thing : List.of(can, runs.ledger().material(can))) {
                        added.computeIfAbsent(thing, any -> new ArrayList<>())
                                .add(told.key().millis());
                    }
                }
            }
        }
        Timeline.Filter then = new Timeline.Filter(
                "log.warned",
                Optional.empty(),
                Optional.empty(),
                "",
                "",
                first - ABOUT_THEN_MS,
                edition.get(edition.size() - 1).key().millis(),
                Long.MAX_VALUE,
                false,
                WARNINGS_LOOKED_AT);
        List<Told> found = new ArrayList<>(views.timeline(then).events());
        Collections.reverse(found);
        for (Told told : found) {
            if (told.event() instanceof LogEvent.Warned warned
                    && !told.voided()
                    && !isShown(warned.rule())
                    && warned.things().stream()
                            .map(views::canonical)
                            .anyMatch(thing -> things.contains(thing)
                                    || added.getOrDefault(thing, List.of()).stream()
                                            .anyMatch(at ->
                                                    Math.abs(at - told.key().millis()) <= ABOUT_THEN_MS))) {
                add(
                        TradeRule.WARNED,
                        warned.rule().replace('-', ' ')
                                + warned.values().entrySet().stream()
                                        .sorted(Map.Entry.comparingByKey())
                                        .map(each -> ", " + each.getKey() + " " + each.getValue())
                                        .collect(Collectors.joining())
                                + (warned.confirmed() ? "; it was confirmed" : ""),
                        told);
            }
        }
    }

    private boolean isShown(String warned) {
        TradeRule shown = SHOWN.get(warned);
        return shown != null && found.stream().anyMatch(check -> check.rule().equals(shown.words()));
    }

    private void missing(Set<ThingId> mixes) {
        List<String> missing = new ArrayList<>();
        if (edition.stream().allMatch(pull -> pull.sheet() == null)) {
            missing.add("which sheet went through at which pull");
        }
        if (edition.stream().allMatch(pull -> pull.event().passes() == null)) {
            missing.add("passes");
        }
        if (mixes.isEmpty()) {
            missing.add("which ink was charged");
        } else if (runs.ledger()
                .perPull(run.id())
                .filter(rate -> rate.learned())
                .isEmpty()) {
            missing.add("a weighing that closes the balance of the load, so grams a pull are an estimate");
        }
        boolean read = views.of(run.id(), Set.of(Role.NOTED), StoryKey.LAST).stream()
                .anyMatch(told -> told.event() instanceof PressEvent.Measured
                        || told.event() instanceof PressEvent.Matched
                        || told.event() instanceof TestEvent.ColourRead colour && colour.sheet() != null);
        if (!read) {
            missing.add("any reading, and any look beside the OK proof");
        }
        if (!missing.isEmpty()) {
            add(
                    TradeRule.NOT_WRITTEN_DOWN,
                    "not written down, and so a limit of this audit: " + String.join("; ", missing),
                    null);
        }
    }
}
