package slabside.web;

import java.lang.reflect.RecordComponent;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import slabside.event.Catalogue;
import slabside.event.EditionEvent;
import slabside.event.InkEvent;
import slabside.event.PaperEvent;
import slabside.event.ShelfEvent;
import slabside.event.StoneEvent;
import slabside.event.TestEvent;
import slabside.measure.Amount;
import slabside.plugin.Answer;

/**
 * The words of the forms that are drawn from records: what a kind of event is called, what a field is called and in which
 * unit it is typed, which kinds of things it names. A field is looked up as "Record.field", then by its own name; what
 * stands in no table is called by its name.
 */
final class FormWords {
    private static final Map<Class<?>, String> INTRODUCES = Map.of(
            ShelfEvent.MaterialListed.class, "material",
            ShelfEvent.CanReceived.class, "can",
            ShelfEvent.ToolListed.class, "tool",
            InkEvent.MixStarted.class, "mix",
            InkEvent.RecipePlanned.class, "recipe",
            StoneEvent.Listed.class, "stone",
            PaperEvent.Received.class, "paper",
            EditionEvent.Planned.class, "edition",
            EditionEvent.RunPlanned.class, "run",
            TestEvent.DrawdownMade.class, "drawdown");

    private static final List<String> INK = List.of("mix", "packet", "can", "load");
    /** Kinds of things that a field can name, by "Record.field" or by field. */
    private static final Map<String, List<String>> KINDS = Map.ofEntries(
            Map.entry("can", List.of("can")),
            Map.entry("material", List.of("material")),
            Map.entry("run", List.of("run")),
            Map.entry("edition", List.of("edition")),
            Map.entry("sheet", List.of("sheet")),
            Map.entry("sheets", List.of("sheet")),
            Map.entry("earlier", List.of("edition")),
            Map.entry("stone", List.of("stone", "plate")),
            Map.entry("recipe", List.of("recipe")),
            Map.entry("tool", List.of("tool")),
            Map.entry("scale", List.of("tool")),
            Map.entry("roller", List.of("tool")),
            Map.entry("lot", List.of("paper")),
            Map.entry("StrengthJudged.lot", List.of("can")),
            Map.entry("paper", List.of("paper")),
            Map.entry("vessel", INK),
            Map.entry("packet", List.of("packet", "mix")),
            Map.entry("mix", List.of("mix")),
            Map.entry("against", INK),
            Map.entry("StrengthJudged.against", List.of("can")),
            Map.entry("by", List.of(ThingChoice.PERSON)),
            Map.entry("witness", List.of(ThingChoice.PERSON)),
            Map.entry("people", List.of(ThingChoice.PERSON)),
            Map.entry("Released.to", List.of(ThingChoice.PERSON)),
            Map.entry("Returned.from", List.of(ThingChoice.PERSON)),
            Map.entry("Treated.from", List.of("stone", "plate")),
            Map.entry("RecipePlanned.from", List.of("mix", "packet")),
            Map.entry("Moved.from", List.of("mix", "packet", "can", "load", ThingChoice.OUTSIDE)),
            Map.entry("Moved.to", List.of("mix", "packet", "can", "load", ThingChoice.OUTSIDE)),
            Map.entry("ColourRead.of", List.of("mix", "packet", "can", "drawdown", "run")),
            Map.entry("ColourRead.over", List.of("run", "mix", "packet", "can")),
            Map.entry("DrynessJudged.of", List.of("run", "drawdown", "mix")));

    private static final List<String> ANYTHING = List.of("");

    private static final Map<String, String> LABELS = Map.ofEntries(
            Map.entry("CanReceived.net", "Ink in it"),
            Map.entry("tareMg", "Empty weight (tare), g"),
            Map.entry("pigment", "Pigment (Colour Index name)"),
            Map.entry("lightfastness", "Lightfastness, as the maker states it"),
            Map.entry("screen", "Colour on a screen"),
            Map.entry("dataSheet", "Data sheet kept where"),
            Map.entry("label", "Short id to write on it"),
            Map.entry("price", "Price of all of it"),
            Map.entry("celsius", "°C"),
            Map.entry("humidity", "%RH"),
            Map.entry("gramsPerM2", "Weight, g/m²"),
            Map.entry("Received.lot", "Paper"),
            Map.entry("Torn.lot", "Paper"),
            Map.entry("Conditioned.lot", "Paper"),
            Map.entry("LaidOn.lot", "Thin paper"),
            Map.entry("Torn.sheets", "Codes of the sheets"),
            Map.entry("StrengthJudged.lot", "Can"),
            Map.entry("percent", "Strength, %"),
            Map.entry("by", "By whom"),
            Map.entry("Released.to", "To whom"),
            Map.entry("Moved.why", "What happened to it"),
            Map.entry("Returned.from", "From whom"),
            Map.entry("Treated.from", "Transferred from"),
            Map.entry("over", "Over which layers"),
            Map.entry("against", "Against what"),
            Map.entry("of", "Of what"),
            Map.entry("Numbered.of", "Of how many"),
            Map.entry("Numbered.number", "Number (the first, when several sheets)"),
            Map.entry("Planned.number", "How many to be numbered"),
            Map.entry("proofs", "Proofs wanted beside them"),
            Map.entry("overs", "Overs, for what will be lost"),
            Map.entry("earlier", "Earlier edition of the same image"),
            Map.entry("hands", "How many people"),
            Map.entry("durationMs", "For how long, minutes"),
            Map.entry("order", "Which run in order (1, 2, 3 …)"),
            Map.entry("hoursDry", "Hours dry"),
            Map.entry("keep", "The record to keep"),
            Map.entry("other", "The other record of the same thing"),
            Map.entry("said", "Number written on paper"),
            Map.entry("chop", "Chop"),
            Map.entry("words", "In words"));

