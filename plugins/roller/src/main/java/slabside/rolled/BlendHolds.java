package slabside.rolled;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import slabside.body.BlendRoll;
import slabside.colour.Bands;
import slabside.looks.Mixed;
import slabside.looks.Sheets;
import slabside.measure.BadInput;
import slabside.measure.Length;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** How a blend looks across the sheet, how its bands widen and move over the edition, and when to scrape and set it up anew. */
public final class BlendHolds implements Calculator {
    private static final Question<String> LEFT =
            Question.pick("left", "Ink at the left", "vessel").optional().hint("pick the inks to see the blend");
    private static final Question<String> MIDDLE =
            Question.pick("middle", "Ink in the middle", "vessel").optional().hint("open where there are two inks");
    private static final Question<String> RIGHT =
            Question.pick("right", "Ink at the right", "vessel").optional();
    private static final Question<Length> ACROSS =
            Question.length("across", "Across the image").preset("400 mm", Question.Origin.ASSUMPTION);
    private static final Question<Integer> FIRST = Question.count("strokes", "Strokes until the first pull", 1, 10_000)
            .preset("40", Question.Origin.ASSUMPTION);
    private static final Question<Double> SHIFT = Question.number(
                    "shift", "Each stroke shifts the roller by", "mm", 0.1, 100)
            .preset("3", Question.Origin.ASSUMPTION);
    private static final Question<Integer> EACH =
            Question.count("each", "Strokes for each pull", 1, 200).preset("6", Question.Origin.ASSUMPTION);
    private static final Question<Double> FRESH =
            Question.percent("fresh", "Ink renewed with each pull", 0, 100).preset("5", Question.Origin.ASSUMPTION);
    private static final Question<Double> WIDEST = Question.number(
                    "widest", "The band may be as wide as", "mm", 1, 2_000)
            .preset("80", Question.Origin.ASSUMPTION);
    private static final Question<String> RUN = Question.pick("run", "A blend printed before", "run")
            .optional()
            .hint("how far its middle moved, if that was read");
    private static final Question<Double> DRIFT = Question.number(
                    "drift", "The middle moves with each pull by", "mm", -20, 20)
            .optional()
            .hint("to the right; open for what the run before tells, or none");
    private static final Question<Double> MAY_MOVE =
            Question.number("may-move", "It may move by", "mm", 1, 500).preset("20", Question.Origin.ASSUMPTION);
    private static final Question<Integer> PULLS =
            Question.count("pulls", "Pulls", 1, 500).preset("40", Question.Origin.ASSUMPTION);

    private static final int[] SHOWN = {1, 10, 30};
    private static final String MIDPOINT = "blend midpoint, mm";
    private static final int LEAST_READINGS = 4;
    private static final double LEAST_DRIFT = 0.005;
    private static final int PICTURE_WIDE = 720;
    private static final int PICTURE_HIGH = 96;
    private static final int PLACES = 5;

    /**
     * @param known empty where nobody read it
     */
    private record Drift(double perPull, String origin, boolean known) {}

