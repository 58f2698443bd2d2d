package slabside.audit;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;
import slabside.statistics.Counts;
import slabside.statistics.TwoSamples;

/**
 * What runs that went wrong have in common that the others have not: rollers, papers, cans, rules of a recipe, shares, warmth.
 * How many things were looked at always stands beside it, for of many something is always in common.
 */
public final class CommonFactors implements Calculator {
    static final String ID = "common-factors";
    private static final Question<Double> LOST = Question.number(
                    "lost", "A run went wrong when so many of its sheets were spoiled or a query", "%", 1, 100)
            .preset("20", Question.Origin.ASSUMPTION);
    private static final Question<String> ALSO = Question.text(
                    "also", "Runs that went wrong as well, apart by semicolons")
            .optional();
    /** What is a result, or names the run itself. */
    private static final Set<String> RESULTS = Set.of("fault", "ink", "stone or plate");

    private static final Set<String> RESULT_NUMBERS =
            Set.of("sheets", "spoiled at the press, %", "queries at the press, %");
    private static final int FEWEST = 2;
    private static final int TOLD = 12;
    private static final double STANDS_OUT = 0.05;

    @Override
    public Card card() {
        return new Card(
                ID,
                "What failures have in common",
                "Which roller, can, paper or share is found more often in runs that went wrong?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(LOST, ALSO);
    }

    /** @param p chance of as much in common, if it had nothing to do with it */
    private record Factor(String what, String wrong, String others, double p) {}

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        double limit = replies.to(LOST);
        Set<String> named = named(replies.maybe(ALSO).orElse(""), studio);
        List<StudioView.Facts> wrong = new ArrayList<>();
        List<StudioView.Facts> others = new ArrayList<>();
        List<StudioView.Facts> runs = new ArrayList<>(studio.factsOfAll("run"));
        for (String id : named) {
            if (runs.stream().noneMatch(run -> run.id().equals(id))) {
                studio.facts(id).ifPresent(runs::add);
            }
        }
        for (StudioView.Facts run : runs) {
            Double spoiled = run.numbers().get("spoiled at the press, %");
            if (spoiled == null) {
                continue;
            }
            double lost = spoiled + run.numbers().getOrDefault("queries at the press, %", 0.0);
            (lost >= limit || named.contains(run.id()) ? wrong : others).add(run);
        }
        Answer answer = Answer.titled("What failures have in common");
        if (wrong.size() < FEWEST || others.isEmpty()) {
            return answer.text(
                            Words.plural(wrong.size(), "run", "runs") + " of " + (wrong.size() + others.size())
                                    + " printed went wrong; to have something in common it takes two at least, and one that went well.")
                    .with(runs("Went wrong", wrong));
        }
        List<Factor> factors = new ArrayList<>(words(wrong, others));
        factors.addAll(numbers(wrong, others));
        factors.sort(Comparator.comparingDouble(Factor::p));
        int searched = factors.size();
        List<Factor> standing = factors.stream()
                .filter(each -> each.p() * searched < STANDS_OUT)
                .toList();
        answer = answer.text(wrong.size() + " of " + (wrong.size() + others.size()) + " printed runs went wrong. "
                + (standing.isEmpty()
                        ? "Of " + searched
                                + " things looked at, none is more common among them than chance would make one of so many."
                        : "More common among them than chance would make one of " + searched + ": "
                                + String.join(
                                        "; ",
                                        standing.stream().map(Factor::what).toList())
                                + ". This is no proof."));
        return answer.with(new Answer.Table(
                        "Most uneven between the two, first",
                        List.of("what", "went wrong", "went well", "chance of as much", "of one among " + searched),
                        factors.stream()
                                .limit(TOLD)
                                .map(each -> List.of(
                                        each.what(),
                                        each.wrong(),
                                        each.others(),
                                        Words.chance(each.p()),
                                        Words.chance(Math.min(1, each.p() * searched))))
                                .toList()))
                .with(runs("Went wrong", wrong))
                .with(new Answer.Deeper("The runs that went well", List.of(runs("", others))))
                .assumption(
                        "things that are named: one-sided exact test (Fisher); numbers: by ranks (Mann–Whitney), two-sided; the"
                                + " last column takes the number looked at into account (Bonferroni). People are never"
                                + " looked at",
                        "published")
                .assumption("the newest runs of this studio, 40 at most, and those named", "measured here");
    }

