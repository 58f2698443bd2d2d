package slabside.planning;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** What the jobs most like one took here: hours stage by stage, hands, sheets and ink. No prices. */
public final class JobsLikeThis implements Calculator {
    private static final int HOW_MANY = 4;

    private static final Question<String> EDITION =
            Question.pick("edition", "Like this edition", "edition").optional();
    private static final Question<Integer> RUNS =
            Question.count("runs", "How many runs", 1, 30).optional();
    private static final Question<Integer> SHEETS =
            Question.count("sheets", "How many sheets", 1, 2_000).optional();

    @Override
    public Card card() {
        return new Card("jobs-like-this", "Jobs like this", "How long did the last jobs like this take?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(EDITION, RUNS, SHEETS);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        Optional<StudioView.Job> job = replies.maybe(EDITION)
                .map(id -> studio.job(id)
                        .orElseThrow(() -> new BadInput(EDITION.label(), id, "there is no edition of this id")));
        int runs = replies.maybe(RUNS)
                .or(() -> job.map(each -> each.surfaces().size()))
                .filter(count -> count > 0)
                .orElseThrow(() -> new BadInput(RUNS.label(), "", "say how many, or choose an edition"));
        int sheets = replies.maybe(SHEETS)
                .or(() -> job.map(JobsLikeThis::size))
                .filter(count -> count > 0)
                .orElseThrow(() -> new BadInput(SHEETS.label(), "", "say how many, or choose an edition"));
        List<StudioView.Job> alike = studio.jobs().stream()
                .filter(each -> job.filter(asked -> asked.edition().equals(each.edition()))
                        .isEmpty())
                .filter(each -> each.sheets() > 0 && hours(each) > 0)
                .sorted(Comparator.comparingDouble(each -> unlike(each, runs, sheets)))
                .limit(HOW_MANY)
                .toList();
        Answer answer =
                Answer.titled("Jobs like this: " + runs + (runs == 1 ? " run, " : " runs, ") + sheets + " sheets");
        if (alike.isEmpty()) {
            return answer.text("No other edition with entries by the clock is in this log yet.");
        }
        answer = answer.quantity(
                        "Shortest of these",
                        alike.stream().mapToDouble(JobsLikeThis::hours).min().orElseThrow(),
                        "h",
                        "the shortest of the jobs below")
                .quantity(
                        "Longest of these",
                        alike.stream().mapToDouble(JobsLikeThis::hours).max().orElseThrow(),
                        "h",
                        "the longest of the jobs below")
                .with(table(alike));
        boolean stated = alike.stream().flatMap(each -> each.stages().stream()).anyMatch(StudioView.StageHours::stated);
        return answer.assumption(
                "hours are the time between entries at most 45 minutes apart, so they are a lower bound"
                        + (stated ? "; those stated by somebody count as stated" : ""),
                "from this log; the 45 minutes are an assumption");
    }

    private static Answer.Table table(List<StudioView.Job> alike) {
        Set<String> stages = new LinkedHashSet<>();
        alike.forEach(job -> job.stages().forEach(stage -> stages.add(stage.stage())));
        List<String> headings = new ArrayList<>(List.of("job", "runs", "sheets", "came through", "ink g"));
        stages.forEach(stage -> headings.add(stage + " h"));
        headings.add("all h");
        headings.add("hands × h");
        List<List<String>> rows = new ArrayList<>();
        for (StudioView.Job job : alike) {
            List<String> row = new ArrayList<>(List.of(
                    job.name(),
                    Integer.toString(job.surfaces().size()),
                    Integer.toString(job.sheets()),
                    Integer.toString(job.printed()),
                    String.format(Locale.ROOT, "%.0f", job.grams())));
            for (String stage : stages) {
                row.add(shown(job.stages().stream()
                        .filter(each -> each.stage().equals(stage))
                        .mapToDouble(StudioView.StageHours::hours)
                        .sum()));
            }
            row.add(shown(hours(job)));
            row.add(shown(job.stages().stream()
                    .mapToDouble(StudioView.StageHours::handHours)
                    .sum()));
            rows.add(row);
        }
        return new Answer.Table("The jobs most like it, the nearest first", headings, rows);
    }

    private static String shown(double hours) {
        return hours == 0 ? "" : String.format(Locale.ROOT, "%.1f", hours);
    }

    private static int size(StudioView.Job job) {
        return job.sheets() > 0
                ? job.sheets()
                : job.numbered().orElse(0) + job.proofs().orElse(0);
    }

    private static double hours(StudioView.Job job) {
        return job.stages().stream().mapToDouble(StudioView.StageHours::hours).sum();
    }

    /** How far a job is from so many runs and sheets, by ratio. */
    private static double unlike(StudioView.Job job, int runs, int sheets) {
        return Math.abs(StrictMath.log((double) Math.max(1, job.surfaces().size()) / runs))
                + Math.abs(StrictMath.log((double) job.sheets() / sheets));
    }
}
