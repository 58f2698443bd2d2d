package slabside.quantity;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import slabside.measure.Mass;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** How much base makes a mix weaker, and what to set aside first when the slab would be too full. */
public final class LetDown implements Calculator {
    private static final Question<String> MIX = Question.pick("mix", "Mix", "vessel");
    private static final Question<Double> TIMES = Question.number("times", "How many times weaker", "×", 1.01, 100);
    private static final Question<Mass> ROOM =
            Question.mass("room", "Most the slab or cup can take").optional();

    @Override
    public Card card() {
        return new Card("let-down", "Let a mix down", "How much base, and how much to set aside first?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(MIX, TIMES, ROOM);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        StudioView.Composition mix = Mixes.of(studio, replies.to(MIX));
        double times = replies.to(TIMES);
        Uncertain there = mix.grams();
        Optional<Double> room = replies.maybe(ROOM).map(Mass::grams);
        double keep =
                room.filter(r -> there.value() * times > r).map(r -> r / times).orElse(there.value());
        double aside = there.value() - keep;
        double base = keep * (times - 1);
        Answer answer = Mixes.gaps(Answer.titled("Let down: " + mix.name()), mix);
        if (aside > 0) {
            answer = answer.quantity("Set aside first", aside, "g", "what is there − room ÷ times weaker");
        }
        answer = answer.quantity(
                        "Base to add",
                        new Uncertain(base, there.u() * (times - 1) * (aside > 0 ? 0 : 1)),
                        "g",
                        "ink kept × (times weaker − 1)")
                .quantity("Then there is", base + keep, "g", "ink kept + base");
        double baseShare = mix.shares().stream()
                .filter(share -> share.material().role().equals("base"))
                .mapToDouble(share -> share.share().value())
                .sum();
        return answer.text(String.format(
                        Locale.ROOT,
                        "Base goes from %.1f %% to %.1f %% of the mix.",
                        baseShare * 100,
                        (baseShare + times - 1) / times * 100))
                .assumption("colour gets weaker in proportion to its share", "common practice, no source")
                .caution("Tack reducer, drier and powder get weaker by as much: try the body again before printing.");
    }
}
