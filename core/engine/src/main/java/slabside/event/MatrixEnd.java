package slabside.event;

/** The end of a stone's or plate's image. */
public enum MatrixEnd {
    GROUND_OFF,
    DEFACED,
    KEPT,
    RETURNED
}
