package slabside.web;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import java.util.stream.Collectors;
import slabside.edition.Run;
import slabside.event.EventId;
import slabside.event.InkEvent;
import slabside.event.LogEvent;
import slabside.event.PressGrade;
import slabside.event.ShelfEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.host.Drawn;
import slabside.ink.Ledger;
import slabside.measure.Amount;
import slabside.views.Role;
import slabside.views.StoryKey;
import slabside.views.Thing;
import slabside.views.Told;

/** What stands open now: runs, mixes, what dries; and, to tidy up, what was left unsaid. */
final class TodayPage {
    private static final int RUNS_LOOKED_AT = 30;
    private static final int MIXES_LOOKED_AT = 40;
    private static final double AN_HOUR_MS = 3_600_000;
    /** A print that nobody called rub-dry is not asked about for longer than two months. */
    private static final double LONGEST_DRYING_H = 60 * 24;

    private static final int MOVES_LOOKED_AT = 80;
    private static final int CANS_LOOKED_AT = 12;
    private static final int PACKETS_LOOKED_AT = 60;
    private static final int MEMOS_LOOKED_AT = 60;
    private static final int FORGOTTEN_SHOWN = 4;
    /** Assumptions: what is low, and what is long. */
    private static final double A_TWENTIETH = 0.05;

    private static final double A_SEASON_DAYS = 90;

    private final Desk desk;
    private final DryWords dry;
    private final Function<Frame, List<String>> toKnow;

    /**
     * @param toKnow what is the matter with the keeping of the log, in sentences
     */
    TodayPage(Desk desk, Function<Frame, List<String>> toKnow) {
        this.desk = desk;
        this.toKnow = toKnow;
        this.dry = new DryWords(desk);
    }

    /** One line that leads somewhere. */
    public record Line(String href, String what, String more) {}

    /**
     * A run whose print dries.
     *
     * @param next when the next run is sensible; an empty text when there is none
     */
    public record Drying(String run, String name, String since, String next) {}

    /**
     * @param toKnow what is the matter with the keeping of the log
     * @param low cans about to run out
     * @param forgotten packets that were kept long and not opened
     */
    public record Shown(
            Frame frame,
            List<String> toKnow,
            List<Line> runs,
            List<Line> mixes,
            List<Drying> drying,
            List<Line> low,
            List<Line> forgotten,
            List<Line> untidy) {}

    Shown page() {
        desk.studio.views().catchUp();
        List<Line> open = new ArrayList<>();
        List<Drying> drying = new ArrayList<>();
        List<Line> untidy = new ArrayList<>();
        for (Thing thing : desk.studio.views().things("run", "", RUNS_LOOKED_AT)) {
            desk.studio
                    .runs()
                    .run(thing.id())
                    .filter(run -> !run.loading().isEmpty())
                    .ifPresent(run -> {
                        if (!run.cleanedUp()) {
                            open.add(new Line(
                                    "/press/" + run.id(),
                                    desk.studio.name(run.id()),
                                    run.printed() + " printed, not cleaned up"));
                            notCleaned(run).ifPresent(untidy::add);
                        } else {
                            drying(run).ifPresent(drying::add);
                        }
                        unnamed(run).ifPresent(untidy::add);
                    });
        }
        List<Line> mixes = new ArrayList<>();
        for (Thing mix : desk.studio.views().things("mix", "", MIXES_LOOKED_AT)) {
            look(mix, mixes, untidy);
        }
        untidy.addAll(untyped());
        Frame frame = desk.frame("Today", "today");
        return new Shown(frame, toKnow.apply(frame), open, mixes, drying, low(), forgotten(), untidy);
    }

