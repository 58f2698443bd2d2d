package slabside.views;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Function;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import slabside.event.Catalogue;
import slabside.event.EventCodec;
import slabside.event.PluginEvent;
import slabside.event.Sheet;
import slabside.event.Spread;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.event.UnknownEvent;
import slabside.measure.Amount;
import slabside.measure.Lab;
import slabside.measure.Mass;

/** Tells an event in one line, after the sentence of its row in the {@link Catalogue}. */
public final class Sentence {
    private static final Pattern OPTIONAL = Pattern.compile("\\[([^\\]]*)\\]");
    private static final Pattern FIELD = Pattern.compile("\\{(\\w+)\\}");

    private Sentence() {}

    /**
     * @param names what to call a thing
     */
    public static String of(StudioEvent event, Function<ThingId, String> names) {
        if (event instanceof UnknownEvent unknown) {
            return unknown.type() + " (version " + unknown.version() + "), which this version cannot read";
        }
        if (event instanceof PluginEvent own) {
            return own.words();
        }
        Map<String, Object> fields = EventCodec.fields((Record) event);
        StringBuilder told = new StringBuilder();
        for (Part part : PARTS.computeIfAbsent(
                event.getClass(), type -> parts(Catalogue.of(event).sentence()))) {
            part.tell(told, fields, names);
        }
        return told.toString().strip();
    }

    /** A stretch of a sentence: words and fields in turn; left out when optional and a field in it is missing. */
    private record Part(boolean optional, List<String> words, List<String> fields) {
        void tell(StringBuilder told, Map<String, Object> values, Function<ThingId, String> names) {
            if (optional) {
                for (String field : fields) {
                    if (!present(values.get(field))) {
                        return;
                    }
                }
            }
            for (int i = 0; i < words.size(); i++) {
                told.append(words.get(i));
                if (i < fields.size()) {
                    told.append(shown(fields.get(i), values.getOrDefault(fields.get(i), "?"), names));
                }
            }
        }
    }

    private static final Map<Class<?>, List<Part>> PARTS = new ConcurrentHashMap<>();

    private static List<Part> parts(String sentence) {
        List<Part> parts = new ArrayList<>();
        Matcher optional = OPTIONAL.matcher(sentence);
        int end = 0;
        while (optional.find()) {
            parts.add(part(false, sentence.substring(end, optional.start())));
            parts.add(part(true, optional.group(1)));
            end = optional.end();
        }
        parts.add(part(false, sentence.substring(end)));
        return parts;
    }

    private static Part part(boolean optional, String text) {
        List<String> words = new ArrayList<>();
        List<String> fields = new ArrayList<>();
        Matcher field = FIELD.matcher(text);
        int end = 0;
        while (field.find()) {
            words.add(text.substring(end, field.start()));
            fields.add(field.group(1));
            end = field.end();
        }
        words.add(text.substring(end));
        return new Part(optional, words, fields);
    }

    private static boolean present(@Nullable Object value) {
        return value != null
                && !(value instanceof Collection<?> many && many.isEmpty())
                && !Boolean.FALSE.equals(value);
    }

    /** A stored word as it is read. */
    public static String read(String word) {
        return word.replace('-', ' ').replace("artists ", "artist's ").replace("printers ", "printer's ");
    }

    /** One value in words, its unit taken from the end of the field's name. */
    public static String shown(String field, Object value, Function<ThingId, String> names) {
        if (value instanceof ThingId thing) {
            return names.apply(thing);
        } else if (value instanceof Amount amount) {
            return amount.shown();
        } else if (value instanceof Enum<?> word) {
            return read(EventCodec.word(word));
        } else if (value instanceof Boolean yes) {
            return yes ? "yes" : "no";
        } else if (value instanceof Long number) {
            return number(field, number);
        } else if (value instanceof BigDecimal decimal) {
            return decimal.toPlainString();
        } else if (value instanceof Sheet sheet) {
            return sheet.code();
        } else if (value instanceof Spread spread) {
            return spread.afterMs() / 1000 + " s: " + number("Um", spread.diameterUm());
        } else if (value instanceof Lab lab) {
            return "L* " + lab.l() + ", a* " + lab.a() + ", b* " + lab.b();
        } else if (value instanceof Collection<?> many) {
            return listed(field, many, names);
        }
        return String.valueOf(value);
    }

    private static String listed(String field, Collection<?> many, Function<ThingId, String> names) {
        if (many.size() > 6) {
            Object[] all = many.toArray();
            return shown(field, all[0], names) + " … " + shown(field, all[all.length - 1], names) + " (" + all.length
                    + ")";
        }
        return many.stream().map(each -> shown(field, each, names)).collect(Collectors.joining(", "));
    }

    private static String number(String field, long value) {
        if (field.endsWith("Mg")) {
            return new Mass(value).toString();
        } else if (field.endsWith("Um")) {
            return BigDecimal.valueOf(value, 3)
                            .setScale(1, RoundingMode.HALF_UP)
                            .toPlainString() + " mm";
        } else if (field.endsWith("Ms")) {
            return String.format(Locale.ROOT, "%d min", Math.max(1, value / 60_000));
        }
        return Long.toString(value);
    }
}
