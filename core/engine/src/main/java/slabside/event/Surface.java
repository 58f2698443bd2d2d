package slabside.event;

/** How a run covers the sheet. */
public enum Surface {
    FLAT,
    WASH,
    CRAYON,
    KEY,
    BLEND
}
