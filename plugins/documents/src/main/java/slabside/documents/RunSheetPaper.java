package slabside.documents;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.Report;
import slabside.plugin.StudioView;

/** The run sheet: filled from the log, or empty with fives to tally by hand at the press. */
public final class RunSheetPaper implements Report {
    private static final String FILLED = "filled from the log";
    private static final String EMPTY = "empty, to tally by hand";
    private static final Question<String> RUN = Question.pick("run", "Run", "run");
    private static final Question<String> AS =
            Question.choice("as", "Sheet", FILLED, EMPTY).preset(FILLED, Question.Origin.ASSUMPTION);
    private static final Question<Integer> SHEETS = Question.count("sheets", "Pulls to tally, on an empty one", 5, 500)
            .preset("50", Question.Origin.ASSUMPTION);
    private static final int FIVE = 5;
    private static final int MOST_TYPED = 250;

    @Override
    public Card card() {
        return new Card("run-sheet", "Run sheet", "How was this run printed, pull by pull, or a form to tally it on?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(RUN, AS, SHEETS);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        String id = replies.to(RUN);
        StudioView.RunRecord run =
                studio.runRecord(id).orElseThrow(() -> new BadInput(RUN.label(), id, "pick a run of this studio"));
        Answer answer = Answer.titled("Run sheet: " + run.name())
                .with(new Answer.Code("This run in the studio's log", id))
                .with(new Answer.Fields("", head(run, studio)));
        return replies.to(AS).equals(EMPTY) ? empty(answer, run, replies.to(SHEETS)) : filled(answer, run, studio);
    }

    /** What stands above the pulls: from the facts of the run, and a line to write on for what nobody said. */
    private static List<Answer.Field> head(StudioView.RunRecord run, StudioView studio) {
        Optional<StudioView.Facts> facts = studio.facts(run.run());
        List<Answer.Field> head = new ArrayList<>();
        String days = run.pulls().stream()
                .map(pull -> Said.day(pull.millis(), studio).toString())
                .distinct()
                .collect(Collectors.joining(", "));
        head.add(new Answer.Field("Date", days, ""));
        for (String word : List.of(
                "stone or plate", "ink", "surface", "roller", "paper", "packing", "pressure", "water", "pauses")) {
            head.add(new Answer.Field(
                    word.substring(0, 1).toUpperCase(Locale.ROOT) + word.substring(1),
                    facts.map(all -> String.join("; ", all.words().getOrDefault(word, List.of())))
                            .orElse(""),
                    ""));
        }
        for (String number : List.of("°C", "%RH")) {
            head.add(new Answer.Field(
                    number + ", mean",
                    facts.map(all -> all.numbers().get(number))
                            .map(value -> String.format(Locale.ROOT, "%.1f", value))
                            .orElse(""),
                    ""));
        }
        return head;
    }

    private static Answer empty(Answer answer, StudioView.RunRecord run, int sheets) {
        int first =
                run.pulls().stream().mapToInt(StudioView.PullRow::number).max().orElse(0) + 1;
        List<List<String>> rows = new ArrayList<>();
        for (int from = first; from < first + sheets; from += FIVE) {
            List<String> row = new ArrayList<>(List.of(from + "–" + (from + FIVE - 1)));
            for (int i = 0; i < FIVE; i++) {
                row.add("☐");
            }
            row.addAll(List.of("", "", ""));
            rows.add(row);
        }
        return answer.table(
                        "Before the edition",
                        List.of("", "1", "2", "3", "4", "5", "6"),
                        List.of(
                                List.of("newsprint", "☐", "☐", "☐", "☐", "☐", "☐"),
                                List.of("proofs", "☐", "☐", "☐", "☐", "☐", "☐")))
                .table(
                        "Pull by pull: a stroke for good, Q for query, S for spoiled",
                        List.of("pulls", "1st", "2nd", "3rd", "4th", "5th", "fault, passes", "charged, g of", "noted"),
                        rows)
                .with(new Answer.Fields("", List.of(new Answer.Field("Washed up, g", "", ""))))
                .text(
                        "Typed in afterwards at the run's page, such as: 2 newsprint, 3 proofs; 1–22 good, 23 spoiled (scum);"
                                + " charged 12 g of K7RM at 23; fresh water at 20; washed up 14.8 g");
    }

    private static Answer filled(Answer answer, StudioView.RunRecord run, StudioView studio) {
        Answer told = answer;
        if (run.pulls().isEmpty()) {
            told = told.text("Nothing was pulled for the edition yet.");
        } else {
            told = told.with(pulls(run));
        }
        if (!run.happenings().isEmpty()) {
            told = told.table(
                    "What happened between",
                    List.of("before pull", "what"),
                    run.happenings().stream()
                            .map(each ->
                                    List.of(each.before() == 0 ? "after the last" : "" + each.before(), each.text()))
                            .toList());
        }
        for (StudioView.RunInk ink : studio.inkOf(run.run())) {
            told = InkTables.went(told, "Where its ink went", List.of(ink));
        }
        Optional<StudioView.TalliedRun> tally = studio.tallied(run.run());
        if (tally.isPresent() && !tally.get().text().isEmpty()) {
            told = told.heading("The same, as it is typed in").text(tally.get().text());
            if (run.pulls().size() > MOST_TYPED) {
                told = told.text("At most " + MOST_TYPED + " entries go in at once; type it in parts.");
            }
            if (!tally.get().besides().isEmpty()) {
                told = told.text(
                        "Written down besides: " + String.join("; ", tally.get().besides()) + ".");
            }
        }
        if (!run.checks().isEmpty()) {
            told = told.heading("Rules of the trade that were not met, and what is missing");
        }
        for (StudioView.Check check : run.checks()) {
            told = told.text(check.rule() + ": " + check.text());
        }
        return told;
    }

    private static Answer.Table pulls(StudioView.RunRecord run) {
        Set<String> read = new LinkedHashSet<>();
        run.pulls().forEach(pull -> read.addAll(pull.readings().keySet()));
        List<String> headings =
                new ArrayList<>(List.of("pull", "sheet", "passes", "grade", "fault", "beside the OK proof", "margin"));
        headings.addAll(read);
        headings.addAll(List.of("curated", "became"));
        List<List<String>> rows = new ArrayList<>();
        for (StudioView.PullRow pull : run.pulls()) {
            List<String> row = new ArrayList<>(List.of(
                    pull.number() + (pull.secondHit() ? ", second hit" : ""),
                    pull.sheet(),
                    pull.passes().isPresent() ? "" + pull.passes().getAsInt() : "",
                    pull.grade(),
                    String.join(", ", pull.faults()),
                    pull.match(),
                    pull.margin()));
            for (String quantity : read) {
                Double value = pull.readings().get(quantity);
                row.add(value == null ? "" : String.format(Locale.ROOT, "%.2f", value));
            }
            row.add(pull.looked().map(StudioView.Looked::grade).orElse(""));
            row.add(pull.impression());
            rows.add(row);
        }
        return new Answer.Table(
                        "Pull by pull",
                        headings,
                        rows,
                        run.pulls().stream().map(StudioView.PullRow::event).toList())
                .withoutEmptyColumns();
    }
}
