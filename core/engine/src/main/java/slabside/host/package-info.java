/**
 * Finds plugins, gives them the studio as they may see it, and draws an Answer as text, JSON and CSV. May use
 * {@code slabside.plugin}, {@code slabside.event}, {@code slabside.views}, {@code slabside.ink}, {@code slabside.edition},
 * {@code slabside.statistics}
 * and {@code slabside.measure}.
 */
@NullMarked
package slabside.host;

import org.jspecify.annotations.NullMarked;
