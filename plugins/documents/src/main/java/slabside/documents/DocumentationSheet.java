package slabside.documents;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.Report;
import slabside.plugin.StudioView;

/** The documentation sheet of an edition: every field, each unknown one disclaimed by itself, and every impression. */
public final class DocumentationSheet implements Report {
    private static final Question<String> EDITION = Question.pick("edition", "Edition", "edition");

    @Override
    public Card card() {
        return new Card("documentation-sheet", "Documentation sheet", "What is known of this edition, for its papers?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(EDITION);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        String edition = replies.to(EDITION);
        StudioView.Thing thing = studio.thing("edition", edition)
                .orElseThrow(() -> new BadInput(EDITION.label(), edition, "pick an edition of this studio"));
        Answer answer = Answer.titled("Documentation sheet: " + thing.name())
                .with(new Answer.Code("This edition in the studio's log", edition))
                .caution(
                        "Facts for a disclosure, as they were written down in this studio; not legal advice. Which of them a law asks"
                                + " for, and in which words, is for a lawyer to say.");
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
                    each.where(),
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
