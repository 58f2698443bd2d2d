package slabside.event;

/** A stage of the work on an edition, for its hours. */
public enum Stage {
    STONE,
    PAPER,
    MIXING,
    PROOFING,
    PRINTING,
    CLEANING_UP,
    CURATING
}
