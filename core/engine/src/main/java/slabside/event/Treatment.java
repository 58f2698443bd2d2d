package slabside.event;

/** What is done to a stone or plate. */
public enum Treatment {
    GRAINED,
    DRAWN,
    TRACED,
    ETCHED,
    GUMMED,
    WASHED_OUT,
    ROLLED_UP,
    COUNTER_ETCHED,
    DELETION,
    ADDITION,
    TRANSFERRED,
    CLOSED,
    OPENED
}
