package slabside.event;

/**
 * Who did or wrote down something.
 *
 * @param person id only; names stand outside the chain
 * @param device id of the device it was entered on
 */
public record Actor(ThingId person, String device) {}
