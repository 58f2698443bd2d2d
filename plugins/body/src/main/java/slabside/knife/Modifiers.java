package slabside.knife;

import java.util.ArrayList;
import java.util.Arrays;
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

/** What modifies an ink, how much of it is in there, what it does, and the fresh recipe when there is too much of it; of a run, on the rollers pull by pull. */
public final class Modifiers implements Calculator {
    private static final Question<String> INK = Question.pick("ink", "Ink, or run", "vessel", "run");

    /**
     * A modifier as the trade knows it (common practice, from memory; a studio's own log replaces it).
     *
     * @param named parts of the material's name that mean it, with | between them; empty for any of its role
     * @param role as materials are listed
     * @param low usual share in %, and {@code high}
     * @param limit share in % from which it is asked about before it is added
     * @param stiffens change of the natural logarithm of stiffness for each per cent, with {@code unsure}, its standard
     *     uncertainty; 0 where nothing can be said before it was tried
     */
    record Usual(
            String named,
            String role,
            double low,
            double high,
            double limit,
            double stiffens,
            double unsure,
            String does,
            String when,
            String caution) {
        boolean means(String name) {
            return Arrays.stream(named.split("\\|")).anyMatch(name::contains);
        }
    }

    private static final String DUST =
            "The mask that its data sheet names, fold it in, do not pour: dust is a nuisance at least.";
    /**
     * The stiffening of powders lies between what laws of filled pastes give (Krieger and Dougherty; Chateau, Ovarlez and Trung: 0.02
     * to 0.08) and that of networks; that of a thin oil is what mixes of oils give (by logarithms, 0.05 to 0.07) and something
     * for the network it loosens. Assumptions, until the log tells.
     */
    private static final List<Usual> USUAL = List.of(
            new Usual(
                    "magnesium",
                    "powder",
                    0.5,
                    3,
                    5,
                    0.12,
                    0.06,
                    "much stiffer, much shorter, a little less tacky, matt",
                    "a little at a time, worked in well; days before is well",
                    DUST),
            new Usual(
                    "calcium",
                    "powder",
                    2,
                    10,
                    10,
                    0.03,
                    0.02,
                    "stiffer, shorter, slightly milky",
                    "a little at a time, worked in well",
                    DUST),
            new Usual("", "powder", 1, 5, 5, 0, 0, "stiffer", "a little at a time, worked in well", DUST),
            new Usual(
                    "heavy",
                    "varnish",
                    2,
                    10,
                    10,
                    0,
                    0,
                    "stiffer, much longer, much tackier, glossy",
                    "when it is mixed",
                    ""),
            new Usual(
                    "oil|thin",
                    "varnish",
                    0.5,
                    5,
                    5,
                    -0.09,
                    0.04,
                    "much softer, longer, slower to dry, may spread",
                    "when it is mixed",
                    "Rags with oil heat up by themselves: into a closed metal can, emptied every day."),
            new Usual(
                    "",
                    "varnish",
                    0.5,
                    5,
                    5,
                    0,
                    0,
                    "softer where it is thin, tackier where it is heavy",
                    "when it is mixed",
                    "Rags with oil heat up by themselves: into a closed metal can, emptied every day."),
            new Usual(
                    "",
                    "tack reducer",
                    0.3,
                    2,
                    3,
                    0,
                    0,
                    "much less tacky, a little softer and weaker",
                    "just before printing; in a kept packet it loosens the ink and may leak",
                    ""),
            new Usual(
                    "",
                    "drier",
                    0.5,
                    2.5,
                    2.5,
                    0,
                    0,
                    "much faster to dry; may tint",
                    "just before printing",
                    "Gloves: cobalt driers may sensitise the skin. See the data sheet."),
            new Usual("", "retarder", 0.1, 1, 1, 0, 0, "much slower to dry", "just before printing", ""));

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
        Optional<StudioView.RunRecord> run = studio.runRecord(replies.to(INK));
        if (run.isPresent()) {
            return onLoad(run.get(), studio);
        }
        StudioView.Composition in = studio.composition(replies.to(INK));
        if (in.shares().isEmpty()) {
            throw new BadInput(INK.label(), in.name(), "nothing is in it now; pick a mix or packet that holds ink");
        }
        return told(
                Answer.titled("Modifiers"),
                in.name(),
                in.shares().stream()
                        .map(share -> new Part(
                                share.material(),
                                share.share().value() * 100,
                                share.share().expanded() * 100))
                        .toList(),
                in.gaps());
    }

    /**
     * @param percent of the whole
     * @param expanded of that; 0 where it is not known
     */
    private record Part(StudioView.Material material, double percent, double expanded) {}

    /** What was on the rollers with the last pull, and pull by pull. */
    private static Answer onLoad(StudioView.RunRecord run, StudioView studio) {
        List<StudioView.PullRow> pulls =
                run.pulls().stream().filter(pull -> !pull.loads().isEmpty()).toList();
        if (pulls.isEmpty()) {
            throw new BadInput(INK.label(), run.name(), "no pull with ink on the rollers is written down");
        }
        List<StudioView.OnLoad> loads = pulls.get(pulls.size() - 1).loads();
        Answer answer = Answer.titled("Modifiers on the rollers");
        for (int i = 0; i < loads.size(); i++) {
            int side = i;
            List<Part> parts = parts(loads.get(i), studio);
            String name = loads.size() == 1
                    ? "The ink of " + run.name()
                    : "Ink " + (i + 1) + " across the roller of " + run.name();
            answer = told(answer, name + ", at the last pull,", parts, List.of());
            for (Part part : parts) {
                if (usual(part.material()).isPresent()) {
                    answer = answer.chart(
                            part.material().name() + (loads.size() == 1 ? "" : ", ink " + (i + 1)),
                            "pull",
                            "%",
                            pulls.stream()
                                    .filter(pull -> pull.loads().size() > side)
                                    .map(pull -> new Answer.Point(
                                            pull.number(),
                                            100
                                                    * pull.loads()
                                                            .get(side)
                                                            .shares()
                                                            .getOrDefault(
                                                                    part.material()
                                                                            .name(),
                                                                    0.0)))
                                    .toList());
                }
            }
        }
        return answer.assumption(
                "What is charged is worked through what lies on slab and roller before the next pull", "assumption");
    }

    /** A load tells its shares by name: of two materials of one name the first is taken. */
    private static List<Part> parts(StudioView.OnLoad load, StudioView studio) {
        List<Part> parts = new ArrayList<>();
        List<String> met = new ArrayList<>();
        for (StudioView.Material material : studio.materials()) {
            Double share = load.shares().get(material.name());
            if (share != null && !met.contains(material.name())) {
                met.add(material.name());
                parts.add(new Part(material, share * 100, 0));
            }
        }
        return parts;
    }

    private static Answer told(Answer answer, String name, List<Part> parts, List<String> gaps) {
        List<List<String>> rows = new ArrayList<>();
        List<String> over = new ArrayList<>();
        List<String> cautions = new ArrayList<>();
        double modified = 0;
        boolean more = false;
        for (Part part : parts) {
            Optional<Usual> usual = usual(part.material());
            if (usual.isPresent()) {
                modified += part.percent();
                rows.add(List.of(
                        part.material().name(),
                        String.format(Locale.ROOT, "%.2f", part.percent()),
                        part.expanded() == 0 ? "" : String.format(Locale.ROOT, "%.2f", part.expanded()),
                        String.format(
                                Locale.ROOT,
                                "%.1f to %.1f",
                                usual.get().low(),
                                usual.get().high()),
                        usual.get().does(),
                        usual.get().when()));
                more |= part.percent() > usual.get().high();
                if (part.percent() - part.expanded() > usual.get().limit()) {
                    over.add(String.format(
                            Locale.ROOT,
                            "%s, %.1f %% where %.1f is much",
                            part.material().name(),
                            part.percent(),
                            usual.get().limit()));
                }
                if (!usual.get().caution().isEmpty()
                        && !cautions.contains(usual.get().caution())) {
                    cautions.add(usual.get().caution());
                }
            }
        }
        if (rows.isEmpty()) {
            return answer.text("Nothing that is written down modifies " + name.replaceAll(",$", "") + ".");
        }
        Answer told = answer.text(
                        over.isEmpty()
                                ? String.format(
                                        Locale.ROOT,
                                        "%s is modified by %.1f %% altogether, %s.",
                                        name,
                                        modified,
                                        more ? "more than is usual, but within the limits" : "within what is usual")
                                : "Over-modified: " + String.join("; ", over)
                                        + ". More of anything makes it worse: start fresh.")
                .table(
                        "What modifies it",
                        List.of("modifier", "%", "± % (k = 2)", "usual, %", "it makes an ink", "it goes in"),
                        rows);
        if (!over.isEmpty()) {
            told = fresh(told, parts);
        }
        for (String gap : gaps) {
            told = told.caution(gap + "; shares are of what was written down.");
        }
        for (String caution : cautions) {
            told = told.caution(caution);
        }
        return told.assumption("Usual shares and limits are those of the trade", "common practice, from memory");
    }

    /** The same without modifiers: what is left in the same proportions. */
    private static Answer fresh(Answer answer, List<Part> parts) {
        List<Part> kept =
                parts.stream().filter(part -> usual(part.material()).isEmpty()).toList();
        double sum = kept.stream().mapToDouble(Part::percent).sum();
        if (!(sum > 0)) {
            return answer;
        }
        return answer.table(
                        "Afresh, without them, 100 g",
                        List.of("material", "g"),
                        kept.stream()
                                .map(part -> List.of(
                                        part.material().name(),
                                        String.format(Locale.ROOT, "%.2f", 100 * part.percent() / sum)))
                                .toList())
                .text("Then modify it anew, in small steps, with a test after each.");
    }

    static Optional<Usual> usual(StudioView.Material material) {
        String name = material.name().toLowerCase(Locale.ROOT);
        return USUAL.stream()
                .filter(usual -> usual.role().equals(material.role()) && usual.means(name))
                .findFirst();
    }
}
