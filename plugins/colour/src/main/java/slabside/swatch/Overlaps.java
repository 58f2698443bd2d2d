package slabside.swatch;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import slabside.colour.Bands;
import slabside.colour.Overprint;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** What two or three inks give where one is printed over the other, in every order. */
public final class Overlaps implements Calculator {
    private static final Question<String> FIRST = Question.pick("first", "One ink", "vessel");
    private static final Question<String> SECOND = Question.pick("second", "Another", "vessel");
    private static final Question<String> THIRD =
            Question.pick("third", "A third", "vessel").optional();
    /** Darkest that ink makes this paper, as a part of a perfect white. */
    private static final Question<Double> DARKEST = Question.percent(
                    "darkest", "Luminance of the darkest black on this paper", 0, 20)
            .preset("2", Question.Origin.ASSUMPTION)
            .hint("Y of a solid black; a gloss of the surface that no ink takes away");

    /** Of 27 overprints measured on nine printing conditions, each predicted with constants fitted on the other eight. */
    static final String MEASURED =
            "On 27 overprints of two inks, measured on nine printing conditions, this is off by ΔE00 2.2 in the"
                    + " middle and 5.6 at most, where the solids were known by L*a*b*; on nine of three inks by 3.9 in the middle (indicative)."
                    + " Those were machine prints with process inks.";

    private static final String SCATTERS =
            "One of these inks holds an opaque white: films are laid one over the other by what they"
                    + " absorb and scatter (Kubelka and Munk). How far that is off was not measured.";

    @Override
    public Card card() {
        return new Card("overlaps", "Overlaps", "What colour will these inks give, one over the other?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(FIRST, SECOND, THIRD, Sheets.FILM, Sheets.PAPER, DARKEST);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        Bands paper = Sheets.paper(replies.to(Sheets.PAPER));
        double weight = replies.to(Sheets.FILM);
        List<Mixed> mixes = new ArrayList<>();
        for (Question<String> question : List.of(FIRST, SECOND, THIRD)) {
            replies.maybe(question).ifPresent(vessel -> mixes.add(Mixed.of(vessel, question.label(), studio)));
        }
        List<Bands> alone =
                mixes.stream().map(mix -> mix.film().times(weight).over(paper)).toList();
        boolean scatters = mixes.stream().anyMatch(mix -> mix.film().scatters());
        Overprint overprint = Overprint.onPaperWithBlack(replies.to(DARKEST) / 100);
        List<Answer.Swatch> singles = new ArrayList<>();
        for (int i = 0; i < mixes.size(); i++) {
            singles.add(Sheets.swatch(mixes.get(i).name(), alone.get(i)));
        }
        singles.add(Sheets.swatch("the bare paper", paper));
        List<List<Integer>> orders = orders(mixes.size());
        Answer answer = Answer.titled("Overlaps")
                .with(new Answer.Swatches(
                        String.format(Locale.ROOT, "Each alone, %.1f g/m², as computed", weight), singles))
                .with(new Answer.Swatches(
                        "One over the other, as computed",
                        orders.stream()
                                .map(order -> Sheets.swatch(
                                        name(order, mixes),
                                        over(order, mixes, alone, weight, paper, overprint, scatters)))
                                .toList()))
                .text(scatters ? SCATTERS : MEASURED);
        List<List<String>> care = new ArrayList<>();
        for (List<Integer> order : orders) {
            if (order.size() == 2 && order.get(0) < order.get(1)) {
                List<Integer> turned = List.of(order.get(1), order.get(0));
                care.add(List.of(
                        name(order, mixes) + " or the other way round",
                        String.format(
                                Locale.ROOT,
                                "%.1f",
                                Sheets.apart(
                                        over(order, mixes, alone, weight, paper, overprint, scatters),
                                        over(turned, mixes, alone, weight, paper, overprint, scatters)))));
            }
        }
        answer = answer.table("How much the order matters", List.of("pair", "ΔE00"), care);
        if (!scatters) {
            answer = answer.assumption(
                    String.format(
                            Locale.ROOT,
                            "A later film lies thinner on a film than on paper (exponent %.3f)",
                            Overprint.USUAL_TRAPPING),
                    "measured on machine prints; your own press may differ");
        }
        for (Mixed mix : mixes) {
            answer = mix.told(answer);
        }
        return Sheets.honest(answer, mixes);
    }

    /** Every order of two, and of three where there are three. */
    private static List<List<Integer>> orders(int inks) {
        List<List<Integer>> orders = new ArrayList<>();
        for (int i = 0; i < inks; i++) {
            for (int j = 0; j < inks; j++) {
                if (i != j) {
                    orders.add(List.of(i, j));
                }
            }
        }
        if (inks == 3) {
            for (int i = 0; i < inks; i++) {
                for (int j = 0; j < inks; j++) {
                    if (i != j) {
                        orders.add(List.of(i, j, 3 - i - j));
                    }
                }
            }
        }
        return orders;
    }

    private static Bands over(
            List<Integer> order,
            List<Mixed> mixes,
            List<Bands> alone,
            double weight,
            Bands paper,
            Overprint overprint,
            boolean scatters) {
        if (!scatters) {
            return overprint.of(paper, chosen(order, alone));
        }
        Bands under = paper;
        for (int each : order) {
            under = mixes.get(each).film().times(weight).over(under);
        }
        return under;
    }

    private static List<Bands> chosen(List<Integer> order, List<Bands> alone) {
        return order.stream().map(alone::get).toList();
    }

    private static String name(List<Integer> order, List<Mixed> mixes) {
        Stream<String> names = order.stream().map(each -> mixes.get(each).name());
        return String.join(", then ", names.toList());
    }
}
