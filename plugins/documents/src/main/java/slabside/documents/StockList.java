package slabside.documents;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Card;
import slabside.plugin.Json;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.Report;
import slabside.plugin.StudioView;

/** What stands on the shelf, how long it lasts, what to order and what to look at for a skin. */
public final class StockList implements Report {
    private static final Question<Integer> MONTHS = Question.count(
                    "months", "Order what lasts for less than so many months", 1, 60)
            .preset("3", Question.Origin.ASSUMPTION);
    private static final Question<Integer> LOOK = Question.count(
                    "look", "Look into a can that nobody looked into for so many months", 1, 120)
            .preset("6", Question.Origin.ASSUMPTION);
    private static final long DAY_MS = 86_400_000;
    private static final double MONTH_DAYS = 30.44;
    private static final int YEAR = 365;
    /** Grams below which a can counts as empty. */
    private static final double LEAST = 0.1;

    private static final List<String> DRY = List.of("powder");

    /** A can, as it stands. */
    private record Can(
            StudioView.Thing thing, String material, String role, String left, Optional<Long> looked, String seen) {}

    @Override
    public Card card() {
        return new Card(
                "stock", "Stock", "What stands on the shelf, what is to be ordered, and what may have skinned?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(MONTHS, LOOK);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        long now = Stream.of("ink", "shelf", "press")
                .flatMap(group -> studio.events(group, "").moments().stream())
                .mapToLong(StudioView.Moment::millis)
                .max()
                .orElse(0);
        List<Can> cans = new ArrayList<>();
        Map<String, Double> left = new TreeMap<>();
        Map<String, Double> used = new TreeMap<>();
        Set<String> unknown = new TreeSet<>();
        Map<String, StudioView.Material> materials = new TreeMap<>();
        studio.materials().forEach(material -> materials.put(material.id(), material));
        for (StudioView.Thing thing : studio.every("can")) {
            StudioView.Composition in = studio.composition(thing.id());
            // An empty can holds no material, but it was received as one.
            StudioView.Material of = in.shares().stream()
                    .map(StudioView.Share::material)
                    .findFirst()
                    .or(() -> Optional.ofNullable(
                            materials.get(Said.field("shelf.can-received", "material", thing.id(), studio))))
                    .orElse(new StudioView.Material(thing.id(), thing.name(), "", ""));
            String material = of.name();
            String role = of.role();
            boolean finished =
                    Said.last("shelf.can-finished", thing.id(), studio).isPresent();
            Optional<Uncertain> known = studio.left(thing.id());
            double grams =
                    finished ? 0 : known.map(each -> Math.max(0, each.value())).orElse(0.0);
            boolean empty = finished || known.isPresent() && grams < LEAST;
            left.merge(material, grams, Double::sum);
            if (!finished && known.isEmpty()) {
                unknown.add(material);
            }
            used.merge(material, used(thing.id(), now, studio), Double::sum);
            if (!empty) {
                Optional<StudioView.Moment> look = Said.last(StockList::isLook, thing.id(), studio);
                cans.add(new Can(
                        thing,
                        material,
                        role,
                        known.isEmpty() ? "not known" : Said.grams(grams),
                        look.map(StudioView.Moment::millis),
                        look.map(StockList::seen).orElse("")));
            }
        }
        if (left.isEmpty()) {
            return Answer.titled("Stock").text("No can is written down.");
        }
        Answer answer = Answer.titled("Stock").text("As of the last entry, " + Said.day(now, studio) + ".");
        List<List<String>> order = order(left, used, unknown, replies.to(MONTHS));
        answer = order.isEmpty()
                ? answer.heading("To order").text("Nothing, as far as use in the last year tells.")
                : answer.heading("To order")
                        .table(
                                "Used up, or lasting for less than " + replies.to(MONTHS) + " months",
                                List.of("material", "left, g", "used in a year, g", "lasts, months", "ordered"),
                                order);
        List<Can> look = cans.stream()
                .filter(can -> !DRY.contains(can.role)
                        && (can.looked.isEmpty()
                                || can.looked.get() < now - (long) (replies.to(LOOK) * MONTH_DAYS * DAY_MS)
                                || !can.seen.isEmpty() && !can.seen.equals("sound")))
                .toList();
        answer = answer.heading("To look into");
        answer = cans.isEmpty()
                ? answer.text("Nothing: no can holds anything.")
                : look.isEmpty()
                        ? answer.text("Nothing: every can was looked into, and none had a skin.")
                        : answer.with(new Answer.Table(
                                "For a skin",
                                List.of("id", "can", "material", "left, g", "looked into", "seen then", "done"),
                                look.stream()
                                        .map(can -> List.of(
                                                can.thing.label(),
                                                can.thing.name(),
                                                can.material,
                                                can.left,
                                                can.looked
                                                        .map(millis -> Said.day(millis, studio)
                                                                .toString())
                                                        .orElse("never"),
                                                can.seen,
                                                "☐"))
                                        .toList(),
                                look.stream().map(can -> can.thing.id()).toList()));
        if (!unknown.isEmpty()) {
            answer = answer.caution("How much is left is not known of some " + String.join(", ", unknown)
                    + "; weigh its cans. It is not among what is to be ordered.");
        }
        cans.sort(Comparator.comparing(Can::role).thenComparing(Can::material));
        return answer.heading("On the shelf")
                .with(new Answer.Table(
                        "Cans that hold something",
                        List.of("id", "can", "material", "left, g"),
                        cans.stream()
                                .map(can -> List.of(can.thing.label(), can.thing.name(), can.material, can.left))
                                .toList(),
                        cans.stream().map(can -> can.thing.id()).toList()))
                .assumption("What was used in the last year goes on being used as fast", "assumption");
    }

    private static boolean isLook(StudioView.Moment moment) {
        return moment.type().equals("shelf.vessel-inspected") || moment.type().equals("shelf.can-opened");
    }

    private static String seen(StudioView.Moment look) {
        return look.fields().at("found").items().stream()
                .map(Json::text)
                .map(word -> word.replace('-', ' '))
                .collect(Collectors.joining(", "));
    }

    private static double used(String can, long now, StudioView studio) {
        return studio.from(can).stream()
                .filter(path -> path.millis() > now - YEAR * DAY_MS)
                .mapToDouble(path -> path.grams().map(grams -> grams.value()).orElse(0.0))
                .sum();
    }

    private static List<List<String>> order(
            Map<String, Double> left, Map<String, Double> used, Set<String> unknown, int months) {
        List<List<String>> rows = new ArrayList<>();
        left.forEach((material, grams) -> {
            double year = used.getOrDefault(material, 0.0);
            double lasts = year > 0 ? grams / year * 12 : Double.POSITIVE_INFINITY;
            if (!unknown.contains(material) && (grams < LEAST || lasts < months)) {
                rows.add(List.of(
                        material,
                        Said.grams(grams),
                        Said.grams(year),
                        grams < LEAST ? "0" : String.format(Locale.ROOT, "%.1f", lasts),
                        "☐"));
            }
        });
        return rows;
    }
}
