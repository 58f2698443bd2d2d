package slabside.edition;

import java.util.ArrayList;
import java.util.Iterator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.Function;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.Sheet;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.measure.Amount;
import slabside.measure.BadInput;
import slabside.measure.Typed;

/**
 * A run as it was tallied on paper: "2 newsprint, 3 proofs; 1–22 good, 23 spoiled (scum), 24–31 good; charged 12 g at 23;
 * washed up 14.8 g". A charge or a note stands before the pull it names. Every pull from the next one on must be told
 * once; a gap, an overlap or a line that cannot be read refuses the whole sheet. {@link Tally} writes a run this way.
 */
public final class RunSheet {
    /** One tap can write so many events. */
    private static final int MOST = 250;

    private static final Pattern BETWEEN = Pattern.compile("[;\\n]|(?<!\\d),|,(?!\\d)");
    private static final Pattern PULLS = Pattern.compile(
            "(\\d{1,5})(?:\\s*(?:-|–|…|\\.\\.|to)\\s*(\\d{1,5}))?\\s+(good|query|spoiled|spoilt)(?:\\s+(\\d{1,3})\\s+pass(?:es)?)?(?:\\s*\\(([^)]*)\\))?",
            Pattern.CASE_INSENSITIVE);
    private static final Pattern AGAIN = Pattern.compile(
            "second\\s+hit\\s+of\\s+(\\d{1,5})(?:\\s+(good|query|spoiled|spoilt))?(?:\\s+(\\d{1,3})\\s+pass(?:es)?)?(?:\\s*\\(([^)]*)\\))?",
            Pattern.CASE_INSENSITIVE);
    private static final String AT = "(?:\\s+(?:at|before)\\s+(\\d{1,5}))?";
    private static final String SIDE = "(?:(\\s+a\\s+side)|\\s+on\\s+side\\s+(\\d))?";
    private static final Pattern FIRST =
            Pattern.compile("(\\d{1,3})\\s+(newsprint|proofs?)" + AT, Pattern.CASE_INSENSITIVE);
    private static final Pattern CHARGE =
            Pattern.compile("charged\\s+(.+?)" + SIDE + "(?:\\s+of\\s+(.+?))?" + AT, Pattern.CASE_INSENSITIVE);
    private static final Pattern WASH_UP = Pattern.compile("washed\\s+up\\s+(.+?)" + SIDE, Pattern.CASE_INSENSITIVE);
    private static final Pattern NOTE =
            Pattern.compile("(.+?)\\s+(?:at|before)\\s+(\\d{1,5})", Pattern.CASE_INSENSITIVE);

    private record Pulls(PressGrade grade, @Nullable Integer passes, List<String> faults) {}

    /**
     * @param side the one it concerns, from 1; 0 for the only one, or each
     */
    private record Charge(Amount amount, boolean aSide, int side, String mix) {}

    private final Map<Integer, Pulls> pulls = new TreeMap<>();
    private final Map<Integer, Pulls> again = new TreeMap<>();
    private final Map<Integer, List<PullMode>> firsts = new TreeMap<>();
    private final Map<Integer, List<Charge>> charges = new TreeMap<>();
    private final Map<Integer, List<String>> notes = new TreeMap<>();
    private final List<Charge> washedUp = new ArrayList<>();

    private RunSheet() {}

    /**
     * Reads a tally.
     *
     * @throws BadInput naming the part that cannot be read
     */
    public static RunSheet read(String text) {
        RunSheet sheet = new RunSheet();
        // Commas inside brackets part faults, not lines.
        Matcher brackets = Pattern.compile("\\([^)]*\\)").matcher(text);
        String parted = brackets.replaceAll(
                found -> Matcher.quoteReplacement(found.group().replace(',', '\u0001')));
        for (String part : BETWEEN.split(parted)) {
            String line = part.replace('\u0001', ',').strip();
            if (!line.isEmpty()) {
                sheet.line(line);
            }
        }
        if (sheet.pulls.isEmpty() && sheet.firsts.isEmpty()) {
            throw new BadInput("sheet", text, "write the pulls, such as: 1–22 good, 23 spoiled (scum), 24–31 good");
        }
        return sheet;
    }

