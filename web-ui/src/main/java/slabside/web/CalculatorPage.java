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
     * @param groups to pick from, by kind; none for a typed reply
     * @param preset shown in the field, with where it comes from
     */
    public record Field(
            String id, String label, String unit, boolean optional, String value, String origin, List<Group> groups) {}

    /** Things of one kind; {@code called} is empty when there is but one kind. */
    public record Group(String called, List<Desk.Piece> choices) {}

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
        // A link may fill in a part of the form; it is asked when everything that must be there was sent.
        boolean sent = calculator.questions().stream()
                .allMatch(question -> question.isOptional() || replies.containsKey(question.id()));
        if (!replies.isEmpty() && sent) {
            try {
                for (Question<?> question : calculator.questions()) {
                    String typed = replies.getOrDefault(question.id(), "").strip();
                    if (!question.picks().isEmpty() && !typed.isEmpty()) {
                        // So that the form shows what was asked, by whatever name.
                        replies.put(question.id(), desk.studio.host().picked(question, typed));
                    }
                }
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
                    groups(question)));
        }
        return new Shown(
                desk.frame(calculator.card().title(), "calculators"), calculator.card(), fields, answer, problem);
    }

    private List<Group> groups(Question<?> question) {
        List<Group> groups = new ArrayList<>();
        boolean full = question.picks().contains("vessel");
        List<String> kinds = full ? List.of("packet", "mix") : question.picks();
        for (String kind : kinds) {
            List<Desk.Piece> choices = new ArrayList<>();
            desk.studio.views().things(kind, "", 200).stream()
                    .filter(thing ->
                            !full || !desk.studio.ledger().now(thing.id()).isEmpty())
                    .forEach(thing -> choices.add(new Desk.Piece(
                            desk.studio.name(thing.id()) + (thing.label().isEmpty() ? "" : " (" + thing.label() + ")"),
                            thing.id().text())));
            groups.add(new Group(kinds.size() == 1 ? "" : kind, choices));
        }
        return groups;
    }
}
