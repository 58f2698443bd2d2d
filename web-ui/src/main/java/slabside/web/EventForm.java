package slabside.web;

import java.lang.reflect.Constructor;
import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.RecordComponent;
import java.lang.reflect.Type;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import slabside.edition.SheetCodes;
import slabside.event.Catalogue;
import slabside.event.EditionEvent;
import slabside.event.EventCodec;
import slabside.event.Portion;
import slabside.event.Sheet;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.measure.Amount;
import slabside.measure.BadInput;
import slabside.studio.Studio;
import slabside.views.Sentence;
import slabside.views.Thing;

/**
 * A form drawn from the record of an event, so that any event can be written down, or put right, without a page of its
 * own. A field's unit stands at the end of its name; what was left untouched while putting an event right stays exactly
 * what it was.
 */
final class EventForm {
    /** Events that may be written for several sheets at once, one event for each. */
    private static final List<Class<?>> ONE_A_SHEET = List.of(EditionEvent.Curated.class, EditionEvent.Numbered.class);

    private final Studio studio;
    private final ThingChoice things;
    private final FieldText text;

    EventForm(Studio studio) {
        this.studio = studio;
        this.things = new ThingChoice(studio);
        this.text = new FieldText(studio, things);
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
            if (!FormWords.introduced(component)) {
                fields.add(field(component, proposed(component, Desk.first(given, component.getName()))));
            }
        }
        return fields;
    }

    private String proposed(RecordComponent component, String given) {
        if (given.isEmpty()) {
            return component.getName().equals("label") ? studio.ids().label() : "";
        }
        boolean thing = component.getType() == ThingId.class || FieldText.isListOf(component, ThingId.class);
        return thing && studio.views().thing(new ThingId(given)).isPresent() ? things.shown(new ThingId(given)) : given;
    }

    /** The fields of an event as it reads now. */
    List<Field> fields(StudioEvent event) {
        List<Field> fields = new ArrayList<>();
        for (RecordComponent component : event.getClass().getRecordComponents()) {
            if (!FormWords.introduced(component)) {
                fields.add(field(component, text.shown(component, value(component, event))));
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
        } else if (type == List.class && FieldText.element(component) instanceof Class<?> each && each.isEnum()) {
            control = "several";
            choices = words(each);
            marked = List.of(value.split(",\\s*"));
        } else if (type == List.class && FieldText.element(component) == Portion.class || FieldText.isDeep(component)) {
            control = "lines";
        } else if (type == ThingId.class) {
            choices = things.offered(FormWords.kinds(component)).stream()
                    .map(text -> new Desk.Choice(text, text))
                    .toList();
        }
        boolean mayStayEmpty = !needed || type == Amount.class || control.equals("several");
        return new Field(
                component.getName(),
                FormWords.label(component),
                control,
                !mayStayEmpty,
                value,
                marked,
                choices,
                FormWords.hint(component));
    }

    private static List<Desk.Choice> words(Class<?> type) {
        return Arrays.stream(type.getEnumConstants())
                .map(constant -> EventCodec.word((Enum<?>) constant))
                .map(word -> new Desk.Choice(word, Sentence.read(word)))
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
        if (FormWords.introduced(component)) {
            return was != null ? was : tap.thing(FormWords.introduces(component.getDeclaringRecord()));
        }
        String typed = component.getType() == List.class ? String.join(", ", form.all(name)) : form.text(name);
        typed = typed.replace("\r\n", "\n");
        if (was != null && typed.equals(text.shown(component, was))) {
            return was;
        }
        if (typed.isEmpty() && component.getType() != Amount.class) {
            if (component.getType() == List.class && !isNeededList(component)) {
                return List.of();
            }
            if (isNeeded(component)) {
                throw new BadInput(FormWords.label(component), "", "this must be filled in");
            }
            return null;
        }
        return text.read(component, typed, was, tap, done);
    }

    /** What can be written down about a thing, each with a link to its form in which the thing is named already. */
    static List<Desk.Piece> about(Thing thing) {
        List<Desk.Piece> links = new ArrayList<>();
        for (Catalogue.Entry entry : FormWords.written()) {
            Arrays.stream(entry.event().getRecordComponents())
                    .filter(component -> !FormWords.introduced(component))
                    .filter(component ->
                            component.getType() == ThingId.class || FieldText.isListOf(component, ThingId.class))
                    .filter(component -> FormWords.kinds(component).contains(thing.kind()))
                    .findFirst()
                    .ifPresent(component -> links.add(new Desk.Piece(
                            FormWords.title(entry),
                            "/write/" + entry.type() + "?" + component.getName() + "=" + thing.id())));
        }
        return links;
    }

    private static boolean isNeeded(RecordComponent component) {
        return !component.getAnnotatedType().isAnnotationPresent(Nullable.class)
                && (component.getType() != List.class || isNeededList(component));
    }

    /** Faults and what was found may be none; a list of sheets, people or portions of none says nothing. */
    private static boolean isNeededList(RecordComponent component) {
        Type each = FieldText.element(component);
        return each == ThingId.class || each == Sheet.class || each == Portion.class || each == Long.class;
    }

    private static @Nullable Object value(RecordComponent component, Object record) {
        return EventCodec.fields((Record) record).get(component.getName());
    }
}
