package slabside.host;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.Function;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import slabside.edition.Edition;
import slabside.edition.Register;
import slabside.edition.Run;
import slabside.edition.Runs;
import slabside.edition.SheetCodes;
import slabside.edition.Stone;
import slabside.event.EditionEvent;
import slabside.event.EventCodec;
import slabside.event.ImpressionKind;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.MaterialRole;
import slabside.event.PaperEvent;
import slabside.event.PressEvent;
import slabside.event.PullMode;
import slabside.event.ShelfEvent;
import slabside.event.StatedFact;
import slabside.event.StoneEvent;
import slabside.event.ThingId;
import slabside.event.Treatment;
import slabside.event.Why;
import slabside.views.Role;
import slabside.views.StoryKey;
import slabside.views.Told;
import slabside.views.Views;

/**
 * What the papers of an edition ask for, field by field, answered from the log or said to be unknown. Nothing is guessed:
 * a field whose events are missing is unknown, and each unknown one stands by itself.
 */
public final class EditionFacts {
    /**
     * One field.
     *
     * @param value in words; empty when the log does not know
     * @param state where it is written down: the form of an event, or of what is there already and lacks it
     */
    public record Fact(String field, Optional<String> value, String state) {}

    /** What belongs together, such as all about one run. */
    public record Group(String heading, List<Fact> facts) {}

    private final Views views;
    private final Runs runs;
    private final Function<ThingId, String> names;

    public EditionFacts(Views views, Runs runs, Function<ThingId, String> names) {
        this.views = views;
        this.runs = runs;
        this.names = names;
    }

    /** Every field of the documentation sheet, in its order. */
    public List<Group> of(ThingId id) {
        Edition edition = runs.edition(id);
        List<Group> groups = new ArrayList<>();
        groups.add(group("The edition", id, id, work(edition)));
        for (Run run : edition.runs()) {
            groups.add(group("Run " + run.order(), id, run.id(), run(run)));
        }
        groups.add(group("Impressions", id, id, counts(edition)));
        groups.add(group("Proofs and copies, in whose hands", id, id, hands(edition.register())));
        groups.add(group("Signature and chop", id, id, signature(edition)));
        groups.add(group("What became of stones and plates", id, id, ends(edition)));
        groups.add(group("Earlier and later", id, id, history(edition)));
        return groups;
    }

    /** A plan that is there is put right, for a second one would be another edition or run; all else is written anew. */
    private Group group(String heading, ThingId edition, ThingId thing, List<Fact> facts) {
        Optional<Told> plan = views.of(thing, Set.of(Role.DEFINES), StoryKey.LAST).stream()
                .filter(told ->
                        told.event() instanceof EditionEvent.Planned || told.event() instanceof EditionEvent.RunPlanned)
                .reduce((first, last) -> last);
        return new Group(
                heading,
                facts.stream()
                        .map(fact -> new Fact(
                                fact.field,
                                fact.value,
                                plan.isPresent() && PLANS.contains(fact.state)
                                        ? "/event/" + plan.get().pos() + "/put-right"
                                        : "/write/" + fact.state + (fact.state.contains("?") ? "&" : "?") + "edition="
                                                + edition))
                        .toList());
    }

    private static final Set<String> PLANS = Set.of("edition.planned", "edition.run-planned");

    private static Fact planned(String field, Edition edition, Function<EditionEvent.Planned, @Nullable Object> part) {
        return new Fact(field, edition.plan().map(plan -> part.apply(plan)).map(Object::toString), "edition.planned");
    }

    private static Fact stated(String field, Edition edition, StatedFact fact) {
        return new Fact(
                field, Optional.ofNullable(edition.stated().get(fact)), "edition.stated?fact=" + EventCodec.word(fact));
    }

    private List<Fact> work(Edition edition) {
        return List.of(
                planned("Artist", edition, EditionEvent.Planned::artist),
                planned("Title", edition, EditionEvent.Planned::title),
                stated("Year", edition, StatedFact.YEAR),
                new Fact("Printed from and to", printedFromTo(edition), "press.pulled"),
                planned("Image size", edition, plan -> size(plan.imageWidthUm(), plan.imageHeightUm())),
                planned("Sheet size", edition, plan -> size(plan.sheetWidthUm(), plan.sheetHeightUm())),
                stated("Process", edition, StatedFact.PROCESS),
                stated("Workshop", edition, StatedFact.WORKSHOP),
                new Fact("Printers and assistants", hands(edition), "press.hands-changed"),
                stated("Publisher", edition, StatedFact.PUBLISHER),
                stated("Job number", edition, StatedFact.JOB_NUMBER),
                stated("Who made the image on stone or plate", edition, StatedFact.MASTER_MADE_BY),
                stated("Colour separator", edition, StatedFact.COLOUR_SEPARATOR),
                stated("Artist's approval", edition, StatedFact.ARTISTS_APPROVAL),
                new Fact(
                        "OK proof signed",
                        edition.okSigned().map(told -> {
                            EditionEvent.OkSigned ok = (EditionEvent.OkSigned) told.event();
                            return day(told) + ", sheet " + edition.code(ok.sheet())
                                    + (ok.by() == null ? "" : ", by " + names.apply(ok.by()));
                        }),
                        "edition.ok-signed"),
                new Fact("Paper", paper(edition), "paper.torn"));
    }

