/** One studio on several machines, without a server: each writes pieces of its chains into a folder that all reach. */
@NullMarked
package slabside.share;

import org.jspecify.annotations.NullMarked;
