package slabside.web;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import slabside.edition.Edition;
import slabside.edition.Register;
import slabside.edition.Run;
import slabside.edition.SheetCodes;
import slabside.event.EventCodec;
import slabside.event.ImpressionKind;
import slabside.event.PressGrade;
import slabside.event.Sheet;
import slabside.event.ThingId;
import slabside.views.Sentence;

/** Looking through the printed sheets of an edition one by one, and numbering the good ones. */
final class CuratingPage {
    /** What is found at curating, in the trade's words. */
    static final List<String> REASONS = List.of(
            "fingerprint",
            "smudged margin",
            "crease",
            "misregister",
            "doubled",
            "hickey",
            "scum",
            "tint",
            "set-off",
            "thin",
            "over-inked",
            "colour off the OK proof");

    private final Desk desk;
    private final EditionWords words;

    CuratingPage(Desk desk) {
        this.desk = desk;
        this.words = new EditionWords(desk);
    }

    /**
     * A sheet to look at.
     *
     * @param sheet its id; empty when none is left
     * @param noted what was said of it at the press
     * @param later id of the sheet after it, or an empty text
     */
    public record Curating(
            Frame frame,
            String id,
            String title,
            String sheet,
            String code,
            List<String> noted,
            int seen,
            int left,
            String later,
            List<String> reasons,
            String said) {}

    Curating curating(String id, Map<String, List<String>> query) {
        desk.studio.views().catchUp();
        Edition edition = desk.edition(id);
        List<Sheet> left = edition.toCurate();
        String chosen = Desk.first(query, "sheet");
        int at = 0;
        for (int i = 0; i < left.size(); i++) {
            at = left.get(i).sheet().text().equals(chosen) ? i : at;
        }
        int all = edition.printed().size();
        Optional<Sheet> sheet = left.isEmpty() ? Optional.empty() : Optional.of(left.get(at));
        return new Curating(
                desk.frame("Look through the sheets", "editions"),
                edition.id().text(),
                desk.studio.name(edition.id()),
                sheet.map(each -> each.sheet().text()).orElse(""),
                sheet.map(Sheet::code).orElse(""),
                sheet.map(each -> noted(edition, each.sheet())).orElse(List.of()),
                all - left.size(),
                left.size(),
                left.size() > 1 ? left.get((at + 1) % left.size()).sheet().text() : "",
                REASONS,
                tally(edition));
    }

    private static String tally(Edition edition) {
        Map<String, Long> grades = edition.register().graded().values().stream()
                .collect(Collectors.groupingBy(
                        each -> EventCodec.word(each.grade()), java.util.TreeMap::new, Collectors.counting()));
        return grades.entrySet().stream()
                .map(each -> each.getValue() + " " + each.getKey())
                .collect(Collectors.joining(", "));
    }

    /** What the press said of a sheet, run by run, where it was not simply good. */
    private static List<String> noted(Edition edition, ThingId sheet) {
        List<String> noted = new ArrayList<>();
        for (Edition.Passage passage : edition.passages(sheet)) {
            Run.Pull pull = passage.pull();
            boolean plain = pull.event().grade() == PressGrade.GOOD
                    && pull.event().faults().isEmpty()
                    && !Boolean.TRUE.equals(pull.event().secondHit());
            if (!plain) {
                noted.add("run " + passage.run().order() + ", pull " + pull.number() + ": "
                        + EventCodec.word(pull.event().grade())
                        + (Boolean.TRUE.equals(pull.event().secondHit()) ? ", second hit" : "")
                        + (pull.event().faults().isEmpty()
                                ? ""
                                : " (" + String.join(", ", pull.event().faults()) + ")"));
            }
        }
        return noted;
    }

    /**
     * Numbering.
     *
     * @param next codes of the good sheets without a number, in order
     * @param first number not issued yet
     * @param of how many were declared, or an empty text
     * @param count how many can be numbered now
     */
    public record Numbering(
            Frame frame,
            String id,
            String title,
            List<String> standing,
            String next,
            int left,
            int first,
            String of,
            int count,
            List<Desk.Choice> kinds,
            Map<String, Integer> issued) {}

    Numbering numbering(String id) {
        desk.studio.views().catchUp();
        Edition edition = desk.edition(id);
        Register register = edition.register();
        List<String> codes = edition.toNumber().stream().map(Sheet::code).toList();
        int numbered = (int) register.numbered();
        int count = register.declared()
                .map(declared -> Math.max(0, Math.min(codes.size(), declared - numbered)))
                .orElse(codes.size());
        Map<String, Integer> issued = new LinkedHashMap<>();
        register.impressions()
                .values()
                .forEach(each -> issued.merge(Sentence.read(EventCodec.word(each.kind())), 1, Integer::sum));
        return new Numbering(
                desk.frame("Number the prints", "editions"),
                edition.id().text(),
                desk.studio.name(edition.id()),
                words.standing(edition),
                SheetCodes.shown(codes),
                codes.size(),
                register.nextNumber(ImpressionKind.NUMBERED),
                register.declared().map(String::valueOf).orElse(""),
                count,
                EditionWords.proofKinds(),
                issued);
    }
}
