package slabside.web;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import slabside.edition.AtPress;
import slabside.edition.Drying;
import slabside.edition.Edition;
import slabside.edition.Register;
import slabside.edition.Run;
import slabside.edition.SheetCodes;
import slabside.edition.Stone;
import slabside.edition.TimeSpent;
import slabside.event.EditionEvent;
import slabside.event.EventCodec;
import slabside.event.ImpressionKind;
import slabside.event.PressGrade;
import slabside.event.Sheet;
import slabside.event.Stage;
import slabside.event.ThingId;
import slabside.host.Drawn;
import slabside.host.EditionFacts;
import slabside.plugin.Answer;
import slabside.views.Role;
import slabside.views.StoryKey;
import slabside.views.Timeline;
import slabside.views.Told;

/** An edition from the plan to the last released print. */
final class EditionPage {
    private static final int MOST = 200;
    private static final int STORY = 8;
    private static final int MOST_INKS = 12;
    private static final double MS_PER_HOUR = 3_600_000;
    private final Desk desk;
    private final DryWords dry;
    private final EditionWords words;
    private final OkWords ok;

    EditionPage(Desk desk) {
        this.desk = desk;
        this.dry = new DryWords(desk);
        this.words = new EditionWords(desk);
        this.ok = new OkWords(desk);
    }

    /** One edition in the list. */
    public record Row(String href, String name, String artist, List<String> standing) {}

    /**
     * @param open still to be printed, looked at, numbered or released
     */
    public record Listed(Frame frame, List<Row> open, List<Row> closed) {}

    Listed list() {
        desk.studio.views().catchUp();
        List<Row> open = new ArrayList<>();
        List<Row> closed = new ArrayList<>();
        desk.studio.views().things("edition", "", MOST).forEach(thing -> {
            String href = "/edition/" + thing.id();
            String name = desk.studio.name(thing.id());
            // Of those that are closed the day is enough here: folding hundreds of them would keep the page waiting.
            closedAt(thing.id())
                    .ifPresentOrElse(
                            told -> closed.add(new Row(href, name, "", List.of("closed " + desk.answers.when(told)))),
                            () -> {
                                Edition edition = desk.studio.runs().edition(thing.id());
                                open.add(new Row(
                                        href,
                                        name,
                                        edition.plan()
                                                .map(EditionEvent.Planned::artist)
                                                .orElse(""),
                                        words.standing(edition)));
                            });
        });
        return new Listed(desk.frame("Editions", "editions"), open, closed);
    }

    private Optional<Told> closedAt(ThingId edition) {
        return desk.studio.views().of(edition, Set.of(Role.NOTED), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof EditionEvent.Closed)
                .reduce((first, last) -> last);
    }

    /**
     * One run of an edition.
     *
     * @param audit where it is asked what went wrong
     * @param printedAny whether there is anything to ask about
     * @param stone with its state
     * @param inks mixes that were made for it
     * @param pending sheets not yet through, or an empty text
     * @param dried how its batches dried; the newest last
     * @param next when the next run is sensible, or an empty text
     * @param evidence what that comes from
     */
    public record RunRow(
            String href,
            String audit,
            boolean printedAny,
            String name,
            List<Desk.Piece> stone,
            List<Desk.Piece> inks,
            List<Answer.Swatch> looks,
            String printed,
            String pending,
            List<String> dried,
            String next,
            Optional<Answer.Table> evidence) {}

    /**
     * A proof.
     *
     * @param kind as it was named, or an empty text
     */
    public record Proof(String sheet, String code, String through, String kind) {}

    /**
     * @param standing how far it has come
     * @param next what is to be done now
     * @param lost sheets, run by run
     * @param asked the number that was asked for, or an empty text
     * @param found where that impression is
     * @param due codes of impressions that are not signed, or not released, as the forms propose them
     */
    public record Shown(
            Frame frame,
            String id,
            String title,
            List<Desk.Piece> facts,
            List<String> standing,
            List<Desk.Piece> next,
            List<RunRow> runs,
            Optional<OkWords.Ok> ok,
            List<Proof> proofs,
            List<String> lost,
            String asked,
            List<Desk.Piece> found,
            Optional<Answer.Table> register,
            Map<String, String> due,
            Answer.Table hours,
            List<Desk.Choice> stages,
            String today,
            List<EditionFacts.Group> papers,
            List<Desk.Choice> kinds,
            List<Desk.Choice> people,
            boolean closed,
            List<Desk.Piece> writes,
            List<Desk.Line> story) {}

