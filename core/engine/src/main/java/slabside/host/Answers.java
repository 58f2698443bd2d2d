package slabside.host;

import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.Function;
import slabside.edition.Edition;
import slabside.edition.Runs;
import slabside.event.MaterialRole;
import slabside.event.ThingId;
import slabside.ink.Contents;
import slabside.ink.Ledger;
import slabside.ink.Rebuild;
import slabside.ink.Shelf;
import slabside.measure.Mass;
import slabside.plugin.Answer;
import slabside.plugin.StudioView;
import slabside.views.Sentence;
import slabside.views.Told;
import slabside.views.Views;

/** What the engine itself answers, in the one form that is drawn everywhere. */
public final class Answers {
    /** What gives a mix its colour. */
    private static final Set<MaterialRole> INKS = Set.of(MaterialRole.INK, MaterialRole.OTHER);

    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("d MMM uuuu", Locale.ENGLISH);

    private final Views views;
    private final Runs runs;
    private final Shelf shelf;
    private final Function<ThingId, String> names;
    private final ZoneId zone;

    /**
     * @param names what to call a thing or person
     * @param zone in which times are shown
     */
    public Answers(Views views, Runs runs, Shelf shelf, Function<ThingId, String> names, ZoneId zone) {
        this.views = views;
        this.runs = runs;
        this.shelf = shelf;
        this.names = names;
        this.zone = zone;
    }

    /** A day and time as a reader writes it. */
    public String when(long millis) {
        return DateTimeFormatter.ofPattern("d MMM uuuu, HH:mm", Locale.ENGLISH)
                .format(Instant.ofEpochMilli(millis).atZone(zone));
    }

    /** A day as a reader writes it. */
    public String day(long millis) {
        return DAY.format(Instant.ofEpochMilli(millis).atZone(zone));
    }

    /** When an event happened, as exactly as that is known. */
    public String when(Told told) {
        return switch (told.happened().precision()) {
            case EXACT, MINUTE -> when(told.key().millis());
            case DAY -> day(told.key().millis());
            case UNKNOWN -> "time not known";
        };
    }

    private static String percent(double share, int decimals) {
        return Drawn.fixed(share * 100, decimals);
    }

    private static String grams(double grams) {
        return Drawn.fixed(grams, 2);
    }

    /** With its sign, but never a minus before nothing. */
    private static String signed(double value, int decimals) {
        String shown = Drawn.fixed(value, decimals);
        return shown.matches("-?0\\.0+") ? shown.replace("-", "") : value > 0 ? "+" + shown : shown;
    }

    /** The bands of a mix, most first. */
    public Answer.Strip strip(Contents contents) {
        return new Answer.Strip(
                contents.gaps().isEmpty() ? "What is in it" : "What is in it, of what was written down",
                contents.byMaterial(runs.ledger()::material).stream()
                        .map(part -> new Answer.Part(
                                names.apply(part.id()),
                                part.share().value(),
                                shelf.material(part.id()).screen()))
                        .toList());
    }

    /** As picked for the material; else pale for what is pale, so that base and powder are not drawn as ink. */
    private static String screen(Shelf.Material material) {
        if (!material.screen().isEmpty()) {
            return material.screen();
        }
        return switch (material.role()) {
            case BASE -> "#f1e8cf";
            case OPAQUE_WHITE, POWDER -> "#fdfdfa";
            case VARNISH, TACK_REDUCER, RETARDER -> "#ece2bf";
            case INK, DRIER, OTHER -> "";
        };
    }

    private static List<Answer.Block> gaps(Contents contents) {
        List<Answer.Block> blocks = new ArrayList<>();
        contents.gaps().forEach(gap -> blocks.add(new Answer.Caution("Gap in the record: " + gap + ".")));
        contents.notes().forEach(note -> blocks.add(new Answer.Assumption(note, "assumption")));
        return blocks;
    }

