package slabside.event;

/** What is seen when looking into a can or packet. */
public enum Condition {
    SOUND,
    SKIN,
    GOUGED,
    LIVERED,
    OIL_ON_TOP,
    DRIED
}
