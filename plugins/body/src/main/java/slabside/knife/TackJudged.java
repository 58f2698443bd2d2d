package slabside.knife;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;
import slabside.statistics.Chance;
import slabside.statistics.OrdinalLine;

/** How tacky inks were judged with the finger or knife, and how a tack reducer moved that: an order of words, no number. */
public final class TackJudged implements Calculator {
    private static final Question<String> INK =
            Question.pick("ink", "Ink", "vessel").optional().hint("open for all that were judged");
    private static final List<String> WORDS = List.of("very-low", "low", "middle", "high", "very-high");
    private static final String REDUCER = "tack reducer";
    private static final double[] SHOWN = {0, 0.5, 1, 1.5, 2, 3};
    /** Chance of mere luck below which a tack reducer is said to do something. */
    private static final double SURE = 0.05;

    private static final int LEAST = 6;
    private static final int MOST = 100;
    private static final int ROWS = 20;

    /**
     * @param percent of tack reducer in it then
     */
    private record Judged(String vessel, int mark, double percent) {}

    @Override
    public Card card() {
        return new Card("tack-judged", "Tack, as judged", "How does a tack reducer move the tack of these inks?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(INK);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        Optional<String> ink = replies.maybe(INK);
        List<Judged> judged = judged(studio, ink);
        Answer answer = Answer.titled("Tack, as judged");
        if (judged.isEmpty()) {
            return answer.text(
                            "Tack was never judged"
                                    + ink.map(id -> " of "
                                                    + studio.composition(id).name())
                                            .orElse("")
                                    + ". Tap it with a finger in a glove, or lift the knife: very low, low, middle, high or very high?")
                    .with(
                            ink.isPresent()
                                    ? new Answer.Link("Write it down on its page", ink.get())
                                    : new Answer.Text("Write it down on the page of the ink."));
        }
        List<List<String>> rows = new ArrayList<>();
        for (Judged each : judged.subList(0, Math.min(ROWS, judged.size()))) {
            rows.add(List.of(
                    studio.composition(each.vessel()).name(),
                    WORDS.get(each.mark()).replace('-', ' '),
                    String.format(Locale.ROOT, "%.2f", each.percent())));
        }
        answer = answer.table("Judged last", List.of("ink", "tack", "tack reducer in it, %"), rows);
        if (ink.isEmpty()) {
            answer = answer.caution(
                    "Marks of all inks and hands stand together here: tackier inks that got more of it hide what it does.");
        }
        return moved(answer, judged)
                .caution(
                        "Tack is an order of words: one hand's high is another's middle. Numbers of instruments are not"
                                + " compared across instruments either (ISO 12634).")
                .caution(
                        "Wet on wet the ink of the highest tack is printed first. A tack reducer goes in just before printing.");
    }

    /** A mark of the words in an order, by how much reducer was in it. */
    private static Answer moved(Answer answer, List<Judged> judged) {
        double[] doses = judged.stream().mapToDouble(Judged::percent).toArray();
        int[] marks = judged.stream().mapToInt(Judged::mark).toArray();
        double range = Arrays.stream(doses).max().orElse(0)
                - Arrays.stream(doses).min().orElse(0);
        if (judged.size() < LEAST || range < 0.1) {
            return answer.text(
                    "Too few trials to say what a tack reducer does: judge six times at least, at several shares.");
        }
        OrdinalLine line;
        try {
            line = OrdinalLine.of(doses, marks);
        } catch (BadInput untold) {
            return answer.text("These marks tell nothing of how much: " + untold.getMessage());
        }
        int[] given = Arrays.stream(marks).distinct().sorted().toArray();
        // Twice the logarithm of how much better the marks are foreseen with the dose than without is a chi-square of
        // 1.
        double without = Arrays.stream(given)
                .mapToDouble(mark -> {
                    double count =
                            Arrays.stream(marks).filter(each -> each == mark).count();
                    return count * StrictMath.log(count / marks.length);
                })
                .sum();
        double luck = 2 * (1 - Chance.below(StrictMath.sqrt(Math.max(0, 2 * (line.logLikelihood() - without)))));
        if (luck > SURE) {
            return answer.text(String.format(
                    Locale.ROOT,
                    "These marks do not tell yet whether a tack reducer moves them: by luck alone they would fall so in %.0f of 100 such"
                            + " sets. Judge more, at several shares.",
                    100 * luck));
        }
        List<List<String>> rows = new ArrayList<>();
        List<Answer.Point> low = new ArrayList<>();
        int middle = WORDS.indexOf("middle");
        double tried = Arrays.stream(doses).max().orElse(0);
        for (double dose : SHOWN) {
            if (dose > tried + SHOWN[1]) {
                break;
            }
            List<String> row = new ArrayList<>();
            row.add(String.format(Locale.ROOT, "%.1f", dose));
            double before = 0;
            double upToMiddle = 0;
            for (int i = 0; i < given.length; i++) {
                double upTo =
                        i == given.length - 1 ? 1 : 1 / (1 + StrictMath.exp(-(line.zeta()[i] - line.beta() * dose)));
                row.add(String.format(Locale.ROOT, "%.0f", 100 * (upTo - before)));
                upToMiddle = given[i] <= middle ? upTo : upToMiddle;
                before = upTo;
            }
            rows.add(row);
            low.add(new Answer.Point(dose, 100 * upToMiddle));
        }
        List<String> headings = new ArrayList<>(List.of("tack reducer, %"));
        for (int mark : given) {
            headings.add(WORDS.get(mark).replace('-', ' ') + ", % of times");
        }
        return answer.table("What it would be judged as", headings, rows)
                .chart("Judged middle or lower", "tack reducer, %", "% of times", low)
                .text(String.format(
                        Locale.ROOT,
                        "A tack reducer %s the marks (proportional odds, McCullagh 1980; %d marks, p %.3f).",
                        line.beta() < 0 ? "lowers" : "raises",
                        judged.size(),
                        luck));
    }

    private static List<Judged> judged(StudioView studio, Optional<String> ink) {
        List<Judged> judged = new ArrayList<>();
        String next = "";
        do {
            StudioView.Page page = studio.events("test.tack-judged", next);
            for (StudioView.Moment moment : page.moments()) {
                String vessel = moment.fields().at("vessel").text();
                if (ink.isPresent() && !ink.get().equals(vessel)) {
                    continue;
                }
                if (judged.size() >= MOST) {
                    return judged;
                }
                int mark = WORDS.indexOf(moment.fields().at("tack").text());
                StudioView.Composition in = studio.compositionAfter(vessel, moment.event());
                if (mark >= 0 && !in.shares().isEmpty()) {
                    judged.add(new Judged(
                            vessel,
                            mark,
                            in.shares().stream()
                                    .filter(share -> share.material().role().equals(REDUCER))
                                    .mapToDouble(share -> share.share().value() * 100)
                                    .sum()));
                }
            }
            next = page.next();
        } while (!next.isEmpty());
        return judged;
    }
}
