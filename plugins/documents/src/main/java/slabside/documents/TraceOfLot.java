package slabside.documents;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.Report;
import slabside.plugin.StudioView;

/** Where the ink of a can, mix or packet went, down to the sheets that carry it and where those are. */
public final class TraceOfLot implements Report {
    private static final Question<String> LOT = Question.pick("lot", "Can, mix or packet", "vessel");

    @Override
    public Card card() {
        return new Card("trace-of-a-lot", "Trace of a lot", "Which prints carry this ink, and where are they?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(LOT);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        String id = replies.to(LOT);
        StudioView.Thing thing = Said.thing(id, studio, "can", "packet", "mix")
                .orElseThrow(() -> new BadInput(LOT.label(), id, "pick a can, mix or packet of this studio"));
        Answer answer = Answer.titled("Trace of a lot: " + thing.name())
                .with(new Answer.Code("This ink in the studio's log", id));
        answer = ways(answer, studio.from(id));
        List<StudioView.Carrier> carriers = studio.carriers(id);
        if (carriers.isEmpty()) {
            return answer.text("No print carries it, as far as is written down.");
        }
        Map<String, Integer> byRun = new LinkedHashMap<>();
        Map<String, Double> least = new LinkedHashMap<>();
        Map<String, Double> most = new LinkedHashMap<>();
        Map<String, Integer> byPlace = new LinkedHashMap<>();
        Set<String> counted = new HashSet<>();
        for (StudioView.Carrier each : carriers) {
            byRun.merge(each.runName(), 1, Integer::sum);
            least.merge(each.runName(), each.share(), Math::min);
            most.merge(each.runName(), each.share(), Math::max);
            if (!each.impression().isEmpty() && counted.add(each.edition() + " " + each.impression())) {
                byPlace.merge(each.where(), 1, Integer::sum);
            }
        }
        List<List<String>> runs = new ArrayList<>();
        byRun.forEach((run, pulls) -> runs.add(List.of(
                run,
                "" + pulls,
                Said.percent(least.getOrDefault(run, 0.0)),
                Said.percent(most.getOrDefault(run, 0.0)))));
        answer = answer.quantity("Pulls that carry it", carriers.size(), "", "newsprint and proofs counted")
                .table(
                        "By run, with its share of the ink on slab and roller",
                        List.of("run", "pulls", "least, %", "most, %"),
                        runs);
        if (!byPlace.isEmpty()) {
            List<List<String>> places = new ArrayList<>();
            byPlace.forEach((place, count) -> places.add(List.of(place, "" + count)));
            answer = answer.table("Impressions that carry it are", List.of("where", "impressions"), places);
        }
        return answer.with(new Answer.Deeper(
                "Print by print",
                List.of(new Answer.Table(
                                "",
                                List.of("run", "pull", "sheet", "for", "grade", "share, %", "became", "is"),
                                carriers.stream()
                                        .map(each -> List.of(
                                                each.runName(),
                                                each.pull() == 0 ? "" : "" + each.pull(),
                                                each.sheet(),
                                                each.kind(),
                                                each.grade(),
                                                Said.percent(each.share()),
                                                each.impression(),
                                                each.where()))
                                        .toList(),
                                carriers.stream().map(StudioView.Carrier::event).toList())
                        .withoutEmptyColumns())));
    }

    private static Answer ways(Answer answer, List<StudioView.Path> paths) {
        Map<String, Double> grams = new LinkedHashMap<>();
        Map<String, Integer> moves = new LinkedHashMap<>();
        boolean unknown = false;
        for (StudioView.Path path : paths) {
            String way = path.why().replace('-', ' ') + ": " + path.intoName();
            grams.merge(way, path.grams().map(g -> g.value()).orElse(0.0), Double::sum);
            moves.merge(way, 1, Integer::sum);
            unknown |= path.grams().isEmpty();
        }
        if (grams.isEmpty()) {
            return answer.text("Nothing was taken out of it yet.");
        }
        List<List<String>> rows = new ArrayList<>();
        grams.forEach((way, sum) -> rows.add(List.of(way, Said.grams(sum), "" + moves.get(way))));
        Answer told = answer.table("Where it went first", List.of("into", "g", "moves"), rows);
        return unknown ? told.caution("Some of these amounts were not written down and count as nothing here.") : told;
    }
}