    private static @Nullable String size(@Nullable Long widthUm, @Nullable Long heightUm) {
        return widthUm == null || heightUm == null
                ? null
                : centimetres(widthUm) + " × " + centimetres(heightUm) + " cm";
    }

    private static String centimetres(long micrometres) {
        return Drawn.fixed(micrometres / 10_000.0, micrometres % 10_000 == 0 ? 0 : 1);
    }

    private static LocalDate day(Told told) {
        return Instant.ofEpochMilli(told.happened().instant(told.envelope().recorded()))
                .atZone(ZoneId.of(told.happened().zone()))
                .toLocalDate();
    }

    private static Optional<String> fromTo(Stream<Told> all) {
        List<LocalDate> days = all.map(EditionFacts::day).sorted().toList();
        if (days.isEmpty()) {
            return Optional.empty();
        }
        LocalDate first = days.get(0);
        LocalDate last = days.get(days.size() - 1);
        return Optional.of(first.equals(last) ? first.toString() : first + " to " + last);
    }

    private static Optional<String> printedFromTo(Edition edition) {
        return fromTo(edition.runs().stream()
                .flatMap(run -> run.pulls().stream())
                .filter(pull -> pull.event().mode() == PullMode.EDITION)
                .map(Run.Pull::told));
    }

    /** Whoever was named at the press, and whoever wrote pulls down under a name. */
    private Optional<String> hands(Edition edition) {
        Set<ThingId> people = new LinkedHashSet<>();
        for (Run run : edition.runs()) {
            run.pulls()
                    .forEach(pull -> people.add(pull.told().envelope().actor().person()));
            views.of(run.id(), Set.of(Role.NOTED), StoryKey.LAST).forEach(told -> {
                if (told.event() instanceof PressEvent.HandsChanged changed) {
                    people.addAll(changed.people());
                }
            });
        }
        List<String> named = people.stream()
                .filter(person -> person.text().startsWith("person-"))
                .map(names)
                .filter(name -> !name.startsWith("person ") && !name.startsWith("somebody"))
                .distinct()
                .toList();
        return named.isEmpty() ? Optional.empty() : Optional.of(String.join(", ", named));
    }

    private Optional<String> paper(Edition edition) {
        Set<String> papers = new LinkedHashSet<>();
        for (Told told : views.of(edition.id(), Set.of(Role.NOTED), StoryKey.LAST)) {
            if (told.event() instanceof PaperEvent.Torn torn) {
                papers.add(described(torn.lot()));
            }
        }
        edition.plan()
                .map(EditionEvent.Planned::paper)
                .filter(lot -> papers.isEmpty())
                .ifPresent(lot -> papers.add(described(lot)));
        return papers.isEmpty() ? Optional.empty() : Optional.of(String.join("; ", papers));
    }

    private String described(ThingId lot) {
        List<String> parts = new ArrayList<>(List.of(names.apply(lot)));
        for (Told told : views.of(lot, Set.of(Role.DEFINES), StoryKey.LAST)) {
            if (told.event() instanceof PaperEvent.Received received && received.gramsPerM2() != null) {
                parts.add(received.gramsPerM2().toPlainString() + " g/m²");
            }
        }
        return String.join(", ", parts);
    }

    private List<Fact> run(Run run) {
        Optional<Stone> stone = runs.stone(run.id()).map(runs::matrix);
        return List.of(
                new Fact("Stone or plate", stone.map(matrix -> names.apply(matrix.id())), "edition.run-planned"),
                new Fact("Drawn with", stone.flatMap(matrix -> drawn(matrix, run)), "stone.treated"),
                new Fact("Inks", Optional.of(inks(run)).filter(inks -> !inks.isEmpty()), "ink.moved"),
                new Fact("Ink lots, lightfastness as the maker states it", lots(run), "ink.moved"),
                new Fact("Surface", run.surface().map(EventCodec::word), "edition.run-planned"),
                new Fact(
                        "Printed",
                        fromTo(run.pulls().stream()
                                .filter(pull -> pull.event().mode() == PullMode.EDITION)
                                .map(Run.Pull::told)),
                        "press.pulled"));
    }

