/** Plugins as a stranger would write them. */
@org.jspecify.annotations.NullMarked
package example;
