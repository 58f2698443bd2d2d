package slabside.audit;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import slabside.plugin.Answer;
import slabside.plugin.StudioView;

/** What to try, from what is likely and from the signs that were seen: reversible first, a counter-test before all. */
final class Remedies {
    private static final String WARNED = "warned";

    private final Audited audited;
    private final StudioView.RunRecord run;
    private final StudioView studio;

    Remedies(Audited audited, StudioView studio) {
        this.audited = audited;
        this.run = audited.run();
        this.studio = studio;
    }

    Answer toTry(Answer answer, Ranking main) {
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

    /** Faults as they were named, with the rules that may explain them. */
    Answer faults(Answer answer) {
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
}
