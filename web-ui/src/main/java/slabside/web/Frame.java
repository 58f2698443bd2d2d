package slabside.web;

import java.util.Random;
import slabside.event.EventId;

/**
 * What every page has around it.
 *
 * @param section which of the sections this belongs to, or an empty text
 * @param clock the studio's clock when the page was made, in ms; from it a page knows how far its device's clock is off
 * @param looks the device may look and not write
 */
public record Frame(String title, String section, long clock, boolean looks) {
    private static final Random CHANCE = EventId.chance();

    /** A fresh id for one form of this page; the page's script makes another for each further tap. */
    public String tap() {
        return EventId.tapAt(clock, CHANCE).text();
    }
}
