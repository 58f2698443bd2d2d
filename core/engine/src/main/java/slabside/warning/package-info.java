/**
 * What is worth saying while ink is mixed and a run is set up, each a named rule. May use event, views, ink, edition and
 * measure.
 */
@NullMarked
package slabside.warning;

import org.jspecify.annotations.NullMarked;
