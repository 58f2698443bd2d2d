package slabside.event;

/** Tack as judged, in order. */
public enum Tack {
    VERY_LOW,
    LOW,
    MIDDLE,
    HIGH,
    VERY_HIGH
}