    /** Of the cans used last: those that hold less than the last use took, or a twentieth of what came in. */
    private List<Line> low() {
        Map<ThingId, Double> lastUse = new LinkedHashMap<>();
        for (Told told : desk.studio.views().ofType("ink.moved", MOVES_LOOKED_AT)) {
            InkEvent.Moved moved = (InkEvent.Moved) told.event();
            if (!told.voided() && moved.why() == Why.ADDED && lastUse.size() < CANS_LOOKED_AT) {
                double grams = moved.amount() instanceof Amount.Weighed w
                        ? w.netMg() / 1000.0
                        : moved.amount() instanceof Amount.Net n ? n.mg() / 1000.0 : 0;
                lastUse.putIfAbsent(desk.studio.views().canonical(moved.from()), grams);
            }
        }
        List<Line> low = new ArrayList<>();
        lastUse.forEach((id, used) -> desk.studio
                .views()
                .thing(id)
                .filter(thing -> thing.kind().equals("can"))
                .filter(thing -> desk.studio.shelf().seen(id).finished().isEmpty())
                .ifPresent(thing -> desk.studio.ledger().left(id).grams().ifPresent(left -> {
                    if (left.value() < Math.max(used, received(id) * A_TWENTIETH)) {
                        low.add(new Line(
                                "/thing/" + id,
                                desk.studio.name(id),
                                Drawn.number(left.value(), left.u()) + " g left"));
                    }
                })));
        return low;
    }

    private double received(ThingId can) {
        return desk.studio.views().of(can, Set.of(Role.DEFINES), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof ShelfEvent.CanReceived)
                .map(told -> ((ShelfEvent.CanReceived) told.event()).net())
                .mapToDouble(net -> net instanceof Amount.Net n ? n.mg() / 1000.0 : 0)
                .sum();
    }

    /** Packets kept for longer than a season and never opened; the few oldest of the newer ones. */
    private List<Line> forgotten() {
        List<Line> forgotten = new ArrayList<>();
        for (Thing packet : desk.studio.views().things("packet", "", PACKETS_LOOKED_AT)) {
            List<Told> story = desk.studio.views().of(packet.id(), Set.of(Role.DEFINES, Role.NOTED), StoryKey.LAST);
            Optional<Told> wrapped = story.stream()
                    .filter(told -> told.event() instanceof InkEvent.Wrapped)
                    .reduce((a, b) -> b);
            boolean looked = story.stream()
                    .anyMatch(told -> told.event() instanceof InkEvent.Unwrapped
                            || told.event() instanceof ShelfEvent.VesselInspected);
            double days = wrapped.map(told ->
                            (desk.studio.log().clock().millis() - told.key().millis()) / AN_HOUR_MS / 24)
                    .orElse(0.0);
            if (!looked && days > A_SEASON_DAYS && forgotten.size() < FORGOTTEN_SHOWN) {
                Ledger.Left left = desk.studio.ledger().left(packet.id());
                left.grams().filter(g -> g.value() >= 1).ifPresent(g -> {
                    String place = ((InkEvent.Wrapped) wrapped.orElseThrow().event()).place();
                    forgotten.add(new Line(
                            "/thing/" + packet.id(),
                            desk.packet(packet) + (packet.label().isEmpty() ? "" : ", " + packet.label()),
                            Drawn.number(g.value(), g.u()) + " g, kept " + String.format(Locale.ROOT, "%.0f days", days)
                                    + (place == null ? "" : " in " + place)));
                });
            }
        }
        return forgotten;
    }

    /** Printed on an earlier day and never cleaned up. */
    private Optional<Line> notCleaned(Run run) {
        return run.pulls().stream()
                .map(Run.Pull::key)
                .reduce((a, b) -> b)
                .filter(last -> desk.studio.log().clock().millis() - last.millis() > 10 * AN_HOUR_MS)
                .map(last -> new Line(
                        "/press/" + run.id(),
                        desk.studio.name(run.id()),
                        "slab, roller and stone are not cleaned up yet"));
    }

    /** Voice memos that nobody wrote out. */
    private List<Line> untyped() {
        Set<EventId> written = desk.studio.views().ofType("log.annotated", MEMOS_LOOKED_AT).stream()
                .filter(told -> !told.voided())
                .map(told -> ((LogEvent.Annotated) told.event()).event())
                .filter(Objects::nonNull)
                .collect(Collectors.toSet());
        return desk.studio.views().ofType("log.attached", MEMOS_LOOKED_AT).stream()
                .filter(told -> !told.voided() && !written.contains(told.id()))
                .filter(told -> ((LogEvent.Attached) told.event()).mediaType().startsWith("audio/"))
                .map(told -> {
                    ThingId about = ((LogEvent.Attached) told.event()).thing();
                    return new Line(
                            "/event/" + told.pos(),
                            "A voice memo" + (about == null ? "" : " on " + desk.studio.name(about)),
                            "of " + desk.answers.when(told) + " is not written out");
                })
                .toList();
    }

