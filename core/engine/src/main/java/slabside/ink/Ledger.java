package slabside.ink;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Collections;
import java.util.Deque;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.Supplier;
import slabside.event.EventId;
import slabside.event.InkEvent;
import slabside.event.PressEvent;
import slabside.event.Price;
import slabside.event.ShelfEvent;
import slabside.event.ThingId;
import slabside.measure.Amount;
import slabside.measure.BadInput;
import slabside.measure.Uncertain;
import slabside.statistics.Propagated;
import slabside.statistics.Readings;
import slabside.statistics.Reconciliation;
import slabside.views.Role;
import slabside.views.Stories;
import slabside.views.StoryKey;
import slabside.views.Thing;
import slabside.views.Told;

/**
 * What is in every vessel at any moment, where it came from, where it went, and whether the weighings agree. Reads the log
 * through {@link Stories} and stores nothing but answers already given. Safe for use by many threads.
 */
public final class Ledger {
    private record Asked(ThingId vessel, StoryKey until) {}

    /**
     * An answer with all that it was made from; it stands as long as none of that changes.
     *
     * @param from the version of each vessel and run whose story was read
     * @param assumed grams a pull that were taken for granted
     */
    private record Kept<V>(V answer, long version, Map<ThingId, Long> from, Map<ThingId, Uncertain> assumed) {}

    private final Stories stories;
    private final PullRates rates;
    private final Map<Asked, Kept<Contents>> answered = lately(1_000);
    private final Map<ThingId, Kept<Left>> leftOver = lately(5_000);
    private final Map<ThingId, Kept<List<Step>>> steps = lately(1_000);
    private final Map<List<ThingId>, Kept<PerPull>> perPulls = lately(500);

    /**
     * @param rates what a pull is taken to use until the balance of its load closes
     */
    public Ledger(Stories stories, PullRates rates) {
        this.stories = stories;
        this.rates = rates;
    }

    private static <K, V> Map<K, V> lately(int kept) {
        return Collections.synchronizedMap(new LinkedHashMap<>(64, 0.75f, true) {
            private static final long serialVersionUID = 1L;

            @Override
            protected boolean removeEldestEntry(Map.Entry<K, V> eldest) {
                return size() > kept;
            }
        });
    }

    /** What was in a vessel just after {@code until}. */
    public Contents at(ThingId vessel, StoryKey until) {
        ThingId asked = stories.canonical(vessel);
        return known(answered, new Asked(asked, until), () -> {
            Gathering gathering = Gathering.of(stories, List.of(asked));
            return new Made<>(
                    gathering.vessels().contains(asked)
                            ? fold(gathering, settle(gathering)).to(until).contents(asked)
                            : unmixed(asked, gathering),
                    List.of(asked),
                    gathering);
        });
    }

    /**
     * An answer just made.
     *
     * @param asked whose answer it is
     * @param gathering all that was read for it
     */
    private record Made<V>(V answer, List<ThingId> asked, Gathering gathering) {}

    /** The answer given before if it still stands, else one made anew. */
    private <K, V> V known(Map<K, Kept<V>> answers, K question, Supplier<Made<V>> making) {
        Kept<V> kept = answers.get(question);
        long version = stories.version();
        if (kept != null && stands(kept, version)) {
            return kept.answer;
        }
        Made<V> made = making.get();
        Map<ThingId, Long> from = new HashMap<>();
        Map<ThingId, Uncertain> assumed = new HashMap<>();
        made.asked.forEach(vessel -> from.put(vessel, stories.version(vessel)));
        // What else is taken from a can changes nothing here, and ink that comes into one changes everything's version.
        made.gathering.met().stream()
                .filter(vessel -> made.gathering.vessels().contains(vessel) || !isCan(vessel))
                .forEach(vessel -> from.put(vessel, stories.version(vessel)));
        made.gathering.runs().forEach((run, loads) -> {
            from.put(run, stories.version(run));
            loads.forEach(vessel -> {
                from.put(vessel, stories.version(vessel));
                assumed.put(vessel, rates.assumed(vessel));
            });
        });
        // Something was written while this was made: it may have been seen or not, so the answer does not last.
        boolean lasting = from.values().stream().allMatch(each -> each <= version);
        answers.put(question, new Kept<>(made.answer, version, lasting ? from : Map.of(), assumed));
        return made.answer;
    }