    /** A bench sheet for making a past ink again. */
    public Answer rebuild(Rebuild rebuild, String target) {
        List<List<String>> rows = new ArrayList<>();
        for (Rebuild.Line line : rebuild.lines()) {
            rows.add(List.of(
                    line.material().name(),
                    percent(line.share().value(), 3),
                    percent(line.share().expanded(), 3),
                    grams(line.asBefore()),
                    grams(line.grams()),
                    line.weighed().shown(rebuild.step()).replace(" g", ""),
                    signed(line.roundingError(), 2),
                    line.can()
                            .map(can -> can.lot()
                                    + (can.thing().label().isEmpty()
                                            ? ""
                                            : " (" + can.thing().label() + ")"))
                            .orElse("none on the shelf")));
        }
        Answer answer = Answer.titled(
                        "Rebuild: " + names.apply(rebuild.contents().vessel()) + ", " + rebuild.batch())
                .text(target)
                .withAll(gaps(rebuild.contents()))
                .with(strip(rebuild.contents()));
        for (Rebuild.Line line : rebuild.lines()) {
            if (line.can().isEmpty() && INKS.contains(line.material().role())) {
                answer = answer.caution("No can of " + line.material().name() + " is on the shelf.")
                        .with(new Answer.Ask(
                                "What comes near without " + line.material().name() + "?",
                                "what-could-make",
                                Map.of(
                                        "like",
                                        rebuild.contents().vessel().text(),
                                        "without",
                                        line.material().id().text(),
                                        "grams",
                                        rebuild.batch()
                                                .exactGrams()
                                                .stripTrailingZeros()
                                                .toPlainString())));
            }
        }
        if (!rebuild.changes().isEmpty()) {
            answer = answer.heading("What has changed since");
            for (String change : rebuild.changes()) {
                answer = answer.text("– " + change + ".");
            }
        }
        answer = answer.heading("At the bench").with(steps(rebuild));
        for (Answer.Block letDown : letDowns(rebuild)) {
            answer = answer.with(letDown);
        }
        for (String caution : Cautions.weighing(
                rebuild.lines().stream().map(line -> line.material().role()).toList())) {
            answer = answer.caution(caution);
        }
        return acceptance(answer, rebuild)
                .heading("How it was worked out")
                .with(new Answer.Table(
                        "For " + rebuild.batch() + ", on a scale with a step of " + rebuild.step(),
                        List.of(
                                "material",
                                "share %",
                                "± % (k = 2)",
                                "as it was g",
                                "now g",
                                "weigh g",
                                "rounding g",
                                "can"),
                        rows));
    }

    private Answer.Steps steps(Rebuild rebuild) {
        List<Answer.Step> steps = new ArrayList<>();
        Mass reading = Mass.ZERO;
        steps.add(new Answer.Step("Put the empty cup on the scale and tare it", Mass.ZERO.shown(rebuild.step())));
        for (Rebuild.Line line : rebuild.lines()) {
            for (int i = 0; i < line.portions().size(); i++) {
                Mass portion = line.portions().get(i);
                reading = reading.plus(portion);
                steps.add(new Answer.Step(
                        verb(line.material().role()) + " " + portion.shown(rebuild.step()) + " of "
                                + line.material().name()
                                + line.can()
                                        .map(Answers::label)
                                        .filter(label -> !label.isEmpty())
                                        .map(label -> ", can " + label)
                                        .orElse("")
                                + (line.portions().size() > 1
                                        ? ", portion " + (i + 1) + " of "
                                                + line.portions().size() + ", and work it in"
                                        : ""),
                        reading.shown(rebuild.step())));
            }
        }
        return new Answer.Steps(steps);
    }

    private static String label(Shelf.Can can) {
        return can.thing().label().isEmpty() ? can.lot() : can.thing().label() + " (" + can.lot() + ")";
    }

    private static String verb(MaterialRole role) {
        return switch (role) {
            case BASE -> "Lay out";
            case POWDER -> "Dust on";
            case TACK_REDUCER -> "Just before printing, work in";
            default -> "Fold in";
        };
    }

    private static List<Answer.Block> letDowns(Rebuild rebuild) {
        List<Answer.Block> blocks = new ArrayList<>();
        for (Rebuild.Line line : rebuild.lines()) {
            line.letDown()
                    .ifPresent(letDown -> blocks.add(new Answer.Text(String.format(
                            Locale.ROOT,
                            "%s is only %.0f steps of this scale. Better: %s of a let-down of 1 part %s and 9 parts base, and %s g less base.",
                            line.material().name(),
                            line.grams() * 1000 / rebuild.step().milligrams(),
                            letDown.shown(rebuild.step()),
                            line.material().name(),
                            grams(letDown.grams() * 0.9)))));
        }
        if (!blocks.isEmpty()) {
            blocks.add(new Answer.Assumption(
                    "an addition under 20 steps of the scale is better made from a let-down",
                    "common practice, no source"));
        }
        return blocks;
    }

