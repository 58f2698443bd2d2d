package slabside.audit;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import slabside.plugin.Answer;
import slabside.plugin.StudioView;

/** What went wrong in one run, told in the order in which a printer would ask: what, why, which sheets, what to try. */
final class Story {
    private static final int MOST_CAUSES = 6;
    private static final int MOST_LINKS = 3;
    /** A factor of three. */
    private static final double NEARLY = 1.1;

    private final Audited audited;
    private final StudioView.RunRecord run;
    private final StudioView studio;
    private final Remedies remedies;
    private final Drawer drawer;

    Story(Audited audited, StudioView studio) {
        this.audited = audited;
        this.run = audited.run();
        this.studio = studio;
        this.remedies = new Remedies(audited, studio);
        this.drawer = new Drawer(audited, studio);
    }

    Answer told(Answer answer) {
        Answer with = live(answer);
        if (audited.main().isEmpty()) {
            with = with.text(
                    "Nothing that was measured, judged or counted pull by pull changes in this run, or there is too little"
                            + " of it: six readings, or four looks beside the OK proof, are the least.");
        } else if (!audited.main().get().changed()) {
            Ranking main = audited.rankings().stream()
                    .min(Comparator.comparingDouble(Ranking::noChange))
                    .orElseThrow();
            with = with.text("Nothing points to a change that is more than chance. Of "
                            + Words.plural(audited.rankings().size(), "series", "series")
                            + " the least steady is “" + main.series().name() + "”: no change "
                            + Words.percent(main.noChange()) + ".")
                    .with(chart(main));
        } else {
            with = changed(with, audited.main().get());
        }
        return further(Numbers.of(rules(remedies.faults(with)), audited));
    }

    /** Where to go on from here. */
    private Answer further(Answer answer) {
        Answer with = answer;
        Optional<StudioView.PastRun> other = studio.pastRuns().stream()
                .filter(past -> !past.run().equals(run.run()))
                .min(Comparator.comparing(past -> !past.surface().equals(run.surface())));
        if (other.isPresent()) {
            with = with.with(new Answer.Ask(
                    "Side by side with " + other.get().name(),
                    Compare.ID,
                    Map.of("one", run.run(), "other", other.get().run())));
        }
        return with.with(new Answer.Ask("What failures have in common", CommonFactors.ID, Map.of("lost", "20")));
    }

    /** The verdict in two sentences. */
    static List<String> verdict(Ranking main) {
        List<String> sentences = new ArrayList<>();
        sentences.add(what(main));
        sentences.add(
                main.isInTheLog()
                        ? "Consistent with: " + main.first().suspect().label() + " ("
                                + Words.percent(main.first().chance()) + "). "
                                + strength(main) + " This is no proof."
                        : "Nothing in the log explains it better than a cause nobody wrote down ("
                                + Words.percent(main.notInTheLog()) + ").");
        return sentences;
    }

    private static String strength(Ranking main) {
        double chance = main.first().chance();
        return chance > 0.95
                ? "The evidence points strongly to it."
                : chance > 0.75
                        ? "The evidence points to it."
                        : main.groupChance() > 0.75
                                ? "The evidence points to it or to what happened beside it."
                                : "The evidence leaves others open.";
    }

    /** What a series did. */
    static String what(Ranking ranking) {
        Series series = ranking.series();
        if (series.kind() == Series.Kind.COUNTED) {
            List<Integer> pulls = series.counted();
            return Words.capital(series.name()) + ": " + (pulls.size() == 1 ? "pull " : "pulls ") + Words.pulls(pulls)
                    + " of " + series.size() + ".";
        }
        if (ranking.isInTheLog() && ranking.first().suspect().kind().type().equals(Causes.ROOM)) {
            double over = ranking.first().suspect().over(series);
            return Words.capital(series.name()) + " follows the room and " + (over > 0 ? "rises" : "falls")
                    + " by about " + Words.shown(Math.abs(over)) + ".";
        }
        if (ranking.isInTheLog() && ranking.first().suspect().kind().gradual()) {
            double effect = ranking.first().suspect().effect(series);
            return Words.capital(series.name()) + (effect > 0 ? " rises" : " falls") + " pull by pull, by about "
                    + Words.shown(Math.abs(effect)) + " over the longest stretch without a reset.";
        }
        if (ranking.isInTheLog() && !ranking.first().suspect().hasPlace()) {
            return Words.capital(series.name()) + " is uneven at the beginning and after each reset.";
        }
        Ranking.Change change = ranking.change();
        return "From pull " + change.pull() + " on"
                + (change.from() == change.to() ? "" : " (" + change.from() + " to " + change.to() + ")")
                + ", " + series.name() + " "
                + (series.isNumber()
                        ? "went from " + Words.shown(change.before()) + " to " + Words.shown(change.after())
                                + " on average."
                        : "is different.");
    }

