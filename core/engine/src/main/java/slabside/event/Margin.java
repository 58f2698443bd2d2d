package slabside.event;

/** The open areas of the sheet. */
public enum Margin {
    CLEAN,
    TINT,
    FILLING
}
