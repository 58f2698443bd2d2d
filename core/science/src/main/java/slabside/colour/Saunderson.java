package slabside.colour;

import slabside.measure.BadInput;

/**
 * What the surface of a film adds and keeps back: some light is reflected before it enters, much of what would leave is
 * thrown back inside.
 *
 * @param k1 part of the light that the surface reflects from outside, 0 to 1
 * @param k2 part of the diffuse light that it throws back from inside, 0 to 1
 * @see "Saunderson (1942), J. Opt. Soc. Am. 32, 727-736"
 */
public record Saunderson(double k1, double k2) {
    private static final int STEPS = 20_000;

    public Saunderson {
        if (!(k1 >= 0 && k1 < 1 && k2 >= 0 && k2 < 1)) {
            throw new BadInput("surface", "k1 " + k1 + ", k2 " + k2, "give both from 0 to below 1");
        }
    }

    /**
     * That of a smooth surface, after Fresnel.
     *
     * @param index of refraction of the film, above 1; about 1.5 for a drying oil
     */
    public static Saunderson of(double index) {
        double normal = (index - 1) / (index + 1);
        return new Saunderson(normal * normal, 1 - (1 - diffuse(index)) / (index * index));
    }

    /** Part of diffuse light that a smooth surface reflects from outside: Fresnel over all angles, by Simpson's rule. */
    static double diffuse(double index) {
        double sum = 0;
        for (int i = 0; i <= STEPS; i++) {
            // Over u = sin²θ; every u weighs the same.
            double u = i / (double) STEPS;
            double weight = i == 0 || i == STEPS ? 1 : i % 2 == 1 ? 4 : 2;
            sum += weight * fresnel(u, index);
        }
        return sum / (3 * STEPS);
    }

    private static double fresnel(double sinSquared, double index) {
        double cos = StrictMath.sqrt(Math.max(0, 1 - sinSquared));
        double inside = StrictMath.sqrt(1 - sinSquared / (index * index));
        double s = (cos - index * inside) / (cos + index * inside);
        double p = (index * cos - inside) / (index * cos + inside);
        return (s * s + p * p) / 2;
    }

    /** What an instrument sees that counts the mirror reflection too (sphere, specular included). */
    public double seenWithGloss(double inside) {
        return k1 + (1 - k1) * (1 - k2) * inside / (1 - k2 * inside);
    }

    /** What an instrument sees that looks past it (45°/0°, or sphere, specular excluded). */
    public double seenWithoutGloss(double inside) {
        return (1 - k1) * (1 - k2) * inside / (1 - k2 * inside);
    }

    /** The inverse of {@link #seenWithGloss}. */
    public double insideWithGloss(double seen) {
        return (seen - k1) / (1 - k1 - k2 * (1 - seen));
    }

    /** The inverse of {@link #seenWithoutGloss}. */
    public double insideWithoutGloss(double seen) {
        return seen / ((1 - k1) * (1 - k2) + k2 * seen);
    }
}
