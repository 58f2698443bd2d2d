package slabside.web;

import slabside.event.Actor;
import slabside.event.ThingId;

/**
 * Who asks: one device, and the person who last said to be at it.
 *
 * @param host the machine that the studio is on; only there devices are let in and shut out
 * @param writes whether it may write, or only look
 */
record Visitor(String device, ThingId person, boolean host, boolean writes) {
    Actor actor() {
        return new Actor(person, device);
    }
}
