package slabside.colour;

import java.util.List;
import slabside.measure.BadInput;

/**
 * The film of an ink in all bands, for one film weight: absorption and scattering of the whole film. Immutable.
 *
 * <p>An ink known only over white is taken to absorb alone; whether it was is said by {@link #scatteringKnown}.
 */
public final class InkFilm {
    private final Film[] bands;
    private final boolean scatteringKnown;

    private InkFilm(Film[] bands, boolean scatteringKnown) {
        this.bands = bands;
        this.scatteringKnown = scatteringKnown;
    }

    /**
     * From a drawdown over white alone; the film only absorbs.
     *
     * @param overWhite as it looks on the backing
     * @param white the bare backing
     */
    public static InkFilm overWhite(Bands overWhite, Bands white) {
        Film[] bands = new Film[Bands.COUNT];
        for (int i = 0; i < Bands.COUNT; i++) {
            bands[i] = Film.absorbing(Math.max(1e-4, overWhite.raw()[i]), Math.max(1e-4, white.raw()[i]));
        }
        return new InkFilm(bands, false);
    }

    /**
     * From a drawdown over black and white. Bands in which the film is too nearly clear for its scattering to be known are
     * taken to absorb alone.
     */
    public static InkFilm overBoth(Bands overBlack, Bands black, Bands overWhite, Bands white) {
        Film[] bands = new Film[Bands.COUNT];
        boolean any = false;
        for (int i = 0; i < Bands.COUNT; i++) {
            var film = Film.ofDrawdown(
                    overBlack.raw()[i], black.raw()[i], overWhite.raw()[i], white.raw()[i]);
            any |= film.isPresent();
            double onWhite = Math.max(1e-4, overWhite.raw()[i]);
            double bare = Math.max(1e-4, white.raw()[i]);
            bands[i] = film.orElseGet(() -> Film.absorbing(onWhite, bare));
        }
        return new InkFilm(bands, any);
    }

    /** Films worked together, each in its share of the whole by mass, as if all had the same density. */
    public static InkFilm mixed(List<InkFilm> inks, double... shares) {
        if (inks.size() != shares.length || inks.isEmpty()) {
            throw new BadInput("mix", inks.size() + " inks, " + shares.length + " shares", "give a share for each ink");
        }
        Film[] bands = new Film[Bands.COUNT];
        boolean known = true;
        for (int i = 0; i < Bands.COUNT; i++) {
            double kx = 0;
            double sx = 0;
            for (int ink = 0; ink < shares.length; ink++) {
                kx += shares[ink] * inks.get(ink).bands[i].kx();
                sx += shares[ink] * inks.get(ink).bands[i].sx();
            }
            bands[i] = new Film(kx, sx);
        }
        for (InkFilm ink : inks) {
            known &= ink.scatteringKnown;
        }
        return new InkFilm(bands, known);
    }

    /** A base that changes nothing. */
    public static InkFilm clear() {
        Film[] bands = new Film[Bands.COUNT];
        java.util.Arrays.fill(bands, new Film(0, 0));
        return new InkFilm(bands, true);
    }

    /** A film that scatters alike in all bands and takes nothing away, as a perfect white does. */
    public static InkFilm scattering(double sx) {
        Film[] bands = new Film[Bands.COUNT];
        java.util.Arrays.fill(bands, new Film(0, sx));
        return new InkFilm(bands, true);
    }

    /** Whether it scatters anywhere, so that it does not only take light away. */
    public boolean scatters() {
        return java.util.Arrays.stream(bands).anyMatch(film -> film.sx() > 0);
    }

    /** The same ink let down with a clear base, or printed thicker or thinner. */
    public InkFilm times(double amount) {
        Film[] changed = new Film[Bands.COUNT];
        for (int i = 0; i < Bands.COUNT; i++) {
            changed[i] = bands[i].times(amount);
        }
        return new InkFilm(changed, scatteringKnown);
    }

    /** As it looks over something. */
    public Bands over(Bands backing) {
        return backing.each(band -> bands[band].over(backing.raw()[band]));
    }

    public Film band(int band) {
        return bands[band];
    }

    /** False when it was taken to absorb alone, because it was read over white only. */
    public boolean scatteringKnown() {
        return scatteringKnown;
    }

    /**
     * How transparent it is over a black: ΔE*ab from the bare black to the film over it, which is 0 for a clear one (after the
     * idea of ISO 2846-1, annex A, at one film weight).
     */
    public double shownOverBlack(Bands black, Light light) {
        return Difference.cie76(light.lab(black), light.lab(over(black)));
    }
}
