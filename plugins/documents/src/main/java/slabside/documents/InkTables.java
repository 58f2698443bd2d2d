package slabside.documents;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.StudioView;

/** Tables of ink used: by lot, by where it went, by what it cost. */
final class InkTables {
    private InkTables() {}

    private static Uncertain sum(Uncertain one, Uncertain other) {
        return new Uncertain(one.value() + other.value(), StrictMath.hypot(one.u(), other.u()));
    }

    /** Where the ink of some runs went, a row for each run and one for all. */
    static Answer went(Answer answer, String caption, List<StudioView.RunInk> runs) {
        Set<String> places = new LinkedHashSet<>();
        runs.forEach(run -> run.went().forEach(went -> places.add(went.where())));
        if (places.isEmpty()) {
            return answer;
        }
        List<String> headings = new ArrayList<>(List.of("run"));
        headings.add("into it, g");
        places.forEach(place -> headings.add(place + ", g"));
        List<List<String>> rows = new ArrayList<>();
        Map<String, Double> all = new LinkedHashMap<>();
        double into = 0;
        for (StudioView.RunInk run : runs) {
            double came =
                    run.lots().stream().mapToDouble(lot -> lot.grams().value()).sum();
            into += came;
            List<String> row = new ArrayList<>(List.of(run.name(), Said.grams(came)));
            for (String place : places) {
                Optional<Uncertain> grams = run.went().stream()
                        .filter(went -> went.where().equals(place))
                        .map(StudioView.InkWent::grams)
                        .findFirst();
                grams.ifPresent(some -> all.merge(place, some.value(), Double::sum));
                row.add(grams.map(Said::grams).orElse(""));
            }
            rows.add(row);
        }
        if (runs.size() > 1) {
            List<String> row = new ArrayList<>(List.of("all", Said.grams(into)));
            places.forEach(place -> row.add(Said.grams(all.getOrDefault(place, 0.0))));
            rows.add(row);
        }
        Answer told = answer.table(caption, headings, rows);
        for (StudioView.RunInk run : runs) {
            for (String gap : run.gaps()) {
                told = told.caution(run.name() + ": " + gap + ".");
            }
        }
        return told;
    }

    /** Lots of some runs, with what they cost. */
    static Answer lots(Answer answer, List<StudioView.RunInk> runs) {
        Answer told = answer;
        for (StudioView.RunInk run : runs) {
            told = told.with(new Answer.Table(
                            run.name() + ", lot by lot",
                            List.of("lot", "material", "g", "cost", ""),
                            run.lots().stream()
                                    .map(lot -> List.of(
                                            lot.name(),
                                            lot.name().startsWith(lot.material().name())
                                                    ? ""
                                                    : lot.material().name(),
                                            Said.grams(lot.grams()),
                                            lot.cost()
                                                    .map(cost -> Said.money(cost.value()))
                                                    .orElse("no price"),
                                            lot.currency()))
                                    .toList(),
                            run.lots().stream().map(StudioView.LotUsed::lot).toList())
                    .withoutEmptyColumns());
        }
        return told;
    }

    /** Sums by material. */
    static Answer materials(Answer answer, List<StudioView.RunInk> runs) {
        Map<String, Uncertain> grams = new TreeMap<>();
        runs.forEach(run -> run.lots().forEach(lot -> grams.merge(lot.material().name(), lot.grams(), InkTables::sum)));
        return answer.table(
                "Ink, by material",
                List.of("material", "g", "± g (k = 2)"),
                grams.entrySet().stream()
                        .map(each -> List.of(
                                each.getKey(),
                                Said.grams(each.getValue()),
                                Said.grams(each.getValue().expanded())))
                        .toList());
    }

    /** Sums of what is priced, by currency. */
    static Map<String, Uncertain> costs(List<StudioView.RunInk> runs) {
        Map<String, Uncertain> costs = new TreeMap<>();
        runs.forEach(run -> run.lots()
                .forEach(lot -> lot.cost().ifPresent(cost -> costs.merge(lot.currency(), cost, InkTables::sum))));
        return costs;
    }

    /** Materials of which some has no price. */
    static Set<String> unpriced(List<StudioView.RunInk> runs) {
        Set<String> unpriced = new TreeSet<>();
        runs.forEach(run -> run.lots().stream()
                .filter(lot -> lot.cost().isEmpty())
                .forEach(lot -> unpriced.add(lot.material().name())));
        return unpriced;
    }
}
