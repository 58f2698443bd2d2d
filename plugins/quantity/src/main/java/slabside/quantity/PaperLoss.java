package slabside.quantity;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import slabside.measure.BadInput;
import slabside.measure.Mass;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** What of a dab stays on the square of paper it is weighed on, learned by weighing the paper again; and what to put on it. */
public final class PaperLoss implements Calculator {
    private static final Question<List<List<String>>> DABS = Question.rows("dabs", "Dabs", "g put on", "g left on it")
            .hint("the paper before and after pushing off, the bare paper taken off");
    private static final Question<Mass> WANTED =
            Question.mass("wanted", "Wanted in the mix").optional();
    private static final int MOST = 200;

    @Override
    public Card card() {
        return new Card("paper-loss", "What the weighing paper keeps", "How much of a dab stays on the paper?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(DABS, WANTED);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        List<double[]> dabs = new ArrayList<>();
        for (List<String> row : replies.to(DABS)) {
            double put = grams(row.get(0));
            double left = grams(row.get(1));
            if (!(put > 0) || left >= put) {
                throw new BadInput(
                        DABS.label(),
                        row.get(0) + "; " + row.get(1),
                        "less stays on the paper than was put on; weigh again");
            }
            dabs.add(new double[] {put, left});
        }
        if (dabs.isEmpty() || dabs.size() > MOST) {
            throw new BadInput(DABS.label(), dabs.size(), "give 1 to 200 dabs, each on its line");
        }
        double put = dabs.stream().mapToDouble(dab -> dab[0]).sum();
        double left = dabs.stream().mapToDouble(dab -> dab[1]).sum();
        double part = left / put;
        double step = studio.scaleStep().grams();
        int n = dabs.size();
        // Of the readings, and of how dabs differ among each other.
        double read = step / StrictMath.sqrt(6) * StrictMath.sqrt(n) / put;
        double scatter = n < 2
                ? 0
                : StrictMath.sqrt(dabs.stream()
                                        .mapToDouble(dab -> StrictMath.pow(dab[1] - part * dab[0], 2))
                                        .sum()
                                / (n - 1)
                                * n)
                        / put;
        Uncertain loss = new Uncertain(part * 100, 100 * StrictMath.hypot(read, scatter));
        Answer answer = Answer.titled("What the weighing paper keeps")
                .quantity(
                        "Stays on the paper",
                        loss,
                        "%",
                        "all that was left / all that was put on, " + n + (n == 1 ? " dab" : " dabs"))
                .quantity("A dab loses", left / n, "g", "in the mean");
        if (replies.maybe(WANTED).isPresent()) {
            double wanted = replies.to(WANTED).grams();
            double on = wanted / (1 - part);
            answer = answer.quantity(
                    "Put on the paper",
                    new Uncertain(on, on * loss.u() / 100 / (1 - part)),
                    "g",
                    "wanted / (1 − what stays)");
        }
        if (n > 1) {
            answer = answer.chart(
                    "Left on the paper",
                    "g put on",
                    "g left",
                    dabs.stream().map(dab -> new Answer.Point(dab[0], dab[1])).toList());
        }
        if (n < 5) {
            answer = answer.caution("So few dabs tell little: weigh the paper again after five.");
        }
        if (loss.value() > 0 && loss.expanded() > loss.value()) {
            answer = answer.caution(String.format(
                    Locale.ROOT,
                    "Within what a scale of %s g steps tells, it may be nothing.",
                    BigDecimal.valueOf(step).toPlainString()));
        }
        return answer.assumption("A dab loses a part of itself, not the same grams whatever its size", "assumption")
                .caution("A strong ink in a small dab matters most: weigh it in a cup, or let it down first.");
    }

    private static double grams(String cell) {
        String plain = cell.strip().replace(',', '.');
        if (!plain.matches("\\d{1,5}(\\.\\d{1,3})?")) {
            throw new BadInput(DABS.label(), cell, "give grams with at most three decimals, such as 2.05; 0.07");
        }
        return Double.parseDouble(plain);
    }
}