    /** The words with which drawing was written down. */
    private static Optional<String> drawn(Stone stone, Run run) {
        String words = stone.lifeOfImage(run).stream()
                .filter(told -> told.event() instanceof StoneEvent.Treated treated
                        && (treated.treatment() == Treatment.DRAWN || treated.treatment() == Treatment.ADDITION)
                        && treated.words() != null)
                .map(told -> ((StoneEvent.Treated) told.event()).words())
                .distinct()
                .collect(Collectors.joining("; "));
        return words.isEmpty() ? Optional.empty() : Optional.of(words);
    }

    private String inks(Run run) {
        Set<ThingId> mixes = new LinkedHashSet<>();
        run.pulls().stream()
                .flatMap(pull -> pull.loading().stream())
                .map(load -> load.load())
                .distinct()
                .forEach(load -> views.of(load, Set.of(Role.IN), StoryKey.LAST).forEach(told -> {
                    if (told.event() instanceof InkEvent.Moved moved && moved.why() == Why.CHARGED) {
                        mixes.add(views.canonical(moved.from()));
                    }
                }));
        return mixes.stream()
                .map(mix -> names.apply(mix)
                        + views.thing(mix)
                                .map(thing -> thing.label())
                                .filter(label -> !label.isEmpty())
                                .map(label -> " (" + label + ")")
                                .orElse(""))
                .collect(Collectors.joining(", "));
    }

    /** What gives the inks of a run their colour, can by can. */
    private Optional<String> lots(Run run) {
        Map<List<Load>, Run.Pull> first = new LinkedHashMap<>();
        Map<List<Load>, Run.Pull> last = new LinkedHashMap<>();
        run.pulls().stream()
                .filter(pull -> pull.event().mode() == PullMode.EDITION)
                .forEach(pull -> {
                    first.putIfAbsent(pull.loading(), pull);
                    last.put(pull.loading(), pull);
                });
        // What came onto slab and roller is there still at the last pull, but where all was scraped off between.
        String said = Stream.concat(first.values().stream(), last.values().stream())
                .flatMap(pull ->
                        pull.loading().stream().map(load -> runs.ledger().at(load.load(), pull.key())))
                .flatMap(load -> load.byLot().stream())
                .map(part -> lot(runs.ledger().material(part.id()), part.id()))
                .filter(words -> !words.isEmpty())
                .distinct()
                // Of equal shares none comes first, so they stand in the order of the alphabet.
                .sorted()
                .collect(Collectors.joining("; "));
        return said.isEmpty() ? Optional.empty() : Optional.of(said);
    }

    private String lot(ThingId material, ThingId can) {
        return views.of(material, Set.of(Role.DEFINES), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof ShelfEvent.MaterialListed)
                .map(told -> (ShelfEvent.MaterialListed) told.event())
                .reduce((first, last) -> last)
                .map(listed -> !COLOURED.contains(listed.role())
                        ? ""
                        : (names.apply(can).startsWith(names.apply(material))
                                        ? names.apply(can)
                                        : names.apply(material) + ", lot " + names.apply(can))
                                + (listed.pigment() == null ? "" : ", " + listed.pigment())
                                + ": "
                                + (listed.lightfastness() == null
                                                || listed.lightfastness().isBlank()
                                        ? "lightfastness not known"
                                        : listed.lightfastness()))
                // Nobody said what it is: then it may be a colour.
                .orElseGet(() -> names.apply(can) + ": material not known, lightfastness not known");
    }

    private static final Set<MaterialRole> COLOURED =
            Set.of(MaterialRole.INK, MaterialRole.OPAQUE_WHITE, MaterialRole.OTHER);

    private static final Map<ImpressionKind, String> COUNTED = new LinkedHashMap<>();

