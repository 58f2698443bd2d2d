package slabside.audit;

import java.util.List;
import java.util.Optional;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/**
 * Where in a run or an edition something changed, which of the things written down could have done it and how strongly the
 * evidence points to each, which sheets, what to try next. "No change" and "a cause not in the log" always stand beside them.
 */
public final class WhatWentWrong implements Calculator {
    static final String ID = "what-went-wrong";
    private static final Question<String> RUN = Question.pick("run", "Run or edition", "run", "edition");

    @Override
    public Card card() {
        return new Card(ID, "What went wrong", "Where did this run or edition change, and what could have done it?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(RUN);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        String asked = replies.to(RUN);
        List<String> ids = studio.runsOf(asked);
        List<StudioView.RunRecord> runs = (ids.isEmpty() ? List.of(asked) : ids)
                .stream()
                        .map(studio::runRecord)
                        .flatMap(Optional::stream)
                        .filter(run -> ids.isEmpty() || !run.pulls().isEmpty())
                        .toList();
        if (runs.isEmpty()) {
            throw new BadInput(
                    RUN.label(),
                    asked,
                    ids.isEmpty()
                            ? "no run of this id is written down"
                            : "none of its runs was printed yet; audit it when there are pulls");
        }
        if (runs.size() == 1) {
            Audited only = Audited.alone(runs.get(0));
            return new Story(only, studio)
                    .told(Answer.titled("What went wrong in " + only.run().name()));
        }
        String name = studio.thing("edition", asked).map(StudioView.Thing::name).orElse(asked);
        return new EditionStory(runs.stream().map(Audited::amongOthers).toList(), studio)
                .told(Answer.titled("What went wrong in " + name));
    }
}