    private boolean isCan(ThingId vessel) {
        return stories.thing(vessel).filter(thing -> thing.kind().equals("can")).isPresent();
    }

    private boolean stands(Kept<?> kept, long version) {
        return kept.version == version
                || !kept.from.isEmpty()
                        && kept.from.entrySet().stream()
                                .allMatch(each -> stories.version(each.getKey()) == each.getValue())
                        && kept.assumed.entrySet().stream()
                                .allMatch(each -> rates.assumed(each.getKey()).equals(each.getValue()));
    }

    /** A can holds itself alone, as much as is left of it; a vessel into which nothing ever came holds nothing. */
    private Contents unmixed(ThingId vessel, Gathering itsReceipts) {
        if (itsReceipts.entries().isEmpty()) {
            return new Contents(vessel, Map.of(), List.of(), List.of(), new Readings());
        }
        Settlement settlement = settle(Gathering.whole(stories, List.of(vessel)));
        Optional<Propagated> left = settlement.left(vessel).filter(grams -> grams.value() > 0);
        return new Contents(
                vessel,
                Map.of(vessel, left.orElse(Propagated.exact(1))),
                List.of(),
                left.isPresent() ? List.of() : List.of("how much is left is not known; one gram is shown"),
                settlement.readings());
    }

    /** What is in a vessel at the end of its story. */
    public Contents now(ThingId vessel) {
        return at(vessel, StoryKey.LAST);
    }

    /** What was in a vessel just before each of some moments, which must be in story order. */
    public List<Contents> justBefore(ThingId vessel, List<StoryKey> moments) {
        ThingId asked = stories.canonical(vessel);
        Gathering gathering = Gathering.of(stories, List.of(asked));
        Fold fold = fold(gathering, settle(gathering));
        return moments.stream().map(moment -> fold.upTo(moment).contents(asked)).toList();
    }

    private Settlement settle(Gathering gathering) {
        return new Settlement(gathering, rates);
    }

    private Fold fold(Gathering gathering, Settlement settlement) {
        return new Fold(gathering, settlement, this::name);
    }

    private String name(ThingId id) {
        if (id.isOutside()) {
            return id.text().startsWith("paper:") ? "the paper" : "the " + id.text();
        }
        return stories.thing(id)
                .map(thing -> thing.kind().equals("can") && !thing.of().isEmpty()
                        ? (name(new ThingId(thing.of())) + " " + thing.name()).strip()
                        : thing.shown())
                .orElse(id.text());
    }

    /** The material of a lot; the lot itself when none is known. */
    public ThingId material(ThingId lot) {
        return stories.thing(lot)
                .filter(thing -> thing.kind().equals("can"))
                .map(Thing::of)
                .filter(of -> !of.isEmpty())
                .map(of -> stories.canonical(new ThingId(of)))
                .orElse(lot);
    }

    /**
     * What is left in a vessel, counted from its last weighing.
     *
     * @param grams empty when an amount that left or came was never written down
     * @param overdrawn more was taken out than had been put in
     */
    public record Left(Optional<Uncertain> grams, boolean overdrawn) {}

    /** What is left in a can, packet or mix now. */
    public Left left(ThingId vessel) {
        ThingId asked = stories.canonical(vessel);
        return known(leftOver, asked, () -> {
            Gathering gathering = Gathering.whole(stories, List.of(asked));
            Settlement settlement = settle(gathering);
            Optional<Uncertain> grams = settlement.left(asked).map(p -> p.uncertain(settlement.readings()));
            boolean overdrawn =
                    grams.isPresent() && grams.get().value() < -2 * grams.get().u() - 1e-9;
            return new Made<>(new Left(grams, overdrawn), List.of(asked), gathering);
        });
    }

    /**
     * A move as it was written down, with its grams.
     *
     * @param grams empty when not to be found
     */
    public record Step(Told told, ThingId from, ThingId to, Optional<Uncertain> grams) {}

    /** Every move into and out of a vessel, in story order. */
    public List<Step> steps(ThingId vessel) {
        ThingId asked = stories.canonical(vessel);
        // What went out of a can is too much to keep, and is seldom asked for.
        return isCan(asked) ? made(asked).answer : known(steps, asked, () -> made(asked));
    }