    Shown page(String id, Map<String, List<String>> query) {
        desk.studio.views().catchUp();
        Edition edition = desk.edition(id);
        String name = desk.studio.name(edition.id());
        Map<ThingId, Answer.Swatch> looks = new Looks(desk)
                .of(edition.runs().stream()
                        .flatMap(run -> mixes(run).stream())
                        .distinct()
                        .toList());
        String asked = Desk.first(query, "number");
        return new Shown(
                desk.frame(name, "editions"),
                edition.id().text(),
                name,
                facts(edition),
                words.standing(edition),
                next(edition),
                edition.runs().stream().map(run -> row(edition, run, looks)).toList(),
                ok.of(edition),
                proofs(edition),
                lost(edition),
                asked,
                asked.isEmpty() ? List.of() : found(edition, asked),
                register(edition),
                due(edition),
                hours(desk.studio.runs().timeSpent(edition)),
                EditionWords.choices(Stage.class),
                LocalDate.now(desk.studio.log().clock()).toString(),
                new EditionFacts(desk.studio.views(), desk.studio.runs(), desk.studio::name).of(edition.id()),
                EditionWords.proofKinds(),
                desk.people(),
                edition.closed().isPresent(),
                EventForm.about(desk.thing(id)),
                desk.studio.views().timeline(Timeline.Filter.newest(STORY).about(edition.id())).events().stream()
                        .map(told -> desk.line(told, false, false))
                        .toList());
    }

    private List<Desk.Piece> facts(Edition edition) {
        List<Desk.Piece> facts = new ArrayList<>();
        edition.plan().ifPresent(plan -> {
            if (plan.artist() != null) {
                facts.add(new Desk.Piece(plan.artist(), ""));
            }
            if (plan.number() != null) {
                facts.add(new Desk.Piece(
                        "edition of " + plan.number()
                                + (plan.proofs() == null ? "" : " and " + plan.proofs() + " proofs")
                                + (plan.overs() == null ? "" : ", " + plan.overs() + " overs"),
                        ""));
            }
            if (plan.paper() != null) {
                facts.add(new Desk.Piece(desk.studio.name(plan.paper()), "/thing/" + plan.paper()));
            }
            if (plan.earlier() != null) {
                facts.add(new Desk.Piece(
                        "the image of " + desk.studio.name(plan.earlier()), "/edition/" + plan.earlier()));
            }
        });
        edition.again()
                .forEach(later -> facts.add(
                        new Desk.Piece("its image again in " + desk.studio.name(later), "/edition/" + later)));
        edition.register()
                .issuedTwice()
                .forEach((number, sheets) -> facts.add(new Desk.Piece(
                        number + " was issued twice: "
                                + sheets.stream().map(edition::code).collect(Collectors.joining(", ")),
                        "")));
        return facts;
    }

    private List<Desk.Piece> next(Edition edition) {
        List<Desk.Piece> next = new ArrayList<>();
        if (edition.closed().isPresent()) {
            return next;
        }
        if (edition.runs().isEmpty()) {
            next.add(new Desk.Piece("Plan its runs", "/write/edition.run-planned?edition=" + edition.id()));
        } else if (edition.sheets().isEmpty()) {
            next.add(new Desk.Piece("How many sheets to tear", "/calculators/sheets-to-tear?edition=" + edition.id()));
            next.add(new Desk.Piece("Tear the paper", "/write/paper.torn?edition=" + edition.id()));
        }
        int toCurate = edition.toCurate().size();
        if (toCurate > 0) {
            next.add(new Desk.Piece("Look through " + sheets(toCurate), "/edition/" + edition.id() + "/curate"));
        }
        int toNumber = edition.toNumber().size();
        if (toNumber > 0) {
            next.add(new Desk.Piece("Number " + sheets(toNumber), "/edition/" + edition.id() + "/number"));
        }
        return next;
    }

    private static String sheets(int count) {
        return count == 1 ? "1 sheet" : count + " sheets";
    }

    private List<ThingId> mixes(Run run) {
        return desk.studio.views().thingsOf("mix", run.id(), MOST_INKS).stream()
                .map(mix -> mix.id())
                .toList();
    }

