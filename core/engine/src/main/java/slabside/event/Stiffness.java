package slabside.event;

/** Which of two inks is stiffer. */
public enum Stiffness {
    STIFFER,
    SAME,
    SOFTER
}
