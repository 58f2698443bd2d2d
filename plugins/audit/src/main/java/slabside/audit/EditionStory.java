package slabside.audit;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import slabside.plugin.Answer;
import slabside.plugin.StudioView;
import slabside.statistics.Counts;

/** What went wrong in an edition of several runs: which of them changed, and which explains what was found of the sheets. */
final class EditionStory {
    /** A run stands out when the chance of as many spoiled, times the runs looked at, is below this. */
    private static final double STANDS_OUT = 0.05;

    private final List<Audited> runs;
    private final StudioView studio;

    EditionStory(List<Audited> runs, StudioView studio) {
        this.runs = runs;
        this.studio = studio;
    }

    Answer told(Answer answer) {
        List<Audited> changed = runs.stream()
                .filter(each -> each.main().filter(Ranking::changed).isPresent())
                .toList();
        List<Ranking> looked = lookedThrough();
        Answer with = answer.text(
                changed.isEmpty()
                        ? "In none of the " + runs.size()
                                + " runs does anything point to a change that is more than chance."
                        : Words.plural(changed.size(), "run", "runs") + " of " + runs.size()
                                + " changed while printed: "
                                + String.join(
                                        "; ",
                                        changed.stream()
                                                .map(each -> each.run().name())
                                                .toList())
                                + ".");
        for (Ranking each : looked) {
            if (each.changed()) {
                with = with.text("Of the finished sheets: " + Story.what(each) + " "
                        + (each.isInTheLog()
                                ? "Consistent with " + each.first().in().name() + ": "
                                        + each.first().suspect().label() + " ("
                                        + Words.percent(each.first().chance()) + "). This is no proof."
                                : "Nothing in the log explains it better than a cause nobody wrote down ("
                                        + Words.percent(each.notInTheLog()) + ")."));
                with = each.isInTheLog() ? Story.beside(with, each) : with;
                if (each.isInTheLog() && !each.first().suspect().events().isEmpty()) {
                    with = with.with(new Answer.Link(
                            "See it in the log", each.first().suspect().events().get(0)));
                }
            }
        }
        for (Audited each : changed) {
            with = with.heading(each.run().name());
            Ranking main = each.main().orElseThrow();
            with = with.text(String.join(" ", Story.verdict(main)));
            with = main.isInTheLog() ? Story.beside(with, main) : with;
            with = new Story(each, studio).alsoChanged(with, main, false);
            with = with.with(new Answer.Ask(
                    "The whole story of this run",
                    WhatWentWrong.ID,
                    Map.of("run", each.run().run())));
        }
        with = with.heading("Run by run").with(table());
        with = rules(with);
        if (looked.stream().anyMatch(Ranking::changed)) {
            with = with.with(sheets());
        }
        return with.text("Looked at "
                        + runs.stream().mapToInt(each -> each.rankings().size()).sum() + " series in "
                        + runs.size() + " runs and " + looked.size()
                        + " of the finished sheets, each in the order of every run; nothing is told twice, and factors of"
                        + " several are not multiplied, for they look at the same prints.")
                .assumption(
                        "the same as for each run; what was found of the finished sheets may come from any run that they went"
                                + " through",
                        "assumption");
    }

    /** What was found at looking through, with the events of every run beside one another. */
    private List<Ranking> lookedThrough() {
        Map<String, List<Ranking.Weighed>> byName = new LinkedHashMap<>();
        for (Audited audited : runs) {
            for (Series series : Series.lookedThrough(audited.run())) {
                byName.computeIfAbsent(series.name(), any -> new ArrayList<>())
                        .add(new Ranking.Weighed(audited.run(), series, audited.suspects()));
            }
        }
        return byName.values().stream()
                .map(each -> Ranking.of(each).among(byName.size()))
                .toList();
    }

    private Answer.Table table() {
        int sheets = runs.stream().mapToInt(EditionStory::sheets).sum();
        int lost = runs.stream().mapToInt(EditionStory::spoiled).sum();
        List<List<String>> rows = new ArrayList<>();
        List<String> about = new ArrayList<>();
        for (Audited each : runs) {
            int n = sheets(each);
            int k = spoiled(each);
            double chance = n == 0 || n == sheets
                    ? 1
                    : Counts.fisher(k, n, lost - k, sheets - n).more();
            rows.add(List.of(
                    each.run().name(),
                    String.valueOf(n),
                    String.valueOf(k),
                    chance * runs.size() < STANDS_OUT
                            ? "more than in the others: chance of as many " + Words.chance(chance)
                            : "",
                    each.main().map(main -> Words.percent(main.noChange())).orElse("nothing followed"),
                    each.main().filter(Ranking::changed).map(Story::what).orElse("")));
            about.add(each.run().run());
        }
        return new Answer.Table(
                        "Spoiled at the press, each run against the others",
                        List.of("run", "sheets", "spoiled", "against the others", "no change", "what changed most"),
                        rows,
                        about)
                .withoutEmptyColumns();
    }

    private static int sheets(Audited audited) {
        return (int) audited.run().pulls().stream()
                .map(StudioView.PullRow::number)
                .distinct()
                .count();
    }

    /** Each sheet by its last grade. */
    private static int spoiled(Audited audited) {
        Map<Integer, String> grades = new TreeMap<>();
        audited.run().pulls().forEach(pull -> grades.put(pull.number(), pull.grade()));
        return (int) grades.values().stream()
                .filter(grade -> grade.equals("spoiled"))
                .count();
    }

    private Answer rules(Answer answer) {
        Answer with = answer;
        boolean first = true;
        for (Audited each : runs) {
            for (StudioView.Check check : each.run().checks()) {
                with = first ? with.heading("What the trade would look at") : with;
                first = false;
                String text = each.run().name() + ", " + check.rule() + ": " + check.text();
                with = check.event().isEmpty()
                        ? with.text(text + ".")
                        : with.with(new Answer.Link(text, check.event()));
            }
        }
        return with;
    }

    /** Sheets that were not found good, with what happened to them in each run. */
    private Answer.Table sheets() {
        Map<String, List<String>> rows = new TreeMap<>();
        Map<String, String> about = new TreeMap<>();
        for (Audited audited : runs) {
            for (StudioView.PullRow pull : audited.run().pulls()) {
                if (pull.sheet().isEmpty()
                        || pull.looked()
                                .filter(looked -> !looked.grade().equals("good"))
                                .isEmpty()) {
                    continue;
                }
                StudioView.Looked looked = pull.looked().get();
                String here = audited.run().name() + ": pull " + pull.number() + ", " + pull.grade();
                rows.merge(
                        pull.sheet(),
                        List.of(
                                pull.sheet(),
                                pull.impression(),
                                looked.grade()
                                        + (looked.reasons().isEmpty()
                                                ? ""
                                                : ", " + String.join(", ", looked.reasons())),
                                here),
                        (one, other) -> List.of(one.get(0), one.get(1), one.get(2), one.get(3) + "; " + other.get(3)));
                about.put(pull.sheet(), pull.event());
            }
        }
        return new Answer.Table(
                "Sheets to take from the drawer",
                List.of("sheet", "number", "looked through", "went through"),
                List.copyOf(rows.values()),
                List.copyOf(about.values()));
    }
}
