package slabside.measure;

import java.math.BigDecimal;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * A length or width, such as the side of an image or the diameter of a roller, to the whole micrometre; never negative.
 */
public record Length(long micrometres) implements Comparable<Length> {
    private static final Pattern TYPED = Pattern.compile("(.*?)\\s*(µm|um|mm|cm|m|in|\")?");
    /** A hundred metres; more is a slip of the keyboard. */
    private static final long MOST = 100_000_000L;

    /**
     * The length in {@code text}: a number with µm, mm, cm, m or in; millimetres where no unit stands.
     *
     * @throws BadInput when it is not a length, is negative, or is more than 100 m
     */
    public static Length typed(String field, String text) {
        Matcher parted = TYPED.matcher(text.strip().toLowerCase(Locale.ROOT));
        if (!parted.matches()) {
            throw new BadInput(field, text, "write a length such as 420 mm, 42 cm or 16.5 in");
        }
        String unit = parted.group(2) == null ? "mm" : parted.group(2);
        BigDecimal micrometres = Typed.decimal(field, parted.group(1))
                .multiply(
                        switch (unit) {
                            case "µm", "um" -> BigDecimal.ONE;
                            case "cm" -> BigDecimal.valueOf(10_000);
                            case "m" -> BigDecimal.valueOf(1_000_000);
                            case "in", "\"" -> BigDecimal.valueOf(25_400);
                            default -> BigDecimal.valueOf(1_000);
                        });
        if (micrometres.signum() < 0 || micrometres.compareTo(BigDecimal.valueOf(MOST)) > 0) {
            throw new BadInput(field, text, "give a length from 0 to 100 m");
        }
        return new Length(
                micrometres.setScale(0, java.math.RoundingMode.HALF_EVEN).longValueExact());
    }

    public double millimetres() {
        return micrometres / 1_000.0;
    }

    public double centimetres() {
        return micrometres / 10_000.0;
    }

    @Override
    public int compareTo(Length other) {
        return Long.compare(micrometres, other.micrometres);
    }

    /** In millimetres. */
    @Override
    public String toString() {
        BigDecimal plain = BigDecimal.valueOf(micrometres, 3).stripTrailingZeros();
        return (plain.scale() < 0 ? plain.setScale(0) : plain).toPlainString() + " mm";
    }
}
