package slabside.measure;

import java.math.BigDecimal;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** A temperature of ink or room, in degrees Celsius; refuses what no studio has. */
public record Temperature(double celsius) implements Comparable<Temperature> {
    private static final Pattern TYPED = Pattern.compile("(.*?)\\s*(?:°\\s*)?([cf])?");
    private static final double LOW = -40;
    private static final double HIGH = 120;

    public Temperature {
        if (!(celsius >= LOW && celsius <= HIGH)) {
            throw new BadInput("temperature", celsius + " °C", "give a temperature from -40 to 120 °C");
        }
    }

    /**
     * The temperature in {@code text}: "21 °C", "70 °F", or a number of degrees Celsius.
     *
     * @throws BadInput when it is not a temperature, or not one between −40 and 120 °C
     */
    public static Temperature typed(String field, String text) {
        Matcher parted = TYPED.matcher(text.strip().toLowerCase(Locale.ROOT));
        if (!parted.matches()) {
            throw new BadInput(field, text, "write a temperature such as 21 °C or 70 °F");
        }
        double number = Typed.decimal(field, parted.group(1)).doubleValue();
        double celsius = "f".equals(parted.group(2)) ? (number - 32) / 1.8 : number;
        if (!(celsius >= LOW && celsius <= HIGH)) {
            throw new BadInput(field, text, "give a temperature from -40 to 120 °C");
        }
        return new Temperature(celsius);
    }

    @Override
    public int compareTo(Temperature other) {
        return Double.compare(celsius, other.celsius);
    }

    @Override
    public String toString() {
        return BigDecimal.valueOf(celsius).stripTrailingZeros().toPlainString() + " °C";
    }
}
