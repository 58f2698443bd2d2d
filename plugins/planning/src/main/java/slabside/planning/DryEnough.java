package slabside.planning;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import slabside.body.Drying;
import slabside.measure.BadInput;
import slabside.measure.Temperature;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** When a layer is dry enough to be printed over: from what was tried here before, warmth, drier and base. */
public final class DryEnough implements Calculator {
    private static final Question<String> RUN = Question.pick("run", "Layer of", "run");
    private static final Question<Double> HOURS = Question.number("hours", "Hours since its last pull", "h", 0.1, 5_000)
            .optional();
    private static final Question<Temperature> ROOM = Question.temperature("celsius", "Temperature of the room")
            .optional()
            .hint("open for what was read at the press");

    private static final String DRY = "rub-dry";
    private static final List<String> WORDS = List.of("wet", "tacky", "set", DRY);
    /** Faults of a later run that an under-layer may be to blame for. */
    private static final List<String> TOO_EARLY = List.of("under-colour lifts", "set-off", "pluck", "stuck sheets");

    private static final List<String> TOO_LATE = List.of("refusal", "crystallised", "mottle");
    /** Chance from which it is called sensible; an assumption. */
    private static final double SENSIBLE = 0.8;

    private static final List<String> SLOWING = List.of("retarder", "varnish", "tack reducer");
    private static final double HOTTEST = 45;
    private static final double MUCH_DRIER = 2.5;
    private static final double HOUR_MS = 3_600_000;
    private static final int MOST_TRIED = 40;
    private static final int EDITIONS = 6;
    private static final int[] SHOWN = {6, 12, 18, 24, 36, 48, 72, 96, 120, 168};

    /**
     * A layer and when its sheets were printed.
     *
     * @param slowing what is in it that makes it slower by nobody knows how much
     */
    private record Printed(
            StudioView.RunRecord run,
            Drying.Layer layer,
            List<Long> pulls,
            boolean warmthKnown,
            boolean inkKnown,
            List<String> slowing) {
        long lastPull() {
            return pulls.get(pulls.size() - 1);
        }
    }

    /**
     * A time that somebody judged a layer.
     *
     * @param pulled the last pull before it: a run of several days is a layer for each
     */
    private record Judged(Printed printed, long pulled, double hours, String word) {}

