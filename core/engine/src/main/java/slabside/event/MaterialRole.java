package slabside.event;

/** What a material does in a mix. */
public enum MaterialRole {
    BASE,
    INK,
    OPAQUE_WHITE,
    POWDER,
    VARNISH,
    TACK_REDUCER,
    DRIER,
    RETARDER,
    OTHER
}
