package slabside.event;

/** How a pull looked at the press. */
public enum PressGrade {
    GOOD,
    QUERY,
    SPOILED
}
