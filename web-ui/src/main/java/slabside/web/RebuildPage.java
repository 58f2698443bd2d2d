package slabside.web;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import slabside.event.EventId;
import slabside.event.InkEvent;
import slabside.event.Portion;
import slabside.event.Rebuilt;
import slabside.event.ThingId;
import slabside.ink.Rebuild;
import slabside.measure.BadInput;
import slabside.measure.Mass;
import slabside.measure.Typed;
import slabside.plugin.Answer;
import slabside.views.Role;
import slabside.views.Thing;
import slabside.views.Told;

/** The bench sheet of a past ink, and the new mix that is started from it. */
final class RebuildPage {
    private final Desk desk;

    RebuildPage(Desk desk) {
        this.desk = desk;
    }

    /**
     * @param answer the bench sheet
     * @param grams size of the batch, as typed
     * @param at moment asked for, as typed; or an empty text
     * @param after id of the event after which the ink is meant; or an empty text
     * @param run that the new mix is for; or an empty text
     */
    public record Bench(Frame frame, Thing thing, Answer answer, String grams, String at, String after, String run) {}

    private record Planned(Thing thing, Rebuild.Moment moment, Rebuild rebuild) {}

    Bench page(String id, Map<String, List<String>> query) {
        Planned planned = plan(id, query);
        return new Bench(
                desk.frame("Rebuild " + desk.studio.name(planned.thing.id()), "timeline"),
                planned.thing,
                desk.answers.rebuild(planned.rebuild, planned.moment.words()),
                Desk.first(query, "grams"),
                Desk.first(query, "at"),
                Desk.first(query, "after"),
                Desk.first(query, "run"));
    }

    private Planned plan(String id, Map<String, List<String>> asked) {
        desk.studio.views().catchUp();
        Thing thing = desk.thing(id);
        String grams = Desk.first(asked, "grams");
        Mass batch = Mass.ofGrams("grams", Typed.decimal("grams", grams));
        if (batch.milligrams() == 0) {
            throw new BadInput("grams", grams, "give the size of the batch, above zero");
        }
        Rebuild.Moment moment = Moments.asked(desk, Desk.first(asked, "at"), Desk.first(asked, "after"))
                .orElseGet(() -> Rebuild.usual(desk.studio.views(), thing.id()));
        return new Planned(
                thing,
                moment,
                Rebuild.of(
                        desk.studio.views(),
                        desk.studio.ledger(),
                        desk.studio.shelf(),
                        desk.studio.ledger().at(thing.id(), moment.key()),
                        batch,
                        desk.studio.host().step()));
    }

    /** Starts a new mix that is linked to the old one and has its recipe. */
    Taps.Meant startNew(String id, Tap tap) {
        Planned planned = plan(id, tap.form().values());
        String name = desk.studio.name(planned.thing.id()) + ", again";
        ThingId recipe = tap.thing("recipe");
        ThingId mix = tap.thing("mix");
        Mass batch = planned.rebuild.batch();
        return Taps.Meant.of(
                "A new mix",
                "/bench/" + mix,
                new InkEvent.MixStarted(
                        mix,
                        name,
                        desk.studio.ids().label(),
                        tap.form().thing("run").orElse(null),
                        recipe,
                        new Rebuilt(planned.thing.id(), lastMove(planned).orElse(null))),
                new InkEvent.RecipePlanned(
                        recipe, name, portions(planned.rebuild), batch.milligrams(), planned.thing.id()));
    }

    private static List<Portion> portions(Rebuild rebuild) {
        List<Portion> portions = new ArrayList<>();
        for (Rebuild.Line line : rebuild.lines()) {
            BigDecimal percent = BigDecimal.valueOf(
                            line.grams() / rebuild.batch().grams() * 100)
                    .setScale(4, RoundingMode.HALF_EVEN);
            if (percent.signum() > 0) {
                portions.add(new Portion(line.material().id(), percent));
            }
        }
        return portions;
    }

    /** The last move of the old ink that counts. */
    private Optional<EventId> lastMove(Planned planned) {
        return desk.studio.views().of(planned.thing.id(), Set.of(Role.IN, Role.OUT), planned.moment.key()).stream()
                .map(Told::id)
                .reduce((a, b) -> b);
    }
}
