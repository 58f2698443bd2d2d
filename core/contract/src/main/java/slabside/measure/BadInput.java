package slabside.measure;

/**
 * Something was typed, sent or imported that cannot be taken. Nothing has been recorded.
 *
 * <p>Keeps the offending field and value, and says what to do instead, so that every screen and command can show the
 * same sentence.
 */
public final class BadInput extends IllegalArgumentException {
    private static final long serialVersionUID = 1L;
    private static final int SHOWN = 60;

    private final String field;
    private final String value;
    private final String remedy;

    public BadInput(String field, Object value, String remedy) {
        super(field + " is \"" + shortened(String.valueOf(value)) + "\": " + remedy);
        this.field = field;
        this.value = String.valueOf(value);
        this.remedy = remedy;
    }

    public String field() {
        return field;
    }

    public String value() {
        return value;
    }

    public String remedy() {
        return remedy;
    }

    private static String shortened(String text) {
        String line = text.replaceAll("\\s+", " ");
        return line.length() <= SHOWN ? line : line.substring(0, SHOWN) + "… (" + text.length() + " characters)";
    }
}
