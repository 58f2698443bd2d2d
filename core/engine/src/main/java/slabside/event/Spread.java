package slabside.event;

/**
 * One reading of a spreading drop.
 *
 * @param afterMs time since the weight was set down
 * @param diameterUm mean of two crossed diameters
 */
public record Spread(long afterMs, long diameterUm) {}
