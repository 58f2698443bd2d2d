package slabside.edition;

import static java.util.Objects.requireNonNull;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.IntStream;
import slabside.event.CuratedAs;
import slabside.event.EditionEvent;
import slabside.event.ImpressionKind;
import slabside.event.PaperEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.Sheet;
import slabside.event.StatedFact;
import slabside.event.ThingId;
import slabside.measure.BadInput;
import slabside.views.Role;
import slabside.views.Stories;
import slabside.views.StoryKey;
import slabside.views.Told;

/**
 * An edition as its events tell it: its plan, its runs in order, what became of every sheet, its register.
 *
 * @param plan as it was planned last; empty when runs only name it
 * @param runs in their order
 * @param sheets torn for it before printing, in the order of their codes, each with the pulls it went through
 * @param spoiled sheets spoiled off the press, each with the words for it
 * @param okSigned when the OK proof was signed last
 * @param closed when no more was to be printed
 * @param stated facts for its papers, as stated last
 * @param again later editions of the same image
 */
public record Edition(
        ThingId id,
        Optional<EditionEvent.Planned> plan,
        List<Run> runs,
        Map<Sheet, List<Passage>> sheets,
        Map<ThingId, String> spoiled,
        Register register,
        Optional<Told> okSigned,
        Optional<Told> closed,
        Map<StatedFact, String> stated,
        List<ThingId> again) {
    /** A sheet went through a run. */
    public record Passage(Run run, Run.Pull pull) {
        boolean isEdition() {
            return pull.event().mode() == PullMode.EDITION;
        }
    }

    /**
     * A sheet that will not become an impression to sign.
     *
     * @param run order of the run at which it was lost; 0 when it was lost off the press
     */
    public record Loss(Sheet sheet, int run, String why) {}

    /** Folds the story of an edition. */
    static Edition of(Stories stories, ThingId id) {
        List<Run> runs = runs(stories, id);
        List<Sheet> torn = new ArrayList<>();
        Told okSigned = null;
        Told closed = null;
        Map<StatedFact, String> stated = new EnumMap<>(StatedFact.class);
        List<ThingId> again = new ArrayList<>();
        for (Told told : stories.of(id, Set.of(Role.NOTED), StoryKey.LAST)) {
            if (told.event() instanceof PaperEvent.Torn each && !Boolean.TRUE.equals(each.afterPrinting())) {
                torn.addAll(each.sheets());
            } else if (told.event() instanceof EditionEvent.OkSigned) {
                okSigned = told;
            } else if (told.event() instanceof EditionEvent.Closed) {
                closed = told;
            } else if (told.event() instanceof EditionEvent.Stated each) {
                stated.put(each.fact(), each.words());
            } else if (told.event() instanceof EditionEvent.Planned later
                    && !later.edition().equals(id)) {
                again.add(later.edition());
            }
        }
        torn.sort(Comparator.comparing(Sheet::code));
        return new Edition(
                id,
                plan(stories, id),
                runs,
                passages(runs, torn),
                spoiled(stories, torn),
                Register.of(stories, id),
                Optional.ofNullable(okSigned),
                Optional.ofNullable(closed),
                stated,
                again);
    }

    private static Optional<EditionEvent.Planned> plan(Stories stories, ThingId id) {
        return stories.of(id, Set.of(Role.DEFINES), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof EditionEvent.Planned)
                .map(told -> (EditionEvent.Planned) told.event())
                .reduce((first, last) -> last);
    }

    /** Runs of an edition in their order. */
    static List<Run> runs(Stories stories, ThingId edition) {
        return stories.of(edition, Set.of(Role.NOTED), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof EditionEvent.RunPlanned)
                .map(told -> ((EditionEvent.RunPlanned) told.event()).run())
                .distinct()
                .map(run -> Run.of(stories, run))
                .flatMap(Optional::stream)
                .sorted(Comparator.comparingInt(Run::order))
                .toList();
    }

    private static Map<Sheet, List<Passage>> passages(List<Run> runs, List<Sheet> torn) {
        Map<ThingId, List<Passage>> bySheet = new LinkedHashMap<>();
        for (Run run : runs) {
            for (Run.Pull pull : run.pulls()) {
                ThingId sheet = pull.sheet();
                if (sheet != null) {
                    bySheet.computeIfAbsent(sheet, each -> new ArrayList<>()).add(new Passage(run, pull));
                }
            }
        }
        Map<Sheet, List<Passage>> passages = new LinkedHashMap<>();
        torn.forEach(sheet -> passages.put(sheet, bySheet.getOrDefault(sheet.sheet(), List.of())));
        return passages;
    }

    private static Map<ThingId, String> spoiled(Stories stories, List<Sheet> torn) {
        Map<ThingId, String> spoiled = new LinkedHashMap<>();
        for (Sheet sheet : torn) {
            for (Told told : stories.of(sheet.sheet(), Set.of(Role.NOTED), StoryKey.LAST)) {
                if (told.event() instanceof PaperEvent.Spoiled each) {
                    String words = each.words();
                    spoiled.put(sheet.sheet(), words == null ? "spoiled off the press" : words);
                }
            }
        }
        return spoiled;
    }

    /** Whether they went through a run for the edition; the others are for proofs, or were not used yet. */
    private static boolean isEdition(List<Passage> passages) {
        return passages.stream().anyMatch(Passage::isEdition);
    }

    /** Sheets that went through every run and were lost at none, in the order of their codes. */
    public List<Sheet> printed() {
        return sheets.entrySet().stream()
                .filter(each ->
                        isEdition(each.getValue()) && missing(each.getValue()).isEmpty())
                .filter(each -> runs.stream().noneMatch(run -> isSpoiledAt(run, each.getValue())))
                .map(Map.Entry::getKey)
                .filter(sheet -> !spoiled.containsKey(sheet.sheet()))
                .toList();
    }

    private static boolean isSpoiledAt(Run run, List<Passage> passages) {
        return lastThrough(run, passages)
                .filter(pull -> pull.event().grade() == PressGrade.SPOILED)
                .isPresent();
    }

    private static Optional<Run.Pull> lastThrough(Run run, List<Passage> passages) {
        return passages.stream()
                .filter(passage -> passage.run().id().equals(run.id()) && passage.isEdition())
                .map(Passage::pull)
                .reduce((first, last) -> last);
    }

    /** Runs that a sheet has not been through, as proof or for the edition. */
    public List<Run> missing(ThingId sheet) {
        return missing(passages(sheet));
    }

    private List<Run> missing(List<Passage> passages) {
        return runs.stream()
                .filter(run -> passages.stream()
                        .noneMatch(passage -> passage.run().id().equals(run.id())))
                .toList();
    }

    /** Printed sheets that nobody has curated, numbered or destroyed yet. */
    public List<Sheet> toCurate() {
        return printed().stream()
                .filter(sheet -> !register.graded().containsKey(sheet.sheet()))
                .filter(sheet -> isFree(sheet.sheet()))
                .toList();
    }

    /** Sheets found good at curating that are no impressions yet. */
    public List<Sheet> toNumber() {
        return sheets.keySet().stream()
                .filter(sheet -> Optional.ofNullable(register.graded().get(sheet.sheet()))
                        .filter(seen -> seen.grade() == CuratedAs.GOOD)
                        .isPresent())
                .filter(sheet -> isFree(sheet.sheet()))
                .toList();
    }

    private boolean isFree(ThingId sheet) {
        return !register.impressions().containsKey(sheet)
                && !register.destroyed().contains(sheet);
    }

    /** Sheets that went through runs as proofs only, in the order of their codes. */
    public List<Sheet> proofs() {
        return sheets.entrySet().stream()
                .filter(each -> !each.getValue().isEmpty() && !isEdition(each.getValue()))
                .map(Map.Entry::getKey)
                .toList();
    }

    /** Sheets lost so far, each with where and why, in the order of their codes. */
    public List<Loss> losses() {
        List<Loss> losses = new ArrayList<>();
        sheets.forEach((sheet, passages) -> loss(sheet, passages).ifPresent(losses::add));
        return losses;
    }

    private Optional<Loss> loss(Sheet sheet, List<Passage> passages) {
        for (Run run : runs) {
            if (isSpoiledAt(run, passages)) {
                List<String> faults =
                        lastThrough(run, passages).orElseThrow().event().faults();
                return Optional.of(
                        new Loss(sheet, run.order(), faults.isEmpty() ? "spoiled" : String.join(", ", faults)));
            }
        }
        String offPress = spoiled.get(sheet.sheet());
        if (offPress != null) {
            return Optional.of(new Loss(sheet, 0, offPress));
        }
        EditionEvent.Curated seen = register.graded().get(sheet.sheet());
        if (seen != null && seen.grade() != CuratedAs.GOOD) {
            String as = seen.grade() == CuratedAs.SECOND ? "second" : "destroyed";
            return Optional.of(new Loss(sheet, 0, seen.words() == null ? as : as + ": " + seen.words()));
        }
        return register.destroyed().contains(sheet.sheet())
                ? Optional.of(new Loss(sheet, 0, "destroyed"))
                : Optional.empty();
    }

    /** The pulls that a sheet went through, in the order of the runs; none for a sheet of another edition. */
    public List<Passage> passages(ThingId sheet) {
        return sheets.entrySet().stream()
                .filter(each -> each.getKey().sheet().equals(sheet))
                .map(Map.Entry::getValue)
                .findFirst()
                .orElse(List.of());
    }

    private static final Map<String, ImpressionKind> PREFIXES = Map.of(
            "", ImpressionKind.NUMBERED,
            "AP", ImpressionKind.ARTISTS_PROOF,
            "EA", ImpressionKind.ARTISTS_PROOF,
            "PP", ImpressionKind.PRINTERS_PROOF,
            "TP", ImpressionKind.TRIAL_PROOF,
            "CTP", ImpressionKind.COLOUR_TRIAL_PROOF,
            "HC", ImpressionKind.HORS_COMMERCE);
    private static final int MOST = 2_000;
    private static final Pattern NUMBERS = Pattern.compile(
            "(?:(AP|EA|PP|TP|CTP|HC)\\s*)?([1-9]\\d{0,5})(?:/\\d+)?"
                    + "(?:\\s*(?:…|\\.\\.\\.?|–|\\bto\\b)\\s*(?:[A-Z]+\\s*)?([1-9]\\d{0,5})(?:/\\d+)?)?",
            Pattern.CASE_INSENSITIVE);

    /**
     * The sheets that somebody names: by number as "7", "1…10" or "AP 1…4", as it is written under the print, or by the
     * codes of the sheets, with commas between.
     *
     * @throws BadInput naming the first part that is no impression and no sheet of this edition
     */
    public List<ThingId> which(String field, String typed) {
        Set<ThingId> found = new LinkedHashSet<>();
        for (String part : typed.split("[,;\\n]")) {
            if (!part.isBlank()) {
                found.addAll(named(field, part.strip()));
            }
        }
        if (found.isEmpty()) {
            throw new BadInput(field, typed, "name one at least: 7, 1…10, AP 1…4, or codes of sheets");
        }
        return List.copyOf(found);
    }

    private List<ThingId> named(String field, String part) {
        List<ThingId> written = register.impressions().values().stream()
                .filter(impression -> impression.written().equalsIgnoreCase(part))
                .map(Register.Impression::sheet)
                .toList();
        if (written.size() == 1) {
            return written;
        }
        Matcher numbers = NUMBERS.matcher(part);
        if (numbers.matches()) {
            String prefix = numbers.group(1) == null ? "" : numbers.group(1).toUpperCase(Locale.ROOT);
            ImpressionKind kind = requireNonNull(PREFIXES.get(prefix));
            isEither(field, part);
            int first = Integer.parseInt(numbers.group(2));
            int last = numbers.group(3) == null ? first : Integer.parseInt(numbers.group(3));
            if (register.impressions().values().stream().anyMatch(each -> each.kind() == kind)) {
                if (last < first || last - first > MOST) {
                    throw new BadInput(field, part, "a range runs from the lower number to the higher");
                }
                return IntStream.rangeClosed(first, last)
                        .mapToObj(number -> numbered(field, prefix, kind, number))
                        .toList();
            }
        }
        return SheetCodes.read(field, part).stream()
                .map(
                        code -> sheets.keySet().stream()
                                .filter(sheet -> sheet.code().equalsIgnoreCase(code))
                                .findFirst()
                                .map(Sheet::sheet)
                                .orElseThrow(
                                        () -> new BadInput(
                                                field,
                                                code,
                                                "this edition has no such impression or sheet; write numbers as 1…10 or AP 1…4, or codes of sheets")))
                .toList();
    }

    /** A number that is also the code of a sheet names nothing for certain. */
    private void isEither(String field, String part) {
        if (sheets.keySet().stream().anyMatch(sheet -> sheet.code().equalsIgnoreCase(part))) {
            throw new BadInput(
                    field,
                    part,
                    "this is a number and the code of a sheet; write the number as it stands on the print, 7/40");
        }
    }

    /** How an impression is named so that {@link #which} finds it again. */
    public String called(Register.Impression impression) {
        boolean figures = impression.number() != null
                && !impression.style().toLowerCase(Locale.ROOT).contains("roman");
        String prefix = PREFIXES.entrySet().stream()
                .filter(each ->
                        each.getValue() == impression.kind() && !each.getKey().equals("EA"))
                .map(Map.Entry::getKey)
                .findFirst()
                .orElse("?");
        String number = (prefix + " " + impression.number()).strip();
        boolean either = sheets.keySet().stream().anyMatch(sheet -> sheet.code().equalsIgnoreCase(number));
        if (!figures || prefix.equals("?")) {
            return code(impression.sheet());
        }
        return either ? impression.written() : number;
    }

    private ThingId numbered(String field, String prefix, ImpressionKind kind, int number) {
        List<ThingId> found = register.impressions().values().stream()
                .filter(each -> each.kind() == kind && Integer.valueOf(number).equals(each.number()))
                .map(Register.Impression::sheet)
                .toList();
        if (found.size() != 1) {
            throw new BadInput(
                    field,
                    (prefix + " " + number).strip(),
                    found.isEmpty()
                            ? "no impression of this edition has this number"
                            : "this number was issued twice; write the code of the sheet");
        }
        return found.get(0);
    }

    /** The code written on a sheet, or its id when it was torn for something else. */
    public String code(ThingId sheet) {
        return sheets.keySet().stream()
                .filter(each -> each.sheet().equals(sheet))
                .map(Sheet::code)
                .findFirst()
                .orElse(sheet.text());
    }
}
