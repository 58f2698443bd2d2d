package slabside.measure;

import java.math.BigDecimal;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** An area, such as that of an image, in square centimetres; never negative. */
public record Area(double squareCentimetres) {
    private static final Pattern SIDES =
            Pattern.compile("(.+?)\\s*(µm|mm|cm|m|in)?\\s*[x×]\\s*(.+?)\\s*(µm|mm|cm|m|in)?");
    private static final Pattern PLAIN = Pattern.compile("(.*?)\\s*(mm²|mm2|cm²|cm2|m²|m2|in²|in2)?");
    /** A hundred square metres; more is a slip of the keyboard. */
    private static final double MOST = 1_000_000;

    /**
     * The area in {@code text}: "1200 cm²", "30 x 40 cm", or a number of square centimetres.
     *
     * @throws BadInput when it is not an area, is negative, or is more than 100 m²
     */
    public static Area typed(String field, String text) {
        String entered = text.strip().toLowerCase(Locale.ROOT);
        Matcher sides = SIDES.matcher(entered);
        double area;
        if (sides.matches()) {
            String unit = sides.group(4) != null ? sides.group(4) : sides.group(2) != null ? sides.group(2) : "cm";
            String first = sides.group(2) != null ? sides.group(2) : unit;
            area = Length.typed(field, sides.group(1) + " " + first).centimetres()
                    * Length.typed(field, sides.group(3) + " " + unit).centimetres();
        } else {
            Matcher plain = PLAIN.matcher(entered);
            if (!plain.matches()) {
                throw new BadInput(field, text, "write an area such as 1200 cm² or 30 x 40 cm");
            }
            BigDecimal number = Typed.decimal(field, plain.group(1));
            String unit = plain.group(2) == null ? "cm²" : plain.group(2).replace('2', '²');
            area = number.doubleValue()
                    * switch (unit) {
                        case "mm²" -> 0.01;
                        case "m²" -> 10_000;
                        case "in²" -> 6.4516;
                        default -> 1;
                    };
        }
        if (!(area >= 0 && area <= MOST)) {
            throw new BadInput(field, text, "give an area from 0 to 100 m²");
        }
        return new Area(area);
    }

    @Override
    public String toString() {
        return BigDecimal.valueOf(squareCentimetres).stripTrailingZeros().toPlainString() + " cm²";
    }
}