    private static final Map<String, String> HINTS = Map.ofEntries(
            Map.entry("sheets", "TD-01…TD-40, TD-42"),
            Map.entry("Curated.sheet", "one code, or several: TD-01…TD-40"),
            Map.entry("Numbered.sheet", "one code, or several: TD-01…TD-40"),
            Map.entry("price", "34.00 EUR"),
            Map.entry("screen", "#2b6f8a"),
            Map.entry("portions", "one a line: transparent base 65"),
            Map.entry("lengthsUm", "12, 14, 13"),
            Map.entry("people", "names, with commas between"),
            Map.entry("faults", "scum, hickey"),
            Map.entry("readings", "[{\"afterMs\":60000,\"diameterUm\":38500}]"));
    private static final String AMOUNT_HINT = "12.5 g · 3–4 g · 35.2 → 93.7 · rest · ?";

    /** Events that the log writes by itself, or that have a page of their own. */
    private static final List<String> ELSEWHERE = List.of(
            "log.amended",
            "log.voided",
            "log.warned",
            "log.epoch-begun",
            "log.attached",
            "log.forgotten",
            "log.answer-kept",
            "ink.mix-started",
            "ink.wrapped",
            "press.run-started");

    /** Every event that a form of this kind is for. */
    static List<Catalogue.Entry> written() {
        List<Catalogue.Entry> written = new ArrayList<>();
        Catalogue.all().forEach(entry -> {
            if (!ELSEWHERE.contains(entry.type())) {
                written.add(entry);
            }
        });
        return written;
    }

    private static final Map<String, String> TITLES = Map.ofEntries(
            Map.entry("shelf.material-listed", "A new material"),
            Map.entry("shelf.can-received", "A can came in"),
            Map.entry("shelf.can-opened", "A can was opened"),
            Map.entry("shelf.vessel-weighed", "A can, cup or packet was weighed"),
            Map.entry("shelf.vessel-inspected", "A can or packet was looked into"),
            Map.entry("shelf.can-finished", "A can is used up"),
            Map.entry("shelf.tool-listed", "A new roller, scale or tool"),
            Map.entry("shelf.tool-cleaned", "A tool was cleaned"),
            Map.entry("shelf.scale-checked", "A scale was checked"),
            Map.entry("ink.moved", "Ink went from one place to another"),
            Map.entry("ink.worked", "An ink was worked"),
            Map.entry("ink.unwrapped", "A packet was unwrapped"),
            Map.entry("ink.named", "A name for something"),
            Map.entry("ink.recipe-planned", "A recipe"),
            Map.entry("test.compared", "Compared with a known ink"),
            Map.entry("test.spread-measured", "Spread"),
            Map.entry("test.ridge-observed", "Ridge"),
            Map.entry("test.string-measured", "String"),
            Map.entry("test.tack-judged", "Tack"),
            Map.entry("test.drawdown-made", "Drawdown or dab"),
            Map.entry("test.colour-read", "Reading of an instrument"),
            Map.entry("test.colour-agreed", "Colour agreed"),
            Map.entry("test.dryness-judged", "How dry it is"),
            Map.entry("test.strength-judged", "Strength of one can against another"),
            Map.entry("stone.listed", "A new stone or plate"),
            Map.entry("stone.treated", "Work on a stone or plate"),
            Map.entry("stone.inspected", "A stone or plate was looked over"),
            Map.entry("stone.disposed", "End of an image on stone or plate"),
            Map.entry("paper.received", "Paper came in"),
            Map.entry("paper.torn", "Paper was torn"),
            Map.entry("paper.conditioned", "Paper was damped, dried or hung"),
            Map.entry("paper.laid-on", "Thin paper was laid on"),
            Map.entry("paper.spoiled", "Sheets spoiled off the press"),
            Map.entry("edition.planned", "A new edition"),
            Map.entry("edition.run-planned", "A run of an edition"),
            Map.entry("edition.ok-signed", "OK proof signed"),
            Map.entry("edition.curated", "Sheets curated"),
            Map.entry("edition.numbered", "Sheets numbered"),
            Map.entry("edition.signed", "Prints signed"),
            Map.entry("edition.chopped", "Prints chopped"),
            Map.entry("edition.finished", "Prints finished by hand"),
            Map.entry("edition.released", "Prints released"),
            Map.entry("edition.returned", "Prints came back"),
            Map.entry("edition.destroyed", "Prints destroyed"),
            Map.entry("edition.stated", "A fact for an edition's papers"),
            Map.entry("edition.time-stated", "How long a stage took"),
            Map.entry("edition.closed", "An edition was closed"),
            Map.entry("press.pulled", "A pull"),
            Map.entry("press.noted", "A note at the press"),
            Map.entry("press.matched", "Match with the OK proof"),
            Map.entry("press.measured", "Something measured on a print"),
            Map.entry("press.lay-set", "Lay set"),
            Map.entry("press.hands-changed", "Hands changed"),
            Map.entry("press.paused", "A pause"),
            Map.entry("press.resumed", "Printing went on"),
            Map.entry("press.racked", "Sheets racked"),
            Map.entry("press.stacked", "Sheets stacked"),
            Map.entry("press.unstacked", "Sheets unstacked"),
            Map.entry("press.cleaned-up", "Cleaned up"),
            Map.entry("log.annotated", "A remark"),
            Map.entry("log.same-thing", "Two records of one thing"),
            Map.entry("log.device-named", "Name of a device"));