    private Answer changed(Answer answer, Ranking main) {
        Answer with = answer;
        with = with.text(String.join(" ", verdict(main)));
        Answer.Table sheets = drawer.sheets(main);
        List<String> codes = sheets.rows().stream()
                .map(row -> row.get(0))
                .filter(code -> !code.equals(Drawer.NO_CODE))
                .toList();
        if (!sheets.rows().isEmpty()) {
            with = with.text("To take from the drawer: "
                    + Words.plural(sheets.rows().size(), "sheet", "sheets")
                    + (codes.isEmpty()
                            ? ""
                            : codes.size() > 6
                                    ? ", " + codes.get(0) + " … " + codes.get(codes.size() - 1)
                                    : ", " + String.join(", ", codes))
                    + "; they are listed below.");
        }
        if (main.isInTheLog()) {
            with = evidence(with, main);
        }
        with = with.with(chart(main));
        with = alsoChanged(with, main, true);
        with = with.with(causes(main));
        if (main.isInTheLog()) {
            with = remedies.toTry(with, main);
        }
        with = with.with(sheets);
        return drawer.elsewhere(with, main);
    }

    private Answer evidence(Answer answer, Ranking main) {
        Suspect first = main.first().suspect();
        Answer with = answer;
        for (String fact : first.facts()) {
            with = with.text(Words.capital(fact) + ".");
        }
        for (StudioView.Check check : run.checks()) {
            if (!first.brought().isEmpty() && !check.event().isEmpty() && Words.names(check.text(), first.brought())) {
                with = with.with(new Answer.Link(Words.capital(check.rule()) + ": " + check.text(), check.event()));
            }
        }
        for (String event : first.events().stream().limit(MOST_LINKS).toList()) {
            with = with.with(link(event));
        }
        return beside(with, main);
    }

    /** What happened at the same moment, and whether anything tells it apart. */
    static Answer beside(Answer answer, Ranking main) {
        List<Ranking.Cause> close = main.group().stream().skip(1).toList();
        if (close.isEmpty()) {
            return answer;
        }
        boolean apart =
                close.stream().allMatch(each -> each.log() < main.first().log() - NEARLY);
        return answer.caution("At the same moment: "
                + String.join(
                        "; ", close.stream().map(each -> each.suspect().label()).toList())
                + ". By its place alone it cannot be told apart; "
                + (apart
                        ? "only the course of the numbers speaks against it."
                        : "and the course of the numbers does not tell them apart either.")
                + " All that happened less than three pulls from it, together: " + Words.percent(main.groupChance())
                + ".");
    }

    /** An event by what it says. */
    private Answer.Link link(String event) {
        return new Answer.Link(
                run.happenings().stream()
                        .filter(each -> each.event().equals(event))
                        .map(each -> Words.capital(each.text())
                                + (each.before() > 1 ? ", before pull " + each.before() : ""))
                        .findFirst()
                        .orElse("See it in the log"),
                event);
    }

    /** Everything else that changed, by what explains it. */
    Answer alsoChanged(Answer answer, Ranking main, boolean headed) {
        List<Ranking> others =
                audited.changed().stream().filter(each -> each != main).toList();
        if (others.isEmpty()) {
            return answer;
        }
        List<Ranking> same = others.stream().filter(each -> fits(each, main)).toList();
        Answer with = headed ? answer.heading("What else changed") : answer;
        if (!same.isEmpty()) {
            with = with.text("It fits the same cause:");
            for (Ranking each : same) {
                with = with.text("– " + what(each));
            }
        }
        for (Ranking each : others) {
            if (same.contains(each)) {
                continue;
            }
            with = with.text(String.join(" ", verdict(each)));
            with = tied(with, each);
        }
        return with;
    }

    /** Whether the cause of the first explains another as well as anything does, or nearly. */
    private static boolean fits(Ranking ranking, Ranking main) {
        return main.isInTheLog()
                && ranking.isInTheLog()
                && ranking.causes().stream()
                        .anyMatch(each -> each.suspect().equals(main.first().suspect())
                                && each.log() > NEARLY
                                && each.log() > ranking.first().log() - NEARLY);
    }

    /** For what is uneven at the beginning: which reset a pull followed. */
    private Answer tied(Answer answer, Ranking ranking) {
        if (!ranking.isInTheLog()) {
            return answer;
        }
        Suspect first = ranking.first().suspect();
        Answer with = answer;
        if (first.kind().type().equals(Causes.BEGINNING) && ranking.series().kind() == Series.Kind.COUNTED) {
            TreeMap<Integer, List<StudioView.Happening>> resets = new TreeMap<>(Suspects.resets(run));
            Map<StudioView.Happening, List<Integer>> behind = new LinkedHashMap<>();
            for (int pull : ranking.series().counted()) {
                var reset = resets.floorEntry(pull);
                if (reset != null
                        && pull - reset.getKey() < Suspects.UNEVEN
                        && !reset.getValue().isEmpty()) {
                    behind.computeIfAbsent(reset.getValue().get(0), any -> new ArrayList<>())
                            .add(pull);
                }
            }
            for (var each : behind.entrySet()) {
                with = with.with(new Answer.Link(
                        (each.getValue().size() == 1 ? "Pull " : "Pulls ")
                                + Words.pulls(each.getValue())
                                + (each.getValue().get(0) == each.getKey().before()
                                        ? ": the first after the reset, "
                                        : ": right after the reset, ")
                                + each.getKey().text(),
                        each.getKey().event()));
            }
            return with;
        }
        return first.events().isEmpty() ? with : with.with(link(first.events().get(0)));
    }

