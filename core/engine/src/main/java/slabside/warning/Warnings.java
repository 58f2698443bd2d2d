package slabside.warning;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import slabside.edition.Run;
import slabside.edition.Runs;
import slabside.event.InkEvent;
import slabside.event.MaterialRole;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.ShelfEvent;
import slabside.event.ThingId;
import slabside.ink.Contents;
import slabside.ink.Recipe;
import slabside.ink.Shelf;
import slabside.measure.Amount;
import slabside.views.Role;
import slabside.views.StoryKey;
import slabside.views.Thing;
import slabside.views.Told;
import slabside.views.Views;

/** Applies every {@link Rule} to what is about to be written down. Writes nothing. */
public final class Warnings {
    /** Highest usual share of a modifier. Assumptions, common practice, no source; a good past of this studio raises them. */
    private static final Map<MaterialRole, Double> LIMITS = Map.of(
            MaterialRole.TACK_REDUCER, 0.03,
            MaterialRole.DRIER, 0.025,
            MaterialRole.POWDER, 0.05,
            MaterialRole.VARNISH, 0.05);
    /** Largest portion of powder at a time (common practice, no source). */
    private static final double POWDER_AT_ONCE = 0.01;
    /** From this many times the recipe on it looks like a slipped decimal point. */
    private static final double FAR_ABOVE = 5;
    /** How near a tenth of what is asked an amount must be to look like a slipped decimal point. */
    private static final double NEAR_A_TENTH = 0.15;

    private static final long SAME_AGAIN_MS = 20_000;
    /** A run counts as good for learning a limit when at least this part of its sheets was good. */
    private static final double GOOD_RUN = 0.9;

    private final Views views;
    private final Runs runs;
    private final Shelf shelf;

    public Warnings(Views views, Runs runs, Shelf shelf) {
        this.views = views;
        this.runs = runs;
        this.shelf = shelf;
    }

    /**
     * Before ink goes into a mix.
     *
     * @param from can, packet or other mix
     * @param now in ms, for amounts that came twice
     */
    public List<Warning> adding(ThingId mix, ThingId from, Amount amount, long now) {
        return new Adding(mix, from, amount, now).all();
    }

    /** Before a mix or packet goes onto the slab of a run. */
    public List<Warning> charging(Run run, ThingId mix) {
        return madeFor(mix)
                .filter(other -> !other.equals(run.id()))
                .map(other -> anotherJob(mix, other, views.name(run.id())))
                .stream()
                .toList();
    }

    /** Before a run is set up with a roller and its inks. */
    public List<Warning> settingUp(ThingId run, @Nullable ThingId roller, List<ThingId> mixes) {
        if (roller == null) {
            return List.of();
        }
        PressEvent.RunStarted before = null;
        for (Told told : views.of(roller, Set.of(Role.NOTED), StoryKey.LAST)) {
            if (told.event() instanceof PressEvent.RunStarted started) {
                before = started.run().equals(run) ? before : started;
            } else if (told.event() instanceof ShelfEvent.ToolCleaned) {
                before = null;
            }
        }
        if (before == null) {
            return List.of();
        }
        return List.of(new Warning(
                Rule.ROLLER_HAD_ANOTHER_COLOUR,
                views.name(roller) + " was last used for " + views.name(before.run())
                        + " and nobody wrote down that it was cleaned.",
                List.of(roller, before.run()),
                Map.of("roller", views.name(roller), "last used for", views.name(before.run()))));
    }

    /** When ink is wrapped. */
    public List<Warning> wrapping(ThingId vessel) {
        Set<String> held = new TreeSet<>();
        runs.ledger().now(vessel).byMaterial(runs.ledger()::material).forEach(part -> {
            Shelf.Material material = shelf.material(part.id());
            if (material.role() == MaterialRole.TACK_REDUCER || material.role() == MaterialRole.DRIER) {
                held.add(material.name());
            }
        });
        return held.isEmpty()
                ? List.of()
                : List.of(new Warning(
                        Rule.HOLDS_REDUCER_OR_DRIER,
                        "Holds " + String.join(" and ", held) + ": it will be on the label.",
                        List.of(vessel),
                        Map.of("holds", String.join(", ", held))));
    }

