package slabside.event;

/**
 * A hybrid logical clock: the recorder's clock, never running backwards, with a counter for ties.
 *
 * @see "Kulkarni et al. (2014), Logical Physical Clocks and Consistent Snapshots in Globally Distributed Databases"
 */
public record Hlc(long millis, int count) implements Comparable<Hlc> {
    public static final Hlc START = new Hlc(0, 0);

    /** The next reading when the wall clock shows {@code now}. */
    public Hlc next(long now) {
        return now > millis ? new Hlc(now, 0) : new Hlc(millis, count + 1);
    }

    public Hlc later(Hlc other) {
        return compareTo(other) >= 0 ? this : other;
    }

    @Override
    public int compareTo(Hlc other) {
        int byTime = Long.compare(millis, other.millis);
        return byTime != 0 ? byTime : Integer.compare(count, other.count);
    }
}
