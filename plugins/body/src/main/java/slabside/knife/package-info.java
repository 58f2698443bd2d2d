/** What the knife feels, in numbers: spread between two glasses, flow curves, modifiers. */
@org.jspecify.annotations.NullMarked
package slabside.knife;
