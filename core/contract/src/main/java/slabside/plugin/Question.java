package slabside.plugin;

import java.math.BigDecimal;
import java.time.LocalDate;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import slabside.measure.Area;
import slabside.measure.BadInput;
import slabside.measure.Lab;
import slabside.measure.Length;
import slabside.measure.Mass;
import slabside.measure.Spectrum;
import slabside.measure.Temperature;
import slabside.measure.Typed;

/**
 * One thing that a plugin asks, with its unit, range and default. Immutable; {@link #preset}, {@link #optional} and
 * {@link #hint} give another question.
 *
 * @param <T> type of the reply
 */
public final class Question<T> {
    /** Of what kind the reply is. */
    public enum Kind {
        /** {@link Mass}, in grams. */
        MASS,
        /** {@link Length}, in millimetres where no unit stands. */
        LENGTH,
        /** {@link Area}, in square centimetres where no unit stands. */
        AREA,
        /** Double, 12.5 for 12.5 %. */
        PERCENT,
        /** {@link Temperature}, in degrees Celsius where no unit stands. */
        TEMPERATURE,
        /** Double. */
        NUMBER,
        /** Integer. */
        COUNT,
        /** String, one of the options. */
        CHOICE,
        /** String. */
        TEXT,
        /** {@link LocalDate}, as 2026-05-31. */
        DATE,
        /** A list of rows, each with a cell for every column. */
        ROWS,
        /** {@link Spectrum}: a wavelength in nm and a reflectance factor on each line, at even steps. */
        SPECTRUM,
        /** {@link Lab}: L*, a*, b* as an instrument printed them. */
        LAB,
        /** String, #rrggbb as a screen shows it; no measurement. */
        SCREEN_COLOUR,
        /** {@link Upload} of a picture. */
        PICTURE,
        /** {@link Upload}. */
        FILE,
        /** String, the id of a thing or, for a "reading", of an entry. */
        PICK,
        /** A {@link Place} in a picture for each of the options, as "name x y" with a semicolon between them. */
        PLACES
    }

    /**
     * A place in a picture.
     *
     * @param x hundredths of the width from the left
     * @param y hundredths of the height from the top
     */
    public record Place(String name, double x, double y) {}

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

    /**
     * All there is to say of a question; the host draws its form from this, and a question can be made from it again.
     *
     * @param id kebab-case, used in commands and links
     * @param unit shown beside the field, or an empty text
     * @param low least number; null where none is set
     * @param high greatest number; null where none is set
     * @param options what to choose from, columns of rows, endings of files, or kinds of things to pick from; else none
     * @param preset the default as it would be typed, or an empty text
     * @param origin where the default comes from; null without one
     * @param hint a word on how to reply, or an empty text
     */
    public record Declared(
            String id,
            String label,
            Kind kind,
            String unit,
            @Nullable Double low,
            @Nullable Double high,
            List<String> options,
            String preset,
            @Nullable Origin origin,
            boolean optional,
            String hint) {
        public Declared {
            options = List.copyOf(options);
            if (!id.matches("[a-z][a-z0-9]*(-[a-z0-9]+)*")) {
                throw new BadInput("id of a question", id, "use small letters, digits and single hyphens");
            }
            if (label.isBlank()) {
                throw new BadInput("label of the question " + id, label, "say what is asked");
            }
            if (options.isEmpty()
                    && (kind == Kind.CHOICE || kind == Kind.ROWS || kind == Kind.PICK || kind == Kind.PLACES)) {
                throw new BadInput(
                        "question " + id, kind, "say what there is to choose from, or which columns a row has");
            }
            if ((origin == null) != preset.isEmpty()) {
                throw new BadInput("default of the question " + id, preset, "say where it comes from");
            }
        }
    }

    private static final int MOST_ROWS = 2_000;

    private final Declared declared;

    private Question(Declared declared) {
        this.declared = declared;
    }

    private Question(String id, String label, Kind kind, String unit, List<String> options) {
        this(new Declared(id, label, kind, unit, null, null, options, "", null, false, ""));
    }

    /** A mass in grams, above zero. */
    public static Question<Mass> mass(String id, String label) {
        return new Question<>(id, label, Kind.MASS, "g", List.of());
    }

