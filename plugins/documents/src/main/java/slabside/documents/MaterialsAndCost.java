package slabside.documents;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import slabside.measure.BadInput;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Card;
import slabside.plugin.Json;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.Report;
import slabside.plugin.StudioView;

/** What an edition or run took of ink and paper, where the ink went, and what it cost as far as prices are known. */
public final class MaterialsAndCost implements Report {
    private static final Question<String> OF = Question.pick("of", "Edition or run", "edition", "run");

    @Override
    public Card card() {
        return new Card(
                "materials-and-cost", "Materials and cost", "What did this edition or run take, and what did it cost?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(OF);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        String id = replies.to(OF);
        StudioView.Thing thing = Said.thing(id, studio, "edition", "run")
                .orElseThrow(() -> new BadInput(OF.label(), id, "pick an edition or run of this studio"));
        List<StudioView.RunInk> inks = studio.inkOf(id);
        Answer answer = Answer.titled("Materials and cost: " + thing.name());
        if (inks.stream().allMatch(ink -> ink.lots().isEmpty())) {
            answer = answer.text("No ink of it is written down.");
        } else {
            Map<String, Uncertain> costs = InkTables.costs(inks);
            for (Map.Entry<String, Uncertain> cost : costs.entrySet()) {
                answer = answer.quantity(
                        "Ink", cost.getValue(), cost.getKey(), "grams × price of the can ÷ its received grams");
            }
            Set<String> unpriced = InkTables.unpriced(inks);
            if (!unpriced.isEmpty()) {
                answer = answer.text(
                        "No price is known of " + String.join(", ", unpriced) + "; the sums are without them.");
            }
            answer = InkTables.materials(answer, inks);
            answer = InkTables.went(answer, "Where it went", inks);
            answer = InkTables.lots(answer, inks);
        }
        return thing.kind().equals("edition") ? paper(answer, id, studio) : answer;
    }

    /** Sheets torn for an edition, by paper. */
    private static Answer paper(Answer answer, String edition, StudioView studio) {
        Map<String, Integer> torn = new LinkedHashMap<>();
        String next = "";
        do {
            StudioView.Page page = studio.story(edition, next);
            for (StudioView.Moment moment : page.moments()) {
                // Printed sheets that were torn down later were counted when they were torn first.
                if (moment.type().equals("paper.torn")
                        && !moment.fields().at("afterPrinting").text().equals("true")) {
                    torn.merge(
                            moment.fields().at("lot").text(),
                            moment.fields().at("sheets").items().size(),
                            Integer::sum);
                }
            }
            next = page.next();
        } while (!next.isEmpty());
        if (torn.isEmpty()) {
            return answer.text("No paper was torn for it, as far as is written down.");
        }
        List<List<String>> rows = new ArrayList<>();
        torn.forEach((lot, sheets) -> {
            Json.Fields received = Said.last("paper.received", lot, studio)
                    .map(StudioView.Moment::fields)
                    .orElse(Json.fields());
            double bought = received.at("sheets").number().orElse(0);
            Json price = received.at("price");
            boolean priced = bought > 0 && price.at("amount").number().isPresent();
            rows.add(List.of(
                    received.at("name").text().isEmpty()
                            ? lot
                            : received.at("name").text(),
                    "" + sheets,
                    priced ? Said.money(price.at("amount").number().getAsDouble() / bought * sheets) : "not known",
                    priced ? price.at("currency").text() : ""));
        });
        return answer.with(new Answer.Table("Paper torn", List.of("paper", "sheets", "cost", ""), rows)
                        .withoutEmptyColumns())
                .assumption("One sheet that was bought gives one that was torn", "assumption");
    }
}
