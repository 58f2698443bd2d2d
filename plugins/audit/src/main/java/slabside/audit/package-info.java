/** What went wrong in a run: series, causes, evidence. Uses the contract and the statistics only. */
@org.jspecify.annotations.NullMarked
package slabside.audit;
