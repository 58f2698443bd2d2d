package slabside.quantity;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import slabside.measure.Mass;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** A mix as it stands, made again at another size. */
public final class ScaleMix implements Calculator {
    private static final Question<String> MIX = Question.pick("mix", "Mix", "vessel");
    private static final Question<Mass> GRAMS = Question.mass("grams", "Wanted");

    @Override
    public Card card() {
        return new Card("scale-a-mix", "Scale a mix", "How much of each for a batch of another size?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(MIX, GRAMS);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        StudioView.Composition mix = Mixes.of(studio, replies.to(MIX));
        double wanted = replies.to(GRAMS).grams();
        List<List<String>> rows = new ArrayList<>();
        for (StudioView.Share share : mix.shares()) {
            rows.add(List.of(
                    share.material().name(),
                    String.format(Locale.ROOT, "%.2f", share.share().value() * 100),
                    String.format(Locale.ROOT, "%.2f", share.share().expanded() * 100),
                    String.format(Locale.ROOT, "%.2f", share.share().value() * wanted)));
        }
        return Mixes.gaps(Answer.titled("Scale a mix: " + mix.name()), mix)
                .with(new Answer.Table(
                        "For " + replies.to(GRAMS), List.of("material", "share %", "± % (k = 2)", "weigh out g"), rows))
                .quantity("In all", wanted, "g", "share × wanted, for each");
    }
}
