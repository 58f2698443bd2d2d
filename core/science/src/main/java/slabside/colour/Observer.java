package slabside.colour;

/** The standard observer (CIE 15). */
public enum Observer {
    /** CIE 1931, 2°. */
    TWO_DEGREES,
    /** CIE 1964, 10°. */
    TEN_DEGREES
}
