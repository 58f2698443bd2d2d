package slabside.knife;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalLong;
import slabside.body.Spread;
import slabside.measure.BadInput;
import slabside.measure.Mass;
import slabside.measure.Temperature;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Json;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** How stiff an ink is, by how far half a millilitre of it spreads between two glasses under a weight in a minute. */
public final class OneMinuteSpread implements Calculator {
    private static final Question<String> INK = Question.pick("ink", "Ink", "vessel");
    private static final Question<Mass> LOAD = Question.mass("load", "Weight with the upper glass")
            .preset("115", Question.Origin.ASSUMPTION)
            .hint("the same every time; 115 g after JIS K 5701-1, from memory");
    private static final Question<Double> VOLUME = Question.number("volume", "Ink", "ml", 0.05, 5)
            .preset("0.5", Question.Origin.ASSUMPTION)
            .hint("what the filled hole of a strip holds");
    private static final Question<Double> ONE =
            Question.number("one", "Diameter after a minute", "mm", 1, 300).optional();
    private static final Question<Double> ACROSS =
            Question.number("across", "and across", "mm", 1, 300).optional();
    private static final Question<Double> LATE =
            Question.number("late", "Diameter later", "mm", 1, 300).optional().hint("tells stiffness and length apart");
    private static final Question<Double> MINUTES =
            Question.number("minutes", "after", "min", 1.5, 120).preset("15", Question.Origin.ASSUMPTION);
    private static final Question<Temperature> WARM =
            Question.temperature("celsius", "Temperature of the glass").optional();

    private static final double MINUTE = 60;
    /** Height of the drop when the glass is set down, m; hardly counts after some seconds (assumption). */
    private static final double BEGINNING = 0.005;
    /** Half width of a diameter read with a ruler, mm, and standard uncertainty of the amount and the load; assumptions. */
    private static final double RULER = 0.5;

    private static final double AMOUNT = 0.05;
    private static final double WEIGHT = 0.01;
    private static final int BEFORE = 12;
    /** Difference of logarithms below which two are about as stiff, at one temperature. */
    private static final double ABOUT = 0.1;

