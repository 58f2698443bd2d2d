package slabside.event;

/** How dry a print is. */
public enum Dryness {
    WET,
    TACKY,
    SET,
    RUB_DRY
}
