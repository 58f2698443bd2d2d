package slabside.audit;

import java.util.ArrayList;
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
    private static final int MOST_CAUSES = 2;
    private static final int MOST_STEPS = 3;
    private static final String FULL = "in full";
    private static final String BRIEF = "on one page";
    private static final Question<String> AS =
            Question.choice("as", "Told", FULL, BRIEF).preset(FULL, Question.Origin.ASSUMPTION);

    @Override
    public Card card() {
        return new Card(ID, "What went wrong", "Where did this run or edition change, and what could have done it?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(RUN, AS);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        Answer full = full(replies, studio);
        return replies.to(AS).equals(BRIEF) ? brief(full) : full;
    }

    /** The verdict, its picture, the likeliest causes and what to try first; the rest is told in full only. */
    private static Answer brief(Answer full) {
        List<Answer.Block> kept = new ArrayList<>();
        boolean drawn = false;
        for (Answer.Block block : full.blocks()) {
            if (block instanceof Answer.Chart chart && !drawn) {
                drawn = true;
                kept.add(new Answer.Chart(
                        chart.caption(),
                        chart.across(),
                        chart.up(),
                        chart.points(),
                        chart.marks().stream().filter(Answer.Mark::strong).toList(),
                        chart.bands()));
            } else if (block instanceof Answer.Table table && !isLong(table)) {
                kept.add(first(table));
            } else if (block instanceof Answer.Steps steps) {
                kept.add(new Answer.Text("What to try, on a spoiled sheet, one change at a time:"));
                for (int i = 0; i < Math.min(MOST_STEPS, steps.steps().size()); i++) {
                    kept.add(new Answer.Text(
                            (i + 1) + ". " + steps.steps().get(i).text()));
                }
            } else if (block instanceof Answer.Text text && !drawn) {
                // What is said behind the picture goes into particulars.
                kept.add(new Answer.Text(text.text().replace("; they are listed below", "")));
            } else if (block instanceof Answer.Caution || block instanceof Answer.Heading && !drawn) {
                kept.add(block);
            }
        }
        return new Answer(full.title(), kept)
                .text(
                        "What was taken for granted, what else changed and the evidence sheet by sheet stand in the full answer.");
    }

    /** A list of sheets or faults, which the words above tell already. */
    private static boolean isLong(Answer.Table table) {
        return !table.headings().contains("chance") && !table.headings().contains("run");
    }

    /** Of the causes the likeliest, without what speaks for and against each; of the runs all. */
    private static Answer.Table first(Answer.Table table) {
        if (!table.headings().contains("chance")) {
            return table;
        }
        int columns = table.headings().size() - 1;
        return new Answer.Table(
                table.caption() + ", the likeliest",
                table.headings().subList(0, columns),
                table.rows().stream()
                        .limit(MOST_CAUSES)
                        .map(row -> row.subList(0, columns))
                        .toList());
    }

    private static Answer full(Replies replies, StudioView studio) {
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
