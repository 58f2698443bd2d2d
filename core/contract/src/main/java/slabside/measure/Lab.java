package slabside.measure;

import java.math.BigDecimal;

/**
 * A CIELAB colour as an instrument printed it; the illuminant and observer stand in the reading that holds it.
 *
 * @param l lightness, 0 to 100
 */
public record Lab(BigDecimal l, BigDecimal a, BigDecimal b) {}
