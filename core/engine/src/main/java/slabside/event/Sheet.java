package slabside.event;

/**
 * A sheet of paper and the code written on it.
 */
public record Sheet(ThingId sheet, String code) {}
