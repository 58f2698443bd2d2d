package slabside.audit;

import static slabside.audit.Words.percent;
import static slabside.audit.Words.shown;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import slabside.plugin.Answer;
import slabside.plugin.StudioView;
import slabside.statistics.ChangePoints;
import slabside.statistics.Counts;
import slabside.statistics.Individuals;
import slabside.statistics.RunRule;
import slabside.statistics.SlowCharts;
import slabside.statistics.Trend;

/** The statistics behind a story, one step deeper: everything that was followed, tests and charts, the ink pull by pull. */
final class Numbers {
    private static final int MOST_CHARTS = 8;
    private static final int MOST_MATERIALS = 12;
    /** Weight of the newest value and width of the limits of the moving average, as the handbook has them. */
    private static final double LAMBDA = 0.3;

    private static final double WIDE = 3;
    /** Allowance and limit of the cumulative sums in standard deviations, as the handbook has them. */
    private static final double ALLOWANCE = 0.5;

    private static final double LIMIT = 4;

    private Numbers() {}

    static Answer of(Answer answer, Audited audited) {
        if (audited.rankings().isEmpty()) {
            return assumed(answer);
        }
        Answer with = answer.with(new Answer.Deeper("Everything that was followed", followed(audited)));
        Ranking main = audited.main().orElseThrow();
        with = with.with(new Answer.Deeper("The statistics of " + main.series().name(), statistics(main)));
        List<Answer.Block> ink = ink(audited.run());
        return assumed(ink.isEmpty() ? with : with.with(new Answer.Deeper("The ink on the load, pull by pull", ink)));
    }

    private static List<Answer.Block> followed(Audited audited) {
        List<List<String>> rows = new ArrayList<>();
        for (Ranking each : audited.rankings()) {
            String likeliest = !each.changed()
                    ? ""
                    : each.isInTheLog()
                            ? each.first().suspect().label() + ", "
                                    + percent(each.first().chance())
                            : "a cause not in the log, " + percent(each.notInTheLog());
            rows.add(List.of(
                    each.series().name(),
                    String.valueOf(each.series().size()),
                    percent(each.noChange()),
                    likeliest,
                    each.series()
                            .band()
                            .map(band -> shown(band.lower()) + " to " + shown(band.upper()))
                            .orElse("")));
        }
        List<Answer.Block> blocks = new ArrayList<>();
        blocks.add(new Answer.Table(
                "", List.of("series", "values", "no change", "likeliest", "band of the opening"), rows));
        blocks.add(
                new Answer.Text("Looked at " + Words.plural(audited.rankings().size(), "series", "series") + " and "
                        + Words.plural(audited.suspects().size(), "thing", "things")
                        + " that were written down; told above is the strongest that was read, else of the passes, the looks, the"
                        + " counts. Factors of several are not multiplied, for they look at the same prints."));
        audited.rankings().stream()
                .skip(1)
                .filter(each -> each.series().kind() != Series.Kind.COUNTED)
                .limit(MOST_CHARTS)
                .forEach(each -> blocks.add(Story.chart(
                        each.series(),
                        audited.suspects(),
                        each.changed() && each.isInTheLog()
                                ? each.first().suspect().label()
                                : "")));
        return blocks;
    }

    private static List<Answer.Block> statistics(Ranking ranking) {
        List<List<String>> rows = new ArrayList<>();
        Series series = ranking.series();
        if (series.isNumber()) {
            numbers(rows, ranking);
        } else if (series.kind() == Series.Kind.COUNTED) {
            counts(rows, ranking);
        } else {
            rows.add(List.of(
                    "Ordinal shift",
                    "a look tells values apart only from " + shown(Series.SEEN)
                            + " standard deviations of a print on"));
        }
        if (ranking.changed()) {
            Ranking.Change change = ranking.change();
            rows.add(List.of(
                    "Place of the first change, 95 %",
                    "pull " + change.pull() + ", " + change.from() + " to " + change.to()));
        }
        return List.of(
                new Answer.Table("", List.of("method", "result"), rows),
                new Answer.Text(
                        "Charts, rules and tests hint; the chances in the table of causes decide. Patterns alarm in nearly every"
                                + " second steady edition of 60 pulls."));
    }

