/**
 * The ledger: every event that touches ink moves an amount from one vessel to another, and from that follow composition,
 * trace, stock, reconciliation and rebuild. May use {@code slabside.views}, {@code slabside.event},
 * {@code slabside.statistics} and {@code slabside.measure}.
 */
@NullMarked
package slabside.ink;

import org.jspecify.annotations.NullMarked;
