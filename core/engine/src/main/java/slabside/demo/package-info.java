/** Invented studios to try things on, written through the same log as real ones. May use everything in the engine. */
@NullMarked
package slabside.demo;

import org.jspecify.annotations.NullMarked;
