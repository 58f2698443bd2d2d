package slabside.documents;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import slabside.plugin.Answer;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.Report;
import slabside.plugin.StudioView;

/** Labels for cans and packets: the short id large, a code that leads to the thing, and what must be known before it is opened. */
public final class Labels implements Report {
    private static final Map<String, Answer.LabelSheet> SHEETS = new LinkedHashMap<>();

    static {
        for (Answer.LabelSheet sheet : List.of(
                // Paper of ISO 216 and ANSI A; common grids, from memory: measure yours before the first sheet.
                new Answer.LabelSheet("A4, 3 x 7", 210, 297, 63.5, 38.1, 3, 7, 7.2, 15.1, 66.0, 38.1),
                new Answer.LabelSheet("A4, 2 x 7", 210, 297, 99.1, 38.1, 2, 7, 4.7, 15.1, 101.6, 38.1),
                new Answer.LabelSheet("A4, 2 x 4", 210, 297, 99.1, 67.7, 2, 4, 4.7, 13.1, 101.6, 67.7),
                new Answer.LabelSheet("letter, 2 x 5", 215.9, 279.4, 101.6, 50.8, 2, 5, 4.0, 12.7, 106.4, 50.8),
                new Answer.LabelSheet("single, 62 x 35 mm", 62, 35, 62, 35, 1, 1, 0, 0, 62, 35),
                new Answer.LabelSheet("single, 90 x 38 mm", 90, 38, 90, 38, 1, 1, 0, 0, 90, 38))) {
            SHEETS.put(sheet.name(), sheet);
        }
    }

    private static final String PACKETS = "packets that hold ink";
    private static final String CANS = "cans that are not used up";

    private static final Question<String> WHAT =
            Question.choice("what", "Labels for", PACKETS, CANS).preset(PACKETS, Question.Origin.ASSUMPTION);
    private static final Question<String> ONE =
            Question.pick("one", "or for one can or packet", "vessel").optional();
    private static final Question<String> SHEET = Question.choice(
                    "sheet", "On", SHEETS.keySet().toArray(String[]::new))
            .preset("A4, 3 x 7", Question.Origin.ASSUMPTION);
    private static final Question<Integer> SKIP = Question.count(
                    "skip", "Places of the first sheet that are empty already", 0, 60)
            .preset("0", Question.Origin.ASSUMPTION);

    private static final List<String> TOLD = List.of("drier", "tack reducer", "retarder");
    private static final int MOST = 500;
    private static final double LEAST = 0.05;

