package slabside.plugin;

import java.math.BigDecimal;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;

/**
 * A value of JSON, as the body of an entry holds it; immutable. Asking for what is not there gives {@link Nothing}, an empty
 * text, no number, or no items; it never fails.
 */
public sealed interface Json {
    /** A text; exact decimals are kept as text too. */
    record Text(String value) implements Json {}

    /** A number, with every digit; 1.15E+5 is 115000. */
    record Number(BigDecimal value) implements Json {
        /** Beyond so many zeros a number stays in its short form. */
        private static final int LONGEST = 30;

        public Number {
            value = value.scale() < 0 && value.scale() > -LONGEST ? value.setScale(0) : value;
        }
    }

    /** True or false. */
    record Truth(boolean value) implements Json {}

    /** Values in their order. */
    record Items(List<Json> values) implements Json {
        public Items {
            values = List.copyOf(values);
        }
    }

    /** Fields in the order in which they were written. */
    record Fields(Map<String, Json> values) implements Json {
        public Fields {
            values = Collections.unmodifiableMap(new LinkedHashMap<>(values));
        }

        /** These fields and one more, or with another value. */
        public Fields with(String field, Json value) {
            Map<String, Json> more = new LinkedHashMap<>(values);
            more.put(field, value);
            return new Fields(more);
        }

        public Fields with(String field, String value) {
            return with(field, new Text(value));
        }

        public Fields with(String field, BigDecimal value) {
            return with(field, new Number(value));
        }

        /** These fields without one of them. */
        public Fields without(String field) {
            Map<String, Json> fewer = new LinkedHashMap<>(values);
            fewer.remove(field);
            return new Fields(fewer);
        }
    }

    /** Null, or what is not there. */
    record Nothing() implements Json {}

    /** No fields yet. */
    static Fields fields() {
        return new Fields(Map.of());
    }

    /** The value of a field. */
    default Json at(String field) {
        return this instanceof Fields fields ? fields.values().getOrDefault(field, new Nothing()) : new Nothing();
    }

    /** A text, number or truth as text; else an empty text. */
    default String text() {
        if (this instanceof Text text) {
            return text.value();
        }
        if (this instanceof Number number) {
            return number.value().toPlainString();
        }
        return this instanceof Truth truth ? String.valueOf(truth.value()) : "";
    }

    /** A number, or a text that is one: exact decimals are kept in entries as text. */
    default OptionalDouble number() {
        if (this instanceof Number number) {
            return OptionalDouble.of(number.value().doubleValue());
        }
        if (this instanceof Text text && text.value().matches("-?\\d{1,30}(\\.\\d{1,30})?")) {
            return OptionalDouble.of(new BigDecimal(text.value()).doubleValue());
        }
        return OptionalDouble.empty();
    }

    default List<Json> items() {
        return this instanceof Items items ? items.values() : List.of();
    }
}
