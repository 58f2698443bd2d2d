package slabside.event;

/** Why ink was moved, in the word a printer would use. */
public enum Why {
    RECEIVED,
    ADDED,
    TAKEN_OUT,
    SET_ASIDE,
    WRAPPED,
    FOLDED_IN,
    CHARGED,
    RETURNED,
    TESTED,
    DABBED,
    SCRAPED_DOWN,
    WASHED_UP,
    THROWN_AWAY,
    USED_ELSEWHERE
}