    static {
        COUNTED.put(ImpressionKind.NUMBERED, "Numbered impressions");
        COUNTED.put(ImpressionKind.ARTISTS_PROOF, "Artist's proofs");
        COUNTED.put(ImpressionKind.PRINTERS_PROOF, "Printer's proofs");
        COUNTED.put(ImpressionKind.OK_PROOF, "OK proofs");
        COUNTED.put(ImpressionKind.TRIAL_PROOF, "Trial proofs");
        COUNTED.put(ImpressionKind.WORKING_PROOF, "Working proofs");
        COUNTED.put(ImpressionKind.STATE_PROOF, "State proofs");
        COUNTED.put(ImpressionKind.COLOUR_TRIAL_PROOF, "Colour trial proofs");
        COUNTED.put(ImpressionKind.SEPARATION_PROOF, "Separation proofs");
        COUNTED.put(ImpressionKind.PROGRESSIVE_PROOF, "Progressive proofs");
        COUNTED.put(ImpressionKind.PRESENTATION_PROOF, "Presentation proofs");
        COUNTED.put(ImpressionKind.HORS_COMMERCE, "Hors commerce");
        COUNTED.put(ImpressionKind.ARCHIVE_COPY, "Archive copies");
        COUNTED.put(ImpressionKind.LEGAL_DEPOSIT_COPY, "Legal deposit copies");
        COUNTED.put(ImpressionKind.RESTRIKE, "Restrikes");
    }

    /** What belongs to an edition and what stands beside it; trials and steps on the way do not. */
    private static final Set<ImpressionKind> OF_THE_EDITION = Set.of(
            ImpressionKind.NUMBERED,
            ImpressionKind.ARTISTS_PROOF,
            ImpressionKind.PRINTERS_PROOF,
            ImpressionKind.OK_PROOF,
            ImpressionKind.PRESENTATION_PROOF,
            ImpressionKind.HORS_COMMERCE,
            ImpressionKind.ARCHIVE_COPY,
            ImpressionKind.LEGAL_DEPOSIT_COPY);

    private List<Fact> counts(Edition edition) {
        Register register = edition.register();
        List<Fact> facts = new ArrayList<>();
        facts.add(stated("Whether the edition is limited, and how", edition, StatedFact.LIMITED));
        facts.add(new Fact(
                "Number declared", register.declared().map(number -> Integer.toString(number)), "edition.planned"));
        boolean any = !register.impressions().isEmpty();
        COUNTED.forEach((kind, name) -> {
            List<String> codes = register.impressions().values().stream()
                    .filter(impression -> impression.kind() == kind)
                    .map(impression -> edition.code(impression.sheet()))
                    .sorted()
                    .toList();
            facts.add(new Fact(
                    name,
                    any
                            ? Optional.of(
                                    codes.isEmpty() ? "none" : codes.size() + " (" + SheetCodes.shown(codes) + ")")
                            : Optional.empty(),
                    "edition.numbered"));
        });
        long cancellations = edition.runs().stream()
                .flatMap(run -> run.pulls().stream())
                .filter(pull -> pull.event().mode() == PullMode.CANCELLATION)
                .count();
        facts.add(new Fact(
                "Cancellation impressions",
                any ? Optional.of(cancellations == 0 ? "none" : Long.toString(cancellations)) : Optional.empty(),
                "press.pulled"));
        facts.add(new Fact(
                "Numbered impressions and proofs beside them, trial proofs left out",
                any
                        ? Optional.of(Long.toString(register.impressions().values().stream()
                                .filter(impression -> OF_THE_EDITION.contains(impression.kind()))
                                .count()))
                        : Optional.empty(),
                "edition.numbered"));
        facts.add(new Fact(
                "Impressions in all",
                any ? Optional.of(Long.toString(register.impressions().size() + cancellations)) : Optional.empty(),
                "edition.numbered"));
        List<String> destroyed =
                register.destroyed().stream().map(edition::code).sorted().toList();
        facts.add(new Fact(
                "Destroyed",
                any
                        ? Optional.of(
                                destroyed.isEmpty()
                                        ? "none"
                                        : destroyed.size() + " (" + SheetCodes.shown(destroyed) + ")")
                        : Optional.empty(),
                "edition.destroyed"));
        return facts;
    }

    /** Where those impressions are that are not for sale: with whom, or here. */
    private List<Fact> hands(Register register) {
        List<Fact> facts = new ArrayList<>();
        COUNTED.forEach((kind, name) -> {
            Map<String, List<String>> held = new TreeMap<>();
            register.impressions().values().stream()
                    .filter(impression -> impression.kind() == kind && kind != ImpressionKind.NUMBERED)
                    .forEach(impression -> held.computeIfAbsent(where(impression), any -> new ArrayList<>())
                            .add(impression.written()));
            if (!held.isEmpty()) {
                facts.add(new Fact(
                        name,
                        Optional.of(held.entrySet().stream()
                                .map(each -> String.join(", ", each.getValue()) + ": " + each.getKey())
                                .collect(Collectors.joining("; "))),
                        "edition.released"));
            }
        });
        return facts.isEmpty() ? List.of(new Fact("Proofs and copies", Optional.empty(), "edition.numbered")) : facts;
    }

