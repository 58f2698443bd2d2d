package slabside.swatch;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import slabside.colour.Bands;
import slabside.colour.CieLab;
import slabside.looks.Known;
import slabside.looks.Mixed;
import slabside.looks.Sheets;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** What a mix will look like as a thin film on paper, thicker and thinner, and let down. */
public final class FilmLooks implements Calculator {
    private static final Question<String> MIX = Question.pick("mix", "Mix", "vessel");
    private static final double[] WEIGHTS = {0.5, 1, 1.5, 2, 3, 4, 6};
    private static final int[] LET_DOWNS = {1, 2, 4, 8, 16};

    @Override
    public Card card() {
        return new Card(
                "film-looks", "What this film looks like", "What will this ink look like, printed thin on paper?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(MIX, Sheets.FILM, Sheets.PAPER);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        Mixed mix = Mixed.of(replies.to(MIX), MIX.label(), studio);
        Bands paper = Sheets.paper(replies.to(Sheets.PAPER));
        double weight = replies.to(Sheets.FILM);
        if (!mix.isColoured()) {
            return mix.told(Answer.titled("What this film looks like")
                    .text("Nothing in " + mix.name()
                            + " has a colour that is known. Give its inks a screen colour on the shelf, or"
                            + " read a drawdown."));
        }
        Bands film = mix.film().times(weight).over(paper);
        Bands bar = mix.film().times(weight).over(Sheets.blackBar());
        CieLab seen = Sheets.seen(film);
        List<Answer.Swatch> swatches = new ArrayList<>();
        mix.read()
                .ifPresent(read -> swatches.add(
                        Sheets.read(String.format(Locale.ROOT, "as it was read, %.1f g/m²", read.grams()), read)));
        swatches.add(Sheets.swatch("on the paper", film));
        swatches.add(Sheets.swatch("over a black bar", bar));
        swatches.add(Sheets.swatch("the bare paper", paper));
        Answer answer = Answer.titled("What this film looks like")
                .with(new Answer.Swatches(
                        mix.name() + String.format(Locale.ROOT, ", %.1f g/m², as computed", weight), swatches))
                .quantity("L*", new Uncertain(seen.l(), Sheets.sure(mix)), "", "lightness under D50, 2°")
                .quantity("a*", new Uncertain(seen.a(), Sheets.sure(mix)), "", "from green to red")
                .quantity("b*", new Uncertain(seen.b(), Sheets.sure(mix)), "", "from blue to yellow")
                .with(new Answer.Swatches("Let down with clear base, the same film", letDowns(mix, weight, paper)))
                .with(new Answer.Swatches("Thinner and thicker films", weights(mix, paper)));
        List<Answer.Point> lightness = new ArrayList<>();
        for (double each = 0; each <= 6; each += 0.5) {
            lightness.add(new Answer.Point(
                    each, Sheets.seen(mix.film().times(each).over(paper)).l()));
        }
        if (mix.film().scatteringKnown()) {
            double shown = mix.film().times(weight).shownOverBlack(Sheets.blackBar(), Known.D50);
            answer = answer.quantity(
                    "Shown over black",
                    StrictMath.round(shown * 10) / 10.0,
                    "ΔE*ab",
                    "0 is wholly transparent (after ISO 2846-1, at this one weight)");
        }
        double thicker = Sheets.apart(film, mix.film().times(weight * 1.1).over(paper));
        answer = answer.chart("Lightness over the weight of the film", "g/m²", "L*", lightness)
                .quantity("A film heavier by a tenth", StrictMath.round(thicker * 10) / 10.0, "ΔE00", "from this one");
        return Sheets.honest(mix.told(answer), List.of(mix));
    }

    private static List<Answer.Swatch> letDowns(Mixed mix, double weight, Bands paper) {
        List<Answer.Swatch> swatches = new ArrayList<>();
        for (int times : LET_DOWNS) {
            swatches.add(Sheets.swatch(
                    times == 1 ? "as it is" : times + " times weaker",
                    mix.film().times(weight / times).over(paper)));
        }
        return swatches;
    }

    private static List<Answer.Swatch> weights(Mixed mix, Bands paper) {
        List<Answer.Swatch> swatches = new ArrayList<>();
        for (double each : WEIGHTS) {
            swatches.add(Sheets.swatch(
                    String.format(Locale.ROOT, "%.1f g/m²", each),
                    mix.film().times(each).over(paper)));
        }
        return swatches;
    }
}
