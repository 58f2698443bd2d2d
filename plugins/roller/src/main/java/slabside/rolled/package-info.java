/** Rollers and slabs: laps, the film on paper pull by pull, how a blend widens. */
@org.jspecify.annotations.NullMarked
package slabside.rolled;
