package slabside.rolled;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import slabside.body.Rolling;
import slabside.measure.Area;
import slabside.measure.BadInput;
import slabside.measure.Length;
import slabside.measure.Mass;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** The film on paper pull by pull, from what lies on slab and roller and what is fed; and the charge that holds it steady. */
public final class FilmPullByPull implements Calculator {
    private static final Question<Mass> SLAB = Question.mass("slab", "Ink rolled out on slab and roller at the start")
            .optional()
            .hint("without the ribbon that waits at the edge; open for what holds the film steady");
    private static final Question<Area> ROLLED =
            Question.area("rolled", "Rolled out over").hint("such as 40 x 60 cm");
    private static final Question<Length> DIAMETER = Question.length("diameter", "Diameter of the roller");
    private static final Question<Length> FACE = Question.length("face", "Width of its face");
    private static final Question<Area> IMAGE = Question.area("image", "Outline of the image");
    private static final Question<Double> COVERAGE =
            Question.percent("coverage", "of which prints", 1, 100).preset("60", Question.Origin.ASSUMPTION);
    private static final Question<Integer> TURNS =
            Question.count("turns", "Turns on the slab for each pull", 1, 100).preset("4", Question.Origin.ASSUMPTION);
    private static final Question<Integer> PASSES = Question.count(
                    "passes", "Passes over the stone for each pull", 1, 100)
            .preset("6", Question.Origin.ASSUMPTION);
    private static final Question<Double> FEED = Question.number("feed", "Fed for each pull", "g", 0, 20)
            .optional()
            .hint("open for what holds the film steady");
    private static final Question<Double> WANTED =
            Question.number("film", "Film on paper", "g/m²", 0.2, 10).preset("2.5", Question.Origin.COMMON_PRACTICE);
    private static final Question<Integer> PULLS =
            Question.count("pulls", "Pulls", 1, 500).preset("40", Question.Origin.ASSUMPTION);
    private static final Question<Integer> EVERY =
            Question.count("every", "Charged every so many pulls", 1, 100).preset("5", Question.Origin.ASSUMPTION);
    /** Part of the stone's film that goes with the paper; an assumption. */
    private static final double SPLIT = 0.5;
    /** First pulls, on newsprint, that fill the stone and are not counted; an assumption. */
    private static final int STARTING = 5;
    /** Part by which a film may be off and not be seen; an assumption. */
    private static final double SEEN = 0.1;
    /** Longest time between two charges that is looked at, in pulls, and charges until it has settled. */
    private static final int SELDOM = 60;

    private static final int ROUNDS = 12;

    @Override
    public Card card() {
        return new Card(
                "film-pull-by-pull",
                "The film pull by pull",
                "Will the film hold over the edition, and how is it fed?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(SLAB, ROLLED, DIAMETER, FACE, IMAGE, COVERAGE, TURNS, PASSES, FEED, WANTED, EVERY, PULLS);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        double slab = replies.to(ROLLED).squareCentimetres() / 1e4;
        double roller = StrictMath.PI * metres(replies.to(DIAMETER)) * metres(replies.to(FACE));
        double image = replies.to(IMAGE).squareCentimetres() / 1e4 * replies.to(COVERAGE) / 100;
        if (!(slab > 0 && image > 0)) {
            throw new BadInput(ROLLED.label(), slab + " m²", "give areas above 0");
        }
        Rolling rolling = new Rolling(slab, roller, image, replies.to(TURNS), replies.to(PASSES), SPLIT);
        double wanted = replies.to(WANTED);
        // Films in g/m²: a gram on a square metre.
        double needed = wanted * image;
        double feed = replies.maybe(FEED).orElse(needed);
        Rolling.State steady = rolling.steady(feed / slab);
        double charge = steady.slab() * slab + steady.roller() * roller;
        double grams =
                replies.maybe(SLAB).map(mass -> mass.milligrams() / 1000.0).orElse(charge);
        double even = grams / (slab + roller);
        Rolling.State state = new Rolling.State(even, even, 0, 0);
        List<Answer.Point> points = new ArrayList<>();
        int every = replies.to(EVERY);
        double low = Double.MAX_VALUE;
        double high = 0;
        for (int pull = 1; pull <= replies.to(PULLS); pull++) {
            double fed = (pull - 1) % every == 0 && pull > 1 ? feed * every : 0;
            state = rolling.next(state, fed / slab);
            points.add(new Answer.Point(pull, state.printed()));
            if (pull > Math.min(STARTING, replies.to(PULLS) - 1)) {
                low = Math.min(low, state.printed());
                high = Math.max(high, state.printed());
            }
        }
        int seldom = seldom(rolling, needed, slab, wanted);
        boolean holds = low > wanted * (1 - SEEN) && high < wanted * (1 + SEEN);
        return Answer.titled("The film pull by pull")
                .text(
                        holds
                                ? "After the first " + STARTING
                                        + " pulls the film holds within a tenth of what is wanted."
                                : String.format(
                                        Locale.ROOT,
                                        "After the first %d pulls the film lies between %.1f and %.1f g/m²; wanted are %.1f.",
                                        STARTING,
                                        low,
                                        high,
                                        wanted))
                .chart("Film on paper", "pull", "g/m²", points)
                .quantity("Feed that holds it", needed, "g for each pull", "wanted film × what prints")
                .quantity("Charged every " + every + " pulls", needed * every, "g", "the same for so many")
                .quantity(
                        "Charge at the latest",
                        seldom,
                        "pulls after the last time",
                        seldom == 0
                                ? "even a charge for each pull makes the film rise and fall by more than a tenth"
                                : "so that the film stays within a tenth between two charges")
                .quantity(
                        "Charge slab and roller with",
                        charge,
                        "g",
                        "what lies on both when nothing drifts any more; begin with it and the start is steady too")
                .quantity(
                        "Pulls until a start has worn off",
                        rolling.pullsToSettle(),
                        "",
                        "until 95 % of what was too much or too little is gone")
                .assumption(
                        "Where two films part, each surface keeps half; half of the stone's goes with the paper",
                        "assumption")
                .assumption("Ink lies evenly on slab and roller before each pull", "assumption")
                .caution(
                        "A hand charges unevenly and a stone takes what its drawing takes: weigh slab and knife before and after once,"
                                + " and believe that.");
    }

    /** After how many pulls at the latest it is charged anew, once it is steady; 0 when even one is too many. */
    private static int seldom(Rolling rolling, double needed, double slab, double wanted) {
        for (int every = 1; every <= SELDOM; every++) {
            Rolling.State state = rolling.steady(needed / slab);
            double low = Double.MAX_VALUE;
            double high = 0;
            for (int pull = 0; pull < ROUNDS * every; pull++) {
                state = rolling.next(state, pull % every == 0 ? needed * every / slab : 0);
                if (pull >= (ROUNDS - 2) * every) {
                    low = Math.min(low, state.printed());
                    high = Math.max(high, state.printed());
                }
            }
            if (low < wanted * (1 - SEEN) || high > wanted * (1 + SEEN)) {
                return every - 1;
            }
        }
        return SELDOM;
    }

    private static double metres(Length length) {
        return length.micrometres() / 1e6;
    }
}
