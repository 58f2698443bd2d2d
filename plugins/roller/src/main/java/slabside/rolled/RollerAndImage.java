package slabside.rolled;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import slabside.body.Rolling;
import slabside.measure.BadInput;
import slabside.measure.Length;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** Which roller of the studio covers an image in one turn and in one width, and where a lap line will show. */
public final class RollerAndImage implements Calculator {
    private static final Question<Length> LONG = Question.length("length", "Image in the direction of rolling");
    private static final Question<Length> WIDE = Question.length("width", "and across");
    private static final Question<Length> DIAMETER = Question.length(
                    "diameter", "A roller that is not listed, its diameter")
            .optional();
    private static final Question<Length> FACE =
            Question.length("face", "and the width of its face").optional();
    private static final double LARGEST_M = 1;
    /** Diameters that are shown, cm. */
    private static final int SMALLEST_CM = 5;

    private static final int LARGEST_CM = 40;

    /** A roller, in m. */
    private record Roller(String name, double diameter, double face) {}

    @Override
    public Card card() {
        return new Card("roller-and-image", "Roller and image", "Which roller covers this image without a lap line?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(LONG, WIDE, DIAMETER, FACE);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        double length = metres(replies.to(LONG));
        double width = metres(replies.to(WIDE));
        List<Roller> rollers = rollers(studio);
        if (replies.maybe(DIAMETER).isPresent()) {
            double diameter = metres(replies.to(DIAMETER));
            if (diameter > LARGEST_M) {
                throw new BadInput(DIAMETER.label(), replies.to(DIAMETER), "give a diameter of at most 1 m");
            }
            rollers.add(new Roller(
                    "this one",
                    diameter,
                    replies.maybe(FACE).map(RollerAndImage::metres).orElse(0.0)));
        }
        if (rollers.isEmpty()) {
            throw new BadInput(
                    DIAMETER.label(), "", "no roller with a diameter is listed in the studio; give one, or list yours");
        }
        List<List<String>> rows = new ArrayList<>();
        List<String> fit = new ArrayList<>();
        for (Roller roller : rollers) {
            double turns = Rolling.turns(length, roller.diameter());
            double circumference = StrictMath.PI * roller.diameter();
            boolean covers = turns <= 1;
            boolean wide = roller.face() >= width;
            int bands = roller.face() > 0 ? (int) StrictMath.ceil(width / roller.face()) : 0;
            if (covers && wide) {
                fit.add(roller.name());
            }
            rows.add(List.of(
                    roller.name(),
                    String.format(Locale.ROOT, "%.0f", circumference * 1000),
                    String.format(Locale.ROOT, "%.2f", turns),
                    covers
                            ? "none"
                            : String.format(
                                    Locale.ROOT,
                                    "after %.0f mm, then each %.0f mm",
                                    circumference * 1000,
                                    circumference * 1000),
                    roller.face() == 0
                            ? "not known"
                            : wide
                                    ? String.format(
                                            Locale.ROOT,
                                            "in one, %.0f mm free at each side",
                                            (roller.face() - width) * 500)
                                    : bands + " side by side"));
        }
        List<Answer.Point> turns = new ArrayList<>();
        for (int diameter = SMALLEST_CM; diameter <= LARGEST_CM; diameter++) {
            turns.add(new Answer.Point(diameter, Rolling.turns(length, diameter / 100.0)));
        }
        return Answer.titled("Roller and image")
                .text(
                        fit.isEmpty()
                                ? "None of these covers it in one turn and one width: roll in changing directions, and lift off where"
                                        + " the drawing hides a line."
                                : "Covers it in one turn and one width: " + String.join(", ", fit) + ".")
                .table(
                        "Rollers",
                        List.of("roller", "circumference, mm", "turns over the image", "lap line", "width"),
                        rows)
                .chart("Turns over this image, by the roller's diameter", "cm", "turns", turns)
                .assumption(
                        "A roller rolls off its circumference: a soft nap is a little shorter under pressure",
                        "assumption")
                .text(
                        "A roller whose circumference is shorter than the image brings back its own beginning: where it laps, the film"
                                + " is another, and a line shows in a flat.");
    }

    private static double metres(Length length) {
        return length.micrometres() / 1e6;
    }

    private static List<Roller> rollers(StudioView studio) {
        List<Roller> rollers = new ArrayList<>();
        String next = "";
        do {
            StudioView.Page page = studio.events("shelf.tool-listed", next);
            for (StudioView.Moment moment : page.moments()) {
                double diameter = moment.fields().at("diameterUm").number().orElse(0) / 1e6;
                if (moment.fields().at("kind").text().equals("roller") && diameter > 0) {
                    rollers.add(new Roller(
                            moment.fields().at("name").text(),
                            diameter,
                            moment.fields().at("widthUm").number().orElse(0) / 1e6));
                }
            }
            next = page.next();
        } while (!next.isEmpty());
        return rollers;
    }
}