    private static Set<String> named(String typed, StudioView studio) {
        Set<String> ids = new LinkedHashSet<>();
        for (String name : typed.split(";")) {
            if (!name.isBlank()) {
                ids.add(studio.thing("run", name.strip())
                        .map(StudioView.Thing::id)
                        .orElseThrow(() -> new BadInput(
                                ALSO.label(), name.strip(), "no single run is called so; give its name in full")));
            }
        }
        return ids;
    }

    private static Answer.Table runs(String caption, List<StudioView.Facts> runs) {
        return new Answer.Table(
                caption,
                List.of("run", "sheets", "spoiled", "queries"),
                runs.stream()
                        .map(run -> List.of(
                                run.name(),
                                String.format(Locale.ROOT, "%.0f", run.numbers().getOrDefault("sheets", 0.0)),
                                part(run, "spoiled at the press, %"),
                                part(run, "queries at the press, %")))
                        .toList(),
                runs.stream().map(StudioView.Facts::id).toList());
    }

    private static String part(StudioView.Facts run, String what) {
        return String.format(Locale.ROOT, "%.0f %%", run.numbers().getOrDefault(what, 0.0));
    }

    private static List<Factor> words(List<StudioView.Facts> wrong, List<StudioView.Facts> others) {
        Map<String, Set<String>> values = new TreeMap<>();
        wrong.forEach(run -> run.words().forEach((what, words) -> {
            if (!RESULTS.contains(what)) {
                values.computeIfAbsent(what, any -> new TreeSet<>()).addAll(words);
            }
        }));
        List<Factor> factors = new ArrayList<>();
        values.forEach((what, all) -> all.forEach(value -> {
            int k1 = with(wrong, what, value);
            int k2 = with(others, what, value);
            int n1 = known(wrong, what);
            int n2 = known(others, what);
            if (k1 >= FEWEST && n2 > 0 && k1 + k2 < n1 + n2) {
                factors.add(new Factor(
                        what + ": " + value,
                        k1 + " of " + n1,
                        k2 + " of " + n2,
                        Counts.fisher(k1, n1, k2, n2).more()));
            }
        }));
        return factors;
    }

    private static int with(List<StudioView.Facts> runs, String what, String value) {
        return (int) runs.stream()
                .filter(run -> run.words().getOrDefault(what, List.of()).contains(value))
                .count();
    }

    private static int known(List<StudioView.Facts> runs, String what) {
        return (int) runs.stream()
                .filter(run -> !run.words().getOrDefault(what, List.of()).isEmpty())
                .count();
    }

    private static List<Factor> numbers(List<StudioView.Facts> wrong, List<StudioView.Facts> others) {
        Set<String> names = new TreeSet<>();
        wrong.forEach(run -> names.addAll(run.numbers().keySet()));
        names.removeAll(RESULT_NUMBERS);
        List<Factor> factors = new ArrayList<>();
        for (String name : names) {
            double[] x = of(wrong, name);
            double[] y = of(others, name);
            if (x.length >= FEWEST && y.length >= FEWEST) {
                factors.add(
                        new Factor(name, range(x), range(y), TwoSamples.of(x, y).p()));
            }
        }
        return factors;
    }

    private static double[] of(List<StudioView.Facts> runs, String name) {
        return runs.stream()
                .filter(run -> run.numbers().containsKey(name))
                .mapToDouble(run -> run.numbers().getOrDefault(name, Double.NaN))
                .sorted()
                .toArray();
    }

    private static String range(double... sorted) {
        int half = sorted.length / 2;
        double middle = sorted.length % 2 == 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
        return Words.shown(middle) + " (" + Words.shown(sorted[0]) + " to " + Words.shown(sorted[sorted.length - 1])
                + ")";
    }
}
