package slabside.swatch;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import slabside.colour.Bands;
import slabside.colour.CieLab;
import slabside.colour.Illuminant;
import slabside.colour.InkFilm;
import slabside.colour.Light;
import slabside.colour.Metamerism;
import slabside.colour.Observer;
import slabside.colour.RecipeSearch;
import slabside.colour.Srgb;
import slabside.looks.Known;
import slabside.looks.Sheets;
import slabside.measure.BadInput;
import slabside.measure.Mass;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** Which inks of this studio, in how much base, come nearest to a colour; also without one that is gone. */
public final class WhatCouldMake implements Calculator {
    private static final Question<Mass> GRAMS =
            Question.mass("grams", "How much of it").preset("100", Question.Origin.ASSUMPTION);
    private static final Question<Integer> INKS =
            Question.count("inks", "Inks in one mix, at most", 1, 4).preset("3", Question.Origin.ASSUMPTION);
    private static final Question<Double> BASE =
            Question.percent("base", "Transparent base, at least", 0, 99).preset("50", Question.Origin.COMMON_PRACTICE);
    private static final Question<String> WITHOUT =
            Question.pick("without", "Without", "material").optional().hint("one that is gone, or not wanted");
    private static final String NEAREST = "the nearest";
    private static final String CHEAPEST = "the cheapest of the near";
    private static final String PLENTY = "of what there is most of";
    private static final Question<String> PREFER =
            Question.choice("prefer", "First", NEAREST, CHEAPEST, PLENTY).preset(NEAREST, Question.Origin.ASSUMPTION);
    /** So many are searched through in every choice of four. */
    private static final int MOST_INKS = 16;

    private static final int ANSWERS = 5;
    /** So many are looked at when cost or stock is weighed. */
    private static final int LOOKED_AT = 15;
    /** ΔE00 up to which a match is called one; a difference of 1 can just be seen side by side (common practice, no source). */
    private static final double NEAR = 2;
    /** Recipes as near as this to the best are as good, when cost or stock is weighed. */
    private static final double AS_GOOD = 1;
    /** Steps of ΔE00 in which recipes are put in order. */
    private static final double TOLD_APART = 0.5;

    private static final Light LAMP = Light.weighted(Illuminant.A, Observer.TWO_DEGREES);
    private static final Set<String> BASES = Set.of("base");

    @Override
    public Card card() {
        return new Card(
                "what-could-make", "What could make this colour?", "Which of my inks, in how much base, come nearest?");
    }

