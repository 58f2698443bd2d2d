package slabside.swatch;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalLong;
import slabside.colour.Bands;
import slabside.colour.CieLab;
import slabside.colour.Smoothest;
import slabside.looks.Known;
import slabside.measure.BadInput;
import slabside.measure.Lab;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Json;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/**
 * How strong a lot of an ink is beside another, both bleached with the same white: from readings of the two tints, or from how much
 * white each took until they were alike.
 */
public final class Bleaching implements Calculator {
    private static final Question<String> LOT = Question.pick("lot", "The new can", "can");
    private static final Question<String> AGAINST = Question.pick("against", "beside this one", "can");
    private static final Question<Double> WHITE = Question.number("white", "White for 1 g of the old", "g", 1, 10_000)
            .preset("50", Question.Origin.COMMON_PRACTICE);
    private static final Question<Double> NEW_WHITE = Question.number(
                    "new-white", "White for 1 g of the new", "g", 1, 10_000)
            .optional()
            .hint("the same, or as much as made them alike");
    private static final Question<Lab> OLD_TINT =
            Question.lab("old-tint", "Tint of the old, under D50").optional();
    private static final Question<Lab> NEW_TINT =
            Question.lab("new-tint", "Tint of the new, under D50").optional();
    /** Standard uncertainty of L* as it is read, and of the white until two tints look alike; assumptions. */
    private static final double READING = 0.3;

    private static final double ALIKE = 0.05;

    @Override
    public Card card() {
        return new Card("bleach-test", "Strength by a bleach test", "How strong is the new lot beside the old?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(LOT, AGAINST, WHITE, NEW_WHITE, OLD_TINT, NEW_TINT);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        if (replies.to(LOT).equals(replies.to(AGAINST))) {
            throw new BadInput(AGAINST.label(), replies.to(AGAINST), "pick another can than the new one");
        }
        double white = replies.to(WHITE);
        double newWhite = replies.maybe(NEW_WHITE).orElse(white);
        Optional<Lab> old = replies.maybe(OLD_TINT);
        Optional<Lab> tint = replies.maybe(NEW_TINT);
        if (old.isPresent() != tint.isPresent()) {
            throw new BadInput(
                    old.isPresent() ? NEW_TINT.label() : OLD_TINT.label(),
                    "",
                    "give both tints as they were read, or neither");
        }
        if (old.isEmpty() && replies.maybe(NEW_WHITE).isEmpty()) {
            throw new BadInput(NEW_WHITE.label(), "", "give the white that made both tints alike, or read both tints");
        }
        // Absorbing beside scattering is as the ink beside the white (Kubelka and Munk).
        double ratio = newWhite / white;
        double relative = old.isPresent() ? 0 : ALIKE;
        String working = "white of the new / white of the old";
        if (old.isPresent()) {
            Bands one = surface(OLD_TINT, old.get());
            Bands other = surface(NEW_TINT, tint.orElseThrow());
            int band = darkest(one);
            ratio *= depth(other, band) / depth(one, band);
            relative = StrictMath.hypot(
                    Math.abs(depth(surface(OLD_TINT, shifted(old.get())), band) / depth(one, band) - 1),
                    Math.abs(depth(surface(NEW_TINT, shifted(tint.get())), band) / depth(other, band) - 1));
            working = String.format(
                    Locale.ROOT,
                    "(1 − R)² / 2R at %d nm, new beside old, times white of the new / white of the old",
                    Bands.FIRST + band * Bands.STEP);
        }
        Uncertain percent = new Uncertain(100 * ratio, 100 * ratio * relative);
        BigDecimal rounded = BigDecimal.valueOf(percent.value()).setScale(0, RoundingMode.HALF_UP);
        return Answer.titled("Strength by a bleach test")
                .quantity("Strength of the new beside the old", percent, "%", working)
                .text(String.format(
                        Locale.ROOT,
                        "Where a recipe takes 1 g of the old, take %.2f g of the new; base makes up the difference.",
                        1 / ratio))
                .assumption(
                        "Both tints hold so much white that it alone scatters, and are read thick, over nothing that shows"
                                + " through",
                        "after ISO 787-24, from memory")
                .caution(
                        "Strength says nothing of hue: look at both tints side by side, and at both let down with base.")
                .with(new Answer.Proposed(
                        "Write the strength down",
                        List.of(new Answer.Proposal(
                                "test.strength-judged",
                                1,
                                Json.fields()
                                        .with("lot", replies.to(LOT))
                                        .with("against", replies.to(AGAINST))
                                        .with("percent", rounded.toPlainString())
                                        .with("words", "bleach test with white"),
                                "",
                                List.of(),
                                OptionalLong.empty()))));
    }

    private static Lab shifted(Lab lab) {
        return new Lab(lab.l().subtract(BigDecimal.valueOf(READING)).max(BigDecimal.ZERO), lab.a(), lab.b());
    }

    private static Bands surface(Question<Lab> question, Lab lab) {
        return Smoothest.of(CieLab.of(lab), Known.PLAIN_D50)
                .orElseThrow(() -> new BadInput(question.label(), lab, "no surface looks so; check L*, a* and b*"));
    }

    /** The band in which a tint takes most light away, where its strength shows. */
    private static int darkest(Bands tint) {
        int darkest = 0;
        for (int band = 1; band < Bands.COUNT; band++) {
            darkest = tint.get(band) < tint.get(darkest) ? band : darkest;
        }
        return darkest;
    }

    private static double depth(Bands tint, int band) {
        double r = Math.max(1e-4, tint.get(band));
        if (r > 0.97) {
            throw new BadInput(
                    "tint", String.format(Locale.ROOT, "%.0f %%", r * 100), "it is nearly white; take less white");
        }
        return (1 - r) * (1 - r) / (2 * r);
    }
}
