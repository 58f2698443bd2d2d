package slabside.swatch;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import slabside.colour.Bands;
import slabside.colour.Overprint;
import slabside.looks.Known;
import slabside.looks.Mixed;
import slabside.looks.ReadFilm;
import slabside.looks.Sheets;
import slabside.plugin.Answer;
import slabside.plugin.StudioView;

/** Some inks on one paper, one over the other in any order: as computed, and as measured where somebody did. */
final class Stack {
    /** Of 27 overprints measured on nine printing conditions, each predicted with constants fitted on the other eight. */
    static final String MEASURED =
            "On 27 overprints of two inks, measured on nine printing conditions, this is off by ΔE00 2.2 in the"
                    + " middle and 5.6 at most, where the solids were known by L*a*b*; on nine of three inks by 3.9 in the middle (indicative)."
                    + " Those were machine prints with process inks.";

    static final String SCATTERS =
            "One of these inks scatters light, as an opaque white does: films are laid one over the other by what they"
                    + " absorb and scatter (Kubelka and Munk). How far that is off was not measured.";

    /** An exponent at the end of its range is no exponent: the overlap is not one of these films. */
    private static final double AT_THE_END = 0.01;

    private final List<Mixed> inks;
    private final double weight;
    private final Bands paper;
    private final Overprint overprint;
    private final StudioView studio;
    private final List<Bands> alone;
    private final boolean scatters;
    private final Map<List<Integer>, OptionalDouble> trapping = new HashMap<>();

    /**
     * @param weight of each film, in g/m²
     * @param darkest luminance of the darkest black on this paper, 0 to 1
     */
    Stack(List<Mixed> inks, double weight, Bands paper, double darkest, StudioView studio) {
        this.inks = List.copyOf(inks);
        this.weight = weight;
        this.paper = paper;
        this.overprint = Overprint.onPaperWithBlack(darkest);
        this.studio = studio;
        this.alone =
                inks.stream().map(mix -> mix.film().times(weight).over(paper)).toList();
        this.scatters = inks.stream().anyMatch(mix -> mix.film().scatters());
    }

    List<Mixed> inks() {
        return inks;
    }

    Bands paper() {
        return paper;
    }

    Bands alone(int ink) {
        return alone.get(ink);
    }

    /** As it was measured, or else as computed. */
    Bands best(List<Integer> order) {
        return measured(order).orElseGet(() -> computed(order));
    }

    /** As somebody read the last ink over the others in this order. */
    Optional<Bands> measured(List<Integer> order) {
        return reading(order).flatMap(ReadFilm::seen);
    }

    /** The newest such reading, an instrument's before a photo's, dry before wet. */
    private Optional<StudioView.ColourReading> reading(List<Integer> order) {
        if (order.size() < 2) {
            return Optional.empty();
        }
        List<String> under = order.subList(0, order.size() - 1).stream()
                .map(each -> inks.get(each).id())
                .toList();
        return studio.colourReadings(inks.get(order.get(order.size() - 1)).id()).stream()
                .filter(reading -> reading.over().equals(under))
                .filter(reading -> order.stream()
                        .allMatch(each ->
                                reading.made() >= Mixed.changed(inks.get(each).id(), studio)))
                .filter(reading -> ReadFilm.seen(reading).isPresent())
                .sorted(Comparator.comparing(ReadFilm::isPhoto)
                        .thenComparing(ReadFilm::isWet)
                        .thenComparing(Comparator.comparingLong(StudioView.ColourReading::millis)
                                .reversed()))
                .findFirst();
    }

    /** As computed from the inks, with what was measured of how one lies on the other. */
    Bands computed(List<Integer> order) {
        if (scatters) {
            Bands under = paper;
            for (int each : order) {
                under = inks.get(each).film().times(weight).over(under);
            }
            return under;
        }
        double[] exponents = new double[Math.max(0, order.size() - 1)];
        for (int i = 0; i < exponents.length; i++) {
            exponents[i] = trapping(order.get(i), order.get(i + 1)).orElse(overprint.trapping());
        }
        return overprint.of(paper, order.stream().map(alone::get).toList(), exponents);
    }

