package slabside.rolled;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.OptionalInt;
import slabside.body.BlendRoll;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** How wide the band of a blend is, how it widens over the edition, and when to scrape and set it up anew. */
public final class BlendHolds implements Calculator {
    private static final Question<Integer> FIRST = Question.count("strokes", "Strokes until the first pull", 1, 10_000)
            .preset("40", Question.Origin.ASSUMPTION);
    private static final Question<Double> SHIFT = Question.number(
                    "shift", "Each stroke shifts the roller by", "mm", 0.1, 100)
            .preset("3", Question.Origin.ASSUMPTION);
    private static final Question<Integer> EACH =
            Question.count("each", "Strokes for each pull", 1, 200).preset("6", Question.Origin.ASSUMPTION);
    private static final Question<Double> FRESH =
            Question.percent("fresh", "Ink renewed with each pull", 0, 100).preset("5", Question.Origin.ASSUMPTION);
    private static final Question<Double> WIDEST =
            Question.number("widest", "The band may be as wide as", "mm", 1, 2_000);
    private static final Question<Integer> PULLS =
            Question.count("pulls", "Pulls", 1, 500).preset("40", Question.Origin.ASSUMPTION);
    private static final int[] SHOWN = {1, 10, 30};

    @Override
    public Card card() {
        return new Card(
                "blend-holds", "Will the blend hold?", "How wide does the blend get, and when is it set up anew?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(FIRST, SHIFT, EACH, FRESH, WIDEST, PULLS);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        double shift = replies.to(SHIFT);
        double fresh = replies.to(FRESH) / 100;
        double begun = BlendRoll.spread(0, replies.to(FIRST), shift);
        int pulls = replies.to(PULLS);
        List<Answer.Point> points = new ArrayList<>();
        OptionalInt over = OptionalInt.empty();
        for (int pull = 1; pull <= pulls; pull++) {
            double width = width(begun, replies, shift, fresh, pull);
            points.add(new Answer.Point(pull, width));
            if (over.isEmpty() && width > replies.to(WIDEST)) {
                over = OptionalInt.of(pull);
            }
        }
        Answer answer = Answer.titled("Will the blend hold?")
                .text(
                        over.isEmpty()
                                ? "Over these pulls the band stays as narrow as it may be."
                                : over.getAsInt() == 1
                                        ? "It is too wide with the first pull: fewer strokes, or a smaller shift."
                                        : "From pull " + over.getAsInt()
                                                + " on the band is too wide: scrape the slab and set the blend up anew before it.")
                .chart("Width of the band, 10 to 90 %", "pull", "mm", points);
        for (int pull : SHOWN) {
            if (pull <= pulls) {
                answer = answer.quantity(
                        "Width at pull " + pull,
                        StrictMath.round(10 * width(begun, replies, shift, fresh, pull)) / 10.0,
                        "mm",
                        "from 10 to 90 % of one ink");
            }
        }
        if (fresh > 0) {
            answer = answer.quantity(
                    "Where it ends",
                    StrictMath.round(10 * BlendRoll.width(BlendRoll.steady(begun, replies.to(EACH), shift, fresh)))
                            / 10.0,
                    "mm",
                    String.format(Locale.ROOT, "with %.0f %% renewed for each pull", fresh * 100));
        }
        return answer.assumption("At each stroke half of the ink goes with the roller", "assumption")
                .assumption("What is renewed lies as the blend was set up", "assumption")
                .caution("Two inks of unlike body push apart while rolling up: bring both to the same body first.");
    }

    private static double width(double begun, Replies replies, double shift, double fresh, int pull) {
        return BlendRoll.width(BlendRoll.afterPulls(begun, replies.to(EACH), shift, fresh, pull - 1));
    }
}
