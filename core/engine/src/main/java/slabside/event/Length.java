package slabside.event;

/** Which of two inks is longer. */
public enum Length {
    LONGER,
    SAME,
    SHORTER
}