    private static void numbers(List<List<String>> rows, Ranking ranking) {
        Series series = ranking.series();
        double[] values = series.values();
        Optional<Individuals> band = series.band();
        band.ifPresent(limits -> {
            rows.add(List.of(
                    "Band: "
                            + (series.standard().isPresent()
                                    ? "OK proof, as wide as the approved opening"
                                    : "approved opening")
                            + " ± 3 standard deviations",
                    shown(limits.lower()) + " to " + shown(limits.upper()) + ", centre " + shown(limits.centre())));
            rows.add(List.of("Outside the band", pulls(series, limits.outside(values))));
            rows.add(List.of("Moving range above its limit", pulls(series, jumps(limits, values))));
            double[] z = limits.standardised(values);
            for (RunRule rule : RunRule.values()) {
                List<Integer> flagged = rule.flagged(z);
                if (!flagged.isEmpty()) {
                    rows.add(List.of("Pattern: " + word(rule), pulls(series, flagged)));
                }
            }
            SlowCharts.Ewma ewma = SlowCharts.ewma(limits.centre(), limits.sigma(), LAMBDA, WIDE, values);
            int beyond = -1;
            for (int i = values.length - 1; i >= 0; i--) {
                beyond = ewma.ewma()[i] > ewma.upper()[i] || ewma.ewma()[i] < ewma.lower()[i] ? i : beyond;
            }
            rows.add(List.of("Moving average (λ 0.3) leaves its limits", first(series, beyond)));
            SlowCharts.Cusum sums = SlowCharts.cusum(limits.centre(), ALLOWANCE * limits.sigma(), values);
            rows.add(List.of(
                    "Cumulative sum (½, 4) leaves its limit", first(series, sums.firstAbove(LIMIT * limits.sigma()))));
        });
        List<Integer> changes = ranking.changes();
        rows.add(List.of(
                "Levels (PELT, penalty 2 ln n)",
                changes.isEmpty()
                        ? "one"
                        : Words.plural(changes.size() + 1, "level", "levels") + ", new at pull "
                                + String.join(
                                        ", ",
                                        changes.stream()
                                                .map(k -> String.valueOf(series.pulls()[k]))
                                                .toList())));
        ChangePoints.Pettitt pettitt = ChangePoints.pettitt(values);
        rows.add(List.of(
                "Pettitt, by ranks",
                "new level at pull " + series.pulls()[pettitt.at()] + ", p " + Words.chance(pettitt.p())));
        Trend trend = Trend.of(values);
        rows.add(List.of("Trend over the run (Kendall)", "τ " + shown(trend.tau()) + ", p " + Words.chance(trend.p())));
    }

    private static List<Integer> jumps(Individuals limits, double... values) {
        List<Integer> places = new ArrayList<>();
        for (int i = 1; i < values.length; i++) {
            if (Math.abs(values[i] - values[i - 1]) > Math.max(limits.upperRange(), limits.sigma() * 3)) {
                places.add(i);
            }
        }
        return places;
    }

    private static void counts(List<List<String>> rows, Ranking ranking) {
        Series series = ranking.series();
        int k = series.counted().size();
        int n = series.size();
        Counts.Ratio part = Counts.clopperPearson(k, n, 0.95);
        rows.add(List.of(
                "Part, with its 95 % interval",
                k + " of " + n + ", " + shown(100 * part.low()) + " to " + shown(100 * part.high()) + " %"));
        int longest = 0;
        int runs = 0;
        int length = 0;
        for (int i = 0; i < n; i++) {
            length = series.values()[i] > 0 ? length + 1 : 0;
            longest = Math.max(longest, length);
            runs += i == 0 || series.values()[i] != series.values()[i - 1] ? 1 : 0;
        }
        rows.add(List.of(
                "Longest run of them",
                longest + ", chance of one as long among " + k + " laid at random "
                        + Words.chance(Counts.longestRun(n, k, longest))));
        rows.add(List.of(
                "Runs (Wald–Wolfowitz)",
                runs + ", chance of so few or fewer "
                        + Words.chance(Counts.runs(k, n - k, runs).atMost())));
        ranking.causes().stream()
                .filter(each -> each.suspect().hasPlace())
                .limit(3)
                .forEach(each -> {
                    int behind = series.before(each.suspect().first());
                    int k1 = 0;
                    for (int i = 0; i < behind; i++) {
                        k1 += (int) series.values()[i];
                    }
                    if (behind > 0 && behind < n) {
                        rows.add(List.of(
                                "At “" + each.suspect().label() + "”",
                                k1 + " of " + behind + " before, " + (k - k1) + " of " + (n - behind)
                                        + " behind: Fisher p "
                                        + Words.chance(Counts.fisher(k1, behind, k - k1, n - behind)
                                                .p())
                                        + ", as rates p "
                                        + Words.chance(Counts.poisson(k1, behind, k - k1, n - behind, 0.95)
                                                .p())));
                    }
                });
        rows.add(
                List.of("", "tested at what was written down only; to seek the best place would find one in anything"));
    }

