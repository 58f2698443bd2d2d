package slabside.measure;

/**
 * A value with its standard uncertainty, in whatever unit the name beside it says.
 *
 * @param u standard uncertainty, k = 1, zero or more
 */
public record Uncertain(double value, double u) {
    public Uncertain {
        if (!(u >= 0)) {
            throw new BadInput("standard uncertainty", u, "must be zero or more");
        }
    }

    /** Half width of the interval stated to a reader, k = 2 (about 95 %; JCGM 100:2008, 6.2). */
    public double expanded() {
        return 2 * u;
    }

    public Uncertain times(double factor) {
        return new Uncertain(value * factor, u * Math.abs(factor));
    }
}
