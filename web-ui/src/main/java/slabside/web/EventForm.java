package slabside.web;

import java.lang.reflect.Constructor;
import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.ParameterizedType;
import java.lang.reflect.RecordComponent;
import java.lang.reflect.Type;
import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import slabside.edition.SheetCodes;
import slabside.event.Catalogue;
import slabside.event.EditionEvent;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.InkEvent;
import slabside.event.PaperEvent;
import slabside.event.Portion;
import slabside.event.Price;
import slabside.event.Sheet;
import slabside.event.ShelfEvent;
import slabside.event.StoneEvent;
import slabside.event.StudioEvent;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.measure.Amount;
import slabside.measure.BadInput;
import slabside.measure.Typed;
import slabside.studio.Studio;
import slabside.views.Thing;

/**
 * A form drawn from the record of an event, so that any event can be written down, or put right, without a page of its
 * own. A field's unit stands at the end of its name; what was left untouched while putting an event right stays exactly
 * what it was.
 */
final class EventForm {
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
            Map.entry("Returned.from", "From whom"),
            Map.entry("Treated.from", "Transferred from"),
            Map.entry("over", "Over which layers"),
            Map.entry("against", "Against what"),
            Map.entry("of", "Of what"),
            Map.entry("Numbered.of", "Of how many"),
            Map.entry("Numbered.number", "Number (the first, when several sheets)"),
            Map.entry("Planned.number", "How many to be numbered"),
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

    /** Events that may be written for several sheets at once, one event for each. */
    private static final List<Class<?>> ONE_A_SHEET = List.of(EditionEvent.Curated.class, EditionEvent.Numbered.class);

    private static final Pattern SCREEN = Pattern.compile("#[0-9a-fA-F]{6}");
    private static final Map<String, Integer> UNITS = new LinkedHashMap<>();

    static {
        UNITS.put("MgPerM2", 3);
        UNITS.put("Um", 3);
        UNITS.put("Mg", 3);
        UNITS.put("Ul", 0);
        UNITS.put("Ms", 0);
    }

    private static final long MINUTE_MS = 60_000;

    private final Studio studio;
    private final ThingChoice things;

    EventForm(Studio studio) {
        this.studio = studio;
        this.things = new ThingChoice(studio);
    }

    /**
     * One field of a form.
     *
     * @param control "text", "select", "several" (boxes to tick) or "lines"
     * @param marked ticked or chosen words
     * @param choices words to choose from, or texts offered while typing
     */
    public record Field(
            String name,
            String label,
            String control,
            boolean needed,
            String value,
            List<String> marked,
            List<Desk.Choice> choices,
            String hint) {}

    /** The fields of a new event; things may be named in advance by their id. */
    List<Field> fields(Class<? extends StudioEvent> type, Map<String, List<String>> given) {
        List<Field> fields = new ArrayList<>();
        for (RecordComponent component : type.getRecordComponents()) {
            if (!introduced(component)) {
                fields.add(field(component, proposed(component, Desk.first(given, component.getName()))));
            }
        }
        return fields;
    }

    private String proposed(RecordComponent component, String given) {
        if (given.isEmpty()) {
            return component.getName().equals("label") ? studio.ids().label() : "";
        }
        boolean thing = component.getType() == ThingId.class || isListOf(component, ThingId.class);
        return thing && studio.views().thing(new ThingId(given)).isPresent() ? things.shown(new ThingId(given)) : given;
    }

    /** The fields of an event as it reads now. */
    List<Field> fields(StudioEvent event) {
        List<Field> fields = new ArrayList<>();
        for (RecordComponent component : event.getClass().getRecordComponents()) {
            if (!introduced(component)) {
                fields.add(field(component, shown(component, value(component, event))));
            }
        }
        return fields;
    }

