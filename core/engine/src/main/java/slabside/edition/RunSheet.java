package slabside.edition;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.Function;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
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
 * once; a gap, an overlap or a line that cannot be read refuses the whole sheet.
 */
public final class RunSheet {
    /** One tap can write so many events. */
    private static final int MOST = 250;

    private static final Pattern BETWEEN = Pattern.compile("[;\\n]|(?<!\\d),|,(?!\\d)");
    private static final Pattern PULLS = Pattern.compile(
            "(\\d{1,5})(?:\\s*(?:-|–|…|\\.\\.|to)\\s*(\\d{1,5}))?\\s+(good|query|spoiled|spoilt)(?:\\s*\\(([^)]*)\\))?");
    private static final Pattern FIRST = Pattern.compile("(\\d{1,3})\\s+(newsprint|proofs?)");
    private static final Pattern CHARGE =
            Pattern.compile("charged\\s+(.+?)(\\s+a\\s+side)?(?:\\s+of\\s+(.+?))?(?:\\s+(?:at|before)\\s+(\\d{1,5}))?");
    private static final Pattern WASH_UP = Pattern.compile("washed\\s+up\\s+(.+?)(\\s+a\\s+side)?");
    private static final Pattern NOTE = Pattern.compile("(.+?)\\s+(?:at|before)\\s+(\\d{1,5})");

    private record Pulls(PressGrade grade, List<String> faults) {}

    private record Charge(Amount amount, boolean aSide, String mix) {}

    private final Map<Integer, Pulls> pulls = new TreeMap<>();
    private final Map<Integer, List<Charge>> charges = new TreeMap<>();
    private final Map<Integer, List<String>> notes = new TreeMap<>();
    private final List<Charge> washedUp = new ArrayList<>();
    private int newsprint;
    private int proofs;

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
        if (sheet.pulls.isEmpty() && sheet.newsprint + sheet.proofs == 0) {
            throw new BadInput("sheet", text, "write the pulls, such as: 1–22 good, 23 spoiled (scum), 24–31 good");
        }
        return sheet;
    }

    private void line(String line) {
        String small = line.toLowerCase(Locale.ROOT);
        Matcher found = PULLS.matcher(small);
        if (found.matches()) {
            pulled(line, found);
            return;
        }
        found = FIRST.matcher(small);
        if (found.matches()) {
            int count = Integer.parseInt(found.group(1));
            if (found.group(2).equals("newsprint")) {
                newsprint += count;
            } else {
                proofs += count;
            }
            return;
        }
        found = CHARGE.matcher(line);
        if (found.matches()) {
            charges.computeIfAbsent(
                            found.group(4) == null ? 0 : Integer.parseInt(found.group(4)), n -> new ArrayList<>())
                    .add(new Charge(
                            amount(found.group(1)),
                            found.group(2) != null,
                            Optional.ofNullable(found.group(3)).orElse("")));
            return;
        }
        found = WASH_UP.matcher(line);
        if (found.matches()) {
            washedUp.add(new Charge(amount(found.group(1)), found.group(2) != null, ""));
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

    private static Amount amount(String text) {
        return Typed.amount("sheet", text, "", Optional.empty());
    }

    private void pulled(String line, Matcher found) {
        int from = Integer.parseInt(found.group(1));
        int to = found.group(2) == null ? from : Integer.parseInt(found.group(2));
        if (to < from || to - from > MOST) {
            throw new BadInput("sheet", line, "count upwards, at most " + MOST + " pulls at once");
        }
        PressGrade grade = switch (found.group(3)) {
            case "good" -> PressGrade.GOOD;
            case "query" -> PressGrade.QUERY;
            default -> PressGrade.SPOILED;
        };
        List<String> faults = found.group(4) == null
                ? List.of()
                : List.of(found.group(4).split(",")).stream()
                        .map(String::strip)
                        .filter(fault -> !fault.isEmpty())
                        .toList();
        for (int n = from; n <= to; n++) {
            if (pulls.put(n, new Pulls(grade, faults)) != null) {
                throw new BadInput("sheet", line, "pull " + n + " is told twice");
            }
        }
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
        for (int i = 0; i < newsprint; i++) {
            events.add(pull(run, null, PullMode.NEWSPRINT, new Pulls(PressGrade.GOOD, List.of()), null));
        }
        List<Sheet> proofSheets = press.nextProofs();
        for (int i = 0; i < proofs; i++) {
            ThingId sheet = i < proofSheets.size() ? proofSheets.get(i).sheet() : null;
            events.add(pull(run, sheet, PullMode.PROOF, new Pulls(PressGrade.GOOD, List.of()), null));
        }
        List<Sheet> next = press.next();
        int i = 0;
        for (Map.Entry<Integer, Pulls> pull : pulls.entrySet()) {
            charged(events, press, loads, pull.getKey(), mixes);
            for (String words : notes.getOrDefault(pull.getKey(), List.of())) {
                events.add(new PressEvent.Noted(run, null, null, null, null, null, null, words));
            }
            ThingId sheet = i < next.size() ? next.get(i).sheet() : null;
            events.add(pull(run, sheet, PullMode.EDITION, pull.getValue(), pull.getKey()));
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

    private static PressEvent.Pulled pull(
            ThingId run,
            @org.jspecify.annotations.Nullable ThingId sheet,
            PullMode mode,
            Pulls pull,
            @org.jspecify.annotations.Nullable Integer said) {
        return new PressEvent.Pulled(run, sheet, mode, null, null, pull.grade, pull.faults, said);
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
        if (loads.size() > 1 && !charge.aSide) {
            throw new BadInput(
                    "sheet",
                    what + " " + charge.amount.entered(),
                    "this run has " + loads.size() + " inks; write \"" + what + " 1.0 g a side\"");
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
        for (Map<Integer, ?> told : List.of(charges, notes)) {
            for (int number : told.keySet()) {
                if (number != 0 && !pulls.containsKey(number)) {
                    throw new BadInput("sheet", "at " + number, "this sheet has no pull " + number);
                }
            }
        }
    }
}