    private Made<List<Step>> made(ThingId asked) {
        List<Told> moves = stories.of(asked, Set.of(Role.IN, Role.OUT), StoryKey.LAST);
        Set<ThingId> gathered = new LinkedHashSet<>(List.of(asked));
        // What a part weighs is known where it went, if anywhere.
        moves.forEach(told -> {
            if (told.event() instanceof InkEvent.Moved moved && moved.amount() instanceof Amount.Parts) {
                gathered.add(stories.canonical(moved.to()));
            }
        });
        gathered.removeIf(ThingId::isOutside);
        Gathering gathering = Gathering.whole(stories, gathered);
        Settlement settlement = settle(gathering);
        List<Step> made =
                moves.stream().map(told -> step(told, asked, settlement)).toList();
        return new Made<>(made, List.copyOf(gathered), gathering);
    }

    private Step step(Told told, ThingId asked, Settlement settlement) {
        if (!(told.event() instanceof InkEvent.Moved moved)) {
            return new Step(told, ThingId.SUPPLY, asked, grams(told, settlement));
        }
        ThingId to = stories.canonical(moved.to());
        boolean parts = moved.amount() instanceof Amount.Parts && settlement.onlyParts(to);
        return new Step(told, stories.canonical(moved.from()), to, parts ? Optional.empty() : grams(told, settlement));
    }

    private static Optional<Uncertain> grams(Told told, Settlement settlement) {
        return settlement.grams(told.id()).map(grams -> grams.uncertain(settlement.readings()));
    }

    /**
     * Grams a pull took from a load.
     *
     * @param learned from the balance of the load, not taken from past runs
     */
    public record PerPull(Uncertain grams, int pulls, boolean learned) {}

    /** Grams a pull took from all loads of a run together; empty before the first pull. */
    public Optional<PerPull> perPull(ThingId run) {
        return perPull(loads(run)).filter(rate -> rate.pulls() > 0);
    }

    /** Grams a pull takes from some loads together; what the studio's past says where nothing was pulled yet. */
    public Optional<PerPull> perPull(List<ThingId> loads) {
        return loads.isEmpty()
                ? Optional.empty()
                : Optional.of(known(perPulls, List.copyOf(loads), () -> madePerPull(loads)));
    }

    private Made<PerPull> madePerPull(List<ThingId> loads) {
        Gathering gathering = Gathering.of(stories, loads);
        Settlement settlement = settle(gathering);
        Propagated sum = Propagated.ZERO;
        boolean learned = true;
        for (ThingId load : loads) {
            Optional<Settlement.Rate> rate = settlement.rate(load);
            if (rate.isPresent()) {
                sum = sum.plus(rate.get().grams().times(rate.get().pulls()));
                learned &= rate.get().learned();
            }
        }
        int pulls = settlement.pulls(loads);
        PerPull perPull = pulls == 0
                ? new PerPull(assumed(loads), 0, false)
                : new PerPull(sum.times(1.0 / pulls).uncertain(settlement.readings()), pulls, learned);
        return new Made<>(perPull, loads, gathering);
    }

    private Uncertain assumed(List<ThingId> loads) {
        double value = 0;
        double u = 0;
        for (ThingId load : loads) {
            Uncertain past = rates.assumed(load);
            value += past.value();
            u = StrictMath.hypot(u, past.u());
        }
        return new Uncertain(value, u);
    }

    /** Vessels that ever stood for slab, roller and stone of a run, in order across the roller. */
    public List<ThingId> loads(ThingId run) {
        return stories.of(run, Set.of(Role.PRESS), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof PressEvent.RunStarted)
                .flatMap(told -> ((PressEvent.RunStarted) told.event()).loads().stream())
                .map(load -> stories.canonical(load.load()))
                .distinct()
                .toList();
    }

    /** Where the ink of some vessels went: grams by destination; what is still held stands under the vessel itself. */
    public Map<ThingId, Uncertain> balance(List<ThingId> vessels) {
        List<ThingId> asked = vessels.stream().map(stories::canonical).toList();
        Gathering gathering = Gathering.of(stories, asked);
        Settlement settlement = settle(gathering);
        Map<ThingId, Propagated> out = new LinkedHashMap<>();
        Fold fold = fold(gathering, settlement).watching(flow -> {
            if (asked.contains(flow.from()) && !asked.contains(flow.to())) {
                flow.lots().values().forEach(grams -> out.merge(flow.to(), grams, Propagated::plus));
            }
        });
        fold.to(StoryKey.LAST);
        for (ThingId vessel : asked) {
            Contents held = fold.contents(vessel);
            if (!held.isEmpty()) {
                out.put(vessel, held.total());
            }
        }
        Map<ThingId, Uncertain> balance = new LinkedHashMap<>();
        out.forEach((to, grams) -> balance.put(to, grams.uncertain(settlement.readings())));
        return balance;
    }