    private void line(String line) {
        Matcher found = PULLS.matcher(line);
        if (found.matches()) {
            pulled(line, found);
            return;
        }
        found = AGAIN.matcher(line);
        if (found.matches()) {
            again(line, found);
            return;
        }
        found = FIRST.matcher(line);
        if (found.matches()) {
            List<PullMode> before = firsts.computeIfAbsent(at(found.group(3)), n -> new ArrayList<>());
            PullMode mode = found.group(2).equalsIgnoreCase("newsprint") ? PullMode.NEWSPRINT : PullMode.PROOF;
            for (int i = 0; i < Integer.parseInt(found.group(1)); i++) {
                before.add(mode);
            }
            return;
        }
        found = CHARGE.matcher(line);
        if (found.matches()) {
            charges.computeIfAbsent(at(found.group(5)), n -> new ArrayList<>())
                    .add(new Charge(
                            amount(found.group(1)),
                            found.group(2) != null,
                            at(found.group(3)),
                            Optional.ofNullable(found.group(4)).orElse("")));
            return;
        }
        found = WASH_UP.matcher(line);
        if (found.matches()) {
            washedUp.add(new Charge(amount(found.group(1)), found.group(2) != null, at(found.group(3)), ""));
            return;
        }
        found = NOTE.matcher(line);
        if (!found.matches()) {
            throw new BadInput(
                    "sheet",
                    line,
                    "this cannot be read; write as \"24–31 good\", \"23 spoiled (scum)\", \"2 newsprint\", \"charged 12 g at 23\","
                            + " \"fresh water at 20\" or \"washed up 14.8 g\"");
        }
        notes.computeIfAbsent(Integer.parseInt(found.group(2)), n -> new ArrayList<>())
                .add(found.group(1));
    }

    private static int at(@Nullable String number) {
        return number == null ? 0 : Integer.parseInt(number);
    }

    static Amount amount(String text) {
        return Typed.amount("sheet", text, "", Optional.empty());
    }

    private void pulled(String line, Matcher found) {
        int from = Integer.parseInt(found.group(1));
        int to = found.group(2) == null ? from : Integer.parseInt(found.group(2));
        if (to < from || to - from > MOST) {
            throw new BadInput("sheet", line, "count upwards, at most " + MOST + " pulls at once");
        }
        Pulls told = pulls(found, 3);
        for (int n = from; n <= to; n++) {
            if (pulls.put(n, told) != null) {
                throw new BadInput("sheet", line, "pull " + n + " is told twice");
            }
        }
    }

    private void again(String line, Matcher found) {
        int number = Integer.parseInt(found.group(1));
        if (again.put(number, pulls(found, 2)) != null) {
            throw new BadInput("sheet", line, "a second hit of pull " + number + " is told twice");
        }
    }

    /** Grade, passes and faults, in three groups one after the other. */
    private static Pulls pulls(Matcher found, int group) {
        String grade = found.group(group) == null ? "good" : found.group(group).toLowerCase(Locale.ROOT);
        String faults = found.group(group + 2);
        return new Pulls(
                grade.equals("good") ? PressGrade.GOOD : grade.equals("query") ? PressGrade.QUERY : PressGrade.SPOILED,
                found.group(group + 1) == null ? null : Integer.valueOf(found.group(group + 1)),
                faults == null
                        ? List.of()
                        : List.of(faults.split(",")).stream()
                                .map(String::strip)
                                .filter(fault -> !fault.isEmpty())
                                .toList());
    }

    /** Edition pulls of a grade. */
    public long graded(PressGrade grade) {
        return pulls.values().stream().filter(pull -> pull.grade == grade).count();
    }

