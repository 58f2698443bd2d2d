package slabside.swatch;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import slabside.colour.Bands;
import slabside.colour.CieLab;
import slabside.colour.Illuminant;
import slabside.colour.InkFilm;
import slabside.colour.Light;
import slabside.colour.Metamerism;
import slabside.colour.Observer;
import slabside.colour.RecipeSearch;
import slabside.colour.Srgb;
import slabside.measure.BadInput;
import slabside.measure.Lab;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** Which inks of this studio, in how much base, come nearest to a colour. */
public final class WhatCouldMake implements Calculator {
    private static final Question<Lab> TARGET =
            Question.lab("target", "The colour, under D50").optional();
    private static final Question<String> SCREEN =
            Question.screenColour("screen", "or a colour as a screen shows it").optional();
    private static final Question<String> LIKE =
            Question.pick("like", "or as this ink looks", "vessel").optional();
    private static final Question<Integer> INKS =
            Question.count("inks", "Inks in one mix, at most", 1, 4).preset("3", Question.Origin.ASSUMPTION);
    private static final Question<Double> BASE =
            Question.percent("base", "Transparent base, at least", 0, 99).preset("50", Question.Origin.COMMON_PRACTICE);
    private static final int ANSWERS = 5;
    /** ΔE00 up to which a match is called one; a difference of 1 can just be seen side by side (common practice, no source). */
    private static final double NEAR = 2;

    private static final Light LAMP = Light.weighted(Illuminant.A, Observer.TWO_DEGREES);

    @Override
    public Card card() {
        return new Card(
                "what-could-make", "What could make this colour?", "Which of my inks, in how much base, come nearest?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(TARGET, SCREEN, LIKE, INKS, BASE, Sheets.FILM, Sheets.PAPER);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        Bands paper = Sheets.paper(replies.to(Sheets.PAPER));
        double weight = replies.to(Sheets.FILM);
        CieLab target = target(replies, studio, weight, paper);
        List<Known> inks = new ArrayList<>();
        for (StudioView.Material material : studio.materials()) {
            Known known = Known.of(material, studio);
            if (known.rank() < 3) {
                inks.add(known);
            }
        }
        if (inks.isEmpty()) {
            throw new BadInput(
                    "inks", "none", "no ink of this studio has a colour that is known; give them screen colours");
        }
        List<InkFilm> films = inks.stream().map(ink -> ink.film().times(weight)).toList();
        RecipeSearch.Result result =
                RecipeSearch.search(films, paper, Known.D50, target, replies.to(INKS), replies.to(BASE) / 100, ANSWERS);
        double nearest = result.found().get(0).difference();
        Answer answer = Answer.titled("What could make this colour?")
                .text(
                        nearest <= NEAR
                                ? "The first of these comes as near as can be seen, by what is known of the inks."
                                : String.format(
                                        Locale.ROOT,
                                        "None of these inks makes it on this paper: the nearest is off by ΔE00 %.1f.",
                                        nearest));
        List<Answer.Swatch> swatches = new ArrayList<>();
        swatches.add(new Answer.Swatch("wanted", Srgb.ofD50(target).hex(), Sheets.numbers(target)));
        for (int i = 0; i < result.found().size(); i++) {
            RecipeSearch.Found found = result.found().get(i);
            swatches.add(new Answer.Swatch(
                    String.valueOf(i + 1),
                    Srgb.ofD50(found.seen()).hex(),
                    String.format(Locale.ROOT, "ΔE00 %.1f", found.difference())));
        }
        answer = answer.with(new Answer.Swatches("Wanted, and as computed", swatches));
        for (int i = 0; i < result.found().size(); i++) {
            answer = answer.with(strip(i + 1, result.found().get(i), inks));
        }
        answer = answer.table(
                "One step deeper",
                List.of(
                        "mix",
                        "ΔE00",
                        "shift under a lamp (A)",
                        "0.1 g more of the strongest in 100 g",
                        "a film heavier by a tenth"),
                rows(result, films, paper));
        return Sheets.honest(
                answer.table(
                        "What the inks are known by",
                        List.of("material", "known from"),
                        inks.stream()
                                .map(ink -> List.of(ink.material().name(), ink.how()))
                                .toList()),
                inks.stream().mapToInt(Known::rank).max().orElse(0));
    }

    private static CieLab target(Replies replies, StudioView studio, double weight, Bands paper) {
        Optional<CieLab> read = replies.maybe(TARGET).map(CieLab::of);
        Optional<CieLab> screen = replies.maybe(SCREEN).map(hex -> Srgb.of(hex).labD50());
        Optional<CieLab> like = replies.maybe(LIKE)
                .map(vessel -> Sheets.seen(Mixed.of(vessel, LIKE.label(), studio)
                        .film()
                        .times(weight)
                        .over(paper)));
        return read.or(() -> screen)
                .or(() -> like)
                .orElseThrow(() -> new BadInput(
                        TARGET.label(),
                        "",
                        "give the colour as L* a* b*, as a screen shows it, or by an ink that has it"));
    }

    /** Shares of a mix, the base as the rest. */
    private static Answer.Strip strip(int number, RecipeSearch.Found found, List<Known> inks) {
        List<Answer.Part> parts = new ArrayList<>();
        double rest = 1;
        for (int i = 0; i < found.inks().size(); i++) {
            Known ink = inks.get(found.inks().get(i));
            parts.add(new Answer.Part(
                    ink.material().name(), found.shares().get(i), ink.material().screen()));
            rest -= found.shares().get(i);
        }
        parts.add(0, new Answer.Part("transparent base", Math.max(0, rest), ""));
        return new Answer.Strip(
                number + ": "
                        + String.join(
                                ", ",
                                parts.stream()
                                        .map(part -> String.format(
                                                Locale.ROOT, "%s %.2f %%", part.label(), part.share() * 100))
                                        .toList()),
                parts);
    }

    private static List<List<String>> rows(RecipeSearch.Result result, List<InkFilm> films, Bands paper) {
        List<List<String>> rows = new ArrayList<>();
        for (int n = 0; n < result.found().size(); n++) {
            RecipeSearch.Found found = result.found().get(n);
            Bands made = made(found, films, 0, 1).over(paper);
            rows.add(List.of(
                    String.valueOf(n + 1),
                    String.format(Locale.ROOT, "%.2f", found.difference()),
                    String.format(Locale.ROOT, "%.1f", Metamerism.shift(made, Known.D50, LAMP)),
                    String.format(
                            Locale.ROOT,
                            "%.1f",
                            found.inks().isEmpty()
                                    ? 0
                                    : Sheets.apart(
                                            made, made(found, films, 0.001, 1).over(paper))),
                    String.format(
                            Locale.ROOT,
                            "%.1f",
                            Sheets.apart(made, made(found, films, 0, 1.1).over(paper)))));
        }
        return rows;
    }

    /** The film of an answer, with a little more of its greatest share, and thicker. */
    private static InkFilm made(RecipeSearch.Found found, List<InkFilm> films, double more, double thicker) {
        if (found.inks().isEmpty()) {
            return InkFilm.clear();
        }
        int strongest = 0;
        for (int i = 1; i < found.shares().size(); i++) {
            if (found.shares().get(i) > found.shares().get(strongest)) {
                strongest = i;
            }
        }
        double[] shares = new double[found.shares().size()];
        for (int i = 0; i < shares.length; i++) {
            shares[i] = found.shares().get(i) + (i == strongest ? more : 0);
        }
        return InkFilm.mixed(found.inks().stream().map(films::get).toList(), shares)
                .times(thicker);
    }
}
