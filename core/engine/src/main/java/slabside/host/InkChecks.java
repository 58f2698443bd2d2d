package slabside.host;

import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import slabside.edition.Run;
import slabside.edition.Runs;
import slabside.event.Condition;
import slabside.event.EventCodec;
import slabside.event.InkEvent;
import slabside.event.MaterialRole;
import slabside.event.ShelfEvent;
import slabside.event.Stiffness;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.ink.Contents;
import slabside.ink.Ledger;
import slabside.ink.Recipe;
import slabside.ink.Shelf;
import slabside.measure.Uncertain;
import slabside.views.Role;
import slabside.views.StoryKey;
import slabside.views.Told;
import slabside.views.Views;

/** Holds the inks of a run against the rules of the trade. */
final class InkChecks {
    /** Where a finding goes. */
    interface Found {
        void add(TradeRule rule, String text, @Nullable Told told);
    }

    private static final double MS_PER_HOUR = 3_600_000;
    /** A share this many times what is planned, or as small a part of it, is not as planned: assumption. */
    private static final double FACTOR = 3;

    private static final double WORTH_A_WORD = 0.002;
    /** From here to there it looks like a slip of ten. */
    private static final double TEN_LOW = 7;

    private static final double TEN_HIGH = 14;
    /** Two batches differ when a share differs by this part of itself: assumption. */
    private static final double DIFFERENT = 0.2;
    /** The load grows when it is this much above the highest of the first half of the charges: assumption. */
    private static final double GROWN = 1.3;
    /** Hours before the first pull that are long for a tack reducer, and to the last pull that are long for drier: assumptions. */
    private static final double REDUCER_HOURS = 6;

    private static final double DRIER_HOURS = 6;
    /** Largest portion of powder at a time, and part of base from which a mix is mostly base: common practice, no source. */
    private static final double POWDER_AT_ONCE = 0.011;

    private static final double MOSTLY = 0.5;

    private final Views views;
    private final Runs runs;
    private final Shelf shelf;
    private final Run run;
    private final List<Run.Pull> edition;
    private final Map<ThingId, Told> mixes;
    private final Found found;

    /** @param mixes every mix charged, with the event that brought it first */
    InkChecks(
            Views views,
            Runs runs,
            Shelf shelf,
            Run run,
            List<Run.Pull> edition,
            Map<ThingId, Told> mixes,
            Found found) {
        this.views = views;
        this.runs = runs;
        this.shelf = shelf;
        this.run = run;
        this.edition = edition;
        this.mixes = mixes;
        this.found = found;
    }

    void all() {
        planned();
        mixes.forEach((mix, charged) -> mixed(mix, charged));
        betweenBatches();
        growing();
        body();
        lots();
    }

    private MaterialRole role(ThingId vessel) {
        return shelf.material(runs.ledger().material(vessel)).role();
    }

    private void planned() {

        Optional<Recipe> recipe = mixes.keySet().stream()
                .flatMap(mix -> Recipe.of(views, mix).stream())
                .findFirst();
        if (recipe.isEmpty() || run.loading().size() != 1) {
            return;
        }
        Map<ThingId, Integer> since = new LinkedHashMap<>();
        Map<ThingId, Double> farthest = new LinkedHashMap<>();
        Map<Run.Pull, List<Contents>> loads = runs.loadsAtEach(run);
        for (Run.Pull pull : edition) {
            for (Contents load :
                    loads.getOrDefault(pull, List.of()).stream().limit(1).toList()) {
                Map<ThingId, Double> on = new LinkedHashMap<>();
                recipe.get().shares().keySet().forEach(material -> on.put(material, 0.0));
                load.byMaterial(runs.ledger()::material)
                        .forEach(part -> on.put(part.id(), part.share().value()));
                on.forEach((material, here) -> {
                    double planned = recipe.get().share(material);
                    boolean off = !load.isEmpty()
                            && Math.max(planned, here) > WORTH_A_WORD
                            && (here > FACTOR * planned || planned > FACTOR * here);
                    if (off) {
                        since.putIfAbsent(material, pull.number());
                        farthest.merge(material, here, (a, b) -> Math.abs(b - planned) > Math.abs(a - planned) ? b : a);
                    }
                });
            }
        }
        since.forEach((material, pull) -> {
            double planned = recipe.get().share(material);
            double here = farthest.getOrDefault(material, 0.0);
            found.add(
                    TradeRule.NOT_AS_PLANNED,
                    String.format(
                            Locale.ROOT,
                            "%s: %.2f %% in the recipe, from pull %d on %s %.2f %% on the load",
                            views.name(material),
                            planned * 100,
                            pull,
                            here > planned ? "up to" : "down to",
                            here * 100),
                    null);
        });
    }

