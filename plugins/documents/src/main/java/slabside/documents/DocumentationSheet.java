package slabside.documents;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.Report;
import slabside.plugin.StudioView;

/** The documentation sheet of an edition: every field, each unknown one disclaimed by itself, and every impression. */
public final class DocumentationSheet implements Report {
    private static final String ALL = "all that is known";
    private static final Question<String> EDITION = Question.pick("edition", "Edition", "edition");
    private static final Question<String> LAW = Question.choice(
                    "law",
                    "With the fields of",
                    Stream.concat(Stream.of(ALL), DisclosureLaw.KNOWN.keySet().stream())
                            .toArray(String[]::new))
            .preset(ALL, Question.Origin.ASSUMPTION)
            .hint("a law on the sale of prints, each field with its section");

    @Override
    public Card card() {
        return new Card("documentation-sheet", "Documentation sheet", "What is known of this edition, for its papers?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(EDITION, LAW);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        String edition = replies.to(EDITION);
        StudioView.Thing thing = studio.thing("edition", edition)
                .orElseThrow(() -> new BadInput(EDITION.label(), edition, "pick an edition of this studio"));
        DisclosureLaw law = DisclosureLaw.KNOWN.get(replies.to(LAW));
        return signed(law == null ? whole(thing, studio) : under(law, thing, studio));
    }

    private static Answer headed(String title, StudioView.Thing edition) {
        return Answer.titled(title + ": " + edition.name())
                .with(new Answer.Code("This edition in the studio's log", edition.id()))
                .caution(
                        "Facts for a disclosure; not legal advice. They stand as they were written down in this studio. Which of them"
                                + " a law asks for, and in which words, is for a lawyer to say.");
    }

    /** What a law asks for, section by section; what the log does not know is disclaimed where it is asked for. */
    private static Answer under(DisclosureLaw law, StudioView.Thing edition, StudioView studio) {
        List<StudioView.Documented> groups = studio.documentation(edition.id());
        List<Answer.Field> fields = new ArrayList<>();
        for (DisclosureLaw.Item item : law.items()) {
            List<StudioView.DocumentedFact> facts = DisclosureLaw.facts(item, groups);
            String known = facts.stream()
                    .filter(fact -> fact.value().isPresent())
                    .map(fact -> (facts.size() == 1 ? "" : fact.field() + ": ")
                            + fact.value().orElseThrow())
                    .collect(Collectors.joining("; "));
            String unknown = facts.stream()
                    .filter(fact -> fact.value().isEmpty())
                    .map(StudioView.DocumentedFact::field)
                    .collect(Collectors.joining("; "));
            String label = item.section() + " " + item.asks();
            fields.add(
                    known.isEmpty()
                            ? new Answer.Field(label, "", "not known to this log; no knowledge of it is claimed")
                            : new Answer.Field(
                                    label,
                                    known + (unknown.isEmpty() ? "" : ". Not known, and not claimed: " + unknown),
                                    ""));
        }
        return headed("Facts for a disclosure", edition)
                .heading("Fields of " + law.name())
                .with(new Answer.Fields("", fields))
                .assumption(
                        "The sections are field lists: hold each against the law as it reads today",
                        law.name().contains("memory")
                                        || law.items().stream()
                                                .anyMatch(each -> each.section().contains("memory"))
                                ? "published text, partly from memory"
                                : "published text");
    }

    /** Every field that the trade asks for. */
    private static Answer whole(StudioView.Thing thing, StudioView studio) {
        String edition = thing.id();
        Answer answer = headed("Documentation sheet", thing);
        List<String> unknown = new ArrayList<>();
        for (StudioView.Documented group : studio.documentation(edition)) {
            List<Answer.Field> fields = new ArrayList<>();
            for (StudioView.DocumentedFact fact : group.facts()) {
                if (fact.value().isEmpty()) {
                    unknown.add(group.heading() + ", " + fact.field());
                }
                fields.add(new Answer.Field(
                        fact.field(),
                        fact.value().orElse(""),
                        fact.value().isPresent() ? "" : "not known to this log"));
            }
            answer = answer.heading(group.heading()).with(new Answer.Fields("", fields));
        }
        answer = impressions(answer, studio.impressions(edition));
        answer = answer.heading("What is not known")
                .text(
                        unknown.isEmpty()
                                ? "Every field above is answered from the log."
                                : "Of each of these nothing is written down here, and nothing is claimed: "
                                        + String.join("; ", unknown) + ".");
        return answer;
    }

    private static Answer signed(Answer answer) {
        return answer.heading("Signatures")
                .with(new Answer.Fields(
                        "",
                        List.of(
                                new Answer.Field("Artist, date", "", ""),
                                new Answer.Field("Printer, date", "", ""),
                                new Answer.Field("Publisher, date", "", ""))));
    }

    private static Answer impressions(Answer answer, List<StudioView.Impression> impressions) {
        if (impressions.isEmpty()) {
            return answer.heading("Register of impressions").text("No impression is numbered or named yet.");
        }
        Map<String, Integer> counted = new LinkedHashMap<>();
        List<List<String>> rows = new ArrayList<>();
        for (StudioView.Impression each : impressions) {
            String kind = words(each.kind());
            counted.merge(kind + ", " + each.where(), 1, Integer::sum);
            rows.add(List.of(
                    each.written(),
                    each.sheet(),
                    // Who bought a numbered one is nobody's business on the paper of another.
                    each.holder().isEmpty() || each.kind().equals("numbered")
                            ? each.where()
                            : each.where() + " to " + each.holder(),
                    each.signed() ? "signed" : "",
                    each.chopped() ? "chopped" : ""));
        }
        List<List<String>> totals = new ArrayList<>();
        counted.forEach((kind, count) -> totals.add(List.of(kind, "" + count)));
        totals.add(List.of("in all", "" + impressions.size()));
        return answer.heading("Register of impressions")
                .table("How many, and where they are", List.of("impressions", "count"), totals)
                .with(new Answer.Deeper(
                        "Sheet by sheet",
                        List.of(new Answer.Table(
                                "", List.of("impression", "sheet", "is", "signature", "chop"), rows))));
    }

    /** A kind of impression in the words of the trade. */
    private static String words(String kind) {
        return switch (kind) {
            case "artists-proof" -> "artist's proof";
            case "printers-proof" -> "printer's proof";
            case "ok-proof" -> "OK proof";
            default -> kind.replace('-', ' ');
        };
    }
}
