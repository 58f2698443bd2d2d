/**
 * The colour of thin films: spectra of 36 bands, what an observer sees, differences, density, films and films over films. Pure
 * functions, the same bits everywhere (StrictMath). Uses {@code slabside.measure} and the JDK.
 */
@org.jspecify.annotations.NullMarked
package slabside.colour;
