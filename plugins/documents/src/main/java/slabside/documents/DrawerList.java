package slabside.documents;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import slabside.plugin.Answer;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.Report;
import slabside.plugin.StudioView;

/** Every packet that should lie in a drawer, place by place, to tick off with the drawer open. */
public final class DrawerList implements Report {
    private static final double LEAST = 0.05;
    private static final List<String> TELLING = List.of("drier", "tack reducer", "retarder");

    @Override
    public Card card() {
        return new Card("drawer-list", "Drawer list", "Which packets should lie here, and do they?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of();
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        Map<String, List<List<String>>> rows = new TreeMap<>();
        Map<String, List<String>> ids = new TreeMap<>();
        int count = 0;
        for (StudioView.Thing thing : studio.every("packet")) {
            StudioView.Composition in = studio.composition(thing.id());
            boolean unknown = !in.gaps().isEmpty() || in.shares().isEmpty();
            if (studio.left(thing.id()).filter(left -> left.value() < LEAST).isPresent()) {
                continue;
            }
            count++;
            StudioView.Moment wrapped =
                    Said.last("ink.wrapped", thing.id(), studio).orElse(null);
            String place = wrapped == null ? "" : wrapped.fields().at("place").text();
            String shown = place.isEmpty() ? "no place is written down" : place;
            String holds = String.join(
                    ", ",
                    in.shares().stream()
                            .filter(share -> TELLING.contains(share.material().role()))
                            .map(share -> share.material().name())
                            .toList());
            rows.computeIfAbsent(shown, any -> new ArrayList<>())
                    .add(List.of(
                            thing.label(),
                            in.name().replaceFirst(", wrapped$", ""),
                            studio.left(thing.id()).map(Said::grams).orElse("not known"),
                            wrapped == null
                                    ? ""
                                    : Said.day(wrapped.millis(), studio).toString(),
                            !holds.isEmpty() ? holds : unknown ? "not known" : "no",
                            "☐",
                            "☐",
                            "☐",
                            "☐"));
            ids.computeIfAbsent(shown, any -> new ArrayList<>()).add(thing.id());
        }
        Answer answer = Answer.titled("Drawer list");
        if (rows.isEmpty()) {
            return answer.text("No packet holds ink, as far as is written down.");
        }
        answer = answer.quantity("Packets", count, "", "that should hold ink")
                .text("What is dried or used up is written down at the packet's own page, behind its short id.");
        for (Map.Entry<String, List<List<String>>> place : rows.entrySet()) {
            answer = answer.heading(place.getKey())
                    .with(new Answer.Table(
                            "",
                            List.of("id", "ink", "g", "wrapped", "holds drier", "there", "missing", "dried", "used up"),
                            place.getValue(),
                            ids.getOrDefault(place.getKey(), List.of())));
        }
        return answer;
    }
}