    @Override
    public Card card() {
        return new Card("blend-holds", "Will the blend hold?", "How does the blend look, and when is it set up anew?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(
                LEFT,
                MIDDLE,
                RIGHT,
                Sheets.FILM,
                Sheets.PAPER,
                ACROSS,
                FIRST,
                SHIFT,
                EACH,
                FRESH,
                WIDEST,
                RUN,
                DRIFT,
                MAY_MOVE,
                PULLS);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        int pulls = replies.to(PULLS);
        Drift drift = drift(replies, studio);
        List<Answer.Point> widths = new ArrayList<>();
        int tooWide = 0;
        for (int pull = 1; pull <= pulls; pull++) {
            double width = BlendRoll.width(spread(replies, pull));
            widths.add(new Answer.Point(pull, width));
            tooWide = tooWide == 0 && width > replies.to(WIDEST) ? pull : tooWide;
        }
        int moved =
                drift.perPull() == 0 ? 0 : (int) StrictMath.floor(replies.to(MAY_MOVE) / Math.abs(drift.perPull())) + 2;
        Answer answer = Answer.titled("Will the blend hold?").text(verdict(tooWide, moved > pulls ? 0 : moved));
        answer = drawn(answer, replies, studio, drift);
        answer = answer.chart("Width of the band, 10 to 90 %", "pull", "mm", widths);
        for (int pull : SHOWN) {
            if (pull <= pulls) {
                answer = answer.quantity(
                        "Width at pull " + pull,
                        StrictMath.round(10 * BlendRoll.width(spread(replies, pull))) / 10.0,
                        "mm",
                        "from 10 to 90 % of one ink");
            }
        }
        double fresh = replies.to(FRESH) / 100;
        if (fresh > 0) {
            answer = answer.quantity(
                    "Where it ends",
                    StrictMath.round(10
                                    * BlendRoll.width(BlendRoll.steady(
                                            begun(replies), replies.to(EACH), replies.to(SHIFT), fresh)))
                            / 10.0,
                    "mm",
                    String.format(Locale.ROOT, "with %.0f %% renewed for each pull", fresh * 100));
        }
        if (drift.perPull() != 0) {
            answer = answer.quantity(
                    "The middle moves",
                    StrictMath.round(100 * drift.perPull()) / 100.0,
                    "mm for each pull",
                    drift.origin());
        }
        if (!drift.known()) {
            answer = answer.assumption("The middle stays where it is: nobody read it", "assumption");
        }
        return answer.assumption("At each stroke half of the ink goes with the roller", "assumption")
                .assumption("What is renewed lies as the blend was set up", "assumption")
                .caution("Two inks of unlike body push apart while rolling up: bring both to the same body first.")
                .with(new Answer.Ask("Bring inks to one body", "same-body", sameBody(replies)));
    }

    private static Map<String, String> sameBody(Replies replies) {
        Map<String, String> inks = new LinkedHashMap<>();
        replies.maybe(LEFT).ifPresent(ink -> inks.put("one", ink));
        replies.maybe(RIGHT).ifPresent(ink -> inks.put("other", ink));
        replies.maybe(MIDDLE).ifPresent(ink -> inks.put("third", ink));
        return inks;
    }

    private static String verdict(int tooWide, int moved) {
        if (tooWide == 1) {
            return "It is too wide with the first pull: fewer strokes, or a smaller shift.";
        }
        if (tooWide == 0 && moved == 0) {
            return "Over these pulls the band stays as narrow as it may be, and where it may be.";
        }
        boolean first = moved == 0 || tooWide > 0 && tooWide <= moved;
        return "From pull " + (first ? tooWide : moved) + " on the band "
                + (first ? "is too wide" : "has moved too far")
                + ": scrape the slab and set the blend up anew before it.";
    }

    private static double begun(Replies replies) {
        return BlendRoll.spread(0, replies.to(FIRST), replies.to(SHIFT));
    }

    /** Standard deviation of a band at a pull, in mm. */
    private static double spread(Replies replies, int pull) {
        return BlendRoll.afterPulls(
                begun(replies), replies.to(EACH), replies.to(SHIFT), replies.to(FRESH) / 100, pull - 1);
    }

    /** As given, else as the middle moved in a run, from reading to reading, so that setting it up anew does not count. */
    private static Drift drift(Replies replies, StudioView studio) {
        if (replies.maybe(DRIFT).isPresent()) {
            return new Drift(seen(replies.to(DRIFT)), "as given", true);
        }
        if (replies.maybe(RUN).isEmpty()) {
            return new Drift(0, "", false);
        }
        StudioView.RunRecord run = studio.runRecord(replies.to(RUN))
                .orElseThrow(() -> new BadInput(RUN.label(), replies.to(RUN), "pick a run of this studio"));
        List<StudioView.PullRow> read =
                run.pulls().stream().filter(pull -> middle(pull).isPresent()).toList();
        List<Double> moves = new ArrayList<>();
        for (int i = 1; i < read.size(); i++) {
            int between = read.get(i).number() - read.get(i - 1).number();
            if (between > 0) {
                moves.add((middle(read.get(i)).getAsDouble()
                                - middle(read.get(i - 1)).getAsDouble())
                        / between);
            }
        }
        if (moves.size() < LEAST_READINGS) {
            throw new BadInput(
                    RUN.label(),
                    run.name(),
                    "where the middle of the blend stood was read on " + read.size()
                            + " pulls only; give how far it moves, or pick another run");
        }
        moves.sort(null);
        int half = moves.size() / 2;
        double median = moves.size() % 2 == 1 ? moves.get(half) : (moves.get(half - 1) + moves.get(half)) / 2;
        return new Drift(seen(median), "measured in " + run.name() + ", median of " + moves.size() + " moves", true);
    }