    private RunRow row(Edition edition, Run run, Map<ThingId, Answer.Swatch> looks) {
        List<ThingId> mixes = mixes(run);
        Optional<AtPress> press = desk.studio.runs().atPress(run.id());
        List<String> codes = press.map(AtPress::pending).orElse(List.of()).stream()
                .map(Sheet::code)
                .toList();
        String printed = run.printed() == 0
                ? "not printed yet"
                : run.printed() + " printed, " + run.graded(PressGrade.GOOD) + " good at the press"
                        + (run.batches() > 1 ? ", in " + run.batches() + " batches" : "");
        List<Drying> batches = desk.studio.runs().drying(run);
        boolean followed = edition.runs().stream().anyMatch(other -> other.order() > run.order());
        Optional<Drying> open = batches.isEmpty()
                ? Optional.empty()
                : Optional.of(batches.get(batches.size() - 1))
                        .filter(last -> followed
                                && !last.isDry()
                                && last.overprinted().isEmpty()
                                && edition.closed().isEmpty());
        Optional<Drying.Expected> expected =
                open.flatMap(last -> last.expected(desk.studio.runs().pastDrying()));
        return new RunRow(
                "/press/" + run.id(),
                "/calculators/what-went-wrong?run=" + run.id(),
                run.printed() > 0,
                named(run),
                desk.studio.runs().stone(run.id()).stream()
                        .flatMap(stone -> stone(stone).stream())
                        .toList(),
                mixes.stream()
                        .map(mix -> new Desk.Piece(desk.studio.name(mix), "/thing/" + mix))
                        .toList(),
                mixes.stream().filter(looks::containsKey).map(looks::get).toList(),
                printed,
                codes.isEmpty() || edition.closed().isPresent() ? "" : "Not yet through: " + SheetCodes.shown(codes),
                batches.stream().map(batch -> batchWords(batches.size(), batch)).toList(),
                open.isPresent() ? dry.next(expected) : "",
                expected.map(dry::evidence));
    }

    /** Its name, and its surface where the name does not say it. */
    private String named(Run run) {
        String name =
                desk.studio.views().thing(run.id()).map(thing -> thing.shown()).orElse("run " + run.order());
        return name
                + run.surface()
                        .map(EventCodec::word)
                        .filter(surface -> !name.contains(surface))
                        .map(surface -> ", " + surface)
                        .orElse("");
    }

    private List<Desk.Piece> stone(ThingId id) {
        Stone stone = desk.studio.runs().matrix(id);
        return List.of(new Desk.Piece(desk.studio.name(id), "/thing/" + id), new Desk.Piece(desk.state(stone), ""));
    }

    private String batchWords(int batches, Drying batch) {
        return (batches > 1 ? "batch " + batch.batch() + ": " : "")
                + dry.judged(batch)
                + (batch.overprinted().isPresent()
                        ? "; printed over after "
                                + DryWords.hours(batch.overprinted().getAsDouble())
                                + (batch.trouble().isEmpty() ? "" : ", with " + String.join(", ", batch.trouble()))
                        : "");
    }

    private List<Proof> proofs(Edition edition) {
        return edition.proofs().stream()
                .map(sheet -> {
                    List<String> through = edition.passages(sheet.sheet()).stream()
                            .map(passage -> Integer.toString(passage.run().order()))
                            .distinct()
                            .toList();
                    String runs = through.size() == edition.runs().size() && through.size() > 1
                            ? "through all runs"
                            : (through.size() == 1 ? "run " : "runs ") + String.join(", ", through);
                    return new Proof(
                            sheet.sheet().text(),
                            sheet.code(),
                            runs,
                            Optional.ofNullable(edition.register().impressions().get(sheet.sheet()))
                                    .map(Register.Impression::written)
                                    .orElse(""));
                })
                .toList();
    }

    private static List<String> lost(Edition edition) {
        Map<String, List<Edition.Loss>> byRun = new LinkedHashMap<>();
        edition.losses()
                .forEach(loss -> byRun.computeIfAbsent(
                                loss.run() == 0 ? "off the press" : "run " + loss.run(), run -> new ArrayList<>())
                        .add(loss));
        return byRun.entrySet().stream()
                .sorted(Map.Entry.comparingByKey(java.util.Comparator.comparing(
                        key -> key.startsWith("run ") ? String.format(Locale.ROOT, "a%5s", key) : "b")))
                .map(each -> each.getKey() + ": "
                        + each.getValue().stream()
                                .map(loss -> loss.sheet().code() + " (" + loss.why() + ")")
                                .collect(Collectors.joining(", ")))
                .toList();
    }

