/** For authors of plugins: a studio made up for a test, and the checks that every plugin should pass. Uses the contract only. */
@org.jspecify.annotations.NullMarked
package slabside.kit;
