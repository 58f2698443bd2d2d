package slabside.event;

import java.math.BigDecimal;
import slabside.measure.BadInput;

/**
 * One line of a recipe.
 *
 * @param percent share of the whole, by mass
 */
public record Portion(ThingId material, BigDecimal percent) {
    public Portion {
        if (percent.signum() <= 0 || percent.compareTo(BigDecimal.valueOf(100)) > 0) {
            throw new BadInput(
                    "share of " + material, percent.toPlainString() + " %", "give a share above 0 and up to 100 %");
        }
    }
}
