package slabside.documents;

import java.time.LocalDate;
import java.time.Year;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Predicate;
import slabside.plugin.Answer;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.Report;
import slabside.plugin.StudioView;

/** A year of the studio: what was printed, and what became of the ink. */
public final class StudioYear implements Report {
    private static final Question<Integer> YEAR =
            Question.count("year", "Year", 1900, 2200).preset(Year.now().toString(), Question.Origin.ASSUMPTION);

    private static final List<String> MIXED = List.of("mix", "load", "packet");

    @Override
    public Card card() {
        return new Card("studio-year", "Studio year", "What was printed in this year, and what became of the ink?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(YEAR);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        int year = replies.to(YEAR);
        ZoneId zone = ZoneId.of(studio.zone());
        long from = start(year, zone);
        long until = start(year + 1, zone);
        List<StudioView.PrintedThen> printed = studio.printed(from, until);
        List<StudioView.Flow> flows = studio.flows(from, until);
        Answer answer = Answer.titled("Studio year " + year);
        if (printed.isEmpty() && flows.isEmpty()) {
            return answer.text("Nothing of this year is written down.");
        }
        answer = editions(answer, printed, studio);
        answer = answer.heading("Ink");
        double onPaper =
                printed.stream().mapToDouble(StudioView.PrintedThen::grams).sum();
        answer = answer.quantity("Received", sum(flows, flow -> flow.from().equals("supply")), "g", "into cans")
                .quantity(
                        "Mixed",
                        sum(flows, flow -> flow.from().equals("can") && MIXED.contains(flow.into())),
                        "g",
                        "out of cans into mixes, or straight onto a slab")
                .quantity("Printed", onPaper, "g", "pulls, newsprint and proofs × what a pull of their run took")
                .quantity("Washed up", sum(flows, flow -> flow.into().equals("wash-up")), "g", "off slab and roller")
                .quantity("Wrapped and kept", sum(flows, flow -> flow.into().equals("packet")), "g", "into packets")
                .quantity(
                        "Taken up again",
                        sum(
                                flows,
                                flow -> flow.from().equals("packet")
                                        && !flow.into().equals("waste")),
                        "g",
                        "out of packets")
                .quantity("Thrown away", sum(flows, flow -> flow.into().equals("waste")), "g", "from any vessel");
        if (printed.stream().anyMatch(run -> !run.learned())) {
            answer = answer.caution(
                    "What a pull took is taken from past runs or assumed where a balance has not closed: "
                            + String.join(
                                    ", ",
                                    printed.stream()
                                            .filter(run -> !run.learned())
                                            .map(StudioView.PrintedThen::name)
                                            .toList())
                            + ".");
        }
        int unknown = flows.stream().mapToInt(StudioView.Flow::unknown).sum();
        if (unknown > 0) {
            answer = answer.caution(unknown + (unknown == 1 ? " move has" : " moves have")
                    + " no amount; the sums are of what was written down.");
        }
        return answer.with(new Answer.Deeper(
                "By what was done",
                List.of(new Answer.Table(
                        "Every way that ink moved",
                        List.of("why", "from a", "into a", "g", "moves"),
                        flows.stream()
                                .map(flow -> List.of(
                                        flow.why(),
                                        flow.from(),
                                        flow.into(),
                                        Said.grams(flow.grams()),
                                        "" + flow.moves()))
                                .toList()))));
    }

    private static long start(int year, ZoneId zone) {
        return LocalDate.of(year, 1, 1).atStartOfDay(zone).toInstant().toEpochMilli();
    }

    private static double sum(List<StudioView.Flow> flows, Predicate<StudioView.Flow> of) {
        return flows.stream().filter(of).mapToDouble(StudioView.Flow::grams).sum();
    }

    private static Answer editions(Answer answer, List<StudioView.PrintedThen> printed, StudioView studio) {
        Map<String, List<StudioView.PrintedThen>> byEdition = new LinkedHashMap<>();
        printed.forEach(run -> byEdition
                .computeIfAbsent(run.edition().isEmpty() ? run.run() : run.edition(), any -> new ArrayList<>())
                .add(run));
        List<List<String>> rows = new ArrayList<>();
        byEdition.forEach((id, runs) -> {
            StudioView.PrintedThen first = runs.get(0);
            List<StudioView.Impression> impressions = studio.impressions(id);
            rows.add(List.of(
                    first.edition().isEmpty() ? first.name() : first.editionName(),
                    "" + runs.size(),
                    "" + runs.stream().mapToInt(StudioView.PrintedThen::pulls).sum(),
                    "" + runs.stream().mapToInt(StudioView.PrintedThen::proofs).sum(),
                    Said.grams(runs.stream()
                            .mapToDouble(StudioView.PrintedThen::grams)
                            .sum()),
                    impressions.isEmpty()
                            ? ""
                            : ""
                                    + impressions.stream()
                                            .filter(each -> each.kind().equals("numbered"))
                                            .count(),
                    impressions.isEmpty() ? "" : "" + impressions.size()));
        });
        return answer.heading("Printed")
                .quantity("Editions", byEdition.size(), "", "that were pulled in this year")
                .quantity("Runs", printed.size(), "", "")
                .quantity(
                        "Pulls",
                        printed.stream().mapToInt(StudioView.PrintedThen::pulls).sum(),
                        "",
                        "for the edition, second hits not counted")
                .with(new Answer.Table(
                                "By edition",
                                List.of(
                                        "edition",
                                        "runs",
                                        "pulls",
                                        "newsprint and proofs",
                                        "ink on paper, g",
                                        "numbered",
                                        "impressions"),
                                rows,
                                List.copyOf(byEdition.keySet()))
                        .withoutEmptyColumns());
    }
}