    @Override
    public Card card() {
        return new Card("one-minute-spread", "One-minute spread", "How stiff is this ink, in a number?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(INK, LOAD, VOLUME, ONE, ACROSS, LATE, MINUTES, WARM);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        Answer how = Answer.titled("One-minute spread")
                .with(new Answer.Steps(List.of(
                        new Answer.Step(
                                "Fill the hole of the strip with ink, on the lower glass, and scrape it level", ""),
                        new Answer.Step(
                                "Take the strip away; set the upper glass and the weight down straight, and start the clock",
                                ""),
                        new Answer.Step(
                                "After a minute read two diameters, one across the other, to half a millimetre", ""),
                        new Answer.Step(
                                "Leave it, and read again after a quarter of an hour, if you want to know how long it is",
                                ""))))
                .with(new Answer.Timer("A minute", (int) MINUTE))
                .with(new Answer.Timer("A quarter of an hour", 900));
        if (replies.maybe(ONE).isEmpty()) {
            return how.text("Then come back with the diameters.");
        }
        Spread spread = new Spread(replies.to(LOAD).milligrams() / 1e6, replies.to(VOLUME) / 1e6);
        double diameter = fits(ONE, (replies.to(ONE) + replies.maybe(ACROSS).orElse(replies.to(ONE))) / 2, replies);
        double read = RULER / StrictMath.sqrt(3) / (replies.maybe(ACROSS).isPresent() ? StrictMath.sqrt(2) : 1);
        double relative = Spread.uncertainty(WEIGHT, AMOUNT, read / diameter);
        double yield = SpreadRead.stress(spread, diameter);
        List<SpreadRead> all = SpreadRead.all(studio);
        String model = spread.edgeCounts(diameter / 1000)
                ? "as a disc at rest, with what its edge takes"
                : "as a disc at rest, 48 F V / (π² D⁵)";
        Answer answer = Answer.titled("One-minute spread")
                .quantity("Mean diameter", new Uncertain(diameter, read), "mm", "of both")
                .quantity("Yield stress", new Uncertain(yield, yield * relative), "Pa", model)
                .caution(
                        "After a minute an ink still creeps: this yield stress is too high, by a hundredth for a short ink and up to"
                                + " double for a long one. Compare inks read at the same time, or read late too.");
        answer = late(answer, spread, diameter, replies);
        Warmth warmth = Warmth.of(all, studio);
        answer = warmth(answer, yield, relative, replies, warmth);
        List<List<String>> before = before(studio, replies, all, yield, warmth);
        List<Answer.Point> own = new ArrayList<>();
        for (int i = all.size() - 1; i >= 0; i--) {
            if (all.get(i).vessel().equals(replies.to(INK))) {
                own.add(new Answer.Point(
                        own.size() + 1, StrictMath.exp(all.get(i).log(warmth))));
            }
        }
        if (!own.isEmpty()) {
            own.add(new Answer.Point(own.size() + 1, at20(yield, warmth, replies)));
            answer = answer.chart("This ink, reading by reading, at 20 °C", "reading", "Pa", own);
        }
        if (!before.isEmpty()) {
            answer = answer.table(
                    "Read before, after a minute", List.of("ink", "mm", "Pa", "at 20 °C this one is"), before);
        }
        return answer.assumption(
                        String.format(
                                Locale.ROOT,
                                "A ruler reads to ± %.1f mm, the hole holds what it should within %.0f %%",
                                RULER,
                                AMOUNT * 100),
                        "assumption")
                .with(new Answer.Proposed("Write it down", List.of(entry(replies, diameter))))
                .with(new Answer.Deeper("How it is done", how.blocks()));
    }

    /** A disc is wider than the ball it was. */
    private static double fits(Question<Double> question, double diameter, Replies replies) {
        double least = 2 * StrictMath.cbrt(3 * replies.to(VOLUME) * 1000 / (2 * StrictMath.PI));
        if (diameter < least) {
            throw new BadInput(
                    question.label(),
                    String.format(Locale.ROOT, "%.1f mm", diameter),
                    String.format(
                            Locale.ROOT,
                            "%.2f ml as a half ball is %.1f mm wide already; read again, or say how much ink it was",
                            replies.to(VOLUME),
                            least));
        }
        return diameter;
    }

    private static Answer late(Answer answer, Spread spread, double diameter, Replies replies) {
        if (replies.maybe(LATE).isEmpty()) {
            return answer;
        }
        double late = fits(LATE, replies.to(LATE), replies);
        Spread.Bingham ink =
                spread.bingham(diameter / 1000, MINUTE, late / 1000, replies.to(MINUTES) * MINUTE, BEGINNING);
        return answer.quantity(
                        "Yield stress, by both readings",
                        ink.yield(),
                        "Pa",
                        "as an ink that yields and then flows (Bingham)")
                .quantity("Viscosity, by both readings", ink.viscosity(), "Pa·s", "of the same model")
                .quantity("Length", ink.viscosity() / ink.yield(), "s", "viscosity / yield stress; longer is larger");
    }

    private static Answer warmth(Answer answer, double yield, double relative, Replies replies, Warmth warmth) {
        if (replies.maybe(WARM).isEmpty()) {
            return answer.caution("Without the temperature of the glass this can be compared with the same room only.");
        }
        double celsius = replies.to(WARM).celsius();
        if (celsius < 0 || celsius > 45) {
            throw new BadInput(WARM.label(), celsius + " °C", "give 0 to 45 °C");
        }
        double off = celsius - Warmth.REFERENCE;
        double factor = StrictMath.exp(warmth.perKelvin() * off);
        return warmth.told(answer.quantity(
                "Yield stress at 20 °C",
                new Uncertain(yield * factor, yield * factor * StrictMath.hypot(relative, warmth.u() * off)),
                "Pa",
                "brought there"));
    }

    /** Brought to 20 °C where the glass was read, else as it is. */
    private static double at20(double yield, Warmth warmth, Replies replies) {
        return yield
                * StrictMath.exp(warmth.perKelvin()
                        * replies.maybe(WARM)
                                .map(glass -> glass.celsius() - Warmth.REFERENCE)
                                .orElse(0.0));
    }

    private static List<List<String>> before(
            StudioView studio, Replies replies, List<SpreadRead> all, double yield, Warmth warmth) {
        double own = StrictMath.log(at20(yield, warmth, replies));
        List<List<String>> rows = new ArrayList<>();
        for (SpreadRead other : all.subList(0, Math.min(BEFORE, all.size()))) {
            String name = studio.composition(other.vessel()).name();
            rows.add(List.of(
                    name + (other.vessel().equals(replies.to(INK)) ? " (this one, before)" : ""),
                    String.format(Locale.ROOT, "%.1f", other.millimetres()),
                    String.format(Locale.ROOT, "%.0f", other.yield()),
                    Math.abs(own - other.log(warmth)) < ABOUT
                            ? "about as stiff"
                            : own > other.log(warmth) ? "stiffer" : "softer"));
        }
        return rows;
    }

    private static Answer.Proposal entry(Replies replies, double diameter) {
        List<Json> readings = new ArrayList<>();
        readings.add(reading(MINUTE, diameter));
        replies.maybe(LATE).ifPresent(late -> readings.add(reading(replies.to(MINUTES) * MINUTE, late)));
        Json.Fields fields = Json.fields()
                .with("vessel", replies.to(INK))
                .with("loadMg", BigDecimal.valueOf(replies.to(LOAD).milligrams()))
                .with("volumeUl", BigDecimal.valueOf(StrictMath.round(replies.to(VOLUME) * 1000)))
                .with("readings", new Json.Items(readings));
        Optional<Temperature> warm = replies.maybe(WARM);
        if (warm.isPresent()) {
            fields = fields.with(
                    "celsius", BigDecimal.valueOf(warm.get().celsius()).toPlainString());
        }
        return new Answer.Proposal("test.spread-measured", 1, fields, "", List.of(), OptionalLong.empty());
    }

    private static Json reading(double seconds, double millimetres) {
        return Json.fields()
                .with("afterMs", BigDecimal.valueOf(StrictMath.round(seconds * 1000)))
                .with("diameterUm", BigDecimal.valueOf(StrictMath.round(millimetres * 1000)));
    }
}
