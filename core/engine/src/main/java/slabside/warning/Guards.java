package slabside.warning;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.stream.Stream;
import slabside.edition.AtPress;
import slabside.edition.Edition;
import slabside.edition.Register;
import slabside.edition.Runs;
import slabside.edition.SheetCodes;
import slabside.edition.Stone;
import slabside.event.EditionEvent;
import slabside.event.ImpressionKind;
import slabside.event.MatrixEnd;
import slabside.event.PressEvent;
import slabside.event.PullMode;
import slabside.event.Sheet;
import slabside.event.StoneEvent;
import slabside.event.ThingId;
import slabside.views.Views;

/** What is looked at once more where an image, a sheet or a print would be lost or go out wrong. */
public final class Guards {
    private final Views views;
    private final Runs runs;

    public Guards(Views views, Runs runs) {
        this.views = views;
        this.runs = runs;
    }

    /** Before the image of a stone or plate comes to its end. */
    public List<Warning> ending(StoneEvent.Disposed event) {
        return event.end() == MatrixEnd.KEPT
                ? List.of()
                : ending(event.stone(), Boolean.TRUE.equals(event.cancellation()));
    }

    private List<Warning> ending(ThingId id, boolean cancelled) {
        List<Warning> found = new ArrayList<>();
        Stone stone = runs.matrix(id);
        if (stone.ended().isPresent()) {
            return found;
        }
        for (Stone.Holding holding : stone.holds()) {
            if (holding.pending() > 0) {
                found.add(needed(Rule.STONE_IS_NEEDED, id, holding));
            } else if (!holding.closed()) {
                found.add(new Warning(
                        Rule.EDITION_IS_OPEN,
                        views.name(id) + " holds " + views.name(holding.run().id())
                                + ", and that edition is not closed.",
                        List.of(id, holding.run().id()),
                        Map.of("run", views.name(holding.run().id()))));
            }
            if (!cancelled && !holding.cancelled() && holding.run().printed() > 0) {
                found.add(new Warning(
                        Rule.NO_CANCELLATION,
                        "No cancellation impression of "
                                + views.name(holding.run().id()) + " is written down.",
                        List.of(id, holding.run().id()),
                        Map.of("run", views.name(holding.run().id()))));
            }
        }
        return found;
    }

    private Warning needed(Rule rule, ThingId stone, Stone.Holding holding) {
        return new Warning(
                rule,
                views.name(stone) + " holds " + views.name(holding.run().id()) + ", " + holding.pending()
                        + (holding.pending() == 1 ? " sheet" : " sheets") + " not yet through.",
                List.of(stone, holding.run().id()),
                Map.of("run", views.name(holding.run().id()), "not yet through", String.valueOf(holding.pending())));
    }

    /** Before something is done to a stone or plate that changes its image. */
    public List<Warning> treating(StoneEvent.Treated event) {
        return switch (event.treatment()) {
            case GRAINED -> ending(event.stone(), false);
            case COUNTER_ETCHED, DELETION, ADDITION, TRANSFERRED ->
                runs.matrix(event.stone()).holds().stream()
                        .filter(holding ->
                                holding.pending() > 0 && holding.run().printed() > 0)
                        .map(holding -> needed(Rule.REWORKED_IN_A_RUN, event.stone(), holding))
                        .toList();
            default -> List.of();
        };
    }

    /** When a sheet goes through a run for the edition; never more than a strip, for nobody stops while pulling. */
    public List<Warning> pulling(AtPress press, PressEvent.Pulled event) {
        ThingId sheet = event.sheet();
        if (event.mode() != PullMode.EDITION || sheet == null) {
            return List.of();
        }
        if (press.lost().contains(sheet)) {
            return List.of(ofSheet(Rule.SHEET_WAS_LOST, sheet, " was spoiled or destroyed before."));
        }
        return press.behind().contains(sheet)
                ? List.of(ofSheet(Rule.NOT_THROUGH_BEFORE, sheet, " has not been through an earlier run."))
                : List.of();
    }

    private Warning ofSheet(Rule rule, ThingId sheet, String said) {
        return new Warning(rule, views.name(sheet) + said, List.of(sheet), Map.of("sheet", views.name(sheet)));
    }

    /** Before sheets of one edition become impressions. */
    public List<Warning> numbering(List<EditionEvent.Numbered> events) {
        Set<ThingId> editions = new LinkedHashSet<>();
        events.forEach(event -> editions.add(event.edition()));
        List<Warning> found = new ArrayList<>();
        for (ThingId id : editions) {
            Edition edition = runs.edition(id);
            List<String> unfinished = events.stream()
                    .filter(event -> event.edition().equals(id) && event.kind() == ImpressionKind.NUMBERED)
                    .filter(event -> !edition.missing(event.sheet()).isEmpty())
                    .map(event -> edition.code(event.sheet()))
                    .toList();
            if (!unfinished.isEmpty()) {
                found.add(new Warning(
                        Rule.NOT_THROUGH_EVERY_RUN,
                        "Not through every run: " + SheetCodes.shown(unfinished) + ".",
                        List.of(id),
                        Map.of("sheets", SheetCodes.shown(unfinished))));
            }
        }
        return found;
    }

    /** Before prints leave. */
    public List<Warning> releasing(EditionEvent.Released event) {
        Register register = runs.register(event.edition());
        List<String> unsigned = event.sheets().stream()
                .map(sheet -> register.impressions().get(sheet))
                .filter(Objects::nonNull)
                .filter(impression -> !impression.signed())
                .map(Register.Impression::written)
                .toList();
        return unsigned.isEmpty()
                ? List.of()
                : List.of(new Warning(
                        Rule.RELEASED_UNSIGNED,
                        "Not signed, as far as is written down: " + String.join(", ", unsigned) + ".",
                        List.of(event.edition()),
                        Map.of("impressions", String.join(", ", unsigned))));
    }

    /** Before an edition is closed. */
    public List<Warning> closing(EditionEvent.Closed event) {
        Edition edition = runs.edition(event.edition());
        List<String> left = Stream.concat(edition.toCurate().stream(), edition.toNumber().stream())
                .map(Sheet::code)
                .toList();
        return left.isEmpty()
                ? List.of()
                : List.of(new Warning(
                        Rule.SHEETS_ARE_LEFT,
                        "Printed and good as far as is known, but no impressions: " + SheetCodes.shown(left) + ".",
                        List.of(event.edition()),
                        Map.of("sheets", SheetCodes.shown(left))));
    }
}
