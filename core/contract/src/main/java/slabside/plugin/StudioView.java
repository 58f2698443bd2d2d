package slabside.plugin;

import java.util.List;
import java.util.Optional;
import slabside.measure.Mass;
import slabside.measure.Uncertain;

/**
 * The studio as a plugin may see it: things, what is in a vessel, what past runs used. Answers with plain records of the
 * log as it stood when the view was made; nothing stays open and nothing can be written.
 */
public interface StudioView {
    /**
     * A material, can, mix, packet, run or edition.
     *
     * @param kind such as "mix"
     */
    record Thing(String id, String kind, String name, String label) {}

    /**
     * A material that can be weighed out now.
     *
     * @param role such as "base", "ink", "powder", "tack reducer"
     * @param screen #rrggbb or an empty text
     */
    record Material(String id, String name, String role, String screen) {}

    /**
     * @param share of the mass written down, 0 to 1
     * @param grams in the vessel now
     */
    record Share(Material material, Uncertain share, Uncertain grams) {}

    /**
     * What is in a vessel.
     *
     * @param gaps what was not written down; when there are any, shares are "of what was written down"
     */
    record Composition(String vessel, String name, Uncertain grams, List<Share> shares, List<String> gaps) {
        public Composition {
            shares = List.copyOf(shares);
            gaps = List.copyOf(gaps);
        }
    }

    /**
     * One line of a planned recipe.
     *
     * @param share of the whole, 0 to 1
     */
    record Planned(Material material, double share) {}

    /**
     * What one finished run used.
     *
     * @param surface such as "flat"
     * @param gramsPerPull learned from the balance of the run
     * @param pulls every pull that took ink, newsprint and proofs included
     */
    record PastRun(String run, String name, String surface, Uncertain gramsPerPull, int pulls) {}

    /** Things of a kind whose name, label or id contains {@code query}, newest first, at most 50. */
    List<Thing> find(String kind, String query);

    /** The thing with exactly this id, label or name. */
    Optional<Thing> thing(String kind, String idOrName);

    /** What is in a vessel now. */
    Composition composition(String vessel);

    /** The lines of a planned recipe; empty when there is no such recipe. */
    List<Planned> recipe(String id);

    /** Materials listed in the studio. */
    List<Material> materials();

    /** Runs whose ink balance has closed, newest first. */
    List<PastRun> pastRuns();

    /** The step of the scale used last, or 0.1 g when none was ever used. */
    Mass scaleStep();
}