    @Override
    public Card card() {
        return new Card("dry-enough", "Dry enough?", "When may the next layer be printed over this one?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(RUN, HOURS, ROOM);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        Optional<Double> room = replies.maybe(ROOM).map(Temperature::celsius);
        if (room.isPresent() && (room.get() < 0 || room.get() > HOTTEST)) {
            throw new BadInput(ROOM.label(), room.get() + " °C", "give 0 to 45 °C");
        }
        Map<String, Optional<Printed>> known = new HashMap<>();
        String asked = replies.to(RUN);
        Printed layer = printed(asked, studio, room)
                .orElseThrow(() -> new BadInput(RUN.label(), asked, "no pull of this run is written down"));
        List<Judged> judged = judged(studio, known);
        List<Judged> own = judged.stream()
                .filter(each -> each.printed().run().run().equals(asked) && each.pulled() == layer.lastPull())
                .toList();
        double notYet = notYet(own);
        OptionalDouble dryAt = dryBy(own, notYet);
        Drying drying = new Drying(tried(judged, asked));
        double earliest = drying.hours(layer.layer(), SENSIBLE, notYet);
        Answer answer = Answer.titled("Dry enough? " + layer.run().name());
        if (dryAt.isPresent()) {
            answer = answer.text(String.format(
                    Locale.ROOT, "It was judged rub-dry %.0f h after its last pull.", dryAt.getAsDouble()));
        } else {
            answer = answer.text(String.format(
                            Locale.ROOT,
                            "Sensible from about %.0f h after its last pull on; then try the margin with a thumb before you print.",
                            earliest))
                    .quantity(
                            "Earliest sensible",
                            StrictMath.round(earliest),
                            "h after the last pull",
                            "dry with four chances of five"
                                    + (notYet > 0 ? ", given that it was not yet when it was tried" : ""))
                    .quantity(
                            "As likely as not",
                            StrictMath.round(drying.hours(layer.layer(), 0.5, notYet)),
                            "h",
                            "dry with an even chance");
            if (replies.maybe(HOURS).isPresent()) {
                answer = answer.quantity(
                        "Chance that it is dry now",
                        StrictMath.round(100 * drying.chance(layer.layer(), replies.to(HOURS), notYet)),
                        "%",
                        "after " + replies.to(HOURS) + " h");
            }
            List<Answer.Point> points = new ArrayList<>();
            for (int hours : SHOWN) {
                points.add(new Answer.Point(hours, 100 * drying.chance(layer.layer(), hours, notYet)));
            }
            answer = answer.chart("Chance that it is rub-dry", "h", "%", points);
        }
        answer = evidence(answer, layer, judged, studio, known);
        if (layer.layer().drier() > MUCH_DRIER) {
            answer = answer.caution(String.format(
                    Locale.ROOT,
                    "With %.1f %% of drier it may become so hard that it refuses the next ink: do not wait for many days.",
                    layer.layer().drier()));
        }
        if (!layer.warmthKnown()) {
            answer = answer.assumption("The room has 20 °C: nobody read it", "assumption");
        }
        return answer.assumption(
                        "Twice as fast for 10 °C more; half again as fast for 1 % of drier, up to 2.5; a tenth slower for 10 % more base above 60",
                        "assumption")
                .assumption(
                        "Before anything was tried here: 30 h at 20 °C, between 9 and 105 h for a single layer",
                        "common practice says overnight to 48 h, no source")
                .caution(
                        "Thick films, a cold or damp room and many layers take longer. Oily rags heat up by themselves while they dry:"
                                + " into a closed metal can.");
    }

    /** When it was not rub-dry the last time; 0 when nobody found it so. The last word counts. */
    private static double notYet(List<Judged> one) {
        return one.stream()
                .filter(each -> !each.word().equals(DRY))
                .mapToDouble(Judged::hours)
                .max()
                .orElse(0);
    }

    /** When it was the first time after that. */
    private static OptionalDouble dryBy(List<Judged> one, double notYet) {
        return one.stream()
                .filter(each -> each.word().equals(DRY) && each.hours() > notYet)
                .mapToDouble(Judged::hours)
                .min();
    }

    /** Every layer of other runs that was judged, once. */
    private static List<Drying.Tried> tried(List<Judged> judged, String but) {
        Map<String, List<Judged>> layers = new LinkedHashMap<>();
        judged.stream()
                .filter(each -> !each.printed().run().run().equals(but))
                .forEach(each -> layers.computeIfAbsent(
                                each.printed().run().run() + " " + each.pulled(), any -> new ArrayList<>())
                        .add(each));
        return layers.values().stream()
                .map(one -> new Drying.Tried(
                        one.get(0).printed().layer(),
                        notYet(one),
                        dryBy(one, notYet(one)).orElse(Double.POSITIVE_INFINITY)))
                .toList();
    }

    /** What was judged here, and what was printed over what after how long. */
    private static Answer evidence(
            Answer answer,
            Printed layer,
            List<Judged> judged,
            StudioView studio,
            Map<String, Optional<Printed>> known) {
        Answer told = layer.inkKnown()
                ? answer.quantity("Drier in it", layer.layer().drier(), "%", "on the rollers at the last pull")
                        .quantity("Base in it", layer.layer().base(), "%", "the same; of a blend the slowest ink")
                : answer.assumption("What is in it is not written down: no drier, and not much base", "assumption");
        if (!layer.slowing().isEmpty()) {
            told = told.caution("There is " + String.join(", ", layer.slowing())
                    + " in it, which makes it slower; by how much is not known, and not counted here.");
        }
        List<List<String>> rows = new ArrayList<>();
        for (Judged each : judged) {
            rows.add(List.of(
                    each.printed().run().name(),
                    String.format(Locale.ROOT, "%.0f", each.hours()),
                    each.printed().warmthKnown()
                            ? String.format(
                                    Locale.ROOT, "%.0f", each.printed().layer().celsius())
                            : "",
                    String.format(Locale.ROOT, "%.1f", each.printed().layer().drier()),
                    String.format(Locale.ROOT, "%.0f", each.printed().layer().base()),
                    each.word().replace('-', ' ')));
        }
        told = rows.isEmpty()
                ? told.text(
                        "Nobody judged how dry a layer was yet: each time somebody writes that down this becomes surer.")
                : told.table("Judged here", List.of("layer", "after h", "°C", "drier, %", "base, %", "it was"), rows);
        List<List<String>> over = over(studio, known);
        return over.isEmpty()
                ? told
                : told.table(
                        "Printed over here",
                        List.of("layer", "next run", "after h", "faults that may come of it"),
                        over);
    }

    private static List<List<String>> over(StudioView studio, Map<String, Optional<Printed>> known) {
        List<List<String>> rows = new ArrayList<>();
        for (StudioView.Thing edition :
                studio.find("edition", "").stream().limit(EDITIONS).toList()) {
            List<String> runs = studio.runsOf(edition.id());
            for (int i = 1; i < runs.size(); i++) {
                Optional<Printed> under =
                        known.computeIfAbsent(runs.get(i - 1), run -> printed(run, studio, Optional.empty()));
                Optional<Printed> above =
                        known.computeIfAbsent(runs.get(i), run -> printed(run, studio, Optional.empty()));
                if (under.isPresent()
                        && above.isPresent()
                        && above.get().pulls().get(0) > under.get().lastPull()) {
                    rows.add(List.of(
                            under.get().run().name(),
                            above.get().run().name(),
                            String.format(
                                    Locale.ROOT,
                                    "%.0f",
                                    (above.get().pulls().get(0) - under.get().lastPull()) / HOUR_MS),
                            faults(above.get().run())));
                }
            }
        }
        return rows;
    }

    private static String faults(StudioView.RunRecord run) {
        Map<String, Integer> counted = new LinkedHashMap<>();
        for (StudioView.PullRow pull : run.pulls()) {
            for (String fault : pull.faults()) {
                if (TOO_EARLY.contains(fault) || TOO_LATE.contains(fault)) {
                    counted.merge(fault, 1, Integer::sum);
                }
            }
        }
        List<String> words = new ArrayList<>();
        counted.forEach((fault, count) ->
                words.add(fault + " on " + count + (TOO_LATE.contains(fault) ? " (over-dried?)" : " (too early?)")));
        return words.isEmpty() ? "none" : String.join(", ", words);
    }

    private static List<Judged> judged(StudioView studio, Map<String, Optional<Printed>> known) {
        List<Judged> judged = new ArrayList<>();
        String next = "";
        do {
            StudioView.Page page = studio.events("test.dryness-judged", next);
            for (StudioView.Moment moment : page.moments()) {
                if (judged.size() >= MOST_TRIED) {
                    return judged;
                }
                String of = moment.fields().at("of").text();
                String word = moment.fields().at("dryness").text();
                Optional<Printed> printed = known.computeIfAbsent(of, run -> printed(run, studio, Optional.empty()));
                if (printed.isPresent() && WORDS.contains(word)) {
                    printed.get().pulls().stream()
                            .filter(pull -> pull < moment.millis())
                            .reduce((before, later) -> later)
                            .ifPresent(pull -> judged.add(
                                    new Judged(printed.get(), pull, (moment.millis() - pull) / HOUR_MS, word)));
                }
            }
            next = page.next();
        } while (!next.isEmpty());
        return judged;
    }

    /** A run as a layer; empty when nothing was pulled, or it is no run. */
    private static Optional<Printed> printed(String run, StudioView studio, Optional<Double> room) {
        Optional<StudioView.RunRecord> record = studio.runRecord(run);
        if (record.isEmpty() || record.get().pulls().isEmpty()) {
            return Optional.empty();
        }
        List<StudioView.PullRow> pulls = record.get().pulls();
        OptionalDouble read = record.get().happenings().stream()
                .filter(each -> each.numbers().containsKey("°C"))
                .mapToDouble(each -> each.numbers().getOrDefault("°C", Drying.REFERENCE))
                .reduce((before, later) -> later);
        List<StudioView.OnLoad> loads = pulls.stream()
                .map(StudioView.PullRow::loads)
                .filter(each -> each.stream().anyMatch(load -> !load.shares().isEmpty()))
                .reduce((before, later) -> later)
                .orElse(List.of());
        double celsius = Math.min(HOTTEST, Math.max(0, room.orElse(read.orElse(Drying.REFERENCE))));
        Map<String, String> roles = new HashMap<>();
        // Of two materials of one name the first is taken.
        studio.materials().forEach(material -> roles.putIfAbsent(material.name(), material.role()));
        return Optional.of(new Printed(
                record.get(),
                loads.stream()
                        .map(load -> new Drying.Layer(celsius, share(load, "drier", roles), share(load, "base", roles)))
                        .min(Comparator.comparingDouble(Drying.Layer::worth))
                        .orElse(new Drying.Layer(celsius, 0, 0)),
                pulls.stream().map(StudioView.PullRow::millis).sorted().toList(),
                room.isPresent() || read.isPresent(),
                !loads.isEmpty(),
                loads.stream()
                        .flatMap(load -> load.shares().entrySet().stream())
                        .filter(each -> each.getValue() > 0 && SLOWING.contains(roles.getOrDefault(each.getKey(), "")))
                        .map(Map.Entry::getKey)
                        .distinct()
                        .sorted()
                        .toList()));
    }

    /** Per cent of what is of a role. */
    private static double share(StudioView.OnLoad load, String role, Map<String, String> roles) {
        double sum = load.shares().entrySet().stream()
                .filter(each -> role.equals(roles.get(each.getKey())))
                .mapToDouble(each -> each.getValue() * 100)
                .sum();
        return Math.min(100, Math.max(0, sum));
    }
}
