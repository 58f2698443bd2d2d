/** Uncertainty and reconciliation of weighings; pure functions. May use {@code slabside.measure} and Hipparchus inside. */
@NullMarked
package slabside.statistics;

import org.jspecify.annotations.NullMarked;
