/**
 * The process in which a dropped-in plugin runs, and the words in which it and the host speak. Uses the contract only.
 */
@org.jspecify.annotations.NullMarked
package slabside.helper;
