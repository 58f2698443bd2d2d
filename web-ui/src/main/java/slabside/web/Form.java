package slabside.web;

import java.math.BigDecimal;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import slabside.event.EventCodec;
import slabside.event.ThingId;
import slabside.measure.BadInput;
import slabside.measure.Mass;
import slabside.measure.Typed;

/** What was typed into a form. Each reply is read as what it should be, or refused with its field, value and remedy. */
record Form(Map<String, List<String>> values) {
    private static final int LONGEST = 4_000;

    /** The reply to a field, or an empty text. */
    String text(String field) {
        String text = Desk.first(values, field);
        if (text.length() > LONGEST) {
            throw new BadInput(field, text, "at most " + LONGEST + " characters fit here");
        }
        return text;
    }

    /** The reply to a field that may stay empty. */
    @Nullable
    String words(String field) {
        return text(field).isEmpty() ? null : text(field);
    }

    /** Every reply to a field that may have several. */
    List<String> all(String field) {
        return values.getOrDefault(field, List.of()).stream()
                .map(String::strip)
                .filter(text -> !text.isEmpty())
                .toList();
    }

    boolean has(String field) {
        return !text(field).isEmpty();
    }

    String need(String field, String remedy) {
        if (!has(field)) {
            throw new BadInput(field, "", remedy);
        }
        return text(field);
    }

    ThingId thing(String field, String remedy) {
        return new ThingId(need(field, remedy));
    }

    Optional<ThingId> thing(String field) {
        return has(field) ? Optional.of(new ThingId(text(field))) : Optional.empty();
    }

    <E extends Enum<E>> E constant(String field, Class<E> type) {
        return EventCodec.constant(field, type, text(field));
    }

    <E extends Enum<E>> @Nullable E constantOrNull(String field, Class<E> type) {
        return has(field) ? constant(field, type) : null;
    }

    @Nullable
    BigDecimal decimal(String field) {
        return has(field) ? Typed.decimal(field, text(field)) : null;
    }

    Mass grams(String field, String remedy) {
        return Mass.ofGrams(field, Typed.decimal(field, need(field, remedy).replaceFirst("(?i)\\s*g$", "")));
    }

    @Nullable
    Integer whole(String field, int least, int most) {
        BigDecimal given = decimal(field);
        if (given == null) {
            return null;
        }
        if (given.stripTrailingZeros().scale() > 0
                || given.compareTo(BigDecimal.valueOf(least)) < 0
                || given.compareTo(BigDecimal.valueOf(most)) > 0) {
            throw new BadInput(field, text(field), "give a whole number from " + least + " to " + most);
        }
        return given.intValueExact();
    }

    @Nullable
    Boolean yes(String field) {
        return has(field) ? Boolean.TRUE : null;
    }
}
