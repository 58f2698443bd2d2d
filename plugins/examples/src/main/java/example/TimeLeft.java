// region calculator
package example;

import java.util.ArrayList;
import java.util.List;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** How long the rest of a run will take, from the minutes between its pulls so far. */
public final class TimeLeft implements Calculator {
    private static final Question<String> RUN = Question.pick("run", "Run at the press", "run");
    private static final Question<Integer> SHEETS = Question.count("sheets", "Sheets still to pull", 1, 2_000);

    public Card card() {
        return new Card("time-left", "Time left", "How long will the rest of this run take?");
    }

    public List<Question<?>> questions() {
        return List.of(RUN, SHEETS);
    }

    public Answer answer(Replies replies, StudioView studio) {
        var pulls = studio.runRecord(replies.to(RUN)).map(run -> run.pulls()).orElse(List.of());
        if (pulls.size() < 2) {
            throw new BadInput(RUN.label(), replies.to(RUN), "choose a run with at least two pulls");
        }
        List<Answer.Point> minutes = new ArrayList<>();
        for (int i = 1; i < pulls.size(); i++) {
            long ms = pulls.get(i).millis() - pulls.get(i - 1).millis();
            minutes.add(new Answer.Point(pulls.get(i).number(), ms / 60_000.0));
        }
        double middle = minutes.stream().mapToDouble(Answer.Point::y).sorted().toArray()[minutes.size() / 2];
        return Answer.titled("Time left")
                .quantity("Still to come", middle * replies.to(SHEETS), "min", "sheets × middle time between two pulls")
                .chart("Minutes between one pull and the next", "pull", "minutes", minutes);
    }
}
// endregion
