package slabside.audit;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import slabside.plugin.Answer;
import slabside.plugin.StudioView;
import slabside.statistics.Individuals;

/** What went wrong in one run, told in the order in which a printer would ask: what, why, which sheets, what to try. */
final class Story {
    private static final String WARNED = "warned";
    private static final String NO_CODE = "no code";
    private static final int MOST_CAUSES = 6;
    private static final int MOST_LINKS = 3;
    /** A factor of three. */
    private static final double NEARLY = 1.1;

    private final Audited audited;
    private final StudioView.RunRecord run;
    private final StudioView studio;

    Story(Audited audited, StudioView studio) {
        this.audited = audited;
        this.run = audited.run();
        this.studio = studio;
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
        return further(Numbers.of(rules(faults(with)), audited));
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
        Answer.Table sheets = sheets(main);
        List<String> codes = sheets.rows().stream()
                .map(row -> row.get(0))
                .filter(code -> !code.equals(NO_CODE))
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
            with = toTry(with, main);
        }
        with = with.with(sheets);
        return elsewhere(with, main);
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

    private Answer toTry(Answer answer, Ranking main) {
        Suspect first = main.first().suspect();
        List<Answer.Step> steps = new ArrayList<>();
        String before = first.before().isEmpty() ? "the ink of before" : first.before() + left(first.before());
        steps.add(new Answer.Step("Counter-test: " + first.kind().counterTest().replace("{before}", before), ""));
        Set<String> said = new LinkedHashSet<>();
        main.causes().stream()
                .filter(each -> each.chance() > 0.01)
                .limit(3)
                .map(each -> each.suspect().kind().remedy())
                .forEach(said::add);
        for (String sign : signs()) {
            Causes.fault(sign)
                    .ifPresent(fault ->
                            said.add("Against " + fault.sign() + ": " + String.join("; then ", fault.steps())));
        }
        said.forEach(remedy -> steps.add(new Answer.Step(remedy, "")));
        return answer.heading("What to try, on a spoiled sheet, one change at a time")
                .with(new Answer.Steps(steps));
    }

    private String left(String mix) {
        return studio.thing("mix", mix)
                .map(thing -> studio.composition(thing.id()).grams().value())
                .filter(grams -> grams > 0.05)
                .map(grams -> " (" + Words.shown(grams) + " g left)")
                .orElse("");
    }

    /** Signs of trouble among what changed, in the words of the table of faults. */
    private List<String> signs() {
        List<String> signs = new ArrayList<>();
        for (Ranking each : audited.changed()) {
            Series series = each.series();
            Ranking.Change change = each.change();
            boolean up = change.after() > change.before();
            switch (series.kind()) {
                case PASSES -> signs.add(up ? "passes up" : "passes down");
                case MARKS -> {
                    if (!series.name().equals(Series.OPEN_AREAS)) {
                        signs.add(up ? "darker" : "lighter");
                    } else if (up) {
                        // Tint and filling stand for one value; what was seen behind the change says which.
                        run.pulls().stream()
                                .filter(pull -> pull.number() >= change.pull())
                                .map(StudioView.PullRow::margin)
                                .filter(margin -> margin.equals("tint") || margin.equals("filling"))
                                .forEach(signs::add);
                    }
                }
                case COUNTED -> {
                    if (up || !each.isInTheLog() || !each.first().suspect().hasPlace()) {
                        signs.add(series.name().replace(Series.LOOKED_THROUGH, ""));
                    }
                }
                case MEASURED -> {
                    if (series.name().contains("tint") && up) {
                        signs.add("tint");
                    } else if (series.name().contains("density")) {
                        signs.add(up ? "darker" : "lighter");
                    }
                }
            }
        }
        return signs.stream().distinct().toList();
    }

