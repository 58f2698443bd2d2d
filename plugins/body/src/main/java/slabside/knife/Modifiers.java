package slabside.knife;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** What modifies an ink, how much of it is in there, what it does, and the fresh recipe when there is too much of it. */
public final class Modifiers implements Calculator {
    private static final Question<String> INK = Question.pick("ink", "Ink", "vessel");

    /**
     * A modifier as the trade knows it (common practice, from memory; a studio's own log replaces it).
     *
     * @param named part of the material's name that means it; empty for any of its role
     * @param role as materials are listed
     * @param low usual share in %, and {@code high}
     * @param limit share in % from which it is asked about before it is added
     */
    private record Usual(
            String named,
            String role,
            double low,
            double high,
            double limit,
            String does,
            String when,
            String caution) {}

    private static final String DUST =
            "The mask that its data sheet names, fold it in, do not pour: dust is a nuisance at least.";
    private static final List<Usual> USUAL = List.of(
            new Usual(
                    "magnesium",
                    "powder",
                    0.5,
                    3,
                    5,
                    "much stiffer, much shorter, a little less tacky, matt",
                    "a little at a time, worked in well; days before is well",
                    DUST),
            new Usual(
                    "calcium",
                    "powder",
                    2,
                    10,
                    10,
                    "stiffer, shorter, slightly milky",
                    "a little at a time, worked in well",
                    DUST),
            new Usual("", "powder", 1, 5, 5, "stiffer", "a little at a time, worked in well", DUST),
            new Usual(
                    "heavy",
                    "varnish",
                    2,
                    10,
                    10,
                    "stiffer, much longer, much tackier, glossy",
                    "when it is mixed",
                    ""),
            new Usual(
                    "",
                    "varnish",
                    0.5,
                    5,
                    5,
                    "much softer, longer, slower to dry, may spread",
                    "when it is mixed",
                    "Rags with oil heat up by themselves: into a closed metal can, emptied every day."),
            new Usual(
                    "",
                    "tack reducer",
                    0.3,
                    2,
                    3,
                    "much less tacky, a little softer and weaker",
                    "just before printing; in a kept packet it loosens the ink and may leak",
                    ""),
            new Usual(
                    "",
                    "drier",
                    0.5,
                    2.5,
                    2.5,
                    "much faster to dry; may tint",
                    "just before printing",
                    "Gloves: cobalt driers may sensitise the skin. See the data sheet."),
            new Usual("", "retarder", 0.1, 1, 1, "much slower to dry", "just before printing", ""));

    @Override
    public Card card() {
        return new Card("modifiers", "Modifiers", "What modifies this ink, is it too much, and how is it made afresh?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(INK);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        StudioView.Composition in = studio.composition(replies.to(INK));
        if (in.shares().isEmpty()) {
            throw new BadInput(INK.label(), in.name(), "nothing is in it now; pick a mix or packet that holds ink");
        }
        List<List<String>> rows = new ArrayList<>();
        List<String> over = new ArrayList<>();
        List<String> cautions = new ArrayList<>();
        double modified = 0;
        for (StudioView.Share share : in.shares()) {
            Optional<Usual> usual = usual(share.material());
            if (usual.isPresent()) {
                double percent = share.share().value() * 100;
                modified += percent;
                rows.add(List.of(
                        share.material().name(),
                        String.format(Locale.ROOT, "%.2f", percent),
                        String.format(Locale.ROOT, "%.2f", share.share().expanded() * 100),
                        String.format(
                                Locale.ROOT,
                                "%.1f to %.1f",
                                usual.get().low(),
                                usual.get().high()),
                        usual.get().does(),
                        usual.get().when()));
                if (percent - share.share().expanded() * 100 > usual.get().limit()) {
                    over.add(String.format(
                            Locale.ROOT,
                            "%s, %.1f %% where %.1f is much",
                            share.material().name(),
                            percent,
                            usual.get().limit()));
                }
                if (!usual.get().caution().isEmpty()
                        && !cautions.contains(usual.get().caution())) {
                    cautions.add(usual.get().caution());
                }
            }
        }
        Answer answer = Answer.titled("Modifiers");
        if (rows.isEmpty()) {
            return answer.text("Nothing that is written down modifies " + in.name() + ".");
        }
        answer = answer.text(
                        over.isEmpty()
                                ? String.format(
                                        Locale.ROOT,
                                        "%s is modified by %.1f %% altogether, within what is usual.",
                                        in.name(),
                                        modified)
                                : "Over-modified: " + String.join("; ", over)
                                        + ". More of anything makes it worse: start fresh.")
                .table(
                        "What modifies it",
                        List.of("modifier", "%", "± % (k = 2)", "usual, %", "it makes an ink", "it goes in"),
                        rows);
        if (!over.isEmpty()) {
            answer = fresh(answer, in);
        }
        for (String gap : in.gaps()) {
            answer = answer.caution(gap + "; shares are of what was written down.");
        }
        for (String caution : cautions) {
            answer = answer.caution(caution);
        }
        return answer.assumption("Usual shares and limits are those of the trade", "common practice, from memory");
    }

    /** The same without modifiers: what is left in the same proportions. */
    private static Answer fresh(Answer answer, StudioView.Composition in) {
        List<StudioView.Share> kept = in.shares().stream()
                .filter(share -> usual(share.material()).isEmpty())
                .toList();
        double sum = kept.stream().mapToDouble(share -> share.share().value()).sum();
        if (!(sum > 0)) {
            return answer;
        }
        return answer.table(
                        "Afresh, without them, 100 g",
                        List.of("material", "g"),
                        kept.stream()
                                .map(share -> List.of(
                                        share.material().name(),
                                        String.format(
                                                Locale.ROOT,
                                                "%.2f",
                                                100 * share.share().value() / sum)))
                                .toList())
                .text("Then modify it anew, in small steps, with a test after each.");
    }

    private static Optional<Usual> usual(StudioView.Material material) {
        String name = material.name().toLowerCase(Locale.ROOT);
        return USUAL.stream()
                .filter(usual -> usual.role().equals(material.role()) && name.contains(usual.named()))
                .findFirst();
    }
}
