/** Calculators of amounts: scale, let down, bring to a recipe, ink for an edition. Sees the contract only. */
@NullMarked
package slabside.quantity;

import org.jspecify.annotations.NullMarked;
