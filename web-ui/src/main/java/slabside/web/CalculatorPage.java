package slabside.web;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;

/** Every calculator gets its form and its answer from what it declares. */
final class CalculatorPage {
    private final Desk desk;

    CalculatorPage(Desk desk) {
        this.desk = desk;
    }

    public record Listed(Frame frame, List<Card> cards) {}

    Listed list() {
        return new Listed(
                desk.frame("Calculators", "calculators"),
                desk.studio.host().calculators().stream().map(Calculator::card).toList());
    }

    /**
     * One question as a form asks it.
     *
     * @param choices to pick from: id and name; empty for a typed reply
     * @param preset shown in the field, with where it comes from
     */
    public record Field(
            String id,
            String label,
            String unit,
            boolean optional,
            String value,
            String origin,
            List<Desk.Piece> choices) {}

    /**
     * @param problem what is wrong with the replies, or an empty text
     */
    public record Shown(Frame frame, Card card, List<Field> fields, Optional<Answer> answer, String problem) {}

    Shown page(String id, Map<String, List<String>> query) {
        desk.studio.views().catchUp();
        Calculator calculator = desk.studio.host().calculator(id);
        Map<String, String> replies = new LinkedHashMap<>();
        query.forEach((name, values) -> replies.put(name, values.isEmpty() ? "" : values.get(0)));
        Optional<Answer> answer = Optional.empty();
        String problem = "";
        if (!replies.isEmpty()) {
            try {
                answer = Optional.of(desk.studio.host().ask(calculator, replies));
            } catch (BadInput bad) {
                problem = String.valueOf(bad.getMessage());
            }
        }
        List<Field> fields = new ArrayList<>();
        for (Question<?> question : calculator.questions()) {
            fields.add(new Field(
                    question.id(),
                    question.label(),
                    question.unit(),
                    question.isOptional(),
                    replies.getOrDefault(question.id(), question.preset().orElse("")),
                    question.origin().map(Question.Origin::words).orElse(""),
                    choices(question)));
        }
        return new Shown(
                desk.frame(calculator.card().title(), "calculators"), calculator.card(), fields, answer, problem);
    }

    private List<Desk.Piece> choices(Question<?> question) {
        List<Desk.Piece> choices = new ArrayList<>();
        boolean full = question.picks().contains("vessel");
        List<String> kinds = full ? List.of("packet", "mix") : question.picks();
        for (String kind : kinds) {
            desk.studio.views().things(kind, "", 200).stream()
                    .filter(thing ->
                            !full || !desk.studio.ledger().now(thing.id()).isEmpty())
                    .forEach(thing -> choices.add(new Desk.Piece(
                            desk.studio.name(thing.id()) + (thing.label().isEmpty() ? "" : " (" + thing.label() + ")"),
                            thing.id().text())));
        }
        return choices;
    }
}
