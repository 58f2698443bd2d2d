package slabside.looks;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import slabside.colour.Bands;
import slabside.colour.CieLab;
import slabside.colour.Illuminant;
import slabside.colour.InkFilm;
import slabside.colour.Light;
import slabside.colour.Observer;
import slabside.colour.Smoothest;
import slabside.colour.Srgb;
import slabside.plugin.StudioView;

/**
 * A material by its film of 1 g/m², and how it is known: a spectrum before CIELAB before a colour picked on a screen; bases,
 * oils and powders are taken to be clear.
 *
 * @param how in words, for whoever asks how sure this is
 * @param rank 0 for a spectrum, 1 for CIELAB, 2 for a screen, 3 for what is taken to be clear
 * @param wet it was read before it had dried
 */
public record Known(StudioView.Material material, InkFilm film, String how, int rank, boolean wet) {
    public static final Light D50 = Light.weighted(Illuminant.D50, Observer.TWO_DEGREES);
    public static final Light PLAIN_D50 = Light.plain(Illuminant.D50, Observer.TWO_DEGREES);
    /** Weight of a film for which nobody said one, in g/m² (common practice, no source: hand flats 2 to 4). */
    public static final double USUAL_FILM = 3;
    /** Roles whose screen colour is that of an ink; bases, oils and powders are shown as they look in the can. */
    private static final List<String> COLOURED = List.of("ink", "other");

    private static final String WHITE = "opaque white";
    /** S·X of a film of {@link #USUAL_FILM} that gives back half over black: R0 = SX / (1 + SX). */
    private static final double WHITE_SCATTERS = 1;

    private static final double LEAST = 0.002;

    public static Known of(StudioView.Material material, StudioView studio) {
        Optional<ReadFilm> read = ReadFilm.of(material.id(), Long.MIN_VALUE, studio)
                // A white is known only by how it looks over black too.
                .filter(film -> !material.role().equals(WHITE) || film.film().scatters());
        if (read.isPresent()) {
            ReadFilm film = read.get();
            return new Known(material, film.film(), film.how(), film.rank(), film.wet());
        }
        String refused = refused(material, studio);
        if (material.role().equals(WHITE)) {
            return new Known(
                    material,
                    InkFilm.scattering(WHITE_SCATTERS / USUAL_FILM),
                    String.format(
                                    Locale.ROOT,
                                    "nothing; taken to give back half of the light over black with %.0f g/m²",
                                    USUAL_FILM)
                            + refused,
                    2,
                    false);
        }
        if (!material.screen().isEmpty() && COLOURED.contains(material.role())) {
            CieLab lab = Srgb.of(material.screen()).labD50();
            Optional<Bands> smooth = Smoothest.of(lab, PLAIN_D50);
            if (smooth.isPresent()) {
                return new Known(
                        material,
                        InkFilm.overWhite(smooth.get(), white(1)).times(1 / USUAL_FILM),
                        String.format(Locale.ROOT, "a colour picked on a screen, film taken as %.0f g/m²", USUAL_FILM)
                                + refused,
                        2,
                        false);
            }
        }
        return new Known(material, InkFilm.clear(), "nothing; taken to be clear" + refused, 3, false);
    }

    /** Readings that are not used, and what to do, or an empty text. */
    private static String refused(StudioView.Material material, StudioView studio) {
        return studio.colourReadings(material.id()).stream()
                .filter(reading -> reading.spectrum().isEmpty() && reading.lab().isPresent() && !isD50(reading))
                .map(reading -> "; L*a*b* under "
                        + ((reading.illuminant().isEmpty() ? "D50" : reading.illuminant()) + " "
                                + (reading.observer().isEmpty() ? "2°" : reading.observer()))
                        + " is not used: read a spectrum, or under D50 and 2°")
                .findFirst()
                .or(() -> unreadable(material, studio))
                .orElse("");
    }

    private static Optional<String> unreadable(StudioView.Material material, StudioView studio) {
        boolean any = studio.colourReadings(material.id()).stream()
                .anyMatch(reading -> reading.spectrum().isPresent()
                        && Bands.readable(reading.spectrum().get()).isEmpty());
        return any
                ? Optional.of(
                        "; a spectrum that is no reflectance is not used: put its values right, 1 for a perfect white,"
                                + " from 420 to 680 nm at least")
                : Optional.empty();
    }

    /** Only what was read in the light that films are computed for. */
    public static boolean isD50(StudioView.ColourReading reading) {
        return reading.lab().isPresent() && isD50(reading.illuminant(), reading.observer());
    }

    /** Where nobody said, D50 and 2° are taken: graphic arts read so (ISO 13655). */
    public static boolean isD50(String illuminant, String observer) {
        return (illuminant.isBlank() || illuminant.strip().equalsIgnoreCase("D50"))
                && (observer.isBlank() || Observer.named(observer).equals(Optional.of(Observer.TWO_DEGREES)));
    }

    public static Bands white(double reflectance) {
        double[] values = new double[Bands.COUNT];
        java.util.Arrays.fill(values, Math.max(LEAST, reflectance));
        return Bands.of(values);
    }
}
