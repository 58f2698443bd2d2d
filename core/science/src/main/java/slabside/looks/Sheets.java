package slabside.looks;

import java.util.List;
import java.util.Optional;
import slabside.colour.Bands;
import slabside.colour.CieLab;
import slabside.colour.Difference;
import slabside.colour.Smoothest;
import slabside.colour.Srgb;
import slabside.measure.BadInput;
import slabside.measure.Lab;
import slabside.plugin.Answer;
import slabside.plugin.Question;

/** Papers, black bars, and colours in words. */
public final class Sheets {
    /** Asked by each calculator here. */
    public static final Question<Lab> PAPER = Question.lab("paper", "Paper, under D50")
            .preset("95 0 2", Question.Origin.ASSUMPTION)
            .hint("L* a* b* of the bare sheet");

    public static final Question<Double> FILM = Question.number("film", "Film on the paper", "g/m²", 0.1, 20)
            .preset("3", Question.Origin.COMMON_PRACTICE)
            .hint("hand flats 2 to 4, crayon and wash 1 to 2");

    /** Darkest that ink makes this paper, as a part of a perfect white. */
    public static final Question<Double> DARKEST = Question.percent(
                    "darkest", "Luminance of the darkest black on this paper", 0, 20)
            .preset("2", Question.Origin.ASSUMPTION)
            .hint("Y of a solid black; a gloss of the surface that no ink takes away");

    /** Reflectance of a printed black bar. */
    private static final double BLACK = 0.03;

    /** Part by which a film may be heavier or lighter and still be shown as it was read. */
    private static final double SAME_WEIGHT = 0.05;

    private Sheets() {}

    public static Bands paper(Lab lab) {
        return Smoothest.of(CieLab.of(lab), Known.PLAIN_D50)
                .orElseThrow(() -> new BadInput(PAPER.label(), lab, "no sheet looks so; check L*, a* and b*"));
    }

    public static Bands blackBar() {
        return Known.white(BLACK);
    }

    public static CieLab seen(Bands surface) {
        return Known.D50.lab(surface);
    }

    /** A swatch with its numbers; a colour that no screen shows is said to be cut. */
    public static Answer.Swatch swatch(String label, Bands surface) {
        CieLab lab = seen(surface);
        Srgb screen = Srgb.ofD50(lab);
        return new Answer.Swatch(
                label, screen.hex(), numbers(lab) + (screen.inGamut() ? "" : "; no screen shows it whole"));
    }

    /** Wet films look darker and richer: they are not compared with dry ones. */
    public static Answer wetBesideDry(Answer answer, List<Known> inks) {
        boolean wet = inks.stream().anyMatch(Known::wet);
        boolean dry = inks.stream().anyMatch(ink -> ink.rank() < 3 && !ink.wet());
        return !wet
                ? answer
                : answer.caution(
                        dry
                                ? "Some of these inks were read wet and some dry: wet films look darker and richer. Read them all dry."
                                : "These inks were read wet; dry they will look lighter and duller. Read them dry.");
    }

    /** A swatch of what an instrument read. */
    public static Answer.Swatch read(String label, ReadFilm read) {
        Answer.Swatch swatch = measured(label, read.seen(), read.remark());
        return new Answer.Swatch(label, swatch.screen(), swatch.words(), read.measured());
    }

    public static Answer.Swatch measured(String label, Bands surface, String words) {
        Answer.Swatch swatch = swatch(label, surface);
        return new Answer.Swatch(label, swatch.screen(), swatch.words() + (words.isEmpty() ? "" : "; " + words), true);
    }

    /** An ink by itself: as it was read, where that film was as heavy, or as computed. */
    public static Answer.Swatch single(Mixed ink, double weight, Bands computed) {
        return ink.read()
                .filter(read -> Math.abs(read.grams() - weight) <= SAME_WEIGHT * weight)
                .map(read -> read(ink.name(), read))
                .orElseGet(() -> swatch(ink.name(), computed));
    }

    public static String numbers(CieLab lab) {
        return String.format(
                java.util.Locale.ROOT,
                "L* %.0f a* %.0f b* %.0f",
                lab.l(),
                0.0 + StrictMath.round(lab.a()),
                0.0 + StrictMath.round(lab.b()));
    }

    /** How far two surfaces are apart under D50. */
    public static double apart(Bands one, Bands other) {
        return Difference.ciede2000(seen(one), seen(other));
    }

    /** Standard uncertainty of each of L*, a*, b*, by the worst of what a mix is known by; assumptions, and told as such. */
    private static final double[] SURE = {1, 2, 5, 5};

    public static double sure(Mixed mix) {
        return SURE[mix.rank()];
    }

    /** How sure any of this is, by the worst of what it stands on. */
    public static Answer honest(Answer answer, List<Mixed> mixes) {
        return honest(answer, mixes.stream().mapToInt(Mixed::rank).max().orElse(0));
    }

    /**
     * @param worst rank of what is known least
     */
    public static Answer honest(Answer answer, int worst) {
        Optional<String> words = worst == 2
                ? Optional.of(
                        "At least one colour is known only from a screen or a photo: this shows the direction, not the colour. A"
                                + " dab decides. An instrument's reading of a drawdown makes it much surer.")
                : worst == 1
                        ? Optional.of(
                                "At least one colour is known by L*a*b* alone: under another lamp it may look otherwise.")
                        : Optional.empty();
        // Before anything that looks like a colour.
        Answer told = words.map(caution ->
                        Answer.titled(answer.title()).caution(caution).withAll(answer.blocks()))
                .orElse(answer);
        return told.assumption(
                        String.format(
                                java.util.Locale.ROOT,
                                "A colour known like this is off by about %.0f in each of L*, a*, b*",
                                2 * SURE[worst]),
                        "assumption")
                .assumption(
                        "Films only take light away, but for an opaque white and inks that were read over black too",
                        "assumption")
                .assumption(
                        "The density of all materials is alike, so that shares by weight are shares of the film",
                        "assumption");
    }
}
