package slabside.ink;

import slabside.event.ThingId;
import slabside.measure.Uncertain;

/** What a pull is taken to use while the balance of its load has not closed. */
@FunctionalInterface
public interface PullRates {
    /** Grams a pull takes from a load. */
    Uncertain assumed(ThingId load);
}
