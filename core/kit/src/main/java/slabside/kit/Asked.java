package slabside.kit;

import java.util.LinkedHashMap;
import java.util.Map;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** A calculator asked in a test, and what its answer says. */
public final class Asked {
    private Asked() {}

    /**
     * What a calculator answers.
     *
     * @param replies ids of questions, each followed by its reply as it would be typed
     */
    public static Answer of(Calculator calculator, StudioView studio, String... replies) {
        Map<String, String> given = new LinkedHashMap<>();
        for (int i = 0; i < replies.length; i += 2) {
            given.put(replies[i], replies[i + 1]);
        }
        return calculator.answer(Replies.read(calculator.questions(), given), studio);
    }

    /**
     * The first quantity with a label.
     *
     * @throws BadInput when there is none
     */
    public static Answer.Quantity quantity(Answer answer, String label) {
        return answer.blocks().stream()
                .filter(Answer.Quantity.class::isInstance)
                .map(Answer.Quantity.class::cast)
                .filter(quantity -> quantity.label().equals(label))
                .findFirst()
                .orElseThrow(() -> new BadInput("quantity " + label, answer, "the answer has no such quantity"));
    }
}
