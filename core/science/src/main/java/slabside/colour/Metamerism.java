package slabside.colour;

/** Two surfaces that match in one light and part in another. */
public final class Metamerism {
    private Metamerism() {}

    /**
     * ΔE00 in another light, after what is left between them in the first was taken from the second (additive correction in
     * CIELAB, as CIE 15 does for its index of change of illuminant).
     *
     * @return 0 when they part no further
     */
    public static double index(Bands standard, Bands sample, Light match, Light other) {
        CieLab first = match.lab(standard);
        CieLab second = match.lab(sample);
        CieLab there = other.lab(sample);
        return Difference.ciede2000(
                other.lab(standard),
                new CieLab(
                        there.l() + first.l() - second.l(),
                        there.a() + first.a() - second.a(),
                        there.b() + first.b() - second.b()));
    }

    /** How much a surface itself shifts from one light to another: ΔE00 between how it looks in each. */
    public static double shift(Bands surface, Light from, Light to) {
        return Difference.ciede2000(from.lab(surface), to.lab(surface));
    }
}
