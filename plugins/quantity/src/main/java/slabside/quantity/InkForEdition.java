package slabside.quantity;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import slabside.measure.Mass;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/**
 * Ink for an edition as a range: area × coverage × film × impressions, plus roller and slab, tests and a reserve. Grams per
 * print learned from this studio's past runs come first, the model beside them.
 */
public final class InkForEdition implements Calculator {
    /** Film in g/m², low and high; no measured value for hand printing was found: assumptions. */
    private static final Map<String, double[]> FILM = Map.of(
            "flat", new double[] {2, 4},
            "blend", new double[] {2, 4},
            "wash", new double[] {1, 2},
            "crayon", new double[] {1, 2},
            "key", new double[] {1, 2});

    private static final Question<String> SURFACE =
            Question.choice("surface", "Surface", "flat", "wash", "crayon", "key", "blend");
    private static final Question<Double> WIDTH = Question.number("width", "Image width", "cm", 1, 300);
    private static final Question<Double> HEIGHT = Question.number("height", "Image height", "cm", 1, 300);
    private static final Question<Double> COVERAGE = Question.number(
                    "coverage", "Part of the image that prints", "%", 0.1, 100)
            .preset("80", Question.Origin.ASSUMPTION);
    private static final Question<Integer> SHEETS = Question.count("sheets", "Sheets to print", 1, 5_000);
    private static final Question<Integer> PROOFS =
            Question.count("proofs", "Newsprint pulls and proofs", 0, 500).preset("5", Question.Origin.COMMON_PRACTICE);
    private static final Question<Mass> ON_SLAB =
            Question.mass("slab", "Ink that stays on slab and roller").preset("20", Question.Origin.ASSUMPTION);
    private static final Question<Mass> TESTS =
            Question.mass("tests", "Dabs and tests").preset("3", Question.Origin.ASSUMPTION);
    private static final Question<Double> RESERVE =
            Question.percent("reserve", "Reserve", 0, 200).preset("15", Question.Origin.ASSUMPTION);

    @Override
    public Card card() {
        return new Card("ink-for-an-edition", "Ink for an edition", "How many grams should I mix?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(SURFACE, WIDTH, HEIGHT, COVERAGE, SHEETS, PROOFS, ON_SLAB, TESTS, RESERVE);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        String surface = replies.to(SURFACE);
        double[] film = Objects.requireNonNull(FILM.get(surface));
        double squareMetres = replies.to(WIDTH) * replies.to(HEIGHT) / 10_000 * replies.to(COVERAGE) / 100;
        int pulls = replies.to(SHEETS) + replies.to(PROOFS);
        double fixed = replies.to(ON_SLAB).grams() + replies.to(TESTS).grams();
        double reserve = 1 + replies.to(RESERVE) / 100;
        Answer answer = Answer.titled("Ink for an edition: " + surface);
        List<StudioView.PastRun> past = studio.pastRuns().stream()
                .filter(run -> run.surface().equals(surface))
                .toList();
        if (!past.isEmpty()) {
            answer = learned(answer, past, pulls, fixed, reserve);
        }
        double low = (squareMetres * film[0] * pulls + fixed) * reserve;
        double high = (squareMetres * film[1] * pulls + fixed) * reserve;
        return answer.heading(past.isEmpty() ? "From area and film" : "Beside it, from area and film")
                .quantity(
                        "At least",
                        low,
                        "g",
                        "(area × coverage × low film × pulls + slab and roller + tests) × reserve")
                .quantity("At most", high, "g", "the same with the high film")
                .quantity("A print takes", squareMetres * (film[0] + film[1]) / 2, "g", "area × coverage × middle film")
                .assumption(
                        String.format(Locale.ROOT, "film of %.0f to %.0f g/m² on a %s", film[0], film[1], surface),
                        "assumption: no measured value for hand printing was found; weigh slab and roller before and after to learn yours");
    }

    private static Answer learned(
            Answer answer, List<StudioView.PastRun> past, int pulls, double fixed, double reserve) {
        double least = past.stream()
                .mapToDouble(run -> run.gramsPerPull().value())
                .min()
                .orElseThrow();
        double most = past.stream()
                .mapToDouble(run -> run.gramsPerPull().value())
                .max()
                .orElseThrow();
        List<List<String>> rows = new ArrayList<>();
        past.forEach(run -> rows.add(List.of(
                run.name(),
                String.format(Locale.ROOT, "%.3f", run.gramsPerPull().value()),
                String.format(Locale.ROOT, "%.3f", run.gramsPerPull().expanded()),
                Integer.toString(run.pulls()))));
        return answer.heading("From this studio's own runs")
                .quantity(
                        "At least",
                        (least * pulls + fixed) * reserve,
                        "g",
                        "(least grams a pull × pulls + slab and roller + tests) × reserve")
                .quantity("At most", (most * pulls + fixed) * reserve, "g", "the same with the most grams a pull")
                .with(new Answer.Table(
                        "Measured here, whatever the size of the image",
                        List.of("run", "g a pull", "± g (k = 2)", "pulls"),
                        rows));
    }
}