    /** Where an impression is and how it came about. */
    private List<Desk.Piece> found(Edition edition, String asked) {
        ThingId sheet = edition.which("number", asked).get(0);
        List<Desk.Piece> found = new ArrayList<>();
        Register.Impression impression = edition.register().impressions().get(sheet);
        found.add(new Desk.Piece(
                (impression == null ? "" : impression.written() + " is sheet ") + edition.code(sheet),
                "/thing/" + sheet));
        if (impression != null) {
            found.add(new Desk.Piece(desk.whereabouts(impression), ""));
        }
        return found;
    }

    private Optional<Answer.Table> register(Edition edition) {
        boolean batches = edition.runs().stream().anyMatch(run -> run.batches() > 1);
        List<String> headings = new ArrayList<>(List.of("impression", "sheet"));
        if (batches) {
            headings.add("batch");
        }
        headings.addAll(List.of("signed", "chop", "where"));
        List<List<String>> rows = new ArrayList<>();
        for (Register.Impression impression : edition.register().impressions().values()) {
            List<String> row = new ArrayList<>(List.of(impression.written(), edition.code(impression.sheet())));
            if (batches) {
                row.add(edition.passages(impression.sheet()).stream()
                        .map(passage -> passage.pull().batch())
                        .distinct()
                        .map(String::valueOf)
                        .collect(Collectors.joining(", ")));
            }
            row.add(impression.signed() ? "signed" : "");
            row.add(impression.chopped() ? "chopped" : "");
            row.add(desk.whereabouts(impression));
            rows.add(row);
        }
        return rows.isEmpty()
                ? Optional.empty()
                : Optional.of(new Answer.Table("Register of impressions", headings, rows));
    }

    /** What the forms for signing, chopping and releasing propose. */
    private static Map<String, String> due(Edition edition) {
        Map<String, String> due = new LinkedHashMap<>();
        due.put("sign", codes(edition, impression -> isToSign(impression) && !impression.signed()));
        due.put("chop", codes(edition, impression -> isToSign(impression) && !impression.chopped()));
        due.put(
                "release",
                codes(
                        edition,
                        impression -> impression.signed()
                                && (impression.where() == Register.Where.HERE
                                        || impression.where() == Register.Where.RETURNED)));
        return due;
    }

    private static boolean isToSign(Register.Impression impression) {
        return impression.where() == Register.Where.HERE
                && Set.of(
                                ImpressionKind.NUMBERED,
                                ImpressionKind.ARTISTS_PROOF,
                                ImpressionKind.PRINTERS_PROOF,
                                ImpressionKind.PRESENTATION_PROOF,
                                ImpressionKind.HORS_COMMERCE,
                                ImpressionKind.ARCHIVE_COPY)
                        .contains(impression.kind());
    }

    private static String codes(Edition edition, java.util.function.Predicate<Register.Impression> which) {
        return SheetCodes.shown(edition.register().impressions().values().stream()
                .filter(which)
                .map(edition::called)
                .toList());
    }

    private static Answer.Table hours(TimeSpent time) {
        List<List<String>> rows = new ArrayList<>();
        time.stages().forEach((stage, spent) -> {
            if (spent.ms() > 0 || spent.stated()) {
                rows.add(List.of(
                        EventCodec.word(stage).replace('-', ' '),
                        Drawn.fixed(spent.ms() / MS_PER_HOUR, 1),
                        Drawn.fixed(spent.handMs() / MS_PER_HOUR, 1),
                        spent.stated() ? "stated" : ""));
            }
        });
        if (!rows.isEmpty()) {
            rows.add(List.of(
                    "all",
                    Drawn.fixed(time.total().ms() / MS_PER_HOUR, 1),
                    Drawn.fixed(time.total().handMs() / MS_PER_HOUR, 1),
                    ""));
        }
        return new Answer.Table("Hours", List.of("stage", "by the clock h", "hands × h", "note"), rows);
    }
}