    /** A length, above zero: 420 mm, 42 cm, 16.5 in. */
    public static Question<Length> length(String id, String label) {
        return new Question<>(id, label, Kind.LENGTH, "mm", List.of());
    }

    /** An area, above zero: 1200 cm² or 30 x 40 cm. */
    public static Question<Area> area(String id, String label) {
        return new Question<>(id, label, Kind.AREA, "cm²", List.of());
    }

    /** A percentage within [{@code low}, {@code high}]; 12.5 stands for 12.5 %. */
    public static Question<Double> percent(String id, String label, double low, double high) {
        return ranged(id, label, Kind.PERCENT, "%", low, high);
    }

    /** A temperature: 21 °C or 70 °F. */
    public static Question<Temperature> temperature(String id, String label) {
        return new Question<>(id, label, Kind.TEMPERATURE, "°C", List.of());
    }

    /** A number in {@code unit} within [{@code low}, {@code high}]. */
    public static Question<Double> number(String id, String label, String unit, double low, double high) {
        return ranged(id, label, Kind.NUMBER, unit, low, high);
    }

    /** A whole number within [{@code low}, {@code high}]. */
    public static Question<Integer> count(String id, String label, int low, int high) {
        return ranged(id, label, Kind.COUNT, "", low, high);
    }

    private static <T> Question<T> ranged(String id, String label, Kind kind, String unit, double low, double high) {
        return new Question<>(new Declared(id, label, kind, unit, low, high, List.of(), "", null, false, ""));
    }

    /** One of several words. */
    public static Question<String> choice(String id, String label, String... options) {
        return new Question<>(id, label, Kind.CHOICE, "", List.of(options));
    }

    /** Free words. */
    public static Question<String> text(String id, String label) {
        return new Question<>(id, label, Kind.TEXT, "", List.of());
    }

    /** A day: 2026-05-31. */
    public static Question<LocalDate> date(String id, String label) {
        return new Question<>(id, label, Kind.DATE, "", List.of());
    }

    /** A list of rows, one a line, cells parted by semicolons; each has as many cells as there are columns. */
    public static Question<List<List<String>>> rows(String id, String label, String... columns) {
        return new Question<>(id, label, Kind.ROWS, "", List.of(columns));
    }

    /** A reflectance spectrum: a wavelength in nm and a factor (1 for a perfect white) on each line, at even steps. */
    public static Question<Spectrum> spectrum(String id, String label) {
        return new Question<>(id, label, Kind.SPECTRUM, "", List.of());
    }

    /** A colour as an instrument printed it: L*, a*, b*. */
    public static Question<Lab> lab(String id, String label) {
        return new Question<>(id, label, Kind.LAB, "L* a* b*", List.of());
    }

    /** A colour chosen on a screen, as #rrggbb; no measurement. */
    public static Question<String> screenColour(String id, String label) {
        return new Question<>(id, label, Kind.SCREEN_COLOUR, "", List.of());
    }

    /** A picture, at most 8 MB. */
    public static Question<Upload> picture(String id, String label) {
        return new Question<>(id, label, Kind.PICTURE, "", List.of());
    }

    /**
     * A file, at most 8 MB.
     *
     * @param endings such as ".csv", as a hint to whoever chooses; none for any
     */
    public static Question<Upload> file(String id, String label, String... endings) {
        return new Question<>(id, label, Kind.FILE, "", List.of(endings));
    }

    /**
     * A thing picked from the log; the reply is its id.
     *
     * @param kinds one or several of "can", "mix", "packet", "vessel" (whatever holds ink now), "material", "stone", "run",
     *     "sheet", "edition", "reading"; a name is looked for in their order
     */
    public static Question<String> pick(String id, String label, String... kinds) {
        return new Question<>(id, label, Kind.PICK, "", List.of(kinds));
    }

    /**
     * Places in the picture of this form, which are tapped there one after the other.
     *
     * @param names what to tap, such as "grey card"
     */
    public static Question<List<Place>> places(String id, String label, String... names) {
        return new Question<>(id, label, Kind.PLACES, "", List.of(names));
    }

