package slabside.documents;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import slabside.measure.BadInput;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.Report;
import slabside.plugin.StudioView;

/** What an edition took of hours, stage by stage, and of materials; with a rate, in money. */
public final class TimeAndMaterials implements Report {
    private static final Question<String> EDITION = Question.pick("edition", "Edition", "edition");
    private static final Question<Double> RATE = Question.number(
                    "rate", "Money for an hour of one pair of hands", "", 0, 100_000)
            .optional();
    private static final Question<String> CURRENCY =
            Question.text("currency", "Currency of the rate").optional().hint("three letters, such as EUR");

    @Override
    public Card card() {
        return new Card("time-and-materials", "Time and materials", "How many hours and what materials did it take?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(EDITION, RATE, CURRENCY);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        String id = replies.to(EDITION);
        StudioView.Job job =
                studio.job(id).orElseThrow(() -> new BadInput(EDITION.label(), id, "pick an edition of this studio"));
        Answer answer = Answer.titled("Time and materials: " + job.name());
        List<List<String>> rows = new ArrayList<>();
        double clock = 0;
        double hands = 0;
        boolean bound = false;
        for (StudioView.StageHours stage : job.stages()) {
            clock += stage.hours();
            hands += stage.handHours();
            bound |= !stage.stated();
            rows.add(List.of(
                    stage.stage(),
                    hours(stage.hours()),
                    hours(stage.handHours()),
                    stage.stated() ? "stated" : "at least, from the times of the entries"));
        }
        if (rows.isEmpty()) {
            answer = answer.text("No times of this edition are written down.");
        } else {
            rows.add(List.of("in all", hours(clock), hours(hands), ""));
            answer = answer.table(
                    "Hours, stage by stage", List.of("stage", "by the clock", "hours of hands", "how known"), rows);
        }
        if (bound) {
            answer = answer.text(
                    "Hours between the first and last entries of a piece of work are a lower bound: nobody is logged sweeping up.");
        }
        List<StudioView.RunInk> inks = studio.inkOf(id);
        Map<String, Uncertain> costs = InkTables.costs(inks);
        String currency = replies.maybe(CURRENCY).orElse("").strip().toUpperCase(Locale.ROOT);
        if (replies.maybe(RATE).isPresent()) {
            answer = answer.quantity(
                    "Hours at that rate", hands * replies.to(RATE), currency, "hours of hands × the rate given");
        }
        for (Map.Entry<String, Uncertain> cost : costs.entrySet()) {
            answer = answer.quantity(
                    "Ink", cost.getValue(), cost.getKey(), "grams × price of the can ÷ its received grams");
        }
        if (replies.maybe(RATE).isPresent() && costs.size() == 1 && costs.containsKey(currency)) {
            answer = answer.quantity(
                    "Hours and ink",
                    hands * replies.to(RATE) + costs.get(currency).value(),
                    currency,
                    "paper, stones and the press are not in it");
        }
        if (!InkTables.unpriced(inks).isEmpty()) {
            answer = answer.text("No price is known of " + String.join(", ", InkTables.unpriced(inks)) + ".");
        }
        return inks.isEmpty() ? answer : InkTables.materials(answer, inks);
    }

    private static String hours(double hours) {
        return String.format(Locale.ROOT, "%.1f", hours);
    }
}