    /** The run that a mix, or the mix in a packet, was made for. */
    private Optional<ThingId> madeFor(ThingId vessel) {
        Optional<Thing> thing = views.thing(vessel);
        if (thing.filter(t -> t.kind().equals("packet")).isPresent()) {
            return views.of(vessel, Set.of(Role.IN), StoryKey.LAST).stream()
                    .filter(told -> told.event() instanceof InkEvent.Moved)
                    .map(told -> ((InkEvent.Moved) told.event()).from())
                    .findFirst()
                    .filter(from -> !from.equals(vessel))
                    .flatMap(this::madeFor);
        }
        return thing.filter(t -> t.kind().equals("mix") && !t.of().isEmpty()).map(t -> new ThingId(t.of()));
    }

    private Warning anotherJob(ThingId ink, ThingId job, String here) {
        return new Warning(
                Rule.OF_ANOTHER_JOB,
                views.name(ink) + " was made for " + views.name(job) + ", not for " + here + ".",
                List.of(ink, job),
                Map.of("made for", views.name(job), "here", here));
    }

    /** Grams of an amount as far as it is known by itself. */
    private static OptionalDouble grams(Amount amount) {
        if (amount instanceof Amount.Weighed w) {
            return OptionalDouble.of(w.netMg() / 1000.0);
        } else if (amount instanceof Amount.Net n) {
            return OptionalDouble.of(n.mg() / 1000.0);
        } else if (amount instanceof Amount.Estimated e) {
            return OptionalDouble.of((e.lowMg() + e.highMg()) / 2000.0);
        }
        return OptionalDouble.empty();
    }

    /** The rules for one addition, which share what is in the mix and what comes in. */
    private final class Adding {
        private final ThingId mix;
        private final ThingId from;
        private final OptionalDouble grams;
        private final long now;
        private final Contents contents;
        private final Map<ThingId, Double> in = new HashMap<>();
        /** Share of each material in what comes in. */
        private final Map<ThingId, Double> coming = new HashMap<>();

        private final List<Warning> found = new ArrayList<>();

        Adding(ThingId mix, ThingId from, Amount amount, long now) {
            this.mix = mix;
            this.from = views.canonical(from);
            this.now = now;
            this.contents = runs.ledger().now(mix);
            contents.byMaterial(runs.ledger()::material)
                    .forEach(part -> in.put(part.id(), part.grams().value()));
            if (views.thing(this.from).filter(t -> t.kind().equals("can")).isPresent()) {
                coming.put(runs.ledger().material(this.from), 1.0);
            } else {
                runs.ledger()
                        .now(this.from)
                        .byMaterial(runs.ledger()::material)
                        .forEach(part -> coming.put(part.id(), part.share().value()));
            }
            // What a can holds is a walk over all that was ever taken from it, so it is asked only when it counts.
            this.grams = amount instanceof Amount.Rest
                    ? runs.ledger()
                            .left(this.from)
                            .grams()
                            .map(left -> OptionalDouble.of(left.value()))
                            .orElse(OptionalDouble.empty())
                    : grams(amount);
        }

        List<Warning> all() {
            Optional<Recipe> recipe = Recipe.of(views, mix);
            recipe.ifPresent(this::tenTimes);
            limits();
            job();
            lot();
            skin();
            again();
            powder();
            recipe.ifPresent(this::strongFirst);
            return found;
        }

        private double total() {
            return contents.grams().value();
        }