    /** A question as it was declared elsewhere, such as by a plugin in a process of its own. */
    public static Question<?> of(Declared declared) {
        return new Question<>(declared);
    }

    /** This question with a default and where it comes from. */
    public Question<T> preset(String value, Origin from) {
        return changed(value, from, true, declared.hint);
    }

    /** This question, which may stay unanswered. */
    public Question<T> optional() {
        return changed(declared.preset, declared.origin, true, declared.hint);
    }

    /** This question with a word on how to reply. */
    public Question<T> hint(String words) {
        return changed(declared.preset, declared.origin, declared.optional, words);
    }

    private Question<T> changed(String preset, @Nullable Origin origin, boolean optional, String hint) {
        return new Question<>(new Declared(
                declared.id,
                declared.label,
                declared.kind,
                declared.unit,
                declared.low,
                declared.high,
                declared.options,
                preset,
                origin,
                optional,
                hint));
    }

    /** The reply in {@code text}, or {@link BadInput} naming this question. */
    @SuppressWarnings("unchecked")
    public T read(String text) {
        return (T) value(text.strip());
    }

    private Object value(String text) {
        String label = declared.label;
        return switch (declared.kind) {
            case MASS -> above(Mass.ofGrams(label, Typed.decimal(label, text.replaceFirst("\\s*g$", ""))), text);
            case LENGTH -> {
                Length length = Length.typed(label, text);
                yield length.micrometres() > 0 ? length : refused(text, "give a length above zero");
            }
            case AREA -> {
                Area area = Area.typed(label, text);
                yield area.squareCentimetres() > 0 ? area : refused(text, "give an area above zero");
            }
            case PERCENT ->
                ranged(Typed.decimal(label, text.replaceFirst("\\s*%$", "")).doubleValue(), text);
            case TEMPERATURE -> Temperature.typed(label, text);
            case NUMBER -> ranged(Typed.decimal(label, text).doubleValue(), text);
            case COUNT -> whole(text);
            case CHOICE ->
                declared.options.stream()
                        .filter(text::equalsIgnoreCase)
                        .findFirst()
                        .map(Object.class::cast)
                        .orElseGet(() -> refused(text, "choose one of " + String.join(", ", declared.options)));
            case DATE -> date(text);
            case ROWS -> rows(text);
            case SPECTRUM -> spectrum(text);
            case LAB -> lab(text);
            case SCREEN_COLOUR ->
                text.matches("#[0-9a-fA-F]{6}")
                        ? text.toLowerCase(java.util.Locale.ROOT)
                        : refused(text, "write a colour as #7a6a58");
            case PICTURE, FILE -> Upload.read(label, text);
            case PLACES -> places(text);
            case TEXT, PICK -> text;
        };
    }

    private Object refused(String text, String remedy) {
        throw new BadInput(declared.label, text, remedy);
    }

    private Object above(Mass mass, String text) {
        return mass.milligrams() > 0 ? mass : refused(text, "give a mass above zero");
    }

    private boolean isWithin(double value) {
        Double low = declared.low;
        Double high = declared.high;
        return (low == null || value >= low) && (high == null || value <= high);
    }

    private Object ranged(double value, String text) {
        return isWithin(value) ? value : refused(text, "give a value " + range() + spaced());
    }

    private String spaced() {
        return declared.unit.isEmpty() ? "" : " " + declared.unit;
    }

    private Object whole(String text) {
        BigDecimal value = Typed.decimal(declared.label, text);
        return value.stripTrailingZeros().scale() <= 0 && isWithin(value.doubleValue())
                ? (Object) value.intValueExact()
                : refused(text, "give a whole number " + range());
    }

    private Object date(String text) {
        try {
            return LocalDate.parse(text);
        } catch (DateTimeParseException wrong) {
            return refused(text, "write a day as 2026-05-31");
        }
    }

