/**
 * Runs, pulls, sheets and editions as folded from events. May use {@code slabside.event}, {@code slabside.views},
 * {@code slabside.ink} and {@code slabside.measure}.
 */
@NullMarked
package slabside.edition;

import org.jspecify.annotations.NullMarked;
