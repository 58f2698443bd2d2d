// region proposes
package example;

import java.util.List;
import java.util.Locale;
import slabside.measure.Temperature;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Json;
import slabside.plugin.OwnEvent;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** Writes down how damp and warm the paper store is, and shows how it was. */
public final class PaperStore implements Calculator {
    private static final Question<Double> DAMP = Question.percent("humidity", "Relative humidity", 0, 100);
    private static final Question<Temperature> WARM = Question.temperature("temperature", "Temperature");
    private static final OwnEvent READ = new PaperStoreRead();

    public Card card() {
        return new Card("paper-store", "Paper store", "How damp is the paper store, and how was it before?");
    }

    public List<Question<?>> questions() {
        return List.of(DAMP, WARM);
    }

    public Answer answer(Replies replies, StudioView studio) {
        double damp = replies.to(DAMP);
        double warm = replies.to(WARM).celsius();
        Answer.Proposal entry = READ.says(
                String.format(Locale.ROOT, "read the paper store: %.0f %%RH at %.1f °C", damp, warm),
                Json.fields().with("humidity", OwnEvent.decimal(damp)).with("celsius", OwnEvent.decimal(warm)));
        List<StudioView.Moment> before = studio.events(READ);
        List<Answer.Point> past = new java.util.ArrayList<>();
        for (StudioView.Moment moment : before) {
            past.add(new Answer.Point(
                    past.size() + 1, moment.fields().at("humidity").number().orElse(0)));
        }
        return Answer.titled("Paper store")
                .quantity("readings before this one", before.size(), "", "")
                .chart("Relative humidity of the paper store", "reading", "%RH", past)
                .with(new Answer.Proposed("This reading", List.of(entry)));
    }
}
// endregion