    @Override
    public List<Question<?>> questions() {
        List<Question<?>> questions = new ArrayList<>(Wanted.QUESTIONS);
        questions.addAll(List.of(GRAMS, INKS, BASE, WITHOUT, PREFER, Sheets.FILM, Sheets.PAPER));
        return List.copyOf(questions);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        Bands paper = Sheets.paper(replies.to(Sheets.PAPER));
        double weight = replies.to(Sheets.FILM);
        Wanted wanted = Wanted.of(replies, studio, weight, paper);
        List<Known> all = new ArrayList<>();
        for (StudioView.Material material : studio.materials()) {
            Known known = Known.of(material, studio);
            if (known.rank() < 3 && !material.id().equals(replies.maybe(WITHOUT).orElse(""))) {
                all.add(known);
            }
        }
        if (all.isEmpty()) {
            throw new BadInput(
                    "inks", "none", "no ink of this studio has a colour that is known; give them screen colours");
        }
        List<Known> inks =
                all.size() > MOST_INKS ? likely(all, weight, paper, wanted.colour(), replies.to(BASE) / 100) : all;
        List<InkFilm> films = films(inks, weight);
        Stock stock = Stock.of(studio);
        double grams = replies.to(GRAMS).milligrams() / 1000.0;
        if (!(grams > 0)) {
            throw new BadInput(GRAMS.label(), grams + " g", "give more than 0 g");
        }
        List<RecipeSearch.Found> found = preferred(
                RecipeSearch.search(
                                films,
                                paper,
                                Known.D50,
                                wanted.colour(),
                                replies.to(INKS),
                                replies.to(BASE) / 100,
                                LOOKED_AT)
                        .found(),
                replies.to(PREFER),
                inks,
                stock,
                base(studio));
        double nearest = found.stream()
                .filter(each -> !each.beyond())
                .mapToDouble(RecipeSearch.Found::difference)
                .min()
                .orElse(Double.MAX_VALUE);
        Answer answer = Answer.titled("What could make this colour?").text(verdict(nearest));
        List<Answer.Swatch> swatches = new ArrayList<>();
        swatches.add(new Answer.Swatch(
                "wanted",
                Srgb.ofD50(wanted.colour()).hex(),
                Sheets.numbers(wanted.colour()),
                wanted.spectrum().isPresent() && replies.maybe(Wanted.LIKE).isEmpty()));
        List<Answer.Swatch> bars = new ArrayList<>();
        for (int i = 0; i < found.size(); i++) {
            RecipeSearch.Found each = found.get(i);
            swatches.add(new Answer.Swatch(
                    String.valueOf(i + 1),
                    Srgb.ofD50(each.seen()).hex(),
                    String.format(Locale.ROOT, "ΔE00 %.1f", each.difference())));
            bars.add(
                    Sheets.swatch(String.valueOf(i + 1), made(each, films, 0, 1).over(Sheets.blackBar())));
        }
        answer = answer.with(new Answer.Swatches("Wanted, and as computed", swatches));
        boolean hides = found.stream()
                .flatMap(each -> each.inks().stream())
                .anyMatch(ink -> inks.get(ink).film().scatters());
        answer = hides
                ? answer.with(new Answer.Swatches("The same over a black bar", bars))
                : answer.text("All of these are transparent as far as is known: over a black bar they vanish.");
        for (int i = 0; i < found.size(); i++) {
            answer = answer.with(strip(i + 1, found.get(i), inks, grams));
            Optional<String> lacking = missing(found.get(i), inks, stock, grams);
            if (lacking.isPresent()) {
                answer = answer.caution(i + 1 + ": " + lacking.get());
            }
        }
        answer = answer.table(
                "One step deeper",
                List.of(
                        "mix",
                        "ΔE00",
                        wanted.spectrum().isPresent() ? "ΔE00 under a lamp (A), after D50" : "shift under a lamp (A)",
                        "0.1 g more of the strongest in 100 g",
                        "a film heavier by a tenth",
                        "cost"),
                rows(found, inks, films, paper, wanted, stock, base(studio), grams));
        return Sheets.honest(
                Sheets.wetBesideDry(answer, inks)
                        .table(
                                "What the inks are known by",
                                List.of("material", "known from", "left in cans, g"),
                                inks.stream()
                                        .map(ink -> List.of(
                                                ink.material().name(),
                                                ink.how(),
                                                String.format(
                                                        Locale.ROOT,
                                                        "%.0f",
                                                        stock.grams(
                                                                ink.material().id()))))
                                        .toList()),
                Math.max(
                        wanted.fromScreen() ? 2 : 0,
                        inks.stream().mapToInt(Known::rank).max().orElse(0)));
    }

    private static String verdict(double nearest) {
        if (nearest <= NEAR) {
            return "There is a recipe as near as can be seen, by what is known of the inks.";
        }
        return nearest == Double.MAX_VALUE
                ? "Out of reach: none of these inks goes towards it on this paper."
                : String.format(
                        Locale.ROOT,
                        "Out of reach: none of these inks makes it on this paper. The nearest is off by ΔE00 %.1f.",
                        nearest);
    }

    private static List<InkFilm> films(List<Known> inks, double weight) {
        return inks.stream().map(ink -> ink.film().times(weight)).toList();
    }

