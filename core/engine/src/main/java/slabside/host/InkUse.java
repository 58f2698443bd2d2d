package slabside.host;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import slabside.edition.Run;
import slabside.edition.Runs;
import slabside.event.EventCodec;
import slabside.event.InkEvent;
import slabside.event.PressEvent;
import slabside.event.PullMode;
import slabside.event.ThingId;
import slabside.ink.Contents;
import slabside.ink.Ledger;
import slabside.measure.Amount;
import slabside.measure.Uncertain;
import slabside.plugin.StudioView;
import slabside.views.Thing;
import slabside.views.Timeline;
import slabside.views.Told;
import slabside.views.Views;

/** Where the ink of a run came from and went, and what moved and was printed in a time. */
final class InkUse {
    private static final int MOST_MIXES = 5_000;
    private static final int AT_ONCE = 1_000;
    private static final double MG_PER_G = 1_000;

    private final Views views;
    private final Runs runs;
    private final Function<ThingId, StudioView.Material> materials;
    /** Each vessel is walked once for one answer. */
    private final Map<ThingId, List<Ledger.Step>> steps = new HashMap<>();

    InkUse(Views views, Runs runs, Function<ThingId, StudioView.Material> materials) {
        this.views = views;
        this.runs = runs;
        this.materials = materials;
    }

    /** The inks of some runs, in their order. What one took over from another is counted there and named here. */
    List<StudioView.RunInk> of(List<Run> together) {
        Map<ThingId, Run> owners = new LinkedHashMap<>();
        together.forEach(run -> inside(run).forEach(vessel -> owners.putIfAbsent(vessel, run)));
        return together.stream().map(run -> of(run, owners)).toList();
    }

    /** Mixes of a run, what lay on its slab, roller and stone, and packets into which nothing but these ever came. */
    private Set<ThingId> inside(Run run) {
        Set<ThingId> inside = new LinkedHashSet<>();
        views.thingsOf("mix", run.id(), MOST_MIXES).forEach(mix -> inside.add(mix.id()));
        inside.addAll(runs.ledger().loads(run.id()));
        Deque<ThingId> waiting = new ArrayDeque<>(inside);
        while (!waiting.isEmpty()) {
            for (Ledger.Step out : steps(waiting.remove())) {
                ThingId into = out.to();
                if (!inside.contains(into)
                        && kind(into).equals("packet")
                        && steps(into).stream()
                                .filter(step -> step.to().equals(into))
                                .allMatch(step -> inside.contains(step.from()))) {
                    inside.add(into);
                    waiting.add(into);
                }
            }
        }
        return inside;
    }

    private List<Ledger.Step> steps(ThingId vessel) {
        return steps.computeIfAbsent(vessel, each -> runs.ledger().steps(each));
    }

    private StudioView.RunInk of(Run run, Map<ThingId, Run> owners) {
        Set<ThingId> inside = inside(run);
        Map<ThingId, Uncertain> lots = new LinkedHashMap<>();
        List<String> gaps = new ArrayList<>();
        for (ThingId vessel : inside) {
            for (Ledger.Step step : steps(vessel)) {
                if (!step.to().equals(vessel) || inside.contains(step.from())) {
                    continue;
                }
                Run owner = owners.get(step.from());
                if (step.grams().isEmpty()) {
                    gaps.add("how much of " + views.name(step.from()) + " went into " + views.name(vessel)
                            + " was not written down; what is shown is of what was");
                } else if (owner != null && !owner.id().equals(run.id())) {
                    gaps.add(String.format(
                            Locale.ROOT,
                            "%.2f g came from %s, whose materials count for %s",
                            step.grams().get().value(),
                            views.name(step.from()),
                            views.name(owner.id())));
                } else {
                    came(lots, step, step.grams().get());
                }
            }
        }
        if (runs.ledger().perPull(run.id()).filter(rate -> !rate.learned()).isPresent()) {
            gaps.add("what a pull took is taken from past runs or assumed, for its balance has not closed;"
                    + " so is what is on paper and left");
        }
        return new StudioView.RunInk(
                run.id().text(),
                views.name(run.id()),
                lots.entrySet().stream()
                        .map(each -> lot(each.getKey(), each.getValue()))
                        .toList(),
                went(inside),
                gaps);
    }

    /** A can is a lot; of a packet or another mix those count that are in it. */
    private void came(Map<ThingId, Uncertain> lots, Ledger.Step step, Uncertain grams) {
        // What was in it before: a rest leaves nothing behind to ask.
        List<Contents.Part> parts = isCan(step.from()) || step.from().isOutside()
                ? List.of()
                : runs.ledger()
                        .justBefore(step.from(), List.of(step.told().key()))
                        .get(0)
                        .byLot();
        if (parts.isEmpty()) {
            lots.merge(step.from(), grams, InkUse::sum);
        }
        for (Contents.Part part : parts) {
            lots.merge(
                    part.id(),
                    new Uncertain(
                            part.share().value() * grams.value(),
                            StrictMath.hypot(
                                    part.share().value() * grams.u(),
                                    grams.value() * part.share().u())),
                    InkUse::sum);
        }
    }

    private static Uncertain sum(Uncertain one, Uncertain other) {
        return new Uncertain(one.value() + other.value(), StrictMath.hypot(one.u(), other.u()));
    }

    private boolean isCan(ThingId vessel) {
        return views.thing(vessel).filter(thing -> thing.kind().equals("can")).isPresent();
    }

    private StudioView.LotUsed lot(ThingId id, Uncertain grams) {
        Optional<Ledger.Priced> priced = runs.ledger().priced(id);
        return new StudioView.LotUsed(
                materials.apply(runs.ledger().material(id)),
                id.text(),
                views.name(id),
                grams,
                priced.map(price -> grams.times(price.perGram())),
                priced.map(Ledger.Priced::currency).orElse(""));
    }

