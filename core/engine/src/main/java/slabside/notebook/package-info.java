/**
 * Reads a paper notebook or spreadsheet, saved as CSV, into events. May use {@code slabside.event}, {@code slabside.log},
 * {@code slabside.views} and {@code slabside.measure}.
 */
@NullMarked
package slabside.notebook;

import org.jspecify.annotations.NullMarked;