    /** Of many inks those that are in the nearest pairs: all choices of four would take too long. */
    private static List<Known> likely(List<Known> inks, double weight, Bands paper, CieLab wanted, double base) {
        Set<Integer> likely = new TreeSet<>();
        for (RecipeSearch.Found pair : RecipeSearch.search(
                        films(inks, weight), paper, Known.D50, wanted, 2, base, 2 * MOST_INKS)
                .found()) {
            for (int ink : pair.inks()) {
                if (likely.size() < MOST_INKS) {
                    likely.add(ink);
                }
            }
        }
        return likely.stream().map(inks::get).toList();
    }

    /** The base that a recipe is let down with: the first that is listed; empty when there is none. */
    private static Optional<StudioView.Material> base(StudioView studio) {
        return studio.materials().stream()
                .filter(material -> BASES.contains(material.role()))
                .findFirst();
    }

    /** The nearest first, or, among those that are as good, by cost or by what is left. */
    private static List<RecipeSearch.Found> preferred(
            List<RecipeSearch.Found> found,
            String prefer,
            List<Known> inks,
            Stock stock,
            Optional<StudioView.Material> base) {
        double limit = Math.max(NEAR, found.get(0).difference() + AS_GOOD);
        // On the other side of grey ΔE00 says nothing: those come last, whatever is preferred.
        Comparator<RecipeSearch.Found> order =
                Comparator.comparing(RecipeSearch.Found::beyond).thenComparing(each -> each.difference() > limit);
        if (prefer.equals(NEAREST)) {
            // What nobody can tell apart is as near; then fewer inks are better.
            order = Comparator.comparing(RecipeSearch.Found::beyond)
                    .thenComparingLong(each -> StrictMath.round(each.difference() / TOLD_APART))
                    .thenComparingInt(each -> each.inks().size());
        }
        if (prefer.equals(CHEAPEST)) {
            // What has no price comes last: nobody knows whether it is cheap.
            order = order.thenComparingDouble(each ->
                    cost(each, inks, stock, base).values().stream().findFirst().orElse(Double.MAX_VALUE));
        } else if (prefer.equals(PLENTY)) {
            order = order.thenComparingDouble(each -> -batches(each, inks, stock));
        }
        return found.stream().sorted(order).limit(ANSWERS).toList();
    }

    /** How many grams of a recipe the cans hold enough for. */
    private static double batches(RecipeSearch.Found found, List<Known> inks, Stock stock) {
        double least = Double.MAX_VALUE;
        for (int i = 0; i < found.inks().size(); i++) {
            String material = inks.get(found.inks().get(i)).material().id();
            least = Math.min(least, stock.grams(material) / found.shares().get(i));
        }
        return least;
    }

    /** What a gram costs, by currency; nothing when one part has no price or they are not of one currency. */
    private static Map<String, Double> cost(
            RecipeSearch.Found found, List<Known> inks, Stock stock, Optional<StudioView.Material> base) {
        Map<String, Double> cost = new HashMap<>();
        double rest = 1;
        for (int i = 0; i < found.inks().size(); i++) {
            Optional<Stock.Price> price =
                    stock.price(inks.get(found.inks().get(i)).material().id());
            if (price.isEmpty()) {
                return Map.of();
            }
            cost.merge(
                    price.get().currency(), found.shares().get(i) * price.get().perGram(), Double::sum);
            rest -= found.shares().get(i);
        }
        Optional<Stock.Price> price = base.flatMap(material -> stock.price(material.id()));
        if (price.isEmpty()) {
            return Map.of();
        }
        cost.merge(price.get().currency(), Math.max(0, rest) * price.get().perGram(), Double::sum);
        return cost.size() == 1 ? cost : Map.of();
    }

