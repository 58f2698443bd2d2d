/** Copies of a studio: made every day and verified, put back, and a log put together again from whatever is left. */
@NullMarked
package slabside.keeping;

import org.jspecify.annotations.NullMarked;
