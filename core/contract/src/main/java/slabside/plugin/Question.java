package slabside.plugin;

import java.math.BigDecimal;
import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import slabside.measure.BadInput;
import slabside.measure.Mass;
import slabside.measure.Typed;

/**
 * One thing a calculator asks, with its unit, range and default.
 *
 * @param <T> type of the reply
 */
public final class Question<T> {
    private final String id;
    private final String label;
    private final String unit;
    private final List<String> picks;
    private final @Nullable String preset;
    private final @Nullable Origin origin;
    private final boolean optional;
    private final Function<String, T> reader;

    /** Where a default comes from; always shown beside it. */
    public enum Origin {
        MEASURED_HERE("measured here"),
        PUBLISHED("published"),
        COMMON_PRACTICE("common practice, no source"),
        ASSUMPTION("assumption");

        private final String words;

        Origin(String words) {
            this.words = words;
        }

        public String words() {
            return words;
        }
    }

    private Question(
            String id,
            String label,
            String unit,
            List<String> picks,
            @Nullable String preset,
            @Nullable Origin origin,
            boolean optional,
            Function<String, T> reader) {
        this.id = id;
        this.label = label;
        this.unit = unit;
        this.picks = picks;
        this.preset = preset;
        this.origin = origin;
        this.optional = optional;
        this.reader = reader;
    }

    /** A mass in grams, above zero. */
    public static Question<Mass> mass(String id, String label) {
        return new Question<>(id, label, "g", List.of(), null, null, false, text -> {
            Mass mass = Mass.ofGrams(label, Typed.decimal(label, text));
            if (mass.milligrams() == 0) {
                throw new BadInput(label, text, "give a mass above zero");
            }
            return mass;
        });
    }

    /** A number in {@code unit} within [{@code low}, {@code high}]. */
    public static Question<Double> number(String id, String label, String unit, double low, double high) {
        return new Question<>(id, label, unit, List.of(), null, null, false, text -> {
            double value = Typed.decimal(label, text).doubleValue();
            if (!(value >= low && value <= high)) {
                throw new BadInput(label, text, "give a value from " + plain(low) + " to " + plain(high) + " " + unit);
            }
            return value;
        });
    }

    /** A whole number within [{@code low}, {@code high}]. */
    public static Question<Integer> count(String id, String label, int low, int high) {
        return new Question<>(id, label, "", List.of(), null, null, false, text -> {
            BigDecimal value = Typed.decimal(label, text);
            if (value.stripTrailingZeros().scale() > 0
                    || value.compareTo(BigDecimal.valueOf(low)) < 0
                    || value.compareTo(BigDecimal.valueOf(high)) > 0) {
                throw new BadInput(label, text, "give a whole number from " + low + " to " + high);
            }
            return value.intValueExact();
        });
    }

    /** Free words. */
    public static Question<String> text(String id, String label) {
        return new Question<>(id, label, "", List.of(), null, null, false, Function.identity());
    }

    /**
     * A thing picked from the log; the reply is its id.
     *
     * @param kinds one or several of "mix", "can", "material", "run" and so on; a name is looked for in their order
     */
    public static Question<String> pick(String id, String label, String... kinds) {
        return new Question<>(id, label, "", List.of(kinds), null, null, false, Function.identity());
    }

    /**
     * A question as it was declared elsewhere, such as by a plugin in a process of its own, which reads the reply itself.
     *
     * @param picks kinds of things to pick from; none for a typed reply
     * @param preset the default; an empty text when there is none
     */
    public static Question<String> declared(
            String id,
            String label,
            String unit,
            List<String> picks,
            String preset,
            @Nullable Origin origin,
            boolean optional) {
        return new Question<>(
                id,
                label,
                unit,
                List.copyOf(picks),
                preset.isEmpty() ? null : preset,
                origin,
                optional,
                Function.identity());
    }

    /** This question with a default and where it comes from. */
    public Question<T> preset(String value, Origin from) {
        return new Question<>(id, label, unit, picks, value, from, true, reader);
    }

    /** This question, which may stay unanswered. */
    public Question<T> optional() {
        return new Question<>(id, label, unit, picks, preset, origin, true, reader);
    }

    /** The reply in {@code text}, or {@link BadInput} naming this question. */
    public T read(String text) {
        return reader.apply(text.strip());
    }

    public String id() {
        return id;
    }

    public String label() {
        return label;
    }

    /** Unit of the reply, or an empty text. */
    public String unit() {
        return unit;
    }

    /** Kinds of things to pick from the log; none for a typed reply. */
    public List<String> picks() {
        return picks;
    }

    public Optional<String> preset() {
        return Optional.ofNullable(preset);
    }

    public Optional<Origin> origin() {
        return Optional.ofNullable(origin);
    }

    public boolean isOptional() {
        return optional;
    }

    private static String plain(double value) {
        return BigDecimal.valueOf(value).stripTrailingZeros().toPlainString();
    }
}