    private static Optional<String> missing(RecipeSearch.Found found, List<Known> inks, Stock stock, double grams) {
        List<String> words = new ArrayList<>();
        for (int i = 0; i < found.inks().size(); i++) {
            StudioView.Material material = inks.get(found.inks().get(i)).material();
            double needed = found.shares().get(i) * grams;
            if (stock.grams(material.id()) < needed) {
                words.add(String.format(
                        Locale.ROOT,
                        "it takes %.1f g of %s, the cans hold %.1f g",
                        needed,
                        material.name(),
                        stock.grams(material.id())));
            }
        }
        return words.isEmpty() ? Optional.empty() : Optional.of(String.join("; ", words) + ".");
    }

    /** Shares of a mix, the base as the rest. */
    private static Answer.Strip strip(int number, RecipeSearch.Found found, List<Known> inks, double grams) {
        List<Answer.Part> parts = new ArrayList<>();
        double rest = 1;
        for (int i = 0; i < found.inks().size(); i++) {
            Known ink = inks.get(found.inks().get(i));
            parts.add(new Answer.Part(
                    ink.material().name(), found.shares().get(i), ink.material().screen()));
            rest -= found.shares().get(i);
        }
        parts.add(0, new Answer.Part("transparent base", Math.max(0, rest), ""));
        return new Answer.Strip(
                number + ": "
                        + String.join(
                                ", ",
                                parts.stream()
                                        .map(part -> String.format(
                                                Locale.ROOT,
                                                "%s %.2f g (%.2f %%)",
                                                part.label(),
                                                part.share() * grams,
                                                part.share() * 100))
                                        .toList()),
                parts);
    }

    private static List<List<String>> rows(
            List<RecipeSearch.Found> found,
            List<Known> inks,
            List<InkFilm> films,
            Bands paper,
            Wanted wanted,
            Stock stock,
            Optional<StudioView.Material> base,
            double grams) {
        List<List<String>> rows = new ArrayList<>();
        for (int n = 0; n < found.size(); n++) {
            RecipeSearch.Found each = found.get(n);
            Bands made = made(each, films, 0, 1).over(paper);
            OptionalDouble other = wanted.spectrum().isPresent()
                    ? OptionalDouble.of(Metamerism.index(wanted.spectrum().get(), made, Known.D50, LAMP))
                    : OptionalDouble.empty();
            rows.add(List.of(
                    String.valueOf(n + 1),
                    String.format(Locale.ROOT, "%.2f", each.difference()),
                    String.format(Locale.ROOT, "%.1f", other.orElseGet(() -> Metamerism.shift(made, Known.D50, LAMP))),
                    String.format(
                            Locale.ROOT,
                            "%.1f",
                            each.inks().isEmpty()
                                    ? 0
                                    : Sheets.apart(
                                            made, made(each, films, 0.001, 1).over(paper))),
                    String.format(
                            Locale.ROOT,
                            "%.1f",
                            Sheets.apart(made, made(each, films, 0, 1.1).over(paper))),
                    cost(each, inks, stock, base).entrySet().stream()
                            .map(entry ->
                                    String.format(Locale.ROOT, "%.2f %s", entry.getValue() * grams, entry.getKey()))
                            .findFirst()
                            .orElse("not known")));
        }
        return rows;
    }

    /** The film of an answer, with a little more of its greatest share, and thicker. */
    private static InkFilm made(RecipeSearch.Found found, List<InkFilm> films, double more, double thicker) {
        if (found.inks().isEmpty()) {
            return InkFilm.clear();
        }
        int strongest = 0;
        for (int i = 1; i < found.shares().size(); i++) {
            if (found.shares().get(i) > found.shares().get(strongest)) {
                strongest = i;
            }
        }
        double[] shares = new double[found.shares().size()];
        for (int i = 0; i < shares.length; i++) {
            shares[i] = found.shares().get(i) + (i == strongest ? more : 0);
        }
        return InkFilm.mixed(found.inks().stream().map(films::get).toList(), shares)
                .times(thicker);
    }
}
