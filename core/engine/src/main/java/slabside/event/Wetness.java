package slabside.event;

/** Whether a colour was judged wet or dry. */
public enum Wetness {
    WET,
    DRY
}