    private Answer.Table causes(Ranking main) {
        List<List<String>> rows = new ArrayList<>();
        List<String> about = new ArrayList<>();
        double best = main.causes().isEmpty() ? 0 : main.first().log();
        for (Ranking.Cause cause : main.causes().stream().limit(MOST_CAUSES).toList()) {
            Suspect suspect = cause.suspect();
            rows.add(List.of(
                    Words.percent(cause.chance()),
                    suspect.hasPlace() ? String.valueOf(suspect.first()) : "",
                    suspect.label(),
                    forAndAgainst(cause, main, best)));
            about.add(suspect.events().isEmpty() ? "" : suspect.events().get(0));
        }
        rows.add(List.of(Words.percent(main.notInTheLog()), "", "a cause not in the log", ""));
        rows.add(List.of(Words.percent(main.noChange()), "", "no change", ""));
        about.addAll(List.of("", ""));
        return new Answer.Table(
                "Causes", List.of("chance", "before pull", "what was written down", "for and against"), rows, about);
    }

    /** What speaks for the first, and against a suspect that explains much less. */
    private static String forAndAgainst(Ranking.Cause cause, Ranking main, double best) {
        double behind = best - cause.log();
        Suspect suspect = cause.suspect();
        if (behind <= 1) {
            return cause.log() > 1
                    ? "for it: explains " + main.series().name() + " " + Words.times(cause.log())
                            + " times better than no change"
                    : "";
        }
        String why;
        if (suspect.kind().gradual()) {
            why = "it comes on slowly, the numbers do not follow it";
        } else if (!suspect.hasPlace()) {
            why = "the numbers do not follow its course";
        } else {
            int away = suspect.first() - main.change().pull();
            why = Math.abs(away) < Ranking.CLOSE
                    ? "the numbers do not follow its course"
                    : away < 0
                            ? "the change came " + -away + " pulls later"
                            : "the change was there " + away + " pulls before";
        }
        return "against it: " + why + "; it explains them " + Words.times(behind) + " times less well than the first";
    }

    Answer.Chart chart(Ranking ranking) {
        String first = ranking.isInTheLog() && ranking.changed()
                ? ranking.first().suspect().label()
                : "";
        return chart(ranking.series(), audited.suspects(), first);
    }

    static Answer.Chart chart(Series series, List<Suspect> suspects, String first) {
        List<Answer.Point> points = new ArrayList<>();
        for (int i = 0; i < series.size(); i++) {
            points.add(new Answer.Point(series.pulls()[i], series.values()[i]));
        }
        return new Answer.Chart(
                Words.capital(series.name()),
                "pull",
                series.name(),
                points,
                suspects.stream()
                        .filter(Suspect::hasPlace)
                        .map(each -> new Answer.Mark(
                                each.first(),
                                each.label(),
                                each.label().equals(first),
                                each.events().isEmpty() ? "" : each.events().get(0)))
                        .toList(),
                series
                        .band()
                        .map(band -> new Answer.Band(
                                band.lower(),
                                band.centre(),
                                band.upper(),
                                series.standard().isPresent() ? "OK proof" : "approved opening"))
                        .stream()
                        .toList());
    }

    /** On a run that is still printed: whether the last pulls left the band of the opening. */
    private Answer live(Answer answer) {
        if (!run.open() || run.pulls().isEmpty()) {
            return answer;
        }
        int last = run.pulls().get(run.pulls().size() - 1).number();
        List<String> out = run.outOfBand();
        return out.isEmpty()
                ? answer.text("This run is still open; after pull " + last + " "
                        + (audited.rankings().stream()
                                        .anyMatch(each -> each.series().band().isPresent())
                                ? "the last readings and looks are as in its opening."
                                : "there is too little yet to draw a band from."))
                : answer.caution("Live, after pull " + last + ": " + String.join("; ", out)
                        + ". Look at a print beside the OK proof before going on.");
    }

    /** Rules of the trade, each with the event that shows it; they hint, and say nothing of the course of the numbers. */
    private Answer rules(Answer answer) {
        if (run.checks().isEmpty()) {
            return answer;
        }
        Answer with = answer.heading("What the trade would look at");
        for (StudioView.Check check : run.checks()) {
            String text = check.rule() + ": " + check.text();
            with = check.event().isEmpty() ? with.text(text + ".") : with.with(new Answer.Link(text, check.event()));
        }
        return with;
    }
}
