package slabside.quantity;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import slabside.measure.Area;
import slabside.measure.BadInput;
import slabside.measure.Mass;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** The film on paper, learned by weighing slab and knife before and after printing. */
public final class FilmByWeighing implements Calculator {
    private static final Question<Mass> BEFORE = Question.mass("before", "Slab and knife with their ink, before")
            .hint("or the ink alone, where it was weighed onto the slab");
    private static final Question<Mass> FED =
            Question.mass("fed", "Charged in between").optional();
    private static final Question<Mass> AFTER = Question.mass("after", "Slab and knife with what is left, after");
    private static final Question<Mass> ROLLER = Question.mass("roller", "Ink that the roller took and kept")
            .optional()
            .hint("rolled out on newsprint and weighed; it counts as printed where nobody says");
    private static final Question<Integer> PULLS =
            Question.count("pulls", "Pulls that took ink", 1, 2_000).hint("newsprint and proofs too");
    private static final Question<Area> IMAGE = Question.area("image", "Outline of the image");
    private static final Question<Double> COVERAGE = Question.percent("coverage", "of which prints", 1, 100);
    private static final Question<Mass> STEP = Question.mass("step", "The scale reads in steps of")
            .optional()
            .hint("open for that of the scale used last");
    /** Standard uncertainty of a coverage that was judged or read from a picture, in per cent; an assumption. */
    private static final double COVERAGE_U = 3;

    private static final double LEAST_FILM = 0.2;
    private static final double MOST_FILM = 15;
    /** Largest that other calculators take. */
    private static final double MOST_ASKED = 10;

    @Override
    public Card card() {
        return new Card(
                "film-by-weighing", "Film on paper, by weighing", "How heavy is the film that this press prints?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(BEFORE, FED, AFTER, ROLLER, PULLS, IMAGE, COVERAGE, STEP);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        double before = replies.to(BEFORE).grams();
        double fed = replies.maybe(FED).map(Mass::grams).orElse(0.0);
        double after = replies.to(AFTER).grams();
        double kept = replies.maybe(ROLLER).map(Mass::grams).orElse(0.0);
        double printed = before + fed - after - kept;
        if (!(printed > 0)) {
            throw new BadInput(
                    AFTER.label(),
                    after + " g",
                    String.format(
                            Locale.ROOT,
                            "with %.2f g kept by the roller nothing is left to have been printed of %.2f g; weigh again, or give what was"
                                    + " charged in between",
                            kept,
                            before + fed));
        }
        double step = replies.maybe(STEP).orElse(studio.scaleStep()).grams();
        int weighings = 2 + (fed > 0 ? 1 : 0) + (kept > 0 ? 1 : 0);
        // Each reading, rounded to a step.
        double u = step / StrictMath.sqrt(12) * StrictMath.sqrt(weighings);
        int pulls = replies.to(PULLS);
        double area = replies.to(IMAGE).squareCentimetres() / 1e4 * replies.to(COVERAGE) / 100;
        double film = printed / pulls / area;
        double relative = StrictMath.hypot(u / printed, COVERAGE_U / replies.to(COVERAGE));
        if (film < LEAST_FILM / 4 || film > MOST_FILM * 4) {
            throw new BadInput(
                    IMAGE.label(),
                    replies.to(IMAGE),
                    String.format(
                            Locale.ROOT,
                            "that makes %.3g g/m², which no hand prints; check the areas, the pulls and the weights",
                            film));
        }
        Answer answer = Answer.titled("Film on paper, by weighing")
                .quantity(
                        "Film",
                        new Uncertain(film, film * relative),
                        "g/m²",
                        "(before + charged − after − roller) / (pulls × image × coverage)")
                .quantity("A print takes", new Uncertain(printed / pulls, u / pulls), "g", "what is gone / pulls")
                .quantity("Gone in all", new Uncertain(printed, u), "g", weighings + " weighings");
        List<Answer.Point> points = new ArrayList<>();
        for (double coverage = Math.max(1, replies.to(COVERAGE) - 20);
                coverage <= Math.min(100, replies.to(COVERAGE) + 20);
                coverage += 2) {
            points.add(new Answer.Point(coverage, film * replies.to(COVERAGE) / coverage));
        }
        answer = answer.chart("The film, if the coverage were another", "coverage, %", "g/m²", points);
        if (u / printed > 0.1) {
            answer = answer.caution(String.format(
                    Locale.ROOT,
                    "Steps of %s g are coarse for %.2f g: weigh after more pulls, or the ink alone on a finer scale.",
                    BigDecimal.valueOf(step).stripTrailingZeros().toPlainString(),
                    printed));
        }
        if (film < LEAST_FILM || film > MOST_FILM) {
            answer = answer.caution("That is far from the 1 to 4 g/m² that hands are taken to print: weigh once more.");
        }
        if (kept == 0) {
            answer = answer.assumption(
                    "Nothing stays on the roller that was not on it before; what it took counts as printed",
                    "assumption");
        }
        List<List<String>> rows = new ArrayList<>();
        for (StudioView.PastRun run : studio.pastRuns()) {
            if (rows.size() < 8) {
                rows.add(List.of(
                        run.name(),
                        run.surface(),
                        String.format(
                                Locale.ROOT,
                                "%.3f ± %.3f",
                                run.gramsPerPull().value(),
                                run.gramsPerPull().expanded()),
                        "" + run.pulls()));
            }
        }
        if (!rows.isEmpty()) {
            answer = answer.table(
                    "What a print took in runs before, by the balance of the log",
                    List.of("run", "surface", "g a pull (k = 2)", "pulls"),
                    rows);
        }
        String typed = BigDecimal.valueOf(StrictMath.round(film * 100), 2)
                .stripTrailingZeros()
                .toPlainString();
        answer = answer.assumption("The coverage is right within 3 %", "assumption")
                .caution("Keep this answer: other calculators ask for the film, and this is yours.");
        return film > MOST_ASKED
                ? answer
                : answer.with(new Answer.Ask(
                                "The film pull by pull, with this one", "film-pull-by-pull", Map.of("film", typed)))
                        .with(new Answer.Ask(
                                "How much is drawn, with this film", "how-much-is-drawn", Map.of("film", typed)));
    }
}
