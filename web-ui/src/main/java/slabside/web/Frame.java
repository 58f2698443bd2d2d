package slabside.web;

import java.util.Random;
import slabside.event.EventId;

/**
 * What every page has around it.
 *
 * @param section which of the sections this belongs to, or an empty text
 * @param clock the studio's clock when the page was made, in ms; from it a page knows how far its device's clock is off
 * @param looks the device may look and not write
 * @param host this is the studio's own machine, not a device in its network
 * @param who is at this device, or an empty text
 * @param stranger the device is not paired
 */
public record Frame(
        String title, String section, long clock, boolean looks, boolean host, String who, boolean stranger) {
    private static final Random CHANCE = EventId.chance();

    /** A fresh id for one form of this page; the page's script makes another for each further tap. */
    public String tap() {
        return EventId.tapAt(clock, CHANCE).text();
    }
}
