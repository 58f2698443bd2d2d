package slabside.event;

import java.math.BigDecimal;
import org.jspecify.annotations.Nullable;

/**
 * The ink of a run on slab, roller and stone, taken as one well-mixed vessel; a blend has one for each ink.
 *
 * @param load id of the vessel
 * @param name such as "left"; empty for a run with one ink
 * @param widthShare part of the width this ink covers, 0 to 1; absent means even parts
 */
public record Load(ThingId load, String name, @Nullable BigDecimal widthShare) {}
