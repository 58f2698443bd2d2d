package slabside.event;

/** How exactly the time of an event is known. */
public enum Precision {
    EXACT,
    MINUTE,
    DAY,
    UNKNOWN
}
