/** Opens a studio: log, views, ledger, people, plugins. The entry point; may use everything in the engine. */
@NullMarked
package slabside.studio;

import org.jspecify.annotations.NullMarked;
