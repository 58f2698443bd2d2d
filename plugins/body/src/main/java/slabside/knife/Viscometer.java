package slabside.knife;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import slabside.body.FlowCurve;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** Yield stress, viscosity and shortness by three models, for those who have a viscometer. */
public final class Viscometer implements Calculator {
    private static final Question<List<List<String>>> READINGS =
            Question.rows("readings", "Readings", "shear rate, 1/s", "shear stress, Pa");

    @Override
    public Card card() {
        return new Card("flow-curve", "Flow curve", "What do readings of a viscometer say of an ink?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(READINGS);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        List<List<String>> rows = replies.to(READINGS);
        double[] rates = new double[rows.size()];
        double[] stresses = new double[rows.size()];
        List<Answer.Point> points = new ArrayList<>();
        for (int i = 0; i < rates.length; i++) {
            rates[i] = number(rows.get(i).get(0));
            stresses[i] = number(rows.get(i).get(1));
            points.add(new Answer.Point(rates[i], stresses[i]));
        }
        FlowCurve curve = new FlowCurve(rates, stresses);
        FlowCurve.Yielding bingham = curve.bingham();
        FlowCurve.Yielding casson = curve.casson();
        FlowCurve.Power power = curve.power();
        return Answer.titled("Flow curve")
                .text(
                        "The same readings give another yield stress by each model: never compare one with that of another.")
                .table(
                        "By three models",
                        List.of("model", "yield stress, Pa", "viscosity, Pa·s", "shortness, 1/s"),
                        List.of(
                                row("Bingham", bingham.yield(), bingham.viscosity(), bingham.shortness()),
                                row("Casson", casson.yield(), casson.viscosity(), casson.shortness()),
                                row(
                                        "power law: stress at 2.5/s, viscosity at 2500/s",
                                        power.stressAt(2.5),
                                        power.viscosityAt(2_500),
                                        power.shortness())))
                .quantity("Flow index", power.index(), "", "of the power law; 1 for an ink without body of its own")
                .chart("Stress over shear rate", "1/s", "Pa", points)
                .assumption("Rates of the power law are those of ASTM D4040", "published, from memory");
    }

    private static List<String> row(String model, double yield, double viscosity, double shortness) {
        return List.of(
                model,
                String.format(Locale.ROOT, "%.4g", yield),
                String.format(Locale.ROOT, "%.4g", viscosity),
                String.format(Locale.ROOT, "%.4g", shortness));
    }

    private static double number(String cell) {
        String plain = cell.strip().replace(',', '.');
        if (!plain.matches("\\d{1,9}(\\.\\d{1,9})?")) {
            throw new BadInput(READINGS.label(), cell, "give numbers above 0, such as 100; 1930");
        }
        return Double.parseDouble(plain);
    }
}