    /** What went into one mix, addition by addition, up to the last pull. */
    private void mixed(ThingId mix, Told charged) {
        Map<ThingId, Double> in = new LinkedHashMap<>();
        Map<ThingId, Told> most = new LinkedHashMap<>();
        Map<ThingId, Double> largest = new LinkedHashMap<>();
        Told strong = null;
        double total = 0;
        StoryKey last = edition.get(edition.size() - 1).key();
        for (Ledger.Step step : runs.ledger().steps(mix)) {
            if (!step.to().equals(mix) || step.told().key().compareTo(last) > 0) {
                continue;
            }
            double grams = step.grams().map(Uncertain::value).orElse(0.0);
            ThingId material = runs.ledger().material(step.from());
            MaterialRole role = role(step.from());
            if (role == MaterialRole.INK && in.isEmpty()) {
                strong = step.told();
            }
            if (role == MaterialRole.POWDER && total > 0 && grams / (total + grams) > POWDER_AT_ONCE) {
                found.add(
                        TradeRule.POWDER_AT_ONCE,
                        String.format(
                                Locale.ROOT,
                                "%.1f g of %s into %.1f g of %s at once",
                                grams,
                                views.name(material),
                                total,
                                views.name(mix)),
                        step.told());
            }
            times(mix, role, step.told(), charged);
            skin(step, mix);
            in.merge(material, grams, Double::sum);
            if (grams > largest.getOrDefault(material, 0.0)) {
                largest.put(material, grams);
                most.put(material, step.told());
            }
            total += grams;
        }
        double whole = total;
        double base = in.entrySet().stream()
                .filter(each -> shelf.material(each.getKey()).role() == MaterialRole.BASE)
                .mapToDouble(Map.Entry::getValue)
                .sum();
        if (strong != null && whole > 0 && base / whole > MOSTLY) {
            found.add(
                    TradeRule.BASE_INTO_STRONG_INK,
                    views.name(mix) + " was begun with strong ink, and base was added to it",
                    strong);
        }
        Recipe.of(views, mix).ifPresent(recipe -> ten(recipe, mix, in, whole, most));
    }

    /** How long before printing a tack reducer went in, and how old the drier was at the last pull. */
    private void times(ThingId mix, MaterialRole role, Told told, Told charged) {
        Run.Pull last = edition.get(edition.size() - 1);
        double before = edition.stream()
                .filter(pull -> pull.key().compareTo(charged.key()) > 0)
                .findFirst()
                .map(pull -> (pull.key().millis() - told.key().millis()) / MS_PER_HOUR)
                .orElse(0.0);
        if (role == MaterialRole.TACK_REDUCER && before > REDUCER_HOURS) {
            found.add(
                    TradeRule.TACK_REDUCER_LONG_BEFORE,
                    String.format(
                            Locale.ROOT,
                            "into %s %.0f hours before its first pull (long from %.0f on: assumption)",
                            views.name(mix),
                            before,
                            REDUCER_HOURS),
                    told);
        }
        double since = (last.key().millis() - told.key().millis()) / MS_PER_HOUR;
        if (role == MaterialRole.DRIER && since > DRIER_HOURS) {
            found.add(
                    TradeRule.HOURS_SINCE_THE_DRIER,
                    String.format(
                            Locale.ROOT,
                            "into %s %.0f hours before the last pull; ink with drier thickens on the slab (long from %.0f on:"
                                    + " assumption)",
                            views.name(mix),
                            since,
                            DRIER_HOURS),
                    told);
        }
    }

    /** A can that had a skin when it was looked into last before it was used. */
    private void skin(Ledger.Step step, ThingId mix) {
        Told looked = null;
        for (Told told : views.of(step.from(), Set.of(Role.NOTED), step.told().key())) {
            if (told.event() instanceof ShelfEvent.VesselInspected) {
                looked = told;
            }
        }
        if (looked != null
                && ((ShelfEvent.VesselInspected) looked.event()).found().contains(Condition.SKIN)) {
            found.add(
                    TradeRule.SKINNED_CAN,
                    views.name(step.from()) + " had a skin when last looked into, and went into " + views.name(mix),
                    looked);
        }
    }

    private void ten(Recipe recipe, ThingId mix, Map<ThingId, Double> in, double whole, Map<ThingId, Told> most) {
        in.forEach((material, grams) -> {
            double planned = recipe.share(material);
            double here = whole > 0 ? grams / whole : 0;
            double ratio = planned > 0 && here > 0 ? Math.max(here / planned, planned / here) : 1;
            if (ratio >= TEN_LOW && ratio <= TEN_HIGH) {
                found.add(
                        TradeRule.FACTOR_OF_TEN,
                        String.format(
                                Locale.ROOT,
                                "%s in %s: %.1f g, %.2f %%, where the recipe asks %.2f %%",
                                views.name(material),
                                views.name(mix),
                                grams,
                                here * 100,
                                planned * 100),
                        most.get(material));
            }
        });
    }