    /**
     * The events that this sheet tells of, in their order. Edition pulls take the sheets that come next, as long as there
     * are any; every pull bears the number that was written on paper.
     *
     * @param press how the run stands now
     * @param mixes the mix of a name or short id
     * @throws BadInput when it does not follow what was written of this run before
     */
    public List<StudioEvent> events(AtPress press, Function<String, ThingId> mixes) {
        List<Load> loads = press.setUp()
                .orElseThrow(() -> new BadInput("run", "not set up", "set the run up first: its ink, roller and paper"))
                .loads();
        contiguous(press.run().printed() + 1);
        List<StudioEvent> events = new ArrayList<>();
        ThingId run = press.run().id();
        charged(events, press, loads, 0, mixes);
        Iterator<Sheet> proofSheets = press.nextProofs().iterator();
        before(events, run, 0, proofSheets);
        List<Sheet> next = press.next();
        int i = 0;
        for (Map.Entry<Integer, Pulls> pull : pulls.entrySet()) {
            charged(events, press, loads, pull.getKey(), mixes);
            for (String words : notes.getOrDefault(pull.getKey(), List.of())) {
                events.add(new PressEvent.Noted(run, null, null, null, null, null, null, words));
            }
            before(events, run, pull.getKey(), proofSheets);
            ThingId sheet = i < next.size() ? next.get(i).sheet() : null;
            events.add(pull(run, sheet, PullMode.EDITION, false, pull.getValue(), pull.getKey()));
            Pulls second = again.get(pull.getKey());
            if (second != null) {
                events.add(pull(run, sheet, PullMode.EDITION, true, second, null));
            }
            i++;
        }
        for (Charge wash : washedUp) {
            for (Load load : each(loads, wash, "washed up")) {
                events.add(new InkEvent.Moved(load.load(), ThingId.WASH_UP, wash.amount, Why.WASHED_UP, null));
            }
        }
        if (events.size() > MOST) {
            throw new BadInput(
                    "sheet", events.size() + " entries", "at most " + MOST + " at once; write it in two parts");
        }
        return events;
    }

    /** Newsprint and proofs before a pull, in the order in which they were told. */
    private void before(List<StudioEvent> events, ThingId run, int number, Iterator<Sheet> proofSheets) {
        for (PullMode mode : firsts.getOrDefault(number, List.of())) {
            ThingId sheet = mode == PullMode.PROOF && proofSheets.hasNext()
                    ? proofSheets.next().sheet()
                    : null;
            events.add(pull(run, sheet, mode, false, new Pulls(PressGrade.GOOD, null, List.of()), null));
        }
    }

    private static PressEvent.Pulled pull(
            ThingId run, @Nullable ThingId sheet, PullMode mode, boolean second, Pulls pull, @Nullable Integer said) {
        return new PressEvent.Pulled(
                run, sheet, mode, second ? true : null, pull.passes, pull.grade, pull.faults, said);
    }

    private void charged(
            List<StudioEvent> events, AtPress press, List<Load> loads, int number, Function<String, ThingId> mixes) {
        for (Charge charge : charges.getOrDefault(number, List.of())) {
            for (Load load : each(loads, charge, "charged")) {
                List<ThingId> fed = press.feeding().getOrDefault(load.load(), List.of());
                if (charge.mix.isEmpty() && fed.isEmpty()) {
                    throw new BadInput(
                            "sheet",
                            "charged " + charge.amount.entered(),
                            "say of which mix: charged 12 g of K7RM at 23");
                }
                ThingId mix = charge.mix.isEmpty() ? fed.get(0) : mixes.apply(charge.mix);
                events.add(new InkEvent.Moved(mix, load.load(), charge.amount, Why.CHARGED, null));
            }
        }
    }

    private static List<Load> each(List<Load> loads, Charge charge, String what) {
        if (charge.side > loads.size()) {
            throw new BadInput("sheet", "side " + charge.side, "this run has " + loads.size() + " inks");
        }
        if (charge.side > 0) {
            return List.of(loads.get(charge.side - 1));
        }
        if (loads.size() > 1 && !charge.aSide) {
            throw new BadInput(
                    "sheet",
                    what + " " + charge.amount.entered(),
                    "this run has " + loads.size() + " inks; write \"" + what + " 1.0 g a side\", or \"" + what
                            + " 1.0 g on side 1\"");
        }
        return loads;
    }

    private void contiguous(int first) {
        int expected = first;
        for (int number : pulls.keySet()) {
            if (number != expected) {
                throw new BadInput(
                        "sheet",
                        String.valueOf(number),
                        number < expected
                                ? "pull " + number + " is written down already; go on at " + first
                                : "nothing is told of pull " + expected + "; write what became of it");
            }
            expected++;
        }
        for (Map<Integer, ?> told : List.<Map<Integer, ?>>of(charges, notes, firsts, again)) {
            for (int number : told.keySet()) {
                if (number != 0 && !pulls.containsKey(number)) {
                    throw new BadInput("sheet", "at " + number, "this sheet has no pull " + number);
                }
            }
        }
    }
}
