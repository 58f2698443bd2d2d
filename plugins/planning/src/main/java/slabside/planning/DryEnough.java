package slabside.planning;

import java.util.ArrayList;
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

    private static final double MUCH_DRIER = 2.5;
    private static final double HOUR_MS = 3_600_000;
    private static final int MOST_TRIED = 40;
    private static final int EDITIONS = 6;
    private static final int[] SHOWN = {6, 12, 18, 24, 36, 48, 72, 96, 120, 168};

    /** A layer and when its last sheet was printed. */
    private record Printed(
            StudioView.RunRecord run, Drying.Layer layer, long firstPull, long lastPull, boolean warmthKnown) {}

    /** A time that somebody judged a layer. */
    private record Judged(Printed printed, double hours, String word) {}

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
        if (room.isPresent() && (room.get() < 0 || room.get() > 45)) {
            throw new BadInput(ROOM.label(), room.get() + " °C", "give 0 to 45 °C");
        }
        Map<String, Optional<Printed>> known = new HashMap<>();
        String asked = replies.to(RUN);
        Printed layer = printed(asked, studio, room)
                .orElseThrow(() -> new BadInput(RUN.label(), asked, "no pull of this run is written down"));
        List<Judged> judged = judged(studio, known);
        List<Judged> own = judged.stream()
                .filter(each -> each.printed().run().run().equals(asked))
                .toList();
        OptionalDouble dryAt = dryBy(own);
        double notYet = notYet(own);
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
                        "Twice as fast for 10 °C more; half again as fast for 1 % of drier; a tenth slower for 10 % more base above 60",
                        "assumption")
                .assumption(
                        "Before anything was tried here: 30 h at 20 °C, from 11 to 80 h with the scatter of layers",
                        "common practice says overnight to 48 h, no source")
                .caution(
                        "Thick films, a cold or damp room and many layers take longer. Oily rags heat up by themselves while they dry:"
                                + " into a closed metal can.");
    }

    /** When it was rub-dry the first time. */
    private static OptionalDouble dryBy(List<Judged> one) {
        return one.stream()
                .filter(each -> each.word().equals(DRY))
                .mapToDouble(Judged::hours)
                .min();
    }

    /** When it was not, the last time before that; 0 when nobody tried. */
    private static double notYet(List<Judged> one) {
        double dry = dryBy(one).orElse(Double.POSITIVE_INFINITY);
        return one.stream()
                .filter(each -> !each.word().equals(DRY) && each.hours() < dry)
                .mapToDouble(Judged::hours)
                .max()
                .orElse(0);
    }

    /** Every other layer that was judged, once. */
    private static List<Drying.Tried> tried(List<Judged> judged, String but) {
        Map<String, List<Judged>> byRun = new LinkedHashMap<>();
        judged.stream()
                .filter(each -> !each.printed().run().run().equals(but))
                .forEach(each -> byRun.computeIfAbsent(each.printed().run().run(), any -> new ArrayList<>())
                        .add(each));
        return byRun.values().stream()
                .map(one -> new Drying.Tried(
                        one.get(0).printed().layer(), notYet(one), dryBy(one).orElse(Double.POSITIVE_INFINITY)))
                .toList();
    }

    /** What was judged here, and what was printed over what after how long. */
    private static Answer evidence(
            Answer answer,
            Printed layer,
            List<Judged> judged,
            StudioView studio,
            Map<String, Optional<Printed>> known) {
        Answer told = answer.quantity("Drier in it", layer.layer().drier(), "%", "on the rollers at the last pull")
                .quantity("Base in it", layer.layer().base(), "%", "the same");
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
        List<StudioView.Job> jobs = studio.jobs();
        for (StudioView.Job job : jobs.subList(0, Math.min(EDITIONS, jobs.size()))) {
            List<String> runs = studio.runsOf(job.edition());
            for (int i = 1; i < runs.size(); i++) {
                Optional<Printed> under =
                        known.computeIfAbsent(runs.get(i - 1), run -> printed(run, studio, Optional.empty()));
                Optional<Printed> above =
                        known.computeIfAbsent(runs.get(i), run -> printed(run, studio, Optional.empty()));
                if (under.isPresent()
                        && above.isPresent()
                        && above.get().firstPull() > under.get().lastPull()) {
                    rows.add(List.of(
                            under.get().run().name(),
                            above.get().run().name(),
                            String.format(
                                    Locale.ROOT,
                                    "%.0f",
                                    (above.get().firstPull() - under.get().lastPull()) / HOUR_MS),
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
                String of = moment.fields().at("of").text();
                String word = moment.fields().at("dryness").text();
                Optional<Printed> printed = known.computeIfAbsent(of, run -> printed(run, studio, Optional.empty()));
                if (printed.isPresent() && WORDS.contains(word)) {
                    double hours = (moment.millis() - printed.get().lastPull()) / HOUR_MS;
                    if (hours > 0) {
                        judged.add(new Judged(printed.get(), hours, word));
                    }
                }
            }
            next = page.next();
        } while (!next.isEmpty() && judged.size() < MOST_TRIED);
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
        Map<String, Double> shares = pulls.stream()
                .filter(pull -> !pull.loads().isEmpty())
                .reduce((before, later) -> later)
                .map(pull -> pull.loads().get(0).shares())
                .orElse(Map.of());
        double celsius = Math.min(45, Math.max(0, room.orElse(read.orElse(Drying.REFERENCE))));
        return Optional.of(new Printed(
                record.get(),
                new Drying.Layer(celsius, share(shares, "drier", studio), share(shares, "base", studio)),
                pulls.stream().mapToLong(StudioView.PullRow::millis).min().orElse(0),
                pulls.stream().mapToLong(StudioView.PullRow::millis).max().orElse(0),
                room.isPresent() || read.isPresent()));
    }

    /** Per cent of what is of a role; of two materials of one name the first is taken. */
    private static double share(Map<String, Double> shares, String role, StudioView studio) {
        Map<String, String> roles = new HashMap<>();
        studio.materials().forEach(material -> roles.putIfAbsent(material.name(), material.role()));
        double sum = shares.entrySet().stream()
                .filter(each -> role.equals(roles.get(each.getKey())))
                .mapToDouble(each -> each.getValue() * 100)
                .sum();
        return Math.min(100, Math.max(0, sum));
    }
}
