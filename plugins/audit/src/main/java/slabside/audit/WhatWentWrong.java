package slabside.audit;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/**
 * Where in a run something changed, which of the things written down could have done it and how strongly the evidence points
 * to each, what to try next. "No change" and "a cause not in the log" always stand beside them.
 */
public final class WhatWentWrong implements Calculator {
    private static final Question<String> RUN = Question.pick("run", "Run", "run");
    /** Events nearer to one another than this cannot be told apart by their place. */
    private static final int CLOSE = 3;

    private static final int MOST_CAUSES = 8;
    private static final int MOST_LINKS = 3;
    /** A series whose chance of no change is less than this has changed. */
    private static final double CHANGED = 0.5;

    @Override
    public Card card() {
        return new Card(
                "what-went-wrong", "What went wrong", "Where did this run change, and what could have done it?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(RUN);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        StudioView.RunRecord run = studio.runRecord(replies.to(RUN))
                .orElseThrow(() -> new BadInput(RUN.label(), replies.to(RUN), "no run of this id is written down"));
        Answer answer = Answer.titled("What went wrong in " + run.name());
        List<Series> all = Series.of(run);
        if (all.isEmpty()) {
            return checked(answer, run)
                    .text(
                            "Nothing that was measured, judged or counted pull by pull changes in this run, or there is too little"
                                    + " of it: six readings, or four looks beside the OK proof, are the least.");
        }
        List<Suspect> suspects = Suspect.of(run);
        List<Ranking> rankings = all.stream()
                .map(series -> Ranking.of(series, suspects))
                .sorted(Comparator.comparing((Ranking each) -> each.noChange() > CHANGED)
                        .thenComparing(each -> each.series().kind())
                        .thenComparing(Ranking::noChange))
                .toList();
        Ranking main = rankings.get(0);
        if (main.noChange() > CHANGED) {
            answer = answer.text("Nothing points to a change that is more than chance. Of " + all.size()
                            + " series the least steady is “" + main.series().name() + "”: no change "
                            + percent(main.noChange()) + ".")
                    .with(chart(main, suspects));
        } else {
            answer = verdict(answer, main, run, chart(main, suspects));
        }
        return others(checked(answer, run), main, rankings);
    }

    private static Answer verdict(Answer answer, Ranking main, StudioView.RunRecord run, Answer.Chart chart) {
        Ranking.Change change = main.change();
        String where = "From pull " + change.pull() + " on"
                + (change.from() == change.to() ? "" : " (" + change.from() + " to " + change.to() + ")")
                + ", " + main.series().name() + " "
                + (main.series().kind() == Series.Kind.MEASURED || main.series().kind() == Series.Kind.PASSES
                        ? "went from " + shown(change.before()) + " to " + shown(change.after()) + " on average."
                        : "is different.");
        boolean drifts = !main.causes().isEmpty()
                && main.causes().get(0).suspect().kind().type().equals(Causes.DRIFT);
        Answer with = answer.text(
                drifts
                        ? Character.toUpperCase(main.series().name().charAt(0))
                                + main.series().name().substring(1)
                                + (main.causes().get(0).suspect().effect(main.series()) > 0 ? " rises" : " falls")
                                + " pull by pull, by about "
                                + shown(Math.abs(main.causes().get(0).suspect().effect(main.series())))
                                + " over the longest stretch without a reset."
                        : where);
        List<Ranking.Cause> causes = main.causes();
        boolean logged = !causes.isEmpty() && causes.get(0).chance() > main.notInTheLog();
        if (!logged) {
            with = with.text("Nothing in the log explains it better than a cause nobody wrote down ("
                    + percent(main.notInTheLog()) + ").");
        } else {
            Ranking.Cause first = causes.get(0);
            with = with.text("Consistent with: " + first.suspect().label() + " (" + percent(first.chance()) + "). "
                    + strength(first.chance()) + " This is no proof.");
            for (String fact : first.suspect().facts()) {
                with = with.text("The ink: " + fact + ".");
            }
            List<String> events = first.suspect().events();
            for (int i = 0; i < Math.min(events.size(), MOST_LINKS); i++) {
                with = with.with(new Answer.Link(
                        "See it in the log" + (events.size() > 1 ? ", " + (i + 1) + " of " + events.size() : ""),
                        events.get(i)));
            }
            List<String> close = causes.stream()
                    .skip(1)
                    .filter(each -> each.suspect().first() > 1
                            && Math.abs(each.suspect().first() - first.suspect().first()) < CLOSE)
                    .map(each -> each.suspect().label())
                    .toList();
            if (!close.isEmpty()) {
                with = with.caution(
                        "At the same moment: " + String.join("; ", close)
                                + ". By its place alone it cannot be told apart; only the course of the numbers speaks against it.");
            }
        }
        with = with.with(chart).with(table(main, change));
        if (logged) {
            with = with.heading("What to try, on a spoiled sheet, one change at a time");
            List<Answer.Step> steps = new ArrayList<>();
            Set<String> said = new LinkedHashSet<>();
            causes.stream()
                    .filter(each -> each.chance() > 0.01)
                    .limit(3)
                    .map(each -> each.suspect().kind().remedy())
                    .filter(said::add)
                    .forEach(remedy -> steps.add(new Answer.Step(remedy, "")));
            with = with.with(new Answer.Steps(steps));
        }
        return with.with(sheets(run, change));
    }

    private static String strength(double chance) {
        return chance > 0.95
                ? "The evidence points strongly to it."
                : chance > 0.75 ? "The evidence points to it." : "The evidence leaves others open.";
    }

    private static Answer.Table table(Ranking main, Ranking.Change change) {
        List<List<String>> rows = new ArrayList<>();
        double best = main.causes().isEmpty() ? 0 : main.causes().get(0).log();
        for (Ranking.Cause cause : main.causes().stream().limit(MOST_CAUSES).toList()) {
            Suspect suspect = cause.suspect();
            rows.add(List.of(
                    percent(cause.chance()),
                    suspect.first() == 1 ? "" : String.valueOf(suspect.first()),
                    suspect.label() + against(suspect, change, best - cause.log())));
        }
        rows.add(List.of(percent(main.notInTheLog()), "", "a cause not in the log"));
        rows.add(List.of(percent(main.noChange()), "", "no change"));
        return new Answer.Table("Causes", List.of("chance", "before pull", "what was written down"), rows);
    }

    /** What speaks against a suspect, where it explains much less than the first. */
    private static String against(Suspect suspect, Ranking.Change change, double behind) {
        if (behind <= 1) {
            return "";
        }
        int away = suspect.first() - change.pull();
        String why = suspect.first() == 1 || Math.abs(away) < CLOSE
                ? "the numbers do not follow its course"
                : away < 0
                        ? "the change came " + -away + " pulls later"
                        : "the change was there " + away + " pulls before";
        return ". Against it: " + why + "; it explains them " + times(behind) + " times less well than the first";
    }

    private static String times(double log) {
        double factor = StrictMath.exp(Math.min(log, 50));
        return factor > 1e6 ? "more than a million" : String.format(Locale.ROOT, "%.0f", factor);
    }

    private static Answer.Table sheets(StudioView.RunRecord run, Ranking.Change change) {
        List<List<String>> rows = new ArrayList<>();
        run.pulls().stream()
                .filter(pull -> pull.number() >= change.from())
                .forEach(pull -> rows.add(List.of(
                        pull.sheet().isEmpty() ? "no code" : pull.sheet(),
                        String.valueOf(pull.number()),
                        pull.grade(),
                        pull.number() < change.pull() ? "perhaps before the change" : "")));
        return new Answer.Table(
                "Sheets to take from the drawer", List.of("sheet", "pull", "at the press", "note"), rows);
    }

    private static Answer.Chart chart(Ranking main, List<Suspect> suspects) {
        Series series = main.series();
        List<Answer.Point> points = new ArrayList<>();
        for (int i = 0; i < series.size(); i++) {
            points.add(new Answer.Point(series.pulls()[i], series.values()[i]));
        }
        String first = main.causes().isEmpty() || main.noChange() > CHANGED
                ? ""
                : main.causes().get(0).suspect().label();
        return new Answer.Chart(
                series.name(),
                "pull",
                series.name(),
                points,
                suspects.stream()
                        .filter(each -> each.first() > 1)
                        .map(each -> new Answer.Mark(
                                each.first(),
                                shortened(each.label()),
                                each.label().equals(first)))
                        .toList());
    }

    private static String shortened(String label) {
        return label.length() <= 60 ? label : label.substring(0, 58) + " …";
    }

    /** Rules of the trade, each with the event that shows it; they hint, and say nothing of the course of the numbers. */
    private static Answer checked(Answer answer, StudioView.RunRecord run) {
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

    private static Answer others(Answer answer, Ranking main, List<Ranking> rankings) {
        List<List<String>> rows = new ArrayList<>();
        for (Ranking each : rankings) {
            String likeliest = each.causes().isEmpty() || each.noChange() > CHANGED
                    ? ""
                    : each.causes().get(0).chance() > each.notInTheLog()
                            ? each.causes().get(0).suspect().label() + ", "
                                    + percent(each.causes().get(0).chance())
                            : "a cause not in the log, " + percent(each.notInTheLog());
            rows.add(List.of(
                    each.series().name(), String.valueOf(each.series().size()), percent(each.noChange()), likeliest));
        }
        return answer.with(new Answer.Table(
                        "Everything that was followed", List.of("series", "values", "no change", "likeliest"), rows))
                .text(
                        "Looked at " + rankings.size() + " series and " + main.searched()
                                + " things that were written down; told above is the strongest that was read, else of the passes, the"
                                + " looks, the counts. Factors of several are not multiplied, for they look at the same prints.")
                .assumption(
                        "beforehand “no change” 50 %, “a cause not in the log” 10 %, the rest shared among what was written"
                                + " down by kind",
                        "assumption; the weights of the kinds stand in causes.csv of the plugin")
                .assumption(
                        "an effect is about two standard deviations of a print; beside the OK proof a difference is seen from"
                                + " one and a half on; one pull of ten has a flaw, as if ten pulls had shown it",
                        "assumption")
                .assumption(
                        "three pulls after a set-up may be uneven; a load 3 % above the highest of the opening is too"
                                + " much; a share counts as changed from a fifth of itself and 0.2 % of the ink on",
                        "assumption");
    }

    private static String percent(double chance) {
        return chance > 0.995
                ? "over 99 %"
                : chance < 0.005 ? "under 1 %" : String.format(Locale.ROOT, "%.0f %%", chance * 100);
    }

    private static String shown(double value) {
        return String.format(Locale.ROOT, Math.abs(value) < 10 ? "%.2f" : "%.1f", value);
    }
}
