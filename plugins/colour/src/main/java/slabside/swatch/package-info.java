/** What films of ink and their overlaps will look like. May use the contract and {@code slabside.colour}. */
@org.jspecify.annotations.NullMarked
package slabside.swatch;
