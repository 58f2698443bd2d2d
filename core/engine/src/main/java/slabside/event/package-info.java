/** Everything that can happen in a studio, as immutable records with fixed names. May use {@code slabside.measure}. */
@NullMarked
package slabside.event;

import org.jspecify.annotations.NullMarked;
