package slabside.colour;

import java.util.Optional;

/**
 * A film in one band, by the two-flux theory of Kubelka and Munk: light goes straight up and down, no surface reflects.
 *
 * @param kx absorption of the whole film (K·X), 0 or more, without a unit
 * @param sx scattering of the whole film (S·X), 0 or more, without a unit
 * @see "Kubelka (1948), J. Opt. Soc. Am. 38, 448-457; Kubelka and Munk (1931), Z. techn. Physik 12, 593-601"
 */
public record Film(double kx, double sx) {
    /** Beyond this a hyperbolic cotangent is 1 to the last bit. */
    private static final double THICK = 20;
    /** Below this share of the other one, scattering or absorption makes no difference to a double. */
    private static final double NOTHING = 1e-12;

    public Film {
        if (!(kx >= 0 && sx >= 0) || Double.isInfinite(kx) || Double.isInfinite(sx)) {
            throw new slabside.measure.BadInput(
                    "film", "K·X " + kx + ", S·X " + sx, "absorption and scattering are numbers from 0 on");
        }
    }

    /** a − 1 = K/S; whoever calls has looked that S is something. */
    private double ratio() {
        return kx / sx;
    }

    /** √(a² − 1), without losing digits when K is small. */
    private double b() {
        double ratio = ratio();
        return StrictMath.sqrt(ratio * (2 + ratio));
    }

    private boolean onlyAbsorbs() {
        return sx <= NOTHING * kx;
    }

    private boolean onlyScatters() {
        return kx <= NOTHING * sx;
    }

    /**
     * Reflectance of the film on a backing.
     *
     * @param backing reflectance of what lies under it, 0 to 1
     */
    public double over(double backing) {
        if (kx == 0 && sx == 0) {
            return backing;
        }
        if (onlyAbsorbs()) {
            return backing * StrictMath.exp(-2 * kx);
        }
        if (onlyScatters()) {
            double scattered = sx * (1 - backing);
            return (backing + scattered) / (1 + scattered);
        }
        double a = 1 + ratio();
        double bCoth = bCoth();
        return (1 - backing * (a - bCoth)) / (a - backing + bCoth);
    }

    private double bCoth() {
        double b = b();
        double thick = b * sx;
        return thick > THICK ? b : b / StrictMath.tanh(thick);
    }

    /** Reflectance over a perfect black. */
    public double overBlack() {
        return over(0);
    }

    /** Part of the light that comes through. */
    public double transmittance() {
        if (onlyAbsorbs()) {
            return StrictMath.exp(-kx);
        }
        if (onlyScatters()) {
            return 1 / (1 + sx);
        }
        double b = b();
        double thick = b * sx;
        return b / ((1 + ratio()) * StrictMath.sinh(thick) + b * StrictMath.cosh(thick));
    }

    /** Reflectance of so many of these films that nothing shows through; 0 when it only absorbs, 1 when it only scatters. */
    public double ofAPile() {
        if (kx == 0 && sx == 0) {
            throw new slabside.measure.BadInput("film", "nothing", "a film that does nothing has no pile");
        }
        return onlyAbsorbs() ? 0 : onlyScatters() ? 1 : 1 / (1 + ratio() + b());
    }

    /** This film with its amount changed, such as twice as thick. */
    public Film times(double amount) {
        return new Film(kx * amount, sx * amount);
    }

    /** One film worked into another: absorption and scattering add up (two constants). */
    public Film with(Film other) {
        return new Film(kx + other.kx, sx + other.sx);
    }

    /**
     * The film of a drawdown over two backings.
     *
     * @param overBlack reflectance over the dark backing
     * @param black reflectance of the dark backing
     * @param overWhite reflectance over the light backing
     * @param white reflectance of the light backing, above {@code black}
     * @return empty when the film is too nearly clear for its scattering to be known; then {@link #absorbing}
     */
    public static Optional<Film> ofDrawdown(double overBlack, double black, double overWhite, double white) {
        double onBlack = overBlack - black;
        double onWhite = overWhite - white;
        double a = ((1 + overBlack * black) * onWhite - (1 + overWhite * white) * onBlack)
                / ((overBlack + black) * onWhite - (overWhite + white) * onBlack);
        if (!(a > 1) || Double.isInfinite(a)) {
            return Optional.empty();
        }
        double b = StrictMath.sqrt((a - 1) * (a + 1));
        double coth = (1 - a * (overBlack + black) + overBlack * black) / (b * onBlack);
        if (!(StrictMath.abs(coth) > 1)) {
            return Optional.empty();
        }
        double sx = 0.5 * StrictMath.log((coth + 1) / (coth - 1)) / b;
        return sx >= 0 && !Double.isInfinite(sx) ? Optional.of(new Film((a - 1) * sx, sx)) : Optional.empty();
    }

    /**
     * A film that only absorbs, from a drawdown over white alone.
     *
     * @param overWhite reflectance over the backing, above 0
     * @param white reflectance of the backing
     */
    public static Film absorbing(double overWhite, double white) {
        return new Film(Math.max(0, -StrictMath.log(overWhite / white) / 2), 0);
    }

    /**
     * A film from its reflectance over black and that of a pile (ISO 9416, TAPPI T 425).
     *
     * @param overBlack below {@code pile}
     * @param pile between 0 and 1
     */
    public static Film ofPile(double overBlack, double pile) {
        double sx = pile / (1 - pile * pile) * StrictMath.log(pile * (1 - overBlack * pile) / (pile - overBlack));
        return new Film(sx * (1 - pile) * (1 - pile) / (2 * pile), sx);
    }

    /** Opacity: over black divided by the pile (ISO 2471). */
    public double opacity() {
        return overBlack() / ofAPile();
    }

    /** Contrast ratio: over black divided by over a white of 0.89 (ISO 9416's C0.89); 1 for what hides everything. */
    public double contrastRatio() {
        return overBlack() / over(0.89);
    }
}