        private void tenTimes(Recipe recipe) {
            double batch = recipe.batch(in);
            if (coming.size() != 1 || grams.isEmpty() || batch <= 0) {
                return;
            }
            ThingId material = coming.keySet().iterator().next();
            double planned = recipe.share(material) * batch;
            double already = in.getOrDefault(material, 0.0);
            double entered = grams.getAsDouble();
            double still = planned - already;
            boolean tooMuch = planned > 0 && (already + entered) / planned >= FAR_ABOVE && entered > planned;
            boolean aTenth = still > 0 && already < planned / 2 && Math.abs(entered * 10 / still - 1) < NEAR_A_TENTH;
            if (tooMuch || aTenth) {
                found.add(new Warning(
                        Rule.TEN_TIMES_THE_RECIPE,
                        shown(entered) + " of " + views.name(material) + ": the recipe asks for " + shown(planned)
                                + (tooMuch ? "." : " and this looks like a tenth of it."),
                        List.of(recipe.id()),
                        Map.of("planned", shown(planned), "entered", shown(entered))));
            }
        }

        private void limits() {
            if (grams.isEmpty()) {
                return;
            }
            double after = total() + grams.getAsDouble();
            coming.forEach((material, share) -> {
                MaterialRole role = shelf.material(material).role();
                Double usual = LIMITS.get(role);
                if (usual == null || after <= 0 || total() <= 0) {
                    return;
                }
                double reached = (ofRole(role) + grams.getAsDouble() * share) / after;
                if (reached > usual) {
                    Limit limit = learned(role, usual);
                    if (reached > limit.share) {
                        found.add(new Warning(
                                Rule.ABOVE_THE_LIMIT,
                                views.name(material) + " would be " + percent(reached) + " of the mix; the limit is "
                                        + percent(limit.share) + " (" + limit.origin + ").",
                                List.of(material),
                                Map.of("share", percent(reached), "limit", percent(limit.share))));
                    }
                }
            });
        }

        private double ofRole(MaterialRole role) {
            return in.entrySet().stream()
                    .filter(e -> shelf.material(e.getKey()).role() == role)
                    .mapToDouble(Map.Entry::getValue)
                    .sum();
        }

        private void job() {
            Optional<ThingId> here = madeFor(mix);
            Optional<ThingId> there = madeFor(from);
            if (here.isPresent() && there.isPresent() && !edition(here.get()).equals(edition(there.get()))) {
                found.add(anotherJob(from, there.get(), views.name(here.get())));
            }
        }

        private String edition(ThingId run) {
            return views.thing(run).map(Thing::of).filter(of -> !of.isEmpty()).orElse(run.text());
        }

        /** Cans of the same material in this mix, and in earlier mixes for the same run. */
        private void lot() {
            Optional<Thing> can = views.thing(from).filter(t -> t.kind().equals("can"));
            if (can.isEmpty()) {
                return;
            }
            ThingId material = runs.ledger().material(from);
            Set<ThingId> others = new HashSet<>();
            lots(mix, material, others);
            if (others.isEmpty()) {
                madeFor(mix)
                        .ifPresent(run -> views.thingsOf("mix", run, 20)
                                .forEach(sibling -> lots(sibling.id(), material, others)));
            }
            others.remove(from);
            if (!others.isEmpty()) {
                String before =
                        views.thing(others.iterator().next()).map(Thing::shown).orElse("another");
                found.add(new Warning(
                        Rule.LOT_DIFFERS,
                        "Another lot of " + views.name(material) + " than before: " + before + " there, "
                                + can.get().shown() + " here.",
                        List.of(from, others.iterator().next()),
                        Map.of("before", before, "here", can.get().shown())));
            }
        }

        private void lots(ThingId vessel, ThingId material, Set<ThingId> into) {
            for (Told told : views.of(vessel, Set.of(Role.IN), StoryKey.LAST)) {
                if (told.event() instanceof InkEvent.Moved moved
                        && runs.ledger().material(views.canonical(moved.from())).equals(material)) {
                    into.add(views.canonical(moved.from()));
                }
            }
        }

        private void skin() {
            views.thing(from)
                    .filter(t -> t.kind().equals("can"))
                    .filter(t -> shelf.seen(t.id()).isSkinned())
                    .ifPresent(can -> found.add(new Warning(
                            Rule.CAN_SKINNED,
                            "The can " + views.name(from) + " had a skin when last looked into.",
                            List.of(from),
                            Map.of("can", views.name(from)))));
        }