    /** How one ink lies on another, from their overlap where that was measured. */
    OptionalDouble trapping(int below, int above) {
        return trapping.computeIfAbsent(List.of(below, above), pair -> {
            Optional<StudioView.ColourReading> reading = reading(pair);
            if (reading.isEmpty() || pair.stream().anyMatch(ink -> isOtherwiseDry(inks.get(ink), reading.get()))) {
                return OptionalDouble.empty();
            }
            // At the weight at which the overlap was printed, if anybody said.
            double weighed = reading.get().gramsPerM2().orElse(weight);
            double exponent = overprint.trappingOf(
                    paper,
                    inks.get(below).film().times(weighed).over(paper),
                    inks.get(above).film().times(weighed).over(paper),
                    Sheets.seen(ReadFilm.seen(reading.get()).orElseThrow()),
                    Known.D50);
            return exponent > Overprint.LEAST_TRAPPING + AT_THE_END && exponent < Overprint.MOST_TRAPPING - AT_THE_END
                    ? OptionalDouble.of(exponent)
                    : OptionalDouble.empty();
        });
    }

    /** Wet films and dry ones are not compared. */
    private static boolean isOtherwiseDry(Mixed ink, StudioView.ColourReading reading) {
        return ink.read().isPresent()
                ? ink.read().get().wet() != ReadFilm.isWet(reading)
                : ink.parts().stream().anyMatch(part -> part.rank() < 2 && part.wet() != ReadFilm.isWet(reading));
    }

    /** A swatch of an order: whole when measured. */
    Answer.Swatch swatch(List<Integer> order) {
        return reading(order)
                .map(reading -> {
                    Bands seen = ReadFilm.seen(reading).orElseThrow();
                    Answer.Swatch swatch = Sheets.measured(
                            name(order),
                            seen,
                            ReadFilm.isPhoto(reading) ? "from a photo" : ReadFilm.isWet(reading) ? "wet" : "");
                    return new Answer.Swatch(
                            swatch.label(), swatch.screen(), swatch.words(), !ReadFilm.isPhoto(reading));
                })
                .orElseGet(() -> Sheets.swatch(name(order), computed(order)));
    }

    String name(List<Integer> order) {
        return String.join(
                ", then ", order.stream().map(each -> inks.get(each).name()).toList());
    }

    /** How far what is computed here is off, as far as anybody knows. */
    Answer told(Answer answer) {
        Answer told = answer.text(scatters ? SCATTERS : MEASURED);
        List<List<String>> rows = new ArrayList<>();
        for (int below = 0; below < inks.size(); below++) {
            for (int above = 0; above < inks.size(); above++) {
                List<Integer> pair = List.of(below, above);
                if (below != above && !scatters && measured(pair).isPresent()) {
                    OptionalDouble exponent = trapping(below, above);
                    rows.add(List.of(
                            name(pair),
                            exponent.isPresent()
                                    ? String.format(java.util.Locale.ROOT, "%.2f", exponent.getAsDouble())
                                    : "cannot be these films",
                            String.format(
                                    java.util.Locale.ROOT,
                                    "%.1f",
                                    Sheets.apart(measured(pair).orElseThrow(), usual(pair)))));
                }
            }
        }
        if (!rows.isEmpty()) {
            told = told.table(
                    "Overlaps measured here",
                    List.of(
                            "inks",
                            "how the later film lies (1 as on paper)",
                            "ΔE00 from what would have been computed"),
                    rows);
        }
        return scatters
                ? told
                : told.assumption(
                        String.format(
                                java.util.Locale.ROOT,
                                "Where nobody measured, a later film lies thinner on a film than on paper (exponent %.3f)",
                                Overprint.USUAL_TRAPPING),
                        "measured on machine prints; your own press may differ");
    }

    private Bands usual(List<Integer> pair) {
        return overprint.of(paper, pair.stream().map(alone::get).toList());
    }

    /** Every order of so many of the inks. */
    List<List<Integer>> orders(int many) {
        List<List<Integer>> orders = new ArrayList<>();
        further(new ArrayList<>(), many, orders);
        return orders;
    }

    private void further(List<Integer> begun, int many, List<List<Integer>> orders) {
        if (begun.size() == many) {
            orders.add(List.copyOf(begun));
            return;
        }
        for (int ink = 0; ink < inks.size(); ink++) {
            if (!begun.contains(ink)) {
                begun.add(ink);
                further(begun, many, orders);
                begun.remove(begun.size() - 1);
            }
        }
    }
}
