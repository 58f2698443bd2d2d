package slabside.documents;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import slabside.plugin.Answer;
import slabside.plugin.Card;
import slabside.plugin.Json;
import slabside.plugin.Question;
import slabside.plugin.Reminders;
import slabside.plugin.Replies;
import slabside.plugin.Report;
import slabside.plugin.StudioView;

/** What is in a mix, where its data sheets are kept, and the usual cautions; it judges nothing. */
public final class MixCautions implements Report {
    private static final Question<String> MIX = Question.pick("mix", "Mix", "vessel");
    private static final int DEEPEST = 20;

    /** What a Colour Index name stands for where the usual caution of old cans concerns it; from memory. */
    private static final Map<String, String> METALS = Map.of(
            "PW1", "lead",
            "PY34", "lead and chromium",
            "PR104", "lead and chromium",
            "PG15", "lead and chromium",
            "PY35", "cadmium",
            "PY37", "cadmium",
            "PO20", "cadmium",
            "PR108", "cadmium",
            "PY36", "zinc and chromium");

    /** Such as PY34, P.Y. 34 or Pigment Yellow 34; brown and black are no letters of those that are looked for. */
    private static final Pattern NAME = Pattern.compile(
            "\\bP(?:igment)?[. ]*(white|yellow|red|orange|green|[WYROG])[. ]*0*(\\d{1,3})\\b",
            Pattern.CASE_INSENSITIVE);

    @Override
    public Card card() {
        return new Card(
                "mix-and-cautions",
                "What is in this mix, and cautions",
                "What is in it, and where are its data sheets kept? Not a safety data sheet.");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(MIX);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        String id = replies.to(MIX);
        StudioView.Composition in = Said.filled(id, MIX.label(), studio);
        Answer answer = Answer.titled("What is in this mix, and cautions. Not a safety data sheet.")
                .text(in.name())
                .with(new Answer.Code("This ink in the studio's log", id));
        List<List<String>> rows = new ArrayList<>();
        List<String> said = new ArrayList<>();
        List<String> roles = new ArrayList<>();
        for (StudioView.Share share : in.shares()) {
            StudioView.Material material = share.material();
            Json listed = Said.last("shelf.material-listed", material.id(), studio)
                    .map(moment -> (Json) moment.fields())
                    .orElse(Json.fields());
            String pigment = listed.at("pigment").text();
            roles.add(material.role());
            rows.add(List.of(
                    material.name(),
                    material.role(),
                    Said.percent(share.share().value()),
                    pigment.isEmpty() ? "not known" : pigment,
                    listed.at("lightfastness").text().isEmpty()
                            ? "not known"
                            : listed.at("lightfastness").text()));
            if (!listed.at("cautions").text().isEmpty()) {
                said.add(material.name() + ": " + listed.at("cautions").text());
            }
            for (String name : names(pigment)) {
                if (METALS.containsKey(name)) {
                    said.add(material.name() + ": " + name + " is a pigment with " + METALS.get(name)
                            + ". Do not sand, heat or dust it; ask.");
                }
            }
        }
        answer = answer.table(
                "What is in it",
                List.of("material", "is a", "%", "Colour Index name", "lightfastness, as the maker states it"),
                rows);
        for (String gap : in.gaps()) {
            answer = answer.caution(gap + "; shares are of what was written down.");
        }
        answer = sheets(answer, id, studio).heading("Cautions");
        for (String each : said) {
            answer = answer.caution(each);
        }
        for (String each : Reminders.mixing(roles)) {
            answer = answer.caution(each);
        }
        return answer;
    }

    /** Every Colour Index name of a pigment in a text, in its short form. */
    private static List<String> names(String text) {
        List<String> names = new ArrayList<>();
        Matcher found = NAME.matcher(text);
        while (found.find()) {
            names.add("P" + found.group(1).toUpperCase(Locale.ROOT).charAt(0) + found.group(2));
        }
        return names;
    }

    /** Every can that it was made from, through any depth, with where its data sheet is kept. */
    private static Answer sheets(Answer answer, String vessel, StudioView studio) {
        Set<String> cans = new LinkedHashSet<>();
        if (studio.thing("can", vessel).isPresent()) {
            cans.add(vessel);
        }
        gather(vessel, studio, cans, new LinkedHashSet<>(), 0);
        List<List<String>> rows = new ArrayList<>();
        for (String can : cans) {
            Optional<StudioView.Thing> thing = studio.thing("can", can);
            String kept = Said.field("shelf.can-received", "dataSheet", can, studio);
            String lot = Said.field("shelf.can-received", "lot", can, studio);
            rows.add(List.of(
                    thing.map(StudioView.Thing::label).orElse(""),
                    thing.map(StudioView.Thing::name)
                            .orElseGet(() -> studio.composition(can).name() + ", of unknown origin"),
                    lot.isEmpty() ? "not known" : lot,
                    kept.isEmpty() ? "not written down: find it before you go on" : kept));
        }
        return rows.isEmpty()
                ? answer
                : answer.table("Data sheets", List.of("id", "can", "lot", "data sheet kept"), rows);
    }

    private static void gather(String vessel, StudioView studio, Set<String> cans, Set<String> seen, int depth) {
        if (depth > DEEPEST || !seen.add(vessel)) {
            return;
        }
        if (depth > 0 && studio.into(vessel).isEmpty()) {
            // Nobody knows what it was made from, so nobody knows its data sheets.
            cans.add(vessel);
        }
        for (StudioView.Path path : studio.into(vessel)) {
            if (studio.thing("can", path.from()).isPresent()) {
                cans.add(path.from());
            } else {
                gather(path.from(), studio, cans, seen, depth + 1);
            }
        }
    }
}