    private Answer acceptance(Answer answer, Rebuild rebuild) {
        Answer with = answer.heading("Before the whole batch");
        with = with.text(
                "Mix 10 g first. Dab it on the same paper beside the kept swatch, compare wet with wet, then dry with dry at 24 h under the same lamp.");
        for (Told test : rebuild.tests()) {
            with = with.text("– " + when(test) + ": " + Sentence.of(test.event(), names) + ".");
        }
        for (Shelf.Packet packet : rebuild.packets()) {
            String left = packet.left()
                    .grams()
                    .map(g -> Drawn.number(g.value(), g.u()) + " g")
                    .orElse("an unknown amount");
            with = with.text("– A packet is kept: " + names.apply(packet.thing().id()) + ", " + left
                    + (packet.place().isEmpty() ? "" : ", " + packet.place()) + holds(packet.contents()) + ".");
        }
        return with;
    }

    /** What makes a packet age: drier and tack reducer. */
    public String holds(Contents contents) {
        boolean drier = false;
        boolean reducer = false;
        for (Contents.Part part : contents.byMaterial(runs.ledger()::material)) {
            MaterialRole role = shelf.material(part.id()).role();
            drier |= role == MaterialRole.DRIER;
            reducer |= role == MaterialRole.TACK_REDUCER;
        }
        return (drier ? ", holds drier" : ", no drier") + (reducer ? ", holds tack reducer" : "");
    }

    /** What is in a vessel, by material and by can, with what it cost. */
    public Answer contents(Contents contents) {
        Answer answer = Answer.titled("What is in " + names.apply(contents.vessel()))
                .withAll(gaps(contents))
                .quantity("In all", contents.grams(), "g", "what came in less what went out")
                .with(strip(contents))
                .with(new Answer.Table(
                        "By material",
                        List.of("material", "share %", "± % (k = 2)", "g"),
                        rows(contents.byMaterial(runs.ledger()::material), names)))
                .with(new Answer.Table(
                        "By can", List.of("can", "share %", "± % (k = 2)", "g"), rows(contents.byLot(), names)));
        Ledger.Cost cost = runs.ledger().cost(contents);
        for (var sum : cost.byCurrency().entrySet()) {
            answer = answer.quantity(
                    "Cost", sum.getValue(), sum.getKey(), "grams × price of the can ÷ its received grams");
        }
        if (!cost.unpriced().isEmpty()) {
            answer = answer.text("No price is known for "
                    + String.join(", ", cost.unpriced().stream().map(names).toList()) + ".");
        }
        return answer;
    }

    private static List<List<String>> rows(List<Contents.Part> parts, Function<ThingId, String> names) {
        return parts.stream()
                .map(part -> List.of(
                        names.apply(part.id()),
                        percent(part.share().value(), 3),
                        percent(part.share().expanded(), 3),
                        grams(part.grams().value())))
                .toList();
    }

    /** Where a can, mix or packet went, and where what is in it came from. */
    public Answer trace(ThingId thing) {
        return trace(names.apply(thing), List.of(thing));
    }

    /** The same of several, such as all cans of a lot. */
    public Answer trace(String title, List<ThingId> things) {
        Map<ThingId, Edition> editions = new HashMap<>();
        List<StudioView.Carrier> carriers =
                new Carriers(views, runs, id -> editions.computeIfAbsent(id, runs::edition)).of(things);
        Answer answer = Answer.titled("Trace of " + title);
        if (carriers.isEmpty()) {
            answer = answer.text("No print carries any of it.");
        } else {
            answer = prints(answer, carriers);
        }
        List<List<String>> reached = new ArrayList<>();
        List<String> about = new ArrayList<>();
        for (ThingId thing : things) {
            for (Ledger.Reached each : runs.ledger().trace(thing).vessels()) {
                reached.add(List.of(names.apply(each.vessel()), grams(each.grams()), percent(each.share(), 2)));
                about.add(each.vessel().text());
            }
        }
        if (!reached.isEmpty()) {
            answer = answer.heading("What else it went into")
                    .with(new Answer.Table("Vessels", List.of("into", "g of it", "highest share %"), reached, about));
        }
        List<List<String>> origins = things.stream()
                .flatMap(thing -> runs.ledger().origins(thing).stream())
                .map(arrow -> List.of(names.apply(arrow.from()), names.apply(arrow.to()), grams(arrow.grams())))
                .toList();
        return origins.isEmpty()
                ? answer
                : answer.heading("Where it came from")
                        .with(new Answer.Table("Every move behind it", List.of("from", "into", "g"), origins));
    }

