package PACKAGE;

import java.util.List;
import slabside.measure.Mass;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** Say here what it answers. This one divides; put your own question in its place. */
public final class CLASS implements Calculator {
    private static final Question<Mass> INK = Question.mass("ink", "Ink");
    private static final Question<Integer> SHEETS = Question.count("sheets", "Sheets", 1, 5_000);

    public Card card() {
        return new Card("NAME", "TITLE", "How much ink is there for each sheet?");
    }

    public List<Question<?>> questions() {
        return List.of(INK, SHEETS);
    }

    public Answer answer(Replies replies, StudioView studio) {
        double each = replies.to(INK).grams() / replies.to(SHEETS);
        return Answer.titled("TITLE").quantity("For each sheet", each, "g", "ink / sheets");
    }
}