    /** A time on a clock that runs down: 60 s, 15:00 min. */
    static String clock(int seconds) {
        return seconds < 120
                ? seconds + " s"
                : String.format(java.util.Locale.ROOT, "%d:%02d min", seconds / 60, seconds % 60);
    }

    /** What a proposed entry is: its plugin's sentence or, of the log's own kinds, what its form is called. */
    static String proposed(Answer.Proposal entry) {
        return entry.words().isEmpty() ? TITLES.getOrDefault(entry.type(), entry.type()) : entry.words();
    }

    /** What to call a kind of event. */
    static String title(Catalogue.Entry entry) {
        return TITLES.getOrDefault(entry.type(), entry.type());
    }

    /** Units at the ends of names: how many decimal places are kept, and what to call them. */
    private enum Unit {
        MG_PER_M2("MgPerM2", 3, "g/m²"),
        UM("Um", 3, "mm"),
        MG("Mg", 3, "g"),
        UL("Ul", 0, "µl"),
        MS("Ms", 0, "minutes");

        private final String ending;
        private final int places;
        private final String shown;

        Unit(String ending, int places, String shown) {
            this.ending = ending;
            this.places = places;
            this.shown = shown;
        }

        static Optional<Unit> of(String name) {
            for (Unit unit : values()) {
                if (name.endsWith(unit.ending)) {
                    return Optional.of(unit);
                }
            }
            return Optional.empty();
        }
    }

    private FormWords() {}

    /** Whether a whole number is kept in ms and typed in minutes. */
    static boolean isTime(String name) {
        return Unit.of(name).filter(unit -> unit == Unit.MS).isPresent();
    }

    /** How many places the decimal point of a whole number moves when it is typed. */
    static int places(String name) {
        return Unit.of(name).map(unit -> unit.places).orElse(0);
    }

    private static <V> Optional<V> own(Map<String, V> table, RecordComponent component) {
        V own = table.get(component.getDeclaringRecord().getSimpleName() + "." + component.getName());
        return Optional.ofNullable(own != null ? own : table.get(component.getName()));
    }

    /** Kinds of things that a field can name; an empty kind for any. */
    static List<String> kinds(RecordComponent component) {
        return own(KINDS, component).orElse(ANYTHING);
    }

    static String label(RecordComponent component) {
        return own(LABELS, component).orElseGet(() -> {
            String name = component.getName();
            Optional<Unit> unit = Unit.of(name);
            String bare = unit.map(u -> name.substring(0, name.length() - u.ending.length()))
                    .orElse(name);
            String words = bare.replaceAll("([A-Z])", " $1").toLowerCase(Locale.ROOT);
            return Character.toUpperCase(words.charAt(0))
                    + words.substring(1)
                    + unit.map(u -> ", " + u.shown).orElse("");
        });
    }

    static String hint(RecordComponent component) {
        return component.getType() == Amount.class
                ? AMOUNT_HINT
                : own(HINTS, component).orElse("");
    }

    /** Whether a field names what its event is the first to tell of; its id is made, not typed. */
    static boolean introduced(RecordComponent component) {
        Class<?> record = component.getDeclaringRecord();
        return INTRODUCES.containsKey(record)
                && record.getRecordComponents()[0].getName().equals(component.getName());
    }

    /** The kind of what an event is the first to tell of. */
    static String introduces(Class<?> record) {
        return Objects.requireNonNull(INTRODUCES.get(record));
    }
}