    /**
     * An arrow of the graph of where ink came from or went.
     *
     * @param grams that went this way in all
     */
    public record Arrow(ThingId from, ThingId to, double grams) {}

    /** Where the ink of a vessel came from, through any depth. */
    public List<Arrow> origins(ThingId vessel) {
        Gathering gathering = Gathering.of(stories, List.of(stories.canonical(vessel)));
        Map<String, Arrow> arrows = new LinkedHashMap<>();
        fold(gathering, settle(gathering))
                .watching(flow -> {
                    if (gathering.vessels().contains(flow.to()) && !flow.from().equals(ThingId.SUPPLY)) {
                        arrows.merge(
                                flow.from() + " " + flow.to(),
                                new Arrow(flow.from(), flow.to(), flow.grams()),
                                (a, b) -> new Arrow(a.from, a.to, a.grams + b.grams));
                    }
                })
                .to(StoryKey.LAST);
        return List.copyOf(arrows.values());
    }

    /**
     * Where a can or mix went.
     *
     * @param vessels that some of it came into, in the order of its coming
     * @param pulls that printed some of it
     */
    public record Trace(List<Reached> vessels, List<Printed> pulls) {}

    /**
     * @param grams of the traced ink that came in, in all
     * @param share of the traced ink in the vessel, at its highest
     */
    public record Reached(ThingId vessel, double grams, double share) {}

    /**
     * @param share of the traced ink on the load at that pull
     */
    public record Printed(EventId pull, ThingId run, double grams, double share) {}

    /** Follows the ink of a can, mix or packet forward, through any depth. */
    public Trace trace(ThingId start) {
        ThingId traced = stories.canonical(start);
        Set<ThingId> reached = descendants(traced);
        Gathering gathering = Gathering.whole(stories, reached);
        Map<ThingId, Reached> vessels = new LinkedHashMap<>();
        Map<String, Printed> pulls = new LinkedHashMap<>();
        Fold fold = fold(gathering, settle(gathering)).treatingAsLot(traced);
        fold.watching(flow -> {
            Propagated mine = flow.lots().get(traced);
            if (mine == null || !(mine.value() > 0)) {
                return;
            }
            if (flow.to().text().startsWith("paper:")) {
                ThingId run = new ThingId(flow.to().text().substring("paper:".length()));
                pulls.merge(
                        flow.id().text(),
                        new Printed(flow.id(), run, mine.value(), mine.value() / flow.grams()),
                        (a, b) -> new Printed(a.pull, a.run, a.grams + b.grams, (a.share + b.share) / 2));
            } else if (!flow.to().isOutside()) {
                double share = fold.contents(flow.to()).share(traced).value();
                vessels.merge(
                        flow.to(),
                        new Reached(flow.to(), mine.value(), share),
                        (a, b) -> new Reached(a.vessel, a.grams + b.grams, Math.max(a.share, b.share)));
            }
        });
        fold.to(StoryKey.LAST);
        return new Trace(List.copyOf(vessels.values()), List.copyOf(pulls.values()));
    }

    private Set<ThingId> descendants(ThingId start) {
        Set<ThingId> met = new LinkedHashSet<>(List.of(start));
        Deque<ThingId> waiting = new ArrayDeque<>(met);
        while (!waiting.isEmpty()) {
            for (Told told : stories.of(waiting.pop(), Set.of(Role.OUT), StoryKey.LAST)) {
                if (told.event() instanceof InkEvent.Moved moved) {
                    ThingId to = stories.canonical(moved.to());
                    if (!to.isOutside() && met.add(to)) {
                        waiting.add(to);
                    }
                }
            }
        }
        return met;
    }

    /**
     * Whether the weighings that touch some vessels agree.
     *
     * @param suspects the weighing that does not fit, or those that cannot be told apart; empty when nothing stands out
     */
    public record Agreement(Reconciliation reconciliation, List<Suspect> suspects) {}