    /** Mixes of one recipe, each against the first of them that was charged. */
    private void betweenBatches() {
        Map<ThingId, ThingId> first = new LinkedHashMap<>();
        mixes.forEach((mix, charged) -> Recipe.of(views, mix).ifPresent(recipe -> {
            ThingId one = first.putIfAbsent(recipe.id(), mix);
            if (one == null) {
                return;
            }
            Map<ThingId, Double> was = shares(one);
            Map<ThingId, Double> is = shares(mix);
            Set<ThingId> all = new LinkedHashSet<>(was.keySet());
            all.addAll(is.keySet());
            for (ThingId material : all) {
                double old = was.getOrDefault(material, 0.0);
                double now = is.getOrDefault(material, 0.0);
                if (Math.abs(now - old) > WORTH_A_WORD && Math.abs(now - old) > DIFFERENT * Math.max(old, now)) {
                    found.add(
                            TradeRule.SHARES_CHANGED_BETWEEN_BATCHES,
                            String.format(
                                    Locale.ROOT,
                                    "%s: %.2f %% in %s, %.2f %% in %s",
                                    views.name(material),
                                    old * 100,
                                    views.name(one),
                                    now * 100,
                                    views.name(mix)),
                            charged);
                }
            }
        }));
    }

    /** What was in a mix when it was charged first. */
    private Contents charged(ThingId mix) {
        Told charged = mixes.get(mix);
        return charged == null
                ? runs.ledger().now(mix)
                : runs.ledger().justBefore(mix, List.of(charged.key())).get(0);
    }

    private Map<ThingId, Double> shares(ThingId mix) {
        Map<ThingId, Double> shares = new LinkedHashMap<>();
        charged(mix)
                .byMaterial(runs.ledger()::material)
                .forEach(part -> shares.put(part.id(), part.share().value()));
        return shares;
    }

    /** The load after the last charge against the highest of the first half of the charges. */
    private void growing() {
        Map<Run.Pull, List<Contents>> loads = runs.loadsAtEach(run);
        TreeMap<StoryKey, Told> charges = new TreeMap<>();
        run.pulls().stream()
                .flatMap(pull -> pull.loading().stream())
                .map(load -> load.load())
                .distinct()
                .forEach(load -> views.of(load, Set.of(Role.IN), StoryKey.LAST).forEach(told -> {
                    if (told.event() instanceof InkEvent.Moved moved && moved.why() == Why.CHARGED) {
                        charges.put(told.key(), told);
                    }
                }));
        Map<Integer, Double> after = new LinkedHashMap<>();
        Map<Integer, Told> by = new LinkedHashMap<>();
        for (Run.Pull pull : edition) {
            var charge = charges.lowerEntry(pull.key());
            if (charge != null && !by.containsValue(charge.getValue())) {
                by.put(pull.number(), charge.getValue());
                after.put(
                        pull.number(),
                        loads.getOrDefault(pull, List.of()).stream()
                                .mapToDouble(load -> load.grams().value())
                                .sum());
            }
        }
        if (after.size() < 4) {
            return;
        }
        List<Integer> pulls = List.copyOf(after.keySet());
        double highest = pulls.subList(0, pulls.size() / 2).stream()
                .mapToDouble(pull -> after.getOrDefault(pull, 0.0))
                .max()
                .orElse(0);
        int end = pulls.get(pulls.size() - 1);
        double last = after.getOrDefault(end, 0.0);
        if (highest > 0 && last > GROWN * highest) {
            found.add(
                    TradeRule.CHARGED_MORE_THAN_GOES_OUT,
                    String.format(
                            Locale.ROOT,
                            "%.1f g on slab and roller at pull %d, %.1f g at the most in the first half of the charges (too"
                                    + " much from %.1f times on: assumption)",
                            last,
                            end,
                            highest,
                            GROWN),
                    by.get(end));
        }
    }

    private void body() {
        if (run.pulls().stream().noneMatch(pull -> pull.loading().size() > 1)) {
            return;
        }
        Set<ThingId> mixes = this.mixes.keySet();
        for (ThingId mix : mixes) {
            for (Told told : views.of(mix, Set.of(Role.NOTED), StoryKey.LAST)) {
                if (told.event() instanceof TestEvent.Compared compared
                        && mixes.contains(views.canonical(compared.against()))
                        && compared.stiffness() != null
                        && compared.stiffness() != Stiffness.SAME) {
                    found.add(
                            TradeRule.BLEND_OF_DIFFERENT_BODY,
                            views.name(mix) + " was " + EventCodec.word(compared.stiffness()) + " than "
                                    + views.name(compared.against()),
                            told);
                }
            }
        }
    }

    /** Cans of one material in mixes that were charged in the middle, beside those that opened the run. */
    private void lots() {
        Map<ThingId, ThingId> cans = new LinkedHashMap<>();
        Set<String> said = new LinkedHashSet<>();
        mixes.forEach((mix, charged) -> {
            boolean inTheMiddle = charged.key().compareTo(edition.get(0).key()) > 0;
            for (Contents.Part part : charged(mix).byLot()) {
                ThingId material = runs.ledger().material(part.id());
                ThingId before = cans.putIfAbsent(material, part.id());
                if (inTheMiddle
                        && before != null
                        && !before.equals(part.id())
                        && said.add(material.text() + part.id().text())) {
                    found.add(
                            TradeRule.LOT_CHANGED,
                            views.name(material) + ": " + called(before) + " at the beginning, " + called(part.id())
                                    + " in " + views.name(mix),
                            charged);
                }
            }
        });
    }

    private String called(ThingId can) {
        return views.thing(can).map(thing -> thing.shown()).orElse(views.name(can));
    }
}