    /** By edition first, then sheet by sheet. */
    private static Answer prints(Answer answer, List<StudioView.Carrier> carriers) {
        Map<String, List<StudioView.Carrier>> byEdition = new TreeMap<>();
        carriers.forEach(each -> byEdition
                .computeIfAbsent(each.edition().isEmpty() ? each.runName() : each.edition(), any -> new ArrayList<>())
                .add(each));
        boolean oneRun =
                carriers.stream().map(StudioView.Carrier::run).distinct().count() == 1;
        List<List<String>> editions = new ArrayList<>();
        byEdition.forEach((edition, of) -> editions.add(List.of(
                edition,
                Long.toString(of.stream()
                        .map(StudioView.Carrier::sheet)
                        .filter(sheet -> !sheet.isEmpty())
                        .distinct()
                        .count()),
                Long.toString(of.stream()
                        .filter(each -> !each.impression().isEmpty())
                        .map(StudioView.Carrier::sheet)
                        .distinct()
                        .count()),
                Long.toString(of.stream()
                        .filter(each -> each.where().equals("released"))
                        .map(StudioView.Carrier::sheet)
                        .distinct()
                        .count()))));
        return answer.with(new Answer.Table(
                        "Editions that carry it",
                        List.of("edition", "sheets", "of these numbered", "of these released"),
                        editions))
                .with(new Answer.Table(
                                oneRun
                                        ? "Sheets that carry it, all of "
                                                + carriers.get(0).runName()
                                        : "Sheets that carry it",
                                List.of("sheet", "number", "run", "pull", "share on the load %", "at the press", "now"),
                                carriers.stream()
                                        .map(each -> List.of(
                                                each.sheet().isEmpty() ? "no code" : each.sheet(),
                                                each.impression(),
                                                oneRun ? "" : each.runName(),
                                                each.pull() > 0 ? Integer.toString(each.pull()) : each.kind(),
                                                percent(each.share(), 2),
                                                each.grade(),
                                                each.where()))
                                        .toList(),
                                carriers.stream().map(StudioView.Carrier::event).toList())
                        .withoutEmptyColumns());
    }

    /** Whether the weighings that touch a vessel agree. */
    public Answer agreement(ThingId vessel) {
        Answer answer = Answer.titled("Do the weighings of " + names.apply(vessel) + " agree?");
        Optional<Ledger.Agreement> found = runs.ledger().agreement(List.of(vessel));
        if (found.isEmpty()) {
            return answer.text(
                    "Nothing was weighed twice here, so nothing can be checked. Weigh the cup or the can again to close the balance.");
        }
        Ledger.Agreement agreement = found.get();
        answer = answer.text(
                agreement.reconciliation().contradicts()
                        ? "No: they differ by more than the steps of the scales explain."
                        : "Yes, within the steps of the scales.");
        answer = answer.quantity(
                "Probability of differing this much by rounding alone",
                agreement.reconciliation().p(),
                "",
                "χ² of the balances");
        for (Ledger.Suspect suspect : agreement.suspects()) {
            String text =
                    "Look at: " + suspect.event().map(id -> "a reading of").orElse("a tare or an assumption of") + " "
                            + grams(suspect.reading().measured()) + " g, where "
                            + grams(suspect.reading().reconciled()) + " would fit"
                            + suspect.slip()
                                    .map(slip -> "; with " + slip.what() + " put right it would read "
                                            + grams(slip.reading()) + " g")
                                    .orElse("");
            answer = suspect.event().isPresent()
                    ? answer.with(new Answer.Link(text, suspect.event().get().text()))
                    : answer.text(text);
        }
        if (agreement.suspects().size() > 1) {
            answer = answer.text(
                    "These readings stand only against each other: the weighings alone cannot tell which is wrong.");
        }
        return answer;
    }

    /** How near a rebuilt mix came to the old one. */
    public Answer comparison(Contents old, Contents now) {
        List<List<String>> rows = Rebuild.compare(runs.ledger(), old, now).stream()
                .map(d -> List.of(
                        names.apply(d.material()),
                        percent(d.old().value(), 3),
                        percent(d.now().value(), 3),
                        signed(d.difference().value() * 100, 3),
                        percent(d.difference().expanded(), 3),
                        d.isReal() ? "differs" : "alike"))
                .toList();
        return Answer.titled(names.apply(now.vessel()) + " beside " + names.apply(old.vessel()))
                .withAll(gaps(old))
                .with(new Answer.Table(
                        "Shares",
                        List.of("material", "old %", "new %", "difference %", "± % (k = 2)", "beyond weighing"),
                        rows));
    }
}
