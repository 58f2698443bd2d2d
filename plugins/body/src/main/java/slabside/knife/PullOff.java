package slabside.knife;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import slabside.body.Pull;
import slabside.measure.BadInput;
import slabside.measure.Length;
import slabside.measure.Mass;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** How tacky an ink is by how long a disc takes to come off it under a weight: a substitute at the bench, compared with itself. */
public final class PullOff implements Calculator {
    private static final Question<Length> DISC =
            Question.length("disc", "Disc, across").hint("flat, such as a coin or a glass lid");
    private static final Question<Double> VOLUME = Question.number("volume", "Ink between", "ml", 0.001, 10)
            .hint("as weighed, a gram of ink is about a millilitre");
    private static final Question<Mass> PULL =
            Question.mass("pull", "Weight that pulls").hint("hung on a thread over an edge, the disc's own taken off");
    private static final Question<Double> SECONDS = Question.number("seconds", "Comes off after", "s", 0.2, 86_400);
    private static final double G = 9.80665;
    /** Relative standard uncertainties of the amount and of the time; assumptions. */
    private static final double AMOUNT = 0.05;

    private static final int PLACES = 10;
    private static final double HAND = 0.3;
    private static final double RULER = 0.0005;
    private static final double LARGEST = 0.3;
    /** A film as thick as this part of the radius is none. */
    private static final double THIN = 0.1;

    @Override
    public Card card() {
        return new Card("pull-off", "Disc pulled off", "How hard does this ink hold on?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(DISC, VOLUME, PULL, SECONDS);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        double radius = replies.to(DISC).micrometres() / 2e6;
        if (radius > LARGEST / 2) {
            throw new BadInput(DISC.label(), radius * 2000 + " mm", "give a disc of at most 300 mm");
        }
        double film = replies.to(VOLUME) / 1e6 / (StrictMath.PI * radius * radius);
        if (film > THIN * radius) {
            throw new BadInput(
                    VOLUME.label(),
                    replies.to(VOLUME) + " ml",
                    String.format(
                            Locale.ROOT,
                            "under that disc it is %.2f mm thick: no film; take less ink or a larger disc",
                            film * 1000));
        }
        double force = replies.to(PULL).milligrams() / 1e6 * G;
        double seconds = replies.to(SECONDS);
        // The time goes in a straight line with viscosity.
        double viscosity = seconds / Pull.secondsApart(1, radius, film, force);
        double relative = StrictMath.sqrt(StrictMath.pow(2 * AMOUNT, 2)
                + StrictMath.pow(HAND / seconds, 2)
                + StrictMath.pow(8 * RULER / StrictMath.sqrt(3) / (2 * radius), 2));
        List<Answer.Point> line = new ArrayList<>();
        for (int i = 1; i <= PLACES; i++) {
            double other = 2 * viscosity * i / PLACES;
            line.add(new Answer.Point(other, Pull.secondsApart(other, radius, film, force)));
        }
        return Answer.titled("Disc pulled off")
                .quantity(
                        "Viscosity that would take so long",
                        new Uncertain(viscosity, viscosity * relative),
                        "Pa·s",
                        "4 F h² t / (3 π R⁴), as an ink without a yield stress (Stefan 1874)")
                .chart("How long this disc would take", "Pa·s", "s", line)
                .quantity("Film under the disc", film * 1e6, "µm", "volume / area")
                .with(new Answer.Deeper(
                        "How it is done",
                        List.of(new Answer.Steps(List.of(
                                new Answer.Step("Weigh the ink onto a glass that is held down", ""),
                                new Answer.Step("Press the disc onto it until the ink shows all round its rim", ""),
                                new Answer.Step("Let the weight pull straight up, and start the clock", ""),
                                new Answer.Step("Stop it when the disc comes off", ""))))))
                .caution(
                        "Tack is the force to split a film between rollers (ISO 12634): this is no such number. It orders inks tried"
                                + " with the same disc, amount and weight, in the same room.")
                .caution(
                        "An ink that yields holds a small weight for ever: take one that brings the disc off within some minutes.")
                .assumption(
                        "The amount is right within 5 %, the hand within 0.3 s, the ruler within 0.5 mm", "assumption");
    }
}
