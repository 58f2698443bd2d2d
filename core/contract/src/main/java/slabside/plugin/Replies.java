package slabside.plugin;

import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import slabside.measure.BadInput;

/** The replies to a calculator's questions, read and checked; immutable. */
public final class Replies {
    private final Map<String, Object> values;
    private final Map<String, String> typed;
    private final Map<String, String> assumed;

    private Replies(Map<String, Object> values, Map<String, String> typed, Map<String, String> assumed) {
        this.values = values;
        this.typed = typed;
        this.assumed = assumed;
    }

    /**
     * Reads every reply; a blank one takes the question's default.
     *
     * @param given text by question id
     * @throws BadInput naming the first question whose reply is missing, unreadable or out of range, or the first reply
     *     that belongs to no question
     */
    public static Replies read(List<Question<?>> questions, Map<String, String> given) {
        Map<String, Object> values = new LinkedHashMap<>();
        Map<String, String> typed = new LinkedHashMap<>();
        Map<String, String> assumed = new LinkedHashMap<>();
        for (String id : given.keySet()) {
            if (questions.stream().noneMatch(q -> q.id().equals(id))) {
                throw new BadInput(
                        "reply \"" + id + "\"",
                        given.get(id),
                        "there is no such question; use one of "
                                + String.join(
                                        ", ",
                                        questions.stream().map(Question::id).toList()));
            }
        }
        for (Question<?> question : questions) {
            String text = given.getOrDefault(question.id(), "").strip();
            if (!text.isEmpty()) {
                typed.put(question.id(), text);
            }
            if (text.isEmpty() && question.preset().isPresent()) {
                text = question.preset().orElseThrow();
                String taken = question.label() + ": " + text + unit(question, text);
                question.origin().ifPresent(from -> assumed.put(taken, from.words()));
            }
            if (!text.isEmpty()) {
                values.put(question.id(), question.read(text));
            } else if (!question.isOptional()) {
                throw new BadInput(question.label(), "", "this is needed; give it as " + question.id());
            }
        }
        return new Replies(values, typed, assumed);
    }

    private static String unit(Question<?> question, String text) {
        return text.matches("[0-9.]+") && !question.unit().isEmpty() ? " " + question.unit() : "";
    }

    /** The reply to a question that is not optional, or has a default. */
    public <T> T to(Question<T> question) {
        return maybe(question)
                .orElseThrow(() -> new BadInput(question.label(), "", "this is needed; give it as " + question.id()));
    }

    /** The reply to a question; empty when it stayed unanswered. */
    @SuppressWarnings("unchecked")
    public <T> Optional<T> maybe(Question<T> question) {
        return Optional.ofNullable((T) values.get(question.id()));
    }

    /** What was typed, by the ids of the questions; without what was left to a default. */
    public Map<String, String> typed() {
        return Collections.unmodifiableMap(typed);
    }

    /** Questions that took their default, such as "Film: 3 g/m²", with where it comes from. */
    public Map<String, String> assumed() {
        return Collections.unmodifiableMap(assumed);
    }
}