    private List<StudioView.InkWent> went(Set<ThingId> inside) {
        Map<String, Uncertain> went = new LinkedHashMap<>();
        runs.ledger().balance(List.copyOf(inside)).forEach((to, grams) -> {
            if (Math.abs(grams.value()) > 1e-9) {
                went.merge(inside.contains(to) && !kind(to).equals("packet") ? "left" : where(to), grams, InkUse::sum);
            }
        });
        return went.entrySet().stream()
                .map(each -> new StudioView.InkWent(each.getKey(), each.getValue()))
                .toList();
    }

    private String where(ThingId to) {
        return switch (kind(to)) {
            case "paper" -> "on paper";
            case "wash-up" -> "washed up";
            case "test" -> "tests";
            case "waste" -> "thrown away";
            case "elsewhere" -> "used elsewhere";
            case "packet" -> "in packets";
            default -> "in other inks";
        };
    }

    /** The kind of a vessel, or what it is outside the studio. */
    private String kind(ThingId vessel) {
        if (vessel.isOutside()) {
            return vessel.text().startsWith("paper:") ? "paper" : vessel.text();
        }
        return views.thing(vessel)
                .map(Thing::kind)
                .filter(kind -> !kind.isEmpty())
                .orElse("vessel");
    }

    private record Way(String why, String from, String into) {}

    List<StudioView.Flow> flows(long from, long until) {
        Map<Way, StudioView.Flow> flows = new LinkedHashMap<>();
        each("ink.moved", from, until, told -> {
            InkEvent.Moved moved = (InkEvent.Moved) told.event();
            Way way = new Way(
                    EventCodec.word(moved.why()).replace('-', ' '),
                    kind(views.canonical(moved.from())),
                    kind(views.canonical(moved.to())));
            add(flows, way, grams(told, moved));
        });
        each("shelf.can-received", from, until, told -> {
            Amount net = ((slabside.event.ShelfEvent.CanReceived) told.event()).net();
            add(flows, new Way("received", "supply", "can"), plain(net));
        });
        return List.copyOf(flows.values());
    }

    private static void add(Map<Way, StudioView.Flow> flows, Way way, Optional<Double> grams) {
        flows.merge(
                way,
                new StudioView.Flow(way.why, way.from, way.into, grams.orElse(0.0), 1, grams.isEmpty() ? 1 : 0),
                (a, b) -> new StudioView.Flow(
                        way.why,
                        way.from,
                        way.into,
                        a.grams() + b.grams(),
                        a.moves() + b.moves(),
                        a.unknown() + b.unknown()));
    }

    private Optional<Double> grams(Told told, InkEvent.Moved moved) {
        Optional<Double> plain = plain(moved.amount());
        // Parts and rests are known by all else that was written of the vessel.
        return plain.isPresent() || moved.amount() instanceof Amount.Unknown
                ? plain
                : steps(views.canonical(moved.from().isOutside() ? moved.to() : moved.from())).stream()
                        .filter(step -> step.told().id().equals(told.id()))
                        .findFirst()
                        .flatMap(Ledger.Step::grams)
                        .map(Uncertain::value);
    }

    private static Optional<Double> plain(Amount amount) {
        if (amount instanceof Amount.Weighed w) {
            return Optional.of(w.netMg() / MG_PER_G);
        }
        if (amount instanceof Amount.Net n) {
            return Optional.of(n.mg() / MG_PER_G);
        }
        return amount instanceof Amount.Estimated e
                ? Optional.of((e.lowMg() + e.highMg()) / 2 / MG_PER_G)
                : Optional.empty();
    }

    private void each(String type, long from, long until, java.util.function.Consumer<Told> taken) {
        Timeline.Filter filter = Timeline.Filter.newest(AT_ONCE).ofType(type).between(from, until);
        Timeline.Page page;
        do {
            page = views.timeline(filter);
            page.events().stream().filter(told -> !told.voided()).forEach(taken);
            filter = filter.goingOn(page.next().orElse(""));
        } while (page.next().isPresent());
    }

    List<StudioView.PrintedThen> printed(long from, long until) {
        Set<ThingId> printed = new LinkedHashSet<>();
        each(
                "press.pulled",
                from,
                until,
                told -> printed.add(views.canonical(((PressEvent.Pulled) told.event()).run())));
        return printed.stream()
                .flatMap(id -> runs.run(id).stream())
                .map(run -> printed(run, from, until))
                .toList();
    }

    private StudioView.PrintedThen printed(Run run, long from, long until) {
        List<Run.Pull> then = run.pulls().stream()
                .filter(pull -> !pull.countedBefore()
                        && pull.event().mode() != PullMode.CANCELLATION
                        && pull.key().millis() >= from
                        && pull.key().millis() < until)
                .toList();
        int pulls = (int) then.stream()
                .filter(pull -> pull.event().mode() == PullMode.EDITION
                        && !Boolean.TRUE.equals(pull.event().secondHit()))
                .count();
        int proofs = (int) then.stream()
                .filter(pull -> pull.event().mode() != PullMode.EDITION)
                .count();
        Optional<Ledger.PerPull> rate = runs.ledger().perPull(run.id());
        double perPull = rate.map(each -> each.grams().value()).orElse(0.0);
        return new StudioView.PrintedThen(
                run.id().text(),
                views.name(run.id()),
                run.edition().map(ThingId::text).orElse(""),
                run.edition().map(views::name).orElse(""),
                pulls,
                proofs,
                perPull * then.size(),
                rate.map(Ledger.PerPull::learned).orElse(false));
    }
}