    private Field field(RecordComponent component, String value) {
        boolean needed = isNeeded(component);
        Class<?> type = component.getType();
        String control = "text";
        List<Desk.Choice> choices = List.of();
        List<String> marked = List.of();
        if (type.isEnum()) {
            control = "select";
            choices = words(type);
            marked = List.of(value);
        } else if (type == boolean.class || type == Boolean.class) {
            control = "select";
            choices = List.of(new Desk.Choice("yes", "yes"), new Desk.Choice("no", "no"));
            marked = List.of(value);
        } else if (type == List.class && element(component) instanceof Class<?> each && each.isEnum()) {
            control = "several";
            choices = words(each);
            marked = List.of(value.split(",\\s*"));
        } else if (type == List.class && element(component) == Portion.class || isDeep(component)) {
            control = "lines";
        } else if (type == ThingId.class) {
            choices = things.offered(kinds(component)).stream()
                    .map(text -> new Desk.Choice(text, text))
                    .toList();
        }
        boolean mayStayEmpty = !needed || type == Amount.class || control.equals("several");
        return new Field(
                component.getName(), label(component), control, !mayStayEmpty, value, marked, choices, hint(component));
    }

    private static List<Desk.Choice> words(Class<?> type) {
        return Arrays.stream(type.getEnumConstants())
                .map(constant -> EventCodec.word((Enum<?>) constant))
                .map(word -> new Desk.Choice(word, word.replace('-', ' ')))
                .toList();
    }

    /**
     * The events that a form says: one, or one for each sheet where several are named.
     *
     * @throws BadInput naming the field that cannot be taken
     */
    List<StudioEvent> read(Class<? extends StudioEvent> type, Form form, Tap tap) {
        if (!ONE_A_SHEET.contains(type)) {
            return List.of(read(type, null, form, tap));
        }
        List<String> codes = SheetCodes.read("sheet", form.need("sheet", "write the code of a sheet"));
        if (codes.size() > 200) {
            throw new BadInput("sheet", form.text("sheet"), "at most 200 sheets at once");
        }
        List<StudioEvent> events = new ArrayList<>();
        for (int i = 0; i < codes.size(); i++) {
            Map<String, List<String>> one = new LinkedHashMap<>(form.values());
            one.put("sheet", List.of(codes.get(i)));
            Integer first = form.whole("number", 1, 100_000);
            if (first != null) {
                one.put("number", List.of(String.valueOf(first + i)));
            }
            events.add(read(type, null, new Form(one), tap));
        }
        return events;
    }

    /** The event that a form says, given how it read before; untouched fields keep their value. */
    StudioEvent read(Class<? extends StudioEvent> type, @Nullable StudioEvent before, Form form, Tap tap) {
        RecordComponent[] components = type.getRecordComponents();
        Object[] values = new Object[components.length];
        Class<?>[] types = new Class<?>[components.length];
        Map<String, Object> done = new LinkedHashMap<>();
        for (int i = 0; i < components.length; i++) {
            types[i] = components[i].getType();
            values[i] = read(components[i], before, form, tap, done);
            if (values[i] != null) {
                done.put(components[i].getName(), values[i]);
            }
        }
        try {
            Constructor<? extends StudioEvent> made = type.getDeclaredConstructor(types);
            return made.newInstance(values);
        } catch (InvocationTargetException refused) {
            if (refused.getCause() instanceof BadInput bad) {
                throw bad;
            }
            throw new IllegalStateException("cannot make " + type, refused);
        } catch (ReflectiveOperationException unreachable) {
            throw new IllegalStateException("cannot make " + type, unreachable);
        }
    }

    private @Nullable Object read(
            RecordComponent component, @Nullable StudioEvent before, Form form, Tap tap, Map<String, Object> done) {
        String name = component.getName();
        Object was = before == null ? null : value(component, before);
        if (introduced(component)) {
            return was != null
                    ? was
                    : tap.thing(Objects.requireNonNull(INTRODUCES.get(component.getDeclaringRecord())));
        }
        String text = component.getType() == List.class ? String.join(", ", form.all(name)) : form.text(name);
        text = text.replace("\r\n", "\n");
        if (was != null && text.equals(shown(component, was))) {
            return was;
        }
        if (text.isEmpty() && component.getType() != Amount.class) {
            if (component.getType() == List.class && !isNeededList(component)) {
                return List.of();
            }
            if (isNeeded(component)) {
                throw new BadInput(label(component), "", "this must be filled in");
            }
            return null;
        }
        return read(component, text, was, tap, done);
    }

