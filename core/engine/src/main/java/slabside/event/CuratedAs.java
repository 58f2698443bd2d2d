package slabside.event;

/** What a sheet is after curating. */
public enum CuratedAs {
    GOOD,
    SECOND,
    DESTROYED
}
