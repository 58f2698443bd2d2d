package slabside.web;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import slabside.edition.Run;
import slabside.event.Dryness;
import slabside.event.InkEvent;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.TestEvent;
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

    private final Desk desk;

    TodayPage(Desk desk) {
        this.desk = desk;
    }

    /** One line that leads somewhere. */
    public record Line(String href, String what, String more) {}

    /** A run whose print dries. */
    public record Drying(String run, String name, String since) {}

    public record Shown(Frame frame, List<Line> runs, List<Line> mixes, List<Drying> drying, List<Line> untidy) {}

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
        return new Shown(desk.frame("Today", "today"), open, mixes, drying, untidy);
    }

    /** Since when a print dries, until somebody found it rub-dry. */
    private Optional<Drying> drying(Run run) {
        Told cleaned = null;
        boolean dry = false;
        for (Told told : desk.studio.views().of(run.id(), Set.of(Role.PRESS, Role.NOTED), StoryKey.LAST)) {
            if (told.event() instanceof PressEvent.CleanedUp) {
                cleaned = told;
            } else if (told.event() instanceof TestEvent.DrynessJudged judged && judged.dryness() == Dryness.RUB_DRY) {
                dry = true;
            }
        }
        if (cleaned == null || dry) {
            return Optional.empty();
        }
        double hours = (desk.studio.log().clock().millis() - cleaned.key().millis()) / AN_HOUR_MS;
        if (hours > LONGEST_DRYING_H) {
            return Optional.empty();
        }
        return Optional.of(new Drying(
                run.id().text(),
                desk.studio.name(run.id()),
                (hours < 48
                                ? String.format(Locale.ROOT, "%.0f hours", hours)
                                : String.format(Locale.ROOT, "%.0f days", hours / 24))
                        + ", since " + desk.answers.when(cleaned)));
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
