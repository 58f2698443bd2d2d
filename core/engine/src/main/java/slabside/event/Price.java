package slabside.event;

import java.math.BigDecimal;
import java.util.regex.Pattern;
import slabside.measure.BadInput;

/**
 * What was paid for the whole of what came in.
 *
 * @param currency three letters of ISO 4217
 */
public record Price(BigDecimal amount, String currency) {
    private static final Pattern THREE_LETTERS = Pattern.compile("[A-Z]{3}");

    public Price {
        if (amount.signum() < 0) {
            throw new BadInput("price", amount, "a price cannot be negative");
        }
        if (!THREE_LETTERS.matcher(currency).matches()) {
            throw new BadInput("currency", currency, "give the three letters of ISO 4217, such as EUR");
        }
    }

    @Override
    public String toString() {
        return amount.toPlainString() + " " + currency;
    }
}
