package slabside.event;

/** A kind of tool. */
public enum ToolKind {
    ROLLER,
    BAR,
    TYMPAN,
    SCALE,
    KNIFE,
    SLAB,
    PRESS,
    INSTRUMENT
}