    private Object read(
            RecordComponent component, String text, @Nullable Object was, Tap tap, Map<String, Object> done) {
        Class<?> type = component.getType();
        String name = component.getName();
        String label = label(component);
        if (type == String.class) {
            if (name.equals("screen") && !SCREEN.matcher(text).matches()) {
                throw new BadInput(label, text, "write a colour as # and six digits, such as #2b6f8a");
            }
            return text;
        } else if (type == ThingId.class) {
            return things.meant(label, text, kinds(component), within(done), tap.thing("person"));
        } else if (type == EventId.class) {
            return new EventId(text);
        } else if (type.isEnum()) {
            return constant(label, type, text);
        } else if (type == boolean.class || type == Boolean.class) {
            return yesOrNo(label, text);
        } else if (type == BigDecimal.class) {
            return Typed.decimal(label, text);
        } else if (type == int.class || type == Integer.class) {
            return whole(label, Typed.decimal(label, text)).intValue();
        } else if (type == long.class || type == Long.class) {
            return measured(name, label, text);
        } else if (type == Amount.class) {
            String group = done.values().stream()
                    .filter(ThingId.class::isInstance)
                    .reduce((first, last) -> last)
                    .map(Object::toString)
                    .orElse("");
            return Typed.amount(label, text, group, Optional.empty());
        } else if (type == Price.class) {
            String[] parts = text.split("\\s+");
            if (parts.length != 2) {
                throw new BadInput(label, text, "write a price with its currency, such as 34.00 EUR");
            }
            return new Price(Typed.decimal(label, parts[0]), parts[1]);
        } else if (type == List.class && element(component) instanceof Class<?> each && !isDeep(component)) {
            return list(component, each, text, was, tap, done);
        }
        return EventCodec.value(label, component.getGenericType(), text);
    }

    private List<?> list(
            RecordComponent component,
            Class<?> each,
            String text,
            @Nullable Object was,
            Tap tap,
            Map<String, Object> done) {
        String label = label(component);
        List<Object> values = new ArrayList<>();
        if (each == Sheet.class) {
            Map<String, Sheet> known = new LinkedHashMap<>();
            if (was instanceof List<?> sheets) {
                sheets.forEach(sheet -> known.put(((Sheet) sheet).code(), (Sheet) sheet));
            }
            for (String code : SheetCodes.read(label, text)) {
                Sheet sheet = known.get(code);
                values.add(sheet != null ? sheet : new Sheet(tap.thing("sheet", values.size()), code));
            }
        } else if (each == ThingId.class && kinds(component).contains("sheet")) {
            for (String code : SheetCodes.read(label, text)) {
                values.add(things.meant(label, code, kinds(component), within(done), tap.thing("sheet")));
            }
        } else if (each == Portion.class) {
            text.lines()
                    .map(String::strip)
                    .filter(line -> !line.isEmpty())
                    .forEach(line -> values.add(portion(label, line, tap)));
        } else {
            for (String one : text.split("[,;]")) {
                String item = one.strip();
                if (!item.isEmpty()) {
                    values.add(
                            each == ThingId.class
                                    ? things.meant(
                                            label,
                                            item,
                                            kinds(component),
                                            within(done),
                                            tap.thing("person", values.size()))
                                    : each.isEnum()
                                            ? constant(label, each, item)
                                            : each == Long.class ? measured(component.getName(), label, item) : item);
                }
            }
        }
        return values;
    }

    private Portion portion(String label, String line, Tap tap) {
        int space = line.lastIndexOf(' ');
        if (space < 0) {
            throw new BadInput(label, line, "write a material and its share in %, such as transparent base 65");
        }
        String percent = line.substring(space + 1).replace("%", "");
        ThingId material = things.meant(
                label,
                line.substring(0, space).replaceFirst("[:,]?\\s*$", ""),
                List.of("material"),
                Optional.empty(),
                tap.thing("material"));
        return new Portion(material, Typed.decimal(label, percent));
    }

    /** The edition whose sheets are meant: the one named in the same form, or that of its run. */
    private Optional<ThingId> within(Map<String, Object> done) {
        if (done.get("edition") instanceof ThingId edition) {
            return Optional.of(edition);
        }
        return done.get("run") instanceof ThingId run
                ? studio.views()
                        .thing(run)
                        .filter(thing -> !thing.of().isEmpty())
                        .map(thing -> new ThingId(thing.of()))
                : Optional.empty();
    }

