package slabside.web;

import java.lang.reflect.ParameterizedType;
import java.lang.reflect.RecordComponent;
import java.lang.reflect.Type;
import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import slabside.edition.SheetCodes;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.Portion;
import slabside.event.Price;
import slabside.event.Sheet;
import slabside.event.ThingId;
import slabside.measure.Amount;
import slabside.measure.BadInput;
import slabside.measure.Typed;
import slabside.studio.Studio;

/**
 * A value of an event as a text in a form, and back. A thing is written by its name and short id, a length in mm, an amount
 * as on the bench, sheets by their codes, a recipe one material a line; what has no plain form is JSON.
 */
final class FieldText {
    private static final Pattern SCREEN = Pattern.compile("#[0-9a-fA-F]{6}");
    private static final long MINUTE_MS = 60_000;

    private final Studio studio;
    private final ThingChoice things;

    FieldText(Studio studio, ThingChoice things) {
        this.studio = studio;
        this.things = things;
    }

    /**
     * What was typed into a field.
     *
     * @param was what stood there before, when an event is put right
     * @param done what the fields before it say
     * @throws BadInput naming the field, the value and the remedy
     */
    Object read(RecordComponent component, String text, @Nullable Object was, Tap tap, Map<String, Object> done) {
        Class<?> type = component.getType();
        String name = component.getName();
        String label = FormWords.label(component);
        if (type == String.class) {
            if (name.equals("screen") && !SCREEN.matcher(text).matches()) {
                throw new BadInput(label, text, "write a colour as # and six digits, such as #2b6f8a");
            }
            return text;
        } else if (type == ThingId.class) {
            return things.meant(label, text, FormWords.kinds(component), within(done), tap.thing("person"));
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
        String label = FormWords.label(component);
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
        } else if (each == ThingId.class && FormWords.kinds(component).contains("sheet")) {
            for (String code : SheetCodes.read(label, text)) {
                values.add(things.meant(label, code, FormWords.kinds(component), within(done), tap.thing("sheet")));
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
                                            FormWords.kinds(component),
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
        if (FormWords.isTime(name)) {
            return whole(label, typed.multiply(BigDecimal.valueOf(MINUTE_MS))).longValue();
        }
        return whole(label, typed.movePointRight(FormWords.places(name))).longValue();
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
    String shown(RecordComponent component, @Nullable Object value) {
        if (value == null) {
            return "";
        }
        String name = component.getName();
        if (value instanceof ThingId id) {
            return things.shown(id);
        } else if (value instanceof Amount.Unknown) {
            return "?";
        } else if (value instanceof Amount amount) {
            return amount.entered().isEmpty() ? amount.shown() : amount.entered();
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
        } else if (element(component) == ThingId.class
                && FormWords.kinds(component).contains("sheet")) {
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
        if (FormWords.isTime(name)) {
            return BigDecimal.valueOf(value)
                    .divide(BigDecimal.valueOf(MINUTE_MS), 9, java.math.RoundingMode.HALF_UP)
                    .stripTrailingZeros()
                    .toPlainString();
        }
        return BigDecimal.valueOf(value, FormWords.places(name))
                .stripTrailingZeros()
                .toPlainString();
    }

    /** Written as JSON: what has no plain form yet. */
    static boolean isDeep(RecordComponent component) {
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

    static boolean isListOf(RecordComponent component, Class<?> each) {
        return component.getType() == List.class && element(component) == each;
    }

    static Type element(RecordComponent component) {
        return component.getGenericType() instanceof ParameterizedType many
                ? many.getActualTypeArguments()[many.getActualTypeArguments().length - 1]
                : Object.class;
    }
}
