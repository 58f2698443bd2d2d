/** Calculators for planning an edition: sheets to tear, hours. Uses the contract and the statistics only. */
@org.jspecify.annotations.NullMarked
package slabside.planning;
