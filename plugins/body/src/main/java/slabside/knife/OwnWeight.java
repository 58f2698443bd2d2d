package slabside.knife;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalLong;
import slabside.body.Standing;
import slabside.measure.BadInput;
import slabside.measure.Length;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Json;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** How stiff an ink is by what it does under its own weight: a ridge that stands, a heap that slumps, a layer on a tilted glass, a pool. */
public final class OwnWeight implements Calculator {
    private static final String RIDGE = "ridge";
    private static final String SLUMP = "slump";
    private static final String TILTED = "tilted glass";
    private static final String POOL = "pool";

    private static final Question<String> INK = Question.pick("ink", "Ink", "vessel");
    private static final Question<String> HOW =
            Question.choice("how", "Tried as a", RIDGE, SLUMP, TILTED, POOL).preset(RIDGE, Question.Origin.ASSUMPTION);
    private static final Question<Length> HEIGHT = Question.length("height", "Height, or thickness of the layer")
            .optional()
            .hint("of the ridge; of the ring that was lifted; of the layer");
    private static final Question<Length> SANK =
            Question.length("sank", "It sank by").optional().hint("slump only");
    private static final Question<Double> TILT =
            Question.number("tilt", "Begins to run at", "°", 1, 90).optional().hint("tilted glass only; 0 is level");
    private static final Question<Double> VOLUME =
            Question.number("volume", "Ink", "ml", 0.1, 200).optional().hint("pool only");
    private static final Question<Length> ACROSS =
            Question.length("across", "Pool, across").optional();
    private static final Question<Double> DENSITY = Question.number("density", "Density of the ink", "g/cm³", 0.8, 3)
            .preset("1.05", Question.Origin.ASSUMPTION);

    /** Half width of a length read with a ruler, m; and relative uncertainty of the density. Assumptions. */
    private static final double RULER = 0.0005;

    private static final double DENSITY_U = 0.05;
    /** Relative, of an amount; and degrees, of a tilt. Assumptions. */
    private static final double AMOUNT_U = 0.05;

    private static final double TILT_U = 1;
    private static final int HIGHEST_MM = 20;
    private static final String AT_MOST = "Yield stress, at most";
    private static final double LARGEST = 0.2;
    /** A pool as high as this part of its radius is no pool. */
    private static final double FLAT = 0.2;

    @Override
    public Card card() {
        return new Card("own-weight", "Standing and sagging", "How stiff is this ink, by its own weight?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(INK, HOW, HEIGHT, SANK, TILT, VOLUME, ACROSS, DENSITY);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        return switch (replies.to(HOW)) {
            case SLUMP -> slump(replies);
            case TILTED -> tilted(replies);
            case POOL -> pool(replies);
            default -> ridge(replies);
        };
    }

    private static double density(Replies replies) {
        return replies.to(DENSITY) * 1000;
    }

    private static double metres(Question<Length> question, Replies replies) {
        double metres = replies.maybe(question)
                        .orElseThrow(
                                () -> new BadInput(question.label(), "", "it is needed for this test; give it in mm"))
                        .micrometres()
                / 1e6;
        if (metres > LARGEST) {
            throw new BadInput(question.label(), metres * 1000 + " mm", "give at most 200 mm");
        }
        return metres;
    }

    private static Answer begun(String what, Answer.Step... steps) {
        return Answer.titled("Standing and sagging: " + what)
                .with(new Answer.Deeper("How it is done", List.of(new Answer.Steps(List.of(steps)))));
    }

    private static Answer ridge(Replies replies) {
        double height = metres(HEIGHT, replies);
        double bound = Standing.leastOfRidge(density(replies), height);
        Answer answer = begun(
                        RIDGE,
                        new Answer.Step("Draw a ridge with the edge of the knife", ""),
                        new Answer.Step("Wait a minute", ""),
                        new Answer.Step("Measure how high it stands", ""))
                .quantity(
                        "Yield stress, at least",
                        bound,
                        "Pa",
                        "ρ g h / 2, as Tresca has it; an ink that stands may be far stiffer")
                .quantity(
                        "The same by von Mises",
                        Standing.leastOfRidgeMises(density(replies), height),
                        "Pa",
                        "ρ g h / √3");
        List<Answer.Point> least = new ArrayList<>();
        for (int millimetres = 1; millimetres <= HIGHEST_MM; millimetres++) {
            least.add(new Answer.Point(millimetres, Standing.leastOfRidge(density(replies), millimetres / 1000.0)));
        }
        answer = answer.chart("What a ridge that stands tells at least", "mm high", "Pa", least);
        return surface(answer, height, "it may stand by that alone, and tells nothing of its own stiffness")
                .with(new Answer.Timer("A minute", 60))
                .with(new Answer.Proposed(
                        "Write it down",
                        List.of(new Answer.Proposal(
                                "test.ridge-observed",
                                1,
                                Json.fields()
                                        .with("vessel", replies.to(INK))
                                        .with("heightUm", BigDecimal.valueOf(StrictMath.round(height * 1e6)))
                                        .with("stands", new Json.Truth(true)),
                                "",
                                List.of(),
                                OptionalLong.empty()))));
    }

