package slabside.ink;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import slabside.event.InkEvent;
import slabside.event.Portion;
import slabside.event.ThingId;
import slabside.views.Role;
import slabside.views.Stories;
import slabside.views.StoryKey;

/**
 * What a mix should become, and how far it is.
 *
 * @param batchGrams wanted in all; 0 when the recipe gives shares only
 * @param shares of the whole by material, as parts of 1, in the order of the recipe
 */
public record Recipe(ThingId id, String name, double batchGrams, Map<ThingId, Double> shares) {
    /**
     * @param asked grams in all, of the batch
     * @param in grams that are in the mix
     */
    public record Line(ThingId material, double asked, double in) {
        /** Grams still to come; never below zero. */
        public double still() {
            return Math.max(0, asked - in);
        }
    }

    public Recipe {
        shares = java.util.Collections.unmodifiableMap(new LinkedHashMap<>(shares));
    }

    /** The recipe a mix was started for; empty for a free mix. */
    public static Optional<Recipe> of(Stories stories, ThingId mix) {
        return stories.of(mix, Set.of(Role.DEFINES), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof InkEvent.MixStarted)
                .map(told -> ((InkEvent.MixStarted) told.event()).recipe())
                .filter(java.util.Objects::nonNull)
                .findFirst()
                .flatMap(recipe -> read(stories, recipe));
    }

    /** A recipe by its id. */
    public static Optional<Recipe> read(Stories stories, ThingId recipe) {
        return stories.of(recipe, Set.of(Role.DEFINES), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof InkEvent.RecipePlanned)
                .map(told -> (InkEvent.RecipePlanned) told.event())
                .reduce((a, b) -> b)
                .map(planned -> {
                    Map<ThingId, Double> shares = new LinkedHashMap<>();
                    for (Portion portion : planned.portions()) {
                        shares.merge(
                                stories.canonical(portion.material()),
                                portion.percent().doubleValue() / 100,
                                Double::sum);
                    }
                    return new Recipe(
                            recipe, planned.name(), planned.batchMg() == null ? 0 : planned.batchMg() / 1000.0, shares);
                });
    }

    /** Share of a material, 0 when the recipe does not name it. */
    public double share(ThingId material) {
        return shares.getOrDefault(material, 0.0);
    }

    /**
     * How far a mix is. Where the recipe gives no batch, the batch is what the material with the largest share calls for.
     *
     * @param in grams of each material in the mix
     */
    public List<Line> progress(Map<ThingId, Double> in) {
        double batch = batch(in);
        List<Line> lines = new ArrayList<>();
        shares.forEach(
                (material, share) -> lines.add(new Line(material, share * batch, in.getOrDefault(material, 0.0))));
        return lines;
    }

    /** Size of the batch in grams; 0 while nothing tells. */
    public double batch(Map<ThingId, Double> in) {
        if (batchGrams > 0) {
            return batchGrams;
        }
        return shares.entrySet().stream()
                .max(Map.Entry.comparingByValue())
                .map(most -> in.getOrDefault(most.getKey(), 0.0) / most.getValue())
                .orElse(0.0);
    }
}