    /**
     * @param event in which the reading was written down; empty for a tare or an assumption
     * @param slip what the reading would be if one slip of the pen were undone, where that makes it fit
     */
    public record Suspect(Optional<EventId> event, Reconciliation.Adjusted reading, Optional<Slip> slip) {}

    /**
     * @param what such as "the decimal point"
     * @param reading in grams
     */
    public record Slip(String what, double reading) {}

    /** Checks the weighings of some vessels against their moves; empty when nothing checks anything. */
    public Optional<Agreement> agreement(List<ThingId> vessels) {
        Gathering gathering = Gathering.whole(stories, vessels);
        Settlement settlement = settle(gathering);
        List<Propagated> residuals =
                settlement.checks().stream().map(Settlement.Check::residual).toList();
        return Reconciliation.of(settlement.readings(), residuals)
                .map(result -> new Agreement(
                        result,
                        result.culprits().stream()
                                .map(each -> new Suspect(
                                        event(each.name()), each, Slips.find(settlement.readings(), residuals, each)))
                                .toList()));
    }

    private static Optional<EventId> event(String reading) {
        int slash = reading.indexOf('/');
        try {
            return slash < 0 ? Optional.empty() : Optional.of(new EventId(reading.substring(0, slash)));
        } catch (BadInput tare) {
            return Optional.empty();
        }
    }

    /** Vessels drawn below zero anywhere in the history of one: which, by whom, and by how many grams. */
    public List<Lacking> lacking(ThingId vessel) {
        Gathering gathering = Gathering.whole(stories, List.of(stories.canonical(vessel)));
        Fold fold = fold(gathering, settle(gathering));
        fold.to(StoryKey.LAST);
        return fold.shortfalls().stream()
                .map(s -> new Lacking(s.flow().from(), s.flow().id(), s.grams()))
                .toList();
    }

    public record Lacking(ThingId vessel, EventId event, double grams) {}

    /**
     * What the ink in a vessel cost.
     *
     * @param byCurrency sums of what is known
     * @param unpriced lots without a price or a received mass
     */
    public record Cost(Map<String, Uncertain> byCurrency, List<ThingId> unpriced) {}

    public Cost cost(Contents contents) {
        Map<String, Uncertain> sums = new TreeMap<>();
        List<ThingId> unpriced = new ArrayList<>();
        Set<ThingId> seen = new HashSet<>();
        for (Contents.Part part : contents.byLot()) {
            Optional<Priced> priced = priced(part.id());
            if (priced.isEmpty()) {
                unpriced.add(part.id());
            } else if (seen.add(part.id())) {
                sums.merge(
                        priced.get().currency,
                        part.grams().times(priced.get().perGram),
                        (a, b) -> new Uncertain(a.value() + b.value(), StrictMath.hypot(a.u(), b.u())));
            }
        }
        return new Cost(sums, unpriced);
    }

    /** What a gram of a lot cost: the price of its can over what it held when it came in. */
    public record Priced(double perGram, String currency) {}

    /** Empty without a price or a received mass. */
    public Optional<Priced> priced(ThingId lot) {
        Optional<ShelfEvent.CanReceived> received = received(lot);
        Price price = received.map(ShelfEvent.CanReceived::price).orElse(null);
        return price == null
                ? Optional.empty()
                : netOf(lot).map(net -> new Priced(price.amount().doubleValue() / net.value(), price.currency()));
    }

    private Optional<Uncertain> netOf(ThingId can) {
        Gathering gathering = Gathering.of(stories, List.of(can));
        Settlement settlement = settle(gathering);
        return gathering.entries().stream()
                .filter(entry -> entry instanceof Entry.Move move
                        && move.from().equals(ThingId.SUPPLY)
                        && move.to().equals(can))
                .findFirst()
                .flatMap(entry -> settlement.grams(entry.id()))
                .map(grams -> grams.uncertain(settlement.readings()))
                .filter(grams -> grams.value() > 0);
    }

    private Optional<ShelfEvent.CanReceived> received(ThingId can) {
        return stories.of(can, Set.of(Role.IN), StoryKey.LAST).stream()
                .map(Told::event)
                .filter(event -> event instanceof ShelfEvent.CanReceived)
                .map(event -> (ShelfEvent.CanReceived) event)
                .findFirst();
    }
}