    private static Answer slump(Replies replies) {
        double height = metres(HEIGHT, replies);
        double sank = metres(SANK, replies);
        if (sank > height) {
            throw new BadInput(SANK.label(), sank * 1000 + " mm", "it cannot sink by more than its height");
        }
        Answer answer = begun(
                SLUMP,
                new Answer.Step("Fill a ring as wide as it is high, level with its rim, on a glass", ""),
                new Answer.Step("Lift the ring straight up, slowly", ""),
                new Answer.Step("After a minute measure by how many mm the top sank", ""));
        double stiffest = Standing.yieldOfSlump(density(replies), height, Math.max(0, sank - RULER));
        double softest = Standing.yieldOfSlump(density(replies), height, Math.min(height, sank + RULER));
        String working = "of a cylinder that slumped (Pashias and others 1996), by its inverse";
        if (sank <= RULER) {
            answer = answer.quantity("Yield stress, at least", softest, "Pa", working);
        } else if (sank >= height - RULER) {
            answer = answer.quantity("Yield stress, at most", stiffest, "Pa", working);
        } else {
            double yield = Standing.yieldOfSlump(density(replies), height, sank);
            double off = (stiffest - softest) / 2 / StrictMath.sqrt(3);
            answer = answer.quantity(
                    height < Standing.SURFACE_RULES ? AT_MOST : "Yield stress",
                    new Uncertain(yield, StrictMath.hypot(off, yield * DENSITY_U)),
                    "Pa",
                    working);
        }
        if (sank < height / 5) {
            answer = answer.caution("It hardly sank: this formula is reported to give too little there.");
        }
        return surface(answer, height, "its own yield stress is this at most")
                .assumption("A ruler reads to ± 0.5 mm", "assumption");
    }

    private static Answer tilted(Replies replies) {
        double thick = metres(HEIGHT, replies);
        double tilt = replies.maybe(TILT)
                .orElseThrow(() -> new BadInput(TILT.label(), "", "it is needed for this test; give 1 to 90 °"));
        double yield = Standing.yieldOfSlope(density(replies), thick, tilt);
        double relative = StrictMath.hypot(
                StrictMath.hypot(DENSITY_U, RULER / StrictMath.sqrt(3) / thick),
                StrictMath.toRadians(TILT_U) / StrictMath.tan(StrictMath.toRadians(tilt)));
        Answer answer = begun(
                        TILTED,
                        new Answer.Step("Spread an even layer between two strips on a glass", ""),
                        new Answer.Step("Raise one end slowly until the layer begins to run", ""))
                .quantity(
                        thick < Standing.SURFACE_RULES ? AT_MOST : "Yield stress",
                        new Uncertain(yield, yield * relative),
                        "Pa",
                        "ρ g h sin of the tilt (Coussot and Boyer 1995)");
        return surface(answer, thick, "its own yield stress is this at most");
    }

    private static Answer pool(Replies replies) {
        double volume = replies.maybe(VOLUME)
                        .orElseThrow(
                                () -> new BadInput(VOLUME.label(), "", "it is needed for this test; give it in ml"))
                / 1e6;
        double radius = metres(ACROSS, replies) / 2;
        double height = volume / (StrictMath.PI * radius * radius);
        if (height > FLAT * radius) {
            throw new BadInput(
                    ACROSS.label(),
                    radius * 2000 + " mm",
                    String.format(
                            Locale.ROOT,
                            "%.1f ml so wide is %.1f mm high: no pool, but a heap; measure how it slumps",
                            volume * 1e6,
                            height * 1000));
        }
        double yield = Standing.yieldOfPool(density(replies), volume, radius);
        double relative = StrictMath.hypot(
                StrictMath.hypot(DENSITY_U, 2 * AMOUNT_U), 5 * RULER / StrictMath.sqrt(3) / (2 * radius));
        Answer answer = begun(
                        POOL,
                        new Answer.Step("Pour the ink in one place on a level glass", ""),
                        new Answer.Step("When it no longer spreads measure it across, twice", ""))
                .quantity(
                        height < Standing.SURFACE_RULES ? AT_MOST : "Yield stress",
                        new Uncertain(yield, yield * relative),
                        "Pa",
                        "225 ρ g V² / (128 π² R⁵) (Roussel and Coussot 2005)");
        return surface(answer, height, "its own yield stress is this at most");
    }

    /** Below some millimetres surface tension holds an ink up too. */
    private static Answer surface(Answer answer, double height, String so) {
        Optional<String> small = height < Standing.SURFACE_RULES
                ? Optional.of(String.format(
                        Locale.ROOT,
                        "At %.1f mm surface tension holds it too: %s. Try it higher than %.0f mm.",
                        height * 1000,
                        so,
                        Standing.SURFACE_RULES * 1000))
                : Optional.empty();
        Answer told = small.map(answer::caution).orElse(answer);
        return told.assumption(
                "A yield stress by one test is not compared with that by another", "common practice, no source");
    }
}
