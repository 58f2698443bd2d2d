package slabside.looks;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import slabside.colour.Bands;
import slabside.colour.CieLab;
import slabside.colour.InkFilm;
import slabside.colour.Smoothest;
import slabside.plugin.StudioView;

/**
 * A film of 1 g/m² as an instrument read it: the newest of the best kind, a spectrum before CIELAB, dry before wet.
 *
 * @param seen as it looked, over white, with the film that was read
 * @param grams weight of that film, as it was said or {@link Known#USUAL_FILM}
 * @param how in words
 * @param rank 0 for a spectrum, 1 for CIELAB, 2 for CIELAB from a photo
 * @param wet somebody said that it had not dried for {@link #DRY_HOURS}
 */
public record ReadFilm(InkFilm film, Bands seen, double grams, String how, int rank, boolean wet) {
    /** What a swatch of it says beside its numbers. */
    public String remark() {
        return (rank == 2 ? "from a photo" : "") + (rank == 2 && wet ? ", " : "") + (wet ? "wet" : "");
    }

    /** Whether an instrument read it. */
    public boolean measured() {
        return rank < 2;
    }

    /** What is named as the instrument of a colour that was taken from a photo. */
    public static final String PHOTO = "photo beside a grey card";

    /** From so many hours on a film counts as dry (common practice, no source; drying goes on for weeks). */
    public static final double DRY_HOURS = 24;

    /** Reflectance of the white that a drawdown is made on, and of the black, where nobody read them; assumptions. */
    private static final double WHITE = 0.85;

    private static final double BLACK = 0.03;
    /** A film over black is of the same thickness as one over white when their weights differ by less. */
    private static final double SAME_WEIGHT = 0.05;
    /** One drawdown lies over both when its two readings are of films made so close to each other. */
    private static final long SAME_DAY_MS = 86_400_000L;

    /**
     * @param since films made before this moment are of something else, in ms since 1970
     */
    public static Optional<ReadFilm> of(String thing, long since, StudioView studio) {
        return of(studio.colourReadings(thing).stream()
                .filter(reading -> reading.made() >= since)
                .toList());
    }

    public static Optional<ReadFilm> of(List<StudioView.ColourReading> readings) {
        List<StudioView.ColourReading> read = readings.stream()
                .filter(reading -> reading.over().isEmpty() && seen(reading).isPresent() && grams(reading) > 0)
                // Dry before wet, whatever was read.
                .sorted(Comparator.comparing((StudioView.ColourReading reading) -> isWet(reading))
                        .thenComparingInt(reading -> rank(reading))
                        .thenComparing(Comparator.comparingLong(StudioView.ColourReading::millis)
                                .reversed()))
                .toList();
        List<StudioView.ColourReading> black =
                read.stream().filter(ReadFilm::isOverBlack).toList();
        for (StudioView.ColourReading reading : read) {
            if (isOverBlack(reading)) {
                continue;
            }
            Bands seen = seen(reading).orElseThrow();
            Optional<StudioView.ColourReading> beside = black.stream()
                    .filter(other -> reading.spectrum().isPresent()
                            && other.spectrum().isPresent()
                            && isWet(other) == isWet(reading)
                            && Math.abs(other.made() - reading.made()) <= SAME_DAY_MS
                            && Math.abs(grams(other) - grams(reading)) <= SAME_WEIGHT * grams(reading))
                    .findFirst();
            InkFilm film = beside.flatMap(ReadFilm::seen)
                    .map(overBlack -> InkFilm.overBoth(overBlack, Known.white(BLACK), seen, Known.white(WHITE)))
                    .orElseGet(() -> InkFilm.overWhite(seen, Known.white(WHITE)));
            return Optional.of(new ReadFilm(
                    film.times(1 / grams(reading)),
                    seen,
                    grams(reading),
                    words(reading, beside.isPresent(), seen),
                    rank(reading),
                    isWet(reading)));
        }
        return Optional.empty();
    }

    private static String words(StudioView.ColourReading reading, boolean overBoth, Bands seen) {
        List<String> words = new ArrayList<>();
        words.add(
                reading.spectrum().isEmpty()
                        ? rank(reading) == 2 ? "L*a*b* from a photo" : "L*a*b* under D50"
                        : overBoth ? "spectra over white and over black" : "a spectrum");
        words.add(String.format(
                Locale.ROOT,
                reading.gramsPerM2().isPresent() ? "read of a film of %.1f g/m²" : "film taken as %.0f g/m²",
                grams(reading)));
        words.add(overBoth ? "over a white taken as 85 % and a black taken as 3 %" : "over a white taken as 85 %");
        words.add(
                reading.hoursDry().isEmpty()
                        ? "nobody said how dry"
                        : isWet(reading)
                                ? String.format(
                                        Locale.ROOT,
                                        "read wet, after %.0f h",
                                        reading.hoursDry().getAsDouble())
                                : "dry");
        words.addAll(seen.remarks().stream()
                // What most instruments read, from 400 to 700 nm, is enough.
                .filter(remark -> !remark.contains(" 400 nm") && !remark.contains(" 700 nm"))
                .toList());
        return String.join(", ", words);
    }

    private static int rank(StudioView.ColourReading reading) {
        return reading.spectrum().isPresent() ? 0 : isPhoto(reading) ? 2 : 1;
    }

    public static boolean isPhoto(StudioView.ColourReading reading) {
        return reading.instrument().equals(PHOTO);
    }

    public static double grams(StudioView.ColourReading reading) {
        return reading.gramsPerM2().orElse(Known.USUAL_FILM);
    }

    public static boolean isWet(StudioView.ColourReading reading) {
        return reading.hoursDry().orElse(DRY_HOURS) < DRY_HOURS;
    }

    public static boolean isOverBlack(StudioView.ColourReading reading) {
        String backing = reading.backing().toLowerCase(Locale.ROOT);
        return backing.contains("black") && !backing.contains("white");
    }

    /** What was seen; nothing for a density alone, another light, or what no surface can look like. */
    public static Optional<Bands> seen(StudioView.ColourReading reading) {
        return reading.spectrum().isPresent()
                ? Bands.readable(reading.spectrum().get())
                : reading.lab()
                        .filter(lab -> Known.isD50(reading))
                        .flatMap(lab -> Smoothest.of(CieLab.of(lab), Known.PLAIN_D50));
    }
}
