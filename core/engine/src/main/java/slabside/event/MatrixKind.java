package slabside.event;

/** What is printed from. */
public enum MatrixKind {
    STONE,
    PLATE
}
