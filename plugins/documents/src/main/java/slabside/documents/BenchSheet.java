package slabside.documents;

import java.util.ArrayList;
import java.util.List;
import slabside.measure.BadInput;
import slabside.measure.Mass;
import slabside.plugin.Answer;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.Report;
import slabside.plugin.StudioView;

/** An ink to be made again, to lie beside the slab: one line a step, with a box to tick and what the scale then shows. */
public final class BenchSheet implements Report {
    private static final Question<String> MIX = Question.pick("mix", "Ink to make again", "vessel");
    private static final Question<Mass> BATCH =
            Question.mass("grams", "Batch").preset("60", Question.Origin.ASSUMPTION);

    @Override
    public Card card() {
        return new Card("bench-sheet", "Bench sheet", "How is this ink made again, step by step beside the slab?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(MIX, BATCH);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        Mass batch = replies.to(BATCH);
        if (batch.milligrams() == 0) {
            throw new BadInput(BATCH.label(), batch, "give the size of the batch, above zero");
        }
        Answer again = studio.rebuilt(replies.to(MIX), batch);
        List<Answer.Block> blocks = new ArrayList<>();
        blocks.add(new Answer.Code("The old ink in the studio's log", replies.to(MIX)));
        blocks.addAll(again.blocks());
        return new Answer(again.title().replaceFirst("^Rebuild", "Bench sheet"), blocks)
                .with(new Answer.Fields(
                        "",
                        List.of(new Answer.Field("Mixed by, on", "", ""), new Answer.Field("What came out", "", ""))));
    }
}
