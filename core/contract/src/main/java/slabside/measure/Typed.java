package slabside.measure;

import java.math.BigDecimal;
import java.util.regex.Pattern;

/**
 * Reads a decimal number as a printer types it, with a decimal point or a decimal comma.
 *
 * <p>Refuses thousands marks, and a single comma or point before exactly three digits ("1,500"), which could mean
 * either, unless the decimal sign is stated.
 */
public final class Typed {
    private static final Pattern NUMBER = Pattern.compile("[+-]?\\d{1,12}([.,]\\d{1,9})?|[+-]?[.,]\\d{1,9}");
    private static final Pattern AMBIGUOUS = Pattern.compile("[+-]?[1-9]\\d{0,2}[,]\\d{3}");

    private Typed() {}

    /** The number in {@code text}; either decimal sign. */
    public static BigDecimal decimal(String field, String text) {
        String trimmed = text.strip().replace('\u2212', '-');
        if (!NUMBER.matcher(trimmed).matches()) {
            throw new BadInput(field, text, "write a plain number such as 12.5 or 12,5, without thousands marks");
        }
        if (AMBIGUOUS.matcher(trimmed).matches()) {
            throw new BadInput(
                    field,
                    text,
                    "this can be read as thousands or as decimals; write " + trimmed.replace(",", "") + " or "
                            + trimmed.replace(',', '.'));
        }
        return new BigDecimal(trimmed.replace(',', '.'));
    }

    /**
     * The number in {@code text}, whose decimal sign is known to be {@code sign}.
     *
     * @param sign '.' or ','
     */
    public static BigDecimal decimal(String field, String text, char sign) {
        String trimmed = text.strip().replace('\u2212', '-');
        char other = sign == '.' ? ',' : '.';
        if (trimmed.indexOf(other) >= 0) {
            throw new BadInput(
                    field, text, "the decimal sign here is \"" + sign + "\"; write " + trimmed.replace(other, sign));
        }
        if (!NUMBER.matcher(trimmed).matches()) {
            throw new BadInput(field, text, "write a plain number such as 12" + sign + "5");
        }
        return new BigDecimal(trimmed.replace(',', '.'));
    }
}
