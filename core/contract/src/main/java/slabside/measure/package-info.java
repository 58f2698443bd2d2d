/** Amounts as a printer states them: masses, what was typed, and how sure it is. May use the JDK only. */
@NullMarked
package slabside.measure;

import org.jspecify.annotations.NullMarked;
