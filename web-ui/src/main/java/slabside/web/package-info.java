/** Pages and the command line; the only code that knows HTTP. May use the engine and the contract. */
@NullMarked
package slabside.web;

import org.jspecify.annotations.NullMarked;