        private void again() {
            views.of(mix, Set.of(Role.IN), StoryKey.LAST).stream()
                    .reduce((a, b) -> b)
                    .filter(last -> last.event() instanceof InkEvent.Moved moved
                            && views.canonical(moved.from()).equals(from)
                            && grams.isPresent()
                            && grams(moved.amount()).equals(grams)
                            && Math.abs(now - last.key().millis()) <= SAME_AGAIN_MS)
                    .ifPresent(last -> found.add(new Warning(
                            Rule.SAME_AGAIN,
                            "The same can and the same " + shown(grams.getAsDouble())
                                    + " twice within 20 seconds. If that was one addition, undo it.",
                            List.of(from),
                            Map.of("grams", shown(grams.getAsDouble())))));
        }

        private void powder() {
            if (grams.isEmpty() || total() <= 0) {
                return;
            }
            double portion = 0;
            for (var each : coming.entrySet()) {
                portion += shelf.material(each.getKey()).role() == MaterialRole.POWDER
                        ? each.getValue() * grams.getAsDouble()
                        : 0;
            }
            double share = portion / (total() + grams.getAsDouble());
            if (coming.size() == 1 && share > POWDER_AT_ONCE) {
                found.add(new Warning(
                        Rule.POWDER_AT_ONCE,
                        "Powder, " + percent(share) + " of the mix at once: a little at a time folds in better.",
                        List.of(from),
                        Map.of("share", percent(share))));
            }
        }

        private void strongFirst(Recipe recipe) {
            double base = recipe.shares().entrySet().stream()
                    .filter(e -> shelf.material(e.getKey()).role() == MaterialRole.BASE)
                    .mapToDouble(Map.Entry::getValue)
                    .sum();
            boolean strong = coming.keySet().stream()
                    .allMatch(material -> shelf.material(material).role() == MaterialRole.INK);
            if (base > 0.5 && strong && !coming.isEmpty() && ofRole(MaterialRole.BASE) <= 0) {
                found.add(new Warning(
                        Rule.STRONG_INK_FIRST,
                        "Strong ink before the base: it takes less to fold strong ink into the base than base into it.",
                        List.of(from),
                        Map.of("base in the recipe", percent(base))));
            }
        }
    }

    private record Limit(double share, String origin) {}

    /** The usual limit, or the highest share that printed well here, where that is higher. */
    private Limit learned(MaterialRole role, double usual) {
        Limit limit = new Limit(usual, "common practice");
        for (Runs.Past past : runs.pastRuns()) {
            Optional<Run> run = runs.run(past.run());
            if (run.isEmpty() || run.get().printed() == 0) {
                continue;
            }
            double good = run.get().graded(PressGrade.GOOD) / (double) run.get().printed();
            if (good < GOOD_RUN) {
                continue;
            }
            Run.Pull last = run.get().pull(run.get().printed());
            for (Contents load : runs.loadsAt(last)) {
                double share = load.byMaterial(runs.ledger()::material).stream()
                        .filter(part -> shelf.material(part.id()).role() == role)
                        .mapToDouble(part -> part.share().value())
                        .sum();
                if (share > limit.share) {
                    limit = new Limit(share, "the most that printed well here, in " + views.name(past.run()));
                }
            }
        }
        return limit;
    }

    private static String shown(double grams) {
        BigDecimal rounded = BigDecimal.valueOf(grams).setScale(grams < 1 ? 2 : 1, RoundingMode.HALF_UP);
        BigDecimal plain = rounded.stripTrailingZeros();
        return (plain.scale() < 1 ? plain.setScale(1, RoundingMode.UNNECESSARY) : plain).toPlainString() + " g";
    }

    private static String percent(double share) {
        BigDecimal rounded = BigDecimal.valueOf(share * 100).setScale(1, RoundingMode.HALF_UP);
        BigDecimal plain = rounded.stripTrailingZeros();
        return (plain.scale() < 0 ? plain.setScale(0, RoundingMode.UNNECESSARY) : plain).toPlainString() + " %";
    }
}