    /** The last batch of a run, as long as it is not rub-dry and was not printed over. */
    private Optional<Drying> drying(Run run) {
        long printed = run.pulls().stream()
                .mapToLong(pull -> pull.key().millis())
                .max()
                .orElse(0);
        if ((desk.studio.log().clock().millis() - printed) / AN_HOUR_MS > LONGEST_DRYING_H) {
            return Optional.empty();
        }
        List<slabside.edition.Drying> batches = desk.studio.runs().drying(run);
        if (batches.isEmpty()) {
            return Optional.empty();
        }
        slabside.edition.Drying last = batches.get(batches.size() - 1);
        double hours = (desk.studio.log().clock().millis() - last.printed()) / AN_HOUR_MS;
        if (last.isDry() || last.overprinted().isPresent()) {
            return Optional.empty();
        }
        return Optional.of(new Drying(
                run.id().text(),
                desk.studio.name(run.id()),
                DryWords.hours(hours) + "; " + dry.judged(last),
                isFollowed(run) ? dry.next(last.expected(desk.studio.runs().pastDrying())) : ""));
    }

    private boolean isFollowed(Run run) {
        return run.edition().stream()
                .flatMap(edition -> desk.studio.runs().of(edition).stream())
                .anyMatch(other -> other.order() > run.order());
    }

    private Optional<Line> unnamed(Run run) {
        long unnamed = run.pulls().stream()
                .filter(pull -> pull.event().grade() == PressGrade.SPOILED
                        && pull.event().faults().isEmpty())
                .count();
        return unnamed == 0
                ? Optional.empty()
                : Optional.of(new Line(
                        "/press/" + run.id(),
                        desk.studio.name(run.id()),
                        unnamed
                                + (unnamed == 1
                                        ? " spoiled pull has no fault named"
                                        : " spoiled pulls have no fault named")));
    }

    private void look(Thing mix, List<Line> mixes, List<Line> untidy) {
        List<Told> moves = desk.studio.views().of(mix.id(), Set.of(Role.IN, Role.OUT), StoryKey.LAST);
        Ledger.Left left = desk.studio.ledger().left(mix.id());
        boolean holds = left.grams().map(g -> g.value() > 0.05 + 2 * g.u()).orElse(!moves.isEmpty());
        String name = desk.studio.name(mix.id());
        if (holds || moves.isEmpty()) {
            mixes.add(new Line(
                    "/bench/" + mix.id(),
                    name,
                    moves.isEmpty()
                            ? "nothing in it yet"
                            : left.grams()
                                    .map(g -> Drawn.number(g.value(), g.u()) + " g left")
                                    .orElse("not all of it weighed")));
        }
        long unweighed = moves.stream()
                .filter(told ->
                        told.event() instanceof InkEvent.Moved moved && moved.amount() instanceof Amount.Unknown)
                .count();
        if (unweighed > 0) {
            untidy.add(new Line(
                    "/bench/" + mix.id(),
                    name,
                    unweighed + (unweighed == 1 ? " amount is not weighed yet" : " amounts are not weighed yet")));
        }
        boolean went = moves.stream()
                .anyMatch(told -> told.event() instanceof InkEvent.Moved moved
                        && Set.of(Why.CHARGED, Why.WRAPPED, Why.FOLDED_IN, Why.USED_ELSEWHERE, Why.THROWN_AWAY)
                                .contains(moved.why()));
        if (holds && mix.of().isEmpty() && !went && !moves.isEmpty()) {
            untidy.add(new Line("/bench/" + mix.id(), name, "was mixed and went nowhere yet"));
        }
    }
}
