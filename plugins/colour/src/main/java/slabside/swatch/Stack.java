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
import slabside.plugin.Answer;
import slabside.plugin.StudioView;

/** Some inks on one paper, one over the other in any order: as computed, and as measured where somebody did. */
final class Stack {
    /** Of 27 overprints measured on nine printing conditions, each predicted with constants fitted on the other eight. */
    static final String MEASURED =
            "On 27 overprints of two inks, measured on nine printing conditions, this is off by ΔE00 2.2 in the"
                    + " middle and 5.6 at most, where the solids were known by L*a*b*; on nine of three inks by 3.9 in the middle (indicative)."
                    + " Those were machine prints with process inks.";

    private static final String SCATTERS =
            "One of these inks scatters light, as an opaque white does: films are laid one over the other by what they"
                    + " absorb and scatter (Kubelka and Munk). How far that is off was not measured.";

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
                .filter(reading -> reading.spectrum().isPresent() || Known.isD50(reading))
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
        List<Integer> pair = List.of(below, above);
        return trapping.computeIfAbsent(
                pair,
                any -> measured(pair)
                        .map(seen -> OptionalDouble.of(overprint.trappingOf(
                                paper, alone.get(below), alone.get(above), Sheets.seen(seen), Known.D50)))
                        .orElse(OptionalDouble.empty()));
    }

    /** A swatch of an order: whole when measured. */
    Answer.Swatch swatch(List<Integer> order) {
        return reading(order)
                .map(reading -> Sheets.measured(
                        name(order),
                        ReadFilm.seen(reading).orElseThrow(),
                        ReadFilm.isPhoto(reading) ? "from a photo" : ReadFilm.isWet(reading) ? "wet" : ""))
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
                OptionalDouble exponent = below == above || scatters ? OptionalDouble.empty() : trapping(below, above);
                if (exponent.isPresent()) {
                    List<Integer> pair = List.of(below, above);
                    rows.add(List.of(
                            name(pair),
                            String.format(java.util.Locale.ROOT, "%.2f", exponent.getAsDouble()),
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
