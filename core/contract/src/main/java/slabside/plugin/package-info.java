/** What a plugin offers and what it is given. May use {@code slabside.measure} and the JDK only. */
@NullMarked
package slabside.plugin;

import org.jspecify.annotations.NullMarked;
