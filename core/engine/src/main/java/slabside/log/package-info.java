/** The append-only log: chain, heads, one writer, verification, transfer. May use {@code slabside.event} and JDBC. */
@NullMarked
package slabside.log;

import org.jspecify.annotations.NullMarked;