    /** What is less than a ruler shows over an edition is none. */
    private static double seen(double perPull) {
        return Math.abs(perPull) < LEAST_DRIFT ? 0 : perPull;
    }

    private static OptionalDouble middle(StudioView.PullRow pull) {
        return pull.readings().entrySet().stream()
                .filter(reading -> reading.getKey().equals(MIDPOINT))
                .mapToDouble(Map.Entry::getValue)
                .findFirst();
    }

    /** The blend across the sheet at some pulls. */
    private static Answer drawn(Answer answer, Replies replies, StudioView studio, Drift drift) {
        if (replies.maybe(LEFT).isEmpty() || replies.maybe(RIGHT).isEmpty()) {
            if (replies.maybe(LEFT).isPresent()
                    || replies.maybe(RIGHT).isPresent()
                    || replies.maybe(MIDDLE).isPresent()) {
                throw new BadInput(
                        (replies.maybe(LEFT).isEmpty() ? LEFT : RIGHT).label(), "", "pick both inks at the ends");
            }
            return answer;
        }
        List<Mixed> inks = new ArrayList<>();
        inks.add(Mixed.of(replies.to(LEFT), LEFT.label(), studio));
        replies.maybe(MIDDLE).ifPresent(ink -> inks.add(Mixed.of(ink, MIDDLE.label(), studio)));
        inks.add(Mixed.of(replies.to(RIGHT), RIGHT.label(), studio));
        if (inks.stream().noneMatch(Mixed::isColoured)) {
            return answer.caution(
                    "The colours of these inks are not known: give them a screen colour on the shelf, or read a"
                            + " drawdown, and the blend is shown.");
        }
        double across = replies.to(ACROSS).micrometres() / 1000.0;
        Bands paper = Sheets.paper(replies.to(Sheets.PAPER));
        double film = replies.to(Sheets.FILM);
        Answer told =
                answer.text("From the left: " + inks.stream().map(Mixed::name).collect(Collectors.joining("; ")) + ".");
        for (int pull : SHOWN) {
            if (pull <= replies.to(PULLS)) {
                double moved = drift.perPull() * (pull - 1);
                BlendAcross blend = new BlendAcross(inks, across, spread(replies, pull), moved, film, paper);
                told = told.with(new Answer.Picture(
                        String.format(
                                Locale.ROOT,
                                "Pull %d: the band is %.0f mm wide%s",
                                pull,
                                BlendRoll.width(spread(replies, pull)),
                                moved == 0
                                        ? ""
                                        : String.format(
                                                Locale.ROOT,
                                                " and has moved %.0f mm to the %s",
                                                Math.abs(moved),
                                                moved > 0 ? "right" : "left")),
                        blend.picture("pull-" + pull + ".png", PICTURE_WIDE, PICTURE_HIGH)));
            }
        }
        BlendAcross first = new BlendAcross(inks, across, spread(replies, 1), 0, film, paper);
        List<Answer.Swatch> swatches = new ArrayList<>();
        for (int i = 0; i < PLACES; i++) {
            double at = across * i / (PLACES - 1);
            swatches.add(Sheets.swatch(String.format(Locale.ROOT, "%.0f mm from the left", at), first.seen(at)));
        }
        Answer known = Answer.titled("");
        for (Mixed ink : inks) {
            known = ink.told(known);
        }
        told = told.with(new Answer.Swatches("At the first pull, as computed", swatches))
                .with(new Answer.Deeper("What these inks are known by", known.blocks()));
        return Sheets.honest(told, inks);
    }
}