    private Object rows(String text) {
        List<List<String>> rows = new ArrayList<>();
        for (String line : text.lines().filter(each -> !each.isBlank()).toList()) {
            List<String> cells =
                    Stream.of(line.split(";", -1)).map(String::strip).toList();
            if (cells.size() != declared.options.size()) {
                refused(
                        line,
                        "line " + (rows.size() + 1) + " has " + cells.size() + " cells; write "
                                + String.join("; ", declared.options));
            }
            rows.add(cells);
            if (rows.size() > MOST_ROWS) {
                refused(line, "at most " + MOST_ROWS + " rows are read");
            }
        }
        return List.copyOf(rows);
    }

    private Object spectrum(String text) {
        List<BigDecimal[]> lines = text.lines()
                .filter(line -> !line.isBlank())
                .map(line -> line.strip().split("[\\s;:\\t]+"))
                .map(cells -> cells.length == 2
                        ? new BigDecimal[] {
                            Typed.decimal(declared.label, cells[0]), Typed.decimal(declared.label, cells[1])
                        }
                        : (BigDecimal[]) refused(
                                String.join(" ", cells),
                                "write a wavelength in nm and a factor on each line: 400 0.12"))
                .toList();
        if (lines.size() < 2) {
            refused(text, "give at least two wavelengths, one on each line");
        }
        int start = lines.get(0)[0].intValue();
        int step = lines.get(1)[0].intValue() - start;
        for (int i = 0; i < lines.size(); i++) {
            if (step <= 0 || lines.get(i)[0].compareTo(BigDecimal.valueOf((long) start + (long) i * step)) != 0) {
                refused(lines.get(i)[0] + " nm", "wavelengths must rise by even steps of whole nm");
            }
        }
        return new Spectrum(start, step, lines.stream().map(line -> line[1]).toList());
    }

    private Object places(String text) {
        List<Place> places = new ArrayList<>();
        for (String part : text.split(";")) {
            String[] words = part.strip().split("\\s+");
            if (words.length < 3) {
                refused(
                        part,
                        "write what it is, and its place from the left and from the top in hundredths: grey 25 40");
            }
            double x = Typed.decimal(declared.label, words[words.length - 2]).doubleValue();
            double y = Typed.decimal(declared.label, words[words.length - 1]).doubleValue();
            if (!(x >= 0 && x <= 100 && y >= 0 && y <= 100)) {
                refused(part.strip(), "places lie between 0 and 100 from the left and from the top");
            }
            places.add(new Place(String.join(" ", List.of(words).subList(0, words.length - 2)), x, y));
        }
        if (!places.stream().map(Place::name).toList().equals(declared.options)) {
            refused(text, "tap each once, in this order: " + String.join(", ", declared.options));
        }
        return List.copyOf(places);
    }

    private Object lab(String text) {
        String[] parts = text.split("[\\s;]+");
        if (parts.length != 3) {
            refused(text, "write L*, a* and b*: 52.1 18.4 -3.0");
        }
        Lab lab = new Lab(
                Typed.decimal(declared.label, parts[0]),
                Typed.decimal(declared.label, parts[1]),
                Typed.decimal(declared.label, parts[2]));
        return lab.l().signum() >= 0 && lab.l().compareTo(BigDecimal.valueOf(100)) <= 0
                ? lab
                : refused(text, "L* is from 0 to 100");
    }

    /** In words, such as "from 1 to 100"; an empty text for a reply without a range. */
    public String range() {
        Double low = declared.low;
        Double high = declared.high;
        return low == null || high == null ? "" : "from " + plain(low) + " to " + plain(high);
    }

    public Declared declared() {
        return declared;
    }

    public String id() {
        return declared.id;
    }

    public String label() {
        return declared.label;
    }

    /** Unit of the reply, or an empty text. */
    public String unit() {
        return declared.unit;
    }

    /** Kinds of things to pick from the log; none for a typed reply. */
    public List<String> picks() {
        return declared.kind == Kind.PICK ? declared.options : List.of();
    }

    public Optional<String> preset() {
        return Optional.of(declared.preset).filter(preset -> !preset.isEmpty());
    }

    public Optional<Origin> origin() {
        return Optional.ofNullable(declared.origin);
    }

    public boolean isOptional() {
        return declared.optional;
    }

    private static String plain(double value) {
        return BigDecimal.valueOf(value).stripTrailingZeros().toPlainString();
    }
}
