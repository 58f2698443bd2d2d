package slabside.swatch;

import java.util.Comparator;
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
import slabside.measure.Lab;
import slabside.plugin.StudioView;

/**
 * A material by its film of 1 g/m², and how it is known: a spectrum before CIELAB before a colour picked on a screen; bases,
 * oils and powders are taken to be clear.
 *
 * @param how in words, for whoever asks how sure this is
 * @param rank 0 for a spectrum, 1 for CIELAB, 2 for a screen, 3 for what is taken to be clear
 */
record Known(StudioView.Material material, InkFilm film, String how, int rank) {
    static final Light D50 = Light.weighted(Illuminant.D50, Observer.TWO_DEGREES);
    static final Light PLAIN_D50 = Light.plain(Illuminant.D50, Observer.TWO_DEGREES);
    /** Weight of a film for which nobody said one, in g/m² (common practice, no source: hand flats 2 to 4). */
    static final double USUAL_FILM = 3;
    /** Roles whose screen colour is that of an ink; bases, oils and powders are shown as they look in the can. */
    private static final List<String> COLOURED = List.of("ink", "other");

    private static final String WHITE = "opaque white";
    /** S·X of a film of {@link #USUAL_FILM} that gives back half over black: R0 = SX / (1 + SX). */
    private static final double WHITE_SCATTERS = 1;

    private static final double PAPER = 0.85;
    private static final double LEAST = 0.002;

    static Known of(StudioView.Material material, StudioView studio) {
        List<StudioView.ColourReading> read = studio.colourReadings(material.id()).stream()
                .filter(reading -> !reading.backing().equalsIgnoreCase("black"))
                .filter(reading -> reading.spectrum().isPresent() || isD50(reading))
                // The newest of the best kind.
                .sorted(Comparator.comparing((StudioView.ColourReading reading) ->
                                reading.spectrum().isEmpty())
                        .thenComparing(Comparator.comparingLong(StudioView.ColourReading::millis)
                                .reversed()))
                .toList();
        for (StudioView.ColourReading reading : read) {
            Optional<Bands> seen = seen(reading);
            if (seen.isPresent()) {
                double weight = reading.gramsPerM2().orElse(USUAL_FILM);
                String words = (reading.spectrum().isPresent() ? "a spectrum" : "L*a*b* under D50")
                        + (reading.gramsPerM2().isPresent()
                                ? String.format(Locale.ROOT, ", read of a film of %.1f g/m²", weight)
                                : String.format(Locale.ROOT, ", film taken as %.0f g/m²", weight));
                return new Known(
                        material,
                        InkFilm.overWhite(seen.get(), white(PAPER)).times(1 / weight),
                        words,
                        reading.spectrum().isPresent() ? 0 : 1);
            }
        }
        if (material.role().equals(WHITE)) {
            return new Known(
                    material,
                    InkFilm.scattering(WHITE_SCATTERS / USUAL_FILM),
                    String.format(
                            Locale.ROOT,
                            "nothing; taken to give back half of the light over black with %.0f g/m²",
                            USUAL_FILM),
                    2);
        }
        if (!material.screen().isEmpty() && COLOURED.contains(material.role())) {
            CieLab lab = Srgb.of(material.screen()).labD50();
            Optional<Bands> smooth = Smoothest.of(lab, PLAIN_D50);
            if (smooth.isPresent()) {
                return new Known(
                        material,
                        InkFilm.overWhite(smooth.get(), white(1)).times(1 / USUAL_FILM),
                        String.format(Locale.ROOT, "a colour picked on a screen, film taken as %.0f g/m²", USUAL_FILM),
                        2);
            }
        }
        return new Known(material, InkFilm.clear(), "nothing; taken to be clear", 3);
    }

    /** Only what was read in the light that films are computed for. */
    private static boolean isD50(StudioView.ColourReading reading) {
        return reading.lab().isPresent()
                && (reading.illuminant().isEmpty() || reading.illuminant().equalsIgnoreCase("D50"))
                && !reading.observer().startsWith("10");
    }

    private static Optional<Bands> seen(StudioView.ColourReading reading) {
        if (reading.spectrum().isPresent()) {
            return Optional.of(Bands.of(reading.spectrum().get()));
        }
        Lab lab = reading.lab().orElseThrow();
        return Smoothest.of(CieLab.of(lab), PLAIN_D50);
    }

    static Bands white(double reflectance) {
        double[] values = new double[Bands.COUNT];
        java.util.Arrays.fill(values, Math.max(LEAST, reflectance));
        return Bands.of(values);
    }
}