    @Override
    public Card card() {
        return new Card("labels", "Labels", "What is stuck on these cans and packets?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(WHAT, ONE, SHEET, SKIP);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        List<Answer.Label> labels = new ArrayList<>();
        for (int i = 0; i < replies.to(SKIP); i++) {
            labels.add(new Answer.Label("", "", "", List.of(), ""));
        }
        int empty = labels.size();
        if (replies.maybe(ONE).isPresent()) {
            String id = replies.to(ONE);
            for (String kind : List.of("packet", "can", "mix")) {
                studio.thing(kind, id).ifPresent(thing -> labels.add(label(thing, studio)));
            }
        } else {
            String kind = replies.to(WHAT).equals(CANS) ? "can" : "packet";
            for (StudioView.Thing thing : studio.every(kind)) {
                if (labels.size() == MOST + empty) {
                    break;
                }
                boolean gone = studio.left(thing.id())
                                .filter(left -> left.value() < LEAST)
                                .isPresent()
                        || Said.last("shelf.can-finished", thing.id(), studio).isPresent();
                if (!gone) {
                    labels.add(label(thing, studio));
                }
            }
        }
        Answer answer = Answer.titled("Labels");
        if (labels.size() == empty) {
            return answer.text("There is nothing to label: no such can or packet holds ink.");
        }
        if (labels.size() == MOST + empty) {
            answer = answer.caution("These are the newest " + MOST + "; ask for older ones one by one.");
        }
        return answer.with(new Answer.Labels(
                        (labels.size() - empty) + (labels.size() - empty == 1 ? " label" : " labels"),
                        SHEETS.getOrDefault(
                                replies.to(SHEET), SHEETS.values().iterator().next()),
                        labels))
                .caution("No label of hazards: your workplace may require one. The data sheet tells.")
                .assumption(
                        "Sizes of label sheets are the usual ones: hold a printed page against yours first",
                        "from memory");
    }

    private static Answer.Label label(StudioView.Thing thing, StudioView studio) {
        StudioView.Composition in = studio.composition(thing.id());
        List<String> lines = new ArrayList<>();
        if (thing.kind().equals("can")) {
            can(lines, thing, in, studio);
        } else {
            List<String> told = in.shares().stream()
                    .filter(share -> TOLD.contains(share.material().role()))
                    .map(share -> share.material().name())
                    .toList();
            boolean unknown = !in.gaps().isEmpty() || in.shares().isEmpty();
            lines.add(
                    !told.isEmpty()
                            ? "HOLDS " + String.join(", ", told)
                            : unknown ? "drier and tack reducer: not known" : "no drier, no tack reducer");
            packet(lines, thing, studio);
            if (!in.gaps().isEmpty()) {
                lines.add("something was not written down");
            }
        }
        lines.add("Not a hazard label; your workplace may require one.");
        return new Answer.Label(
                thing.id(),
                thing.label(),
                (in.name().isEmpty() ? thing.name() : in.name()).replaceFirst(", wrapped$", ""),
                lines,
                thing.kind().equals("can") ? "" : "dab");
    }

    /** What it is, by its Colour Index name, its lot, when it came and was opened, what it weighs empty, how strong it is. */
    private static void can(List<String> lines, StudioView.Thing can, StudioView.Composition in, StudioView studio) {
        in.shares().stream().map(share -> share.material()).findFirst().ifPresent(material -> {
            String pigment = Said.field("shelf.material-listed", "pigment", material.id(), studio);
            boolean named = in.name().contains(material.name());
            if (!named || !pigment.isEmpty()) {
                lines.add(
                        (named ? "" : material.name() + ", ") + (pigment.isEmpty() ? "no Colour Index name" : pigment));
            }
        });
        Said.last("shelf.can-received", can.id(), studio).ifPresent(received -> {
            String lot = received.fields().at("lot").text();
            lines.add((lot.isEmpty() ? "lot not known" : "lot " + lot) + ", came " + Said.day(received.millis(), studio)
                    + Said.last("shelf.can-opened", can.id(), studio)
                            .map(opened -> ", opened " + Said.day(opened.millis(), studio))
                            .orElse(", opened ________"));
            String net = studio.into(can.id()).stream()
                    .findFirst()
                    .flatMap(StudioView.Path::grams)
                    .map(grams -> String.format(Locale.ROOT, "net %.0f g", grams.value()))
                    .orElse("net ________");
            String tare = received.fields().at("tareMg").number().isPresent()
                    ? String.format(
                            Locale.ROOT,
                            ", empty %.1f g",
                            received.fields().at("tareMg").number().getAsDouble() / 1000)
                    : "";
            lines.add(net + tare);
            Said.last(
                            moment -> moment.type().equals("test.strength-judged")
                                    && moment.fields().at("lot").text().equals(can.id()),
                            can.id(),
                            studio)
                    .ifPresent(judged -> lines.add(judged.fields().at("percent").text() + " % as strong as "
                            + studio.thing("can", judged.fields().at("against").text())
                                    .map(StudioView.Thing::name)
                                    .orElse("its standard")));
            String sheet = received.fields().at("dataSheet").text();
            lines.add("Data sheet kept: " + (sheet.isEmpty() ? "________" : sheet));
        });
    }

    /** For which run its ink was mixed, and when it was wrapped. */
    private static void packet(List<String> lines, StudioView.Thing packet, StudioView studio) {
        lines.add(studio.left(packet.id())
                        .map(left -> String.format(Locale.ROOT, "%.1f g", left.value()))
                        .orElse("______ g")
                + Said.last("ink.wrapped", packet.id(), studio)
                        .map(wrapped -> ", wrapped " + Said.day(wrapped.millis(), studio))
                        .orElse(""));
        studio.into(packet.id()).stream()
                .flatMap(path -> Said.runOf(path.from(), studio).stream())
                .findFirst()
                .ifPresent(run -> lines.add(run.name()));
    }
}
