package slabside.measure;

import java.math.BigDecimal;
import java.util.Locale;
import java.util.Optional;
import java.util.regex.Matcher;
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

    private static final Pattern UNIT = Pattern.compile("(.*?)\\s*([\\p{L}%]*)", Pattern.DOTALL);
    private static final Pattern BY_EYE = Pattern.compile("(?i)\\s*by eye$");
    private static final Pattern ARROW = Pattern.compile("(\\S+?)\\s*g?\\s*(?:→|->)\\s*(\\S+)");
    private static final Pattern RANGE =
            Pattern.compile("(?:about |by eye )?\\s*([\\d.,]+)\\s*(?:-|–|to)\\s*([\\d.,]+)");

    private Typed() {}

    /**
     * An amount of ink as one text: "12.5 g", "12.5" (grams), "35.2 → 93.7" (what a scale showed before and after), "3–4 g"
     * or "3 to 4" (by eye), "2 parts", "rest", and "?" or nothing for an amount that was not written down.
     *
     * @param group names the scale that parts share, such as the id of their mix
     * @param sign decimal sign if it is known; empty to take either
     */
    public static Amount amount(String field, String text, String group, Optional<Character> sign) {
        String entered = text.strip();
        switch (entered.toLowerCase(Locale.ROOT)) {
            case "", "?", "unknown" -> {
                return new Amount.Unknown(entered);
            }
            case "rest", "all", "the rest", "all the rest" -> {
                return new Amount.Rest(entered);
            }
            default -> {}
        }
        Matcher parted = UNIT.matcher(BY_EYE.matcher(entered).replaceFirst(""));
        if (!parted.matches()) {
            throw new BadInput(field, text, "write an amount such as 12.5 g, 3–4 g, 2 parts, rest or ?");
        }
        String unit = parted.group(2).toLowerCase(Locale.ROOT);
        String number = parted.group(1).strip();
        if (unit.equals("part") || unit.equals("parts")) {
            return new Amount.Parts(decimal(field, number, sign), group, entered);
        }
        Matcher arrow = ARROW.matcher(number);
        if (arrow.matches()) {
            Grams before = grams(field, arrow.group(1), unit, sign);
            Grams after = grams(field, arrow.group(2), unit, sign);
            return new Amount.Weighed(before.mg, after.mg, Math.min(before.stepMg, after.stepMg), null, entered);
        }
        Matcher range = RANGE.matcher(number);
        if (range.matches()) {
            return new Amount.Estimated(
                    grams(field, range.group(1), unit, sign).mg, grams(field, range.group(2), unit, sign).mg, entered);
        }
        Grams net = grams(field, number, unit, sign);
        return new Amount.Net(net.mg, net.stepMg, entered);
    }

    /**
     * A mass as typed.
     *
     * @param stepMg one in the last digit
     */
    private record Grams(long mg, long stepMg) {}

    private static Grams grams(String field, String number, String unit, Optional<Character> sign) {
        int places = switch (unit) {
            case "", "g" -> 0;
            case "kg" -> 3;
            case "mg" -> -3;
            default -> throw new BadInput("unit", unit, "use g, kg, mg or parts; convert other units to grams first");
        };
        BigDecimal typed = decimal(field, number, sign);
        BigDecimal grams = typed.movePointRight(places);
        return new Grams(
                Mass.ofGrams(field, grams).milligrams(),
                // A kilogram without decimals was read to the kilogram.
                Math.max(1, BigDecimal.valueOf(1, typed.scale() - places - 3).longValue()));
    }

    private static BigDecimal decimal(String field, String text, Optional<Character> sign) {
        return sign.map(known -> decimal(field, text, known)).orElseGet(() -> decimal(field, text));
    }

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