    private String where(Register.Impression impression) {
        return switch (impression.where()) {
            case HERE -> "at the workshop";
            case RETURNED -> "come back to the workshop";
            case DESTROYED -> "destroyed";
            case RELEASED ->
                impression.to().map(to -> "with " + names.apply(to)).orElse("released, to whom is not written down");
        };
    }

    private List<Fact> signature(Edition edition) {
        List<EditionEvent.Signed> signed = edition.register().impressions().values().stream()
                .flatMap(impression -> impression.after().signed().stream())
                .map(told -> (EditionEvent.Signed) told.event())
                .distinct()
                .toList();
        boolean any = !edition.register().impressions().isEmpty();
        return List.of(
                new Fact("Signed by", joined(signed.stream().map(each -> names.apply(each.by()))), "edition.signed"),
                new Fact(
                        "Place of the signature",
                        joined(signed.stream().map(EditionEvent.Signed::where)),
                        "edition.signed"),
                new Fact("Medium", joined(signed.stream().map(EditionEvent.Signed::medium)), "edition.signed"),
                new Fact(
                        "How many are signed",
                        any ? Optional.of(Long.toString(edition.register().signed())) : Optional.empty(),
                        "edition.signed"),
                stated("Source of the signature", edition, StatedFact.SIGNATURE_SOURCE),
                stated("Printed but not signed or numbered", edition, StatedFact.PRINTED_UNSIGNED),
                new Fact(
                        "Chop",
                        joined(edition.register().impressions().values().stream()
                                .flatMap(impression -> impression.after().chopped().stream())
                                .map(told -> ((EditionEvent.Chopped) told.event()).chop())),
                        "edition.chopped"));
    }

    private static Optional<String> joined(Stream<@Nullable String> words) {
        String all =
                words.filter(word -> word != null && !word.isEmpty()).distinct().collect(Collectors.joining(", "));
        return all.isEmpty() ? Optional.empty() : Optional.of(all);
    }

    private List<Fact> ends(Edition edition) {
        return edition.runs().stream()
                .map(run -> {
                    Optional<Stone> stone = runs.stone(run.id()).map(runs::matrix);
                    return new Fact(
                            "Run " + run.order()
                                    + stone.map(matrix -> ", " + names.apply(matrix.id()))
                                            .orElse(""),
                            stone.flatMap(matrix -> end(matrix, run)),
                            "stone.disposed");
                })
                .toList();
    }

    /** How the image of a run ended: its last end after the last pull. */
    private Optional<String> end(Stone stone, Run run) {
        if (run.pulls().isEmpty()) {
            return Optional.empty();
        }
        StoryKey last = run.pulls().get(run.pulls().size() - 1).key();
        return stone.lifeOfImage(run).stream()
                .filter(told -> told.event() instanceof StoneEvent.Disposed
                        && told.key().compareTo(last) > 0)
                .reduce((first, next) -> next)
                .map(told -> {
                    StoneEvent.Disposed end = (StoneEvent.Disposed) told.event();
                    List<String> parts = new ArrayList<>();
                    parts.add(EventCodec.word(end.end()).replace('-', ' ') + " " + day(told));
                    if (end.method() != null) {
                        parts.add(end.method());
                    }
                    if (end.witness() != null) {
                        parts.add("witness " + names.apply(end.witness()));
                    }
                    parts.add(
                            end.cancellation() == null
                                    ? "cancellation impression not stated"
                                    : end.cancellation()
                                            ? "cancellation impression pulled"
                                            : "no cancellation impression");
                    return String.join(", ", parts);
                });
    }

    private List<Fact> history(Edition edition) {
        Optional<String> linked =
                edition.plan().map(EditionEvent.Planned::earlier).map(names);
        String words = edition.stated().get(StatedFact.EARLIER_EDITIONS);
        List<String> earlier = Stream.of(linked.orElse(""), words == null ? "" : words)
                .filter(text -> !text.isEmpty())
                .toList();
        return List.of(
                new Fact(
                        "Earlier states and editions of the image",
                        earlier.isEmpty() ? Optional.empty() : Optional.of(String.join("; ", earlier)),
                        "edition.stated?fact=" + EventCodec.word(StatedFact.EARLIER_EDITIONS)),
                new Fact(
                        "Later editions of the image in this log",
                        Optional.of(
                                edition.again().isEmpty()
                                        ? "none"
                                        : edition.again().stream().map(names).collect(Collectors.joining(", "))),
                        "edition.planned"),
                stated("Posthumous or restrike", edition, StatedFact.POSTHUMOUS),
                stated("Reworked after an earlier edition", edition, StatedFact.REWORKED));
    }
}