    @SuppressWarnings({"unchecked", "rawtypes"})
    private static Object constant(String label, Class<?> type, String word) {
        return EventCodec.constant(label, (Class) type, word);
    }

    private static boolean yesOrNo(String label, String text) {
        return switch (text) {
            case "yes" -> true;
            case "no" -> false;
            default -> throw new BadInput(label, text, "choose yes or no");
        };
    }

    /** A whole number of the stored unit, typed in the unit of its label. */
    private static long measured(String name, String label, String text) {
        BigDecimal typed = Typed.decimal(label, text);
        if (name.endsWith("Ms")) {
            return whole(label, typed.multiply(BigDecimal.valueOf(MINUTE_MS))).longValue();
        }
        int places = UNITS.entrySet().stream()
                .filter(unit -> name.endsWith(unit.getKey()))
                .map(Map.Entry::getValue)
                .findFirst()
                .orElse(0);
        return whole(label, typed.movePointRight(places)).longValue();
    }

    private static BigDecimal whole(String label, BigDecimal value) {
        if (value.stripTrailingZeros().scale() > 0) {
            throw new BadInput(label, value.toPlainString(), "that is finer than can be kept; round it");
        }
        if (value.abs().compareTo(BigDecimal.valueOf(1_000_000_000_000L)) > 0) {
            throw new BadInput(label, value.toPlainString(), "that is far too large; check the unit");
        }
        return value;
    }

    /** A value as its field shows it. */
    private String shown(RecordComponent component, @Nullable Object value) {
        if (value == null) {
            return "";
        }
        String name = component.getName();
        if (value instanceof ThingId id) {
            return things.shown(id);
        } else if (value instanceof Amount amount) {
            return amount.entered().isEmpty()
                    ? amount instanceof Amount.Unknown ? "?" : amount.shown()
                    : amount.entered();
        } else if (value instanceof Enum<?> word) {
            return EventCodec.word(word);
        } else if (value instanceof Boolean yes) {
            return yes ? "yes" : "no";
        } else if (value instanceof BigDecimal number) {
            return number.toPlainString();
        } else if (value instanceof Long number) {
            return measured(name, number);
        } else if (value instanceof String
                || value instanceof Integer
                || value instanceof EventId
                || value instanceof Price) {
            return value.toString();
        } else if (value instanceof List<?> many && !isDeep(component)) {
            return shownList(component, many);
        }
        return EventCodec.json(value);
    }

    private String shownList(RecordComponent component, List<?> many) {
        if (element(component) == Sheet.class) {
            return SheetCodes.shown(
                    many.stream().map(each -> ((Sheet) each).code()).toList());
        } else if (element(component) == ThingId.class && kinds(component).contains("sheet")) {
            return SheetCodes.shown(
                    many.stream().map(each -> studio.name((ThingId) each)).toList());
        } else if (element(component) == Portion.class) {
            return many.stream()
                    .map(each -> (Portion) each)
                    .map(each ->
                            studio.name(each.material()) + " " + each.percent().toPlainString())
                    .collect(Collectors.joining("\n"));
        }
        return many.stream()
                .map(each -> each instanceof ThingId id
                        ? things.shown(id)
                        : each instanceof Enum<?> word
                                ? EventCodec.word(word)
                                : each instanceof Long number ? measured(component.getName(), number) : each.toString())
                .collect(Collectors.joining(", "));
    }

    private static String measured(String name, long value) {
        if (name.endsWith("Ms")) {
            return BigDecimal.valueOf(value)
                    .divide(BigDecimal.valueOf(MINUTE_MS), 9, java.math.RoundingMode.HALF_UP)
                    .stripTrailingZeros()
                    .toPlainString();
        }
        int places = UNITS.entrySet().stream()
                .filter(unit -> name.endsWith(unit.getKey()))
                .map(Map.Entry::getValue)
                .findFirst()
                .orElse(0);
        return BigDecimal.valueOf(value, places).stripTrailingZeros().toPlainString();
    }

