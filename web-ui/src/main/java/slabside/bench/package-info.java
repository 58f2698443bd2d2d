/** Measures the program beside the raw floor it stands on, in one run. The only code outside the log and the views that touches JDBC. */
@NullMarked
package slabside.bench;

import org.jspecify.annotations.NullMarked;
