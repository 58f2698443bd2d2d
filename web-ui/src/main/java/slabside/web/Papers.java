package slabside.web;

import java.util.List;
import java.util.Map;

/** Which papers there are for a thing, to be linked from its page. */
final class Papers {
    private record Paper(String title, String calculator, String question) {}

    private static final Map<String, List<Paper>> OF = Map.of(
            "edition",
            List.of(
                    new Paper("Documentation sheet", "documentation-sheet", "edition"),
                    new Paper("Materials and cost", "materials-and-cost", "of"),
                    new Paper("Time and materials", "time-and-materials", "edition")),
            "run",
            List.of(
                    new Paper("Run sheet", "run-sheet", "run"),
                    new Paper("Materials and cost", "materials-and-cost", "of")),
            "mix",
            List.of(
                    new Paper("Recipe card", "recipe-card", "mix"),
                    new Paper("Bench sheet", "bench-sheet", "mix"),
                    new Paper("What is in it, and cautions", "mix-and-cautions", "mix"),
                    new Paper("Trace", "trace-of-a-lot", "lot")),
            "packet",
            List.of(
                    new Paper("Label", "labels", "one"),
                    new Paper("Recipe card", "recipe-card", "mix"),
                    new Paper("What is in it, and cautions", "mix-and-cautions", "mix"),
                    new Paper("Trace", "trace-of-a-lot", "lot")),
            "can",
            List.of(new Paper("Label", "labels", "one"), new Paper("Trace", "trace-of-a-lot", "lot")));

    private Papers() {}

    /** Links that open the answer, where a paper asks for nothing else; the form, where something may be chosen. */
    static List<Desk.Piece> of(String kind, String id) {
        return OF.getOrDefault(kind, List.of()).stream()
                .map(paper -> new Desk.Piece(
                        paper.title, "/calculators/" + paper.calculator + "?" + paper.question + "=" + id))
                .toList();
    }
}