    /** Events that the log writes by itself, or that have a page of their own. */
    private static final List<String> ELSEWHERE = List.of(
            "log.amended",
            "log.voided",
            "log.warned",
            "log.epoch-begun",
            "log.attached",
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

    /** What to call a kind of event. */
    static String title(Catalogue.Entry entry) {
        return TITLES.getOrDefault(entry.type(), entry.type());
    }

    /** What can be written down about a thing, each with a link to its form in which the thing is named already. */
    static List<Desk.Piece> about(Thing thing) {
        List<Desk.Piece> links = new ArrayList<>();
        for (Catalogue.Entry entry : written()) {
            Arrays.stream(entry.event().getRecordComponents())
                    .filter(component -> !introduced(component))
                    .filter(component -> component.getType() == ThingId.class || isListOf(component, ThingId.class))
                    .filter(component -> kinds(component).contains(thing.kind()))
                    .findFirst()
                    .ifPresent(component -> links.add(new Desk.Piece(
                            title(entry), "/write/" + entry.type() + "?" + component.getName() + "=" + thing.id())));
        }
        return links;
    }

    private static List<String> kinds(RecordComponent component) {
        String name = component.getName();
        List<String> own = KINDS.get(component.getDeclaringRecord().getSimpleName() + "." + name);
        return own != null ? own : KINDS.getOrDefault(name, ANYTHING);
    }

    private static String label(RecordComponent component) {
        String name = component.getName();
        String own = LABELS.get(component.getDeclaringRecord().getSimpleName() + "." + name);
        String known = own != null ? own : LABELS.get(name);
        if (known != null) {
            return known;
        }
        String unit = "";
        for (String ending : UNITS.keySet()) {
            if (name.endsWith(ending)) {
                unit = switch (ending) {
                    case "Um" -> ", mm";
                    case "Mg" -> ", g";
                    case "Ul" -> ", µl";
                    case "Ms" -> ", minutes";
                    default -> ", g/m²";
                };
                name = name.substring(0, name.length() - ending.length());
                break;
            }
        }
        String words = name.replaceAll("([A-Z])", " $1").toLowerCase(java.util.Locale.ROOT);
        return Character.toUpperCase(words.charAt(0)) + words.substring(1) + unit;
    }

    private static String hint(RecordComponent component) {
        if (component.getType() == Amount.class) {
            return AMOUNT_HINT;
        }
        String own = HINTS.get(component.getDeclaringRecord().getSimpleName() + "." + component.getName());
        return own != null ? own : HINTS.getOrDefault(component.getName(), "");
    }

    private static boolean introduced(RecordComponent component) {
        Class<?> record = component.getDeclaringRecord();
        return INTRODUCES.containsKey(record)
                && record.getRecordComponents()[0].getName().equals(component.getName());
    }

    private static boolean isNeeded(RecordComponent component) {
        return !component.getAnnotatedType().isAnnotationPresent(Nullable.class)
                && (component.getType() != List.class || isNeededList(component));
    }

    /** Faults and what was found may be none; a list of sheets, people or portions of none says nothing. */
    private static boolean isNeededList(RecordComponent component) {
        Type each = element(component);
        return each == ThingId.class || each == Sheet.class || each == Portion.class || each == Long.class;
    }

    /** Written as JSON: what has no plain form yet. */
    private static boolean isDeep(RecordComponent component) {
        Class<?> type = component.getType();
        if (type == List.class) {
            Type each = element(component);
            return !(each == ThingId.class
                    || each == Sheet.class
                    || each == Portion.class
                    || each == Long.class
                    || each == String.class
                    || each instanceof Class<?> word && word.isEnum());
        }
        return type.isRecord() && type != ThingId.class && type != EventId.class && type != Price.class
                || type == Map.class;
    }

    private static boolean isListOf(RecordComponent component, Class<?> each) {
        return component.getType() == List.class && element(component) == each;
    }

    private static Type element(RecordComponent component) {
        return component.getGenericType() instanceof ParameterizedType many
                ? many.getActualTypeArguments()[many.getActualTypeArguments().length - 1]
                : Object.class;
    }

    private static @Nullable Object value(RecordComponent component, Object record) {
        return EventCodec.fields((Record) record).get(component.getName());
    }
}