    private static String word(RunRule rule) {
        return rule.name().toLowerCase(java.util.Locale.ROOT).replace('_', ' ');
    }

    private static String pulls(Series series, List<Integer> places) {
        return places.isEmpty()
                ? "none"
                : "pull "
                        + Words.pulls(places.stream()
                                .map(place -> series.pulls()[place])
                                .toList());
    }

    private static String first(Series series, int place) {
        return place < 0 ? "never" : "first at pull " + series.pulls()[place];
    }

    /** Grams and shares at the first pull, at each first pull after something moved onto or off a load, and at the last. */
    private static List<Answer.Block> ink(StudioView.RunRecord run) {
        Set<Integer> places = new TreeSet<>();
        run.happenings().stream().filter(each -> each.load() >= 0).forEach(each -> places.add(each.before()));
        List<StudioView.PullRow> inked =
                run.pulls().stream().filter(pull -> !pull.loads().isEmpty()).toList();
        if (inked.isEmpty()) {
            return List.of();
        }
        places.add(inked.get(0).number());
        places.add(inked.get(inked.size() - 1).number());
        List<Answer.Block> blocks = new ArrayList<>();
        int loads = inked.stream().mapToInt(pull -> pull.loads().size()).max().orElse(0);
        for (int load = 0; load < loads; load++) {
            int of = load;
            Set<String> materials = new LinkedHashSet<>();
            inked.stream()
                    .filter(pull -> pull.loads().size() > of)
                    .forEach(pull -> materials.addAll(
                            new TreeSet<>(pull.loads().get(of).shares().keySet())));
            List<String> shown = materials.stream().limit(MOST_MATERIALS).toList();
            List<String> headings = new ArrayList<>(List.of("pull", "g on the load"));
            shown.forEach(material -> headings.add(material + " %"));
            List<List<String>> rows = new ArrayList<>();
            List<String> about = new ArrayList<>();
            for (StudioView.PullRow pull : inked) {
                if (places.contains(pull.number()) && pull.loads().size() > of) {
                    StudioView.OnLoad on = pull.loads().get(of);
                    List<String> cells =
                            new ArrayList<>(Arrays.asList(String.valueOf(pull.number()), shown(on.grams())));
                    shown.forEach(material -> cells.add(shown(100 * on.shares().getOrDefault(material, 0.0))));
                    rows.add(cells);
                    about.add(pull.event());
                }
            }
            blocks.add(
                    new Answer.Table(loads > 1 ? "Ink " + (load + 1) + " of the roller" : "", headings, rows, about));
        }
        return blocks;
    }

    private static Answer assumed(Answer answer) {
        return answer.assumption(
                        "beforehand “no change” 50 %, “a cause not in the log” 10 %, the rest shared among what was written"
                                + " down by kind",
                        "assumption; the weights of the kinds stand in causes.csv of the plugin")
                .assumption(
                        "an effect is about two standard deviations of a print; beside the OK proof a difference is seen from"
                                + " one and a half on; one pull of ten has a flaw, as if ten pulls had shown it",
                        "assumption")
                .assumption(
                        "three pulls after a set-up or reset may be uneven; a load 3 % above the highest of the opening is too"
                                + " much; a share counts as changed from a fifth of itself and 0.2 % of the ink on; a room from"
                                + " 1 °C or 8 %RH on",
                        "assumption");
    }
}