    /** Sheets to look at: from the change on, or those that something was found of. */
    private Answer.Table sheets(Ranking main) {
        Ranking.Change change = main.change();
        boolean step = main.series().kind() != Series.Kind.COUNTED
                && (!main.isInTheLog() || main.first().suspect().hasPlace());
        Set<Integer> flagged = new LinkedHashSet<>();
        for (Ranking each : audited.changed()) {
            if (each.series().kind() == Series.Kind.COUNTED) {
                flagged.addAll(each.series().counted());
            }
        }
        Optional<Individuals> band = main.series().band();
        if (!step && band.isPresent()) {
            for (int place : band.get().outside(main.series().values())) {
                flagged.add(main.series().pulls()[place]);
            }
        }
        List<List<String>> rows = new ArrayList<>();
        List<String> about = new ArrayList<>();
        for (StudioView.PullRow pull : run.pulls()) {
            boolean perhaps = step && pull.number() >= change.from() && pull.number() < change.pull();
            boolean after = step && pull.number() >= change.pull();
            if (perhaps || after || flagged.contains(pull.number())) {
                rows.add(List.of(
                        pull.sheet().isEmpty() ? NO_CODE : pull.sheet(),
                        pull.impression(),
                        String.valueOf(pull.number()),
                        pull.grade(),
                        pull.looked()
                                .map(looked -> looked.grade()
                                        + (looked.reasons().isEmpty()
                                                ? ""
                                                : ", " + String.join(", ", looked.reasons())))
                                .orElse(""),
                        perhaps ? "perhaps before the change" : ""));
                about.add(pull.event());
            }
        }
        return new Answer.Table(
                        "Sheets to take from the drawer",
                        List.of("sheet", "number", "pull", "at the press", "looked through", "note"),
                        rows,
                        about)
                .withoutEmptyColumns();
    }

    /** Prints of other runs that carry the ink that came in. */
    private Answer elsewhere(Answer answer, Ranking main) {
        if (!main.isInTheLog() || main.first().suspect().brought().isEmpty()) {
            return answer;
        }
        String ink = main.first().suspect().brought();
        Optional<StudioView.Thing> mix = studio.thing("mix", ink).or(() -> studio.thing("packet", ink));
        if (mix.isEmpty()) {
            return answer;
        }
        Map<String, Set<String>> others = new TreeMap<>();
        for (StudioView.Carrier carrier : studio.carriers(mix.get().id())) {
            if (!carrier.run().equals(run.run())) {
                others.computeIfAbsent(carrier.runName(), any -> new LinkedHashSet<>())
                        .add(carrier.sheet().isEmpty() ? "a sheet without a code" : carrier.sheet());
            }
        }
        if (others.isEmpty()) {
            return answer.text("No other run carries ink from " + ink + ".");
        }
        List<List<String>> rows = new ArrayList<>();
        others.forEach((name, sheets) -> rows.add(List.of(name, String.join(", ", sheets))));
        return answer.with(new Answer.Table("Other prints with " + ink + " in them", List.of("run", "sheets"), rows))
                .with(new Answer.Link(
                        "Where else " + ink + " went, with its shares",
                        mix.get().id()));
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

    /** Faults as they were named, with the rules that may explain them. */
    private Answer faults(Answer answer) {
        Map<String, List<Integer>> named = new LinkedHashMap<>();
        for (StudioView.PullRow pull : run.pulls()) {
            pull.faults()
                    .forEach(fault -> named.computeIfAbsent(fault, any -> new ArrayList<>())
                            .add(pull.number()));
            pull.looked()
                    .ifPresent(looked -> looked.reasons()
                            .forEach(reason -> named.computeIfAbsent(reason, any -> new ArrayList<>())
                                    .add(pull.number())));
        }
        if (named.isEmpty()) {
            return answer;
        }
        List<List<String>> rows = new ArrayList<>();
        List<String> about = new ArrayList<>();
        named.forEach((fault, pulls) -> {
            Optional<Causes.Fault> known = Causes.fault(fault);
            List<StudioView.Check> rules = run.checks().stream()
                    .filter(check -> known.filter(of -> of.rules().stream()
                                    .anyMatch(rule -> rule.equals(check.rule())
                                            // A warning that does not show by itself begins with its rule.
                                            || check.rule().equals(WARNED)
                                                    && check.text().startsWith(rule)))
                            .isPresent())
                    .toList();
            rows.add(List.of(
                    fault,
                    Words.pulls(pulls.stream().distinct().sorted().toList()),
                    rules.isEmpty()
                            ? ""
                            : String.join(
                                    "; ",
                                    rules.stream().map(StudioView.Check::text).toList()),
                    known.map(of -> String.join("; then ", of.steps())).orElse("")));
            about.add(rules.isEmpty() ? "" : rules.get(0).event());
        });
        return answer.with(new Answer.Table(
                        "Faults that were named",
                        List.of("fault", "pulls", "consistent with", "to try, reversible first"),
                        rows,
                        about)
                .withoutEmptyColumns());
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
