/**
 * How events read after corrections, in story order; the follower that keeps lists, timeline, search and edges up to date.
 * May use {@code slabside.log} and {@code slabside.event}, and JDBC.
 */
@NullMarked
package slabside.views;

import org.jspecify.annotations.NullMarked;
