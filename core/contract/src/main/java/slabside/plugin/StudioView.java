package slabside.plugin;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
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

    /**
     * One run that was cleaned up, with what it lost at the press.
     *
     * @param surface such as "flat"; an empty text when nobody said
     * @param sheets that went through for the edition, each once
     * @param spoiled of these, by their last grade at the press
     */
    record PrintedRun(String run, String name, String surface, int sheets, int spoiled) {}

    /**
     * One edition's curating.
     *
     * @param seen sheets looked at
     * @param good of these
     */
    record Curating(String edition, String name, int seen, int good) {}

    /**
     * An edition as a piece of work.
     *
     * @param numbered impressions planned; empty when nobody said
     * @param proofs wanted beside them; empty when nobody said
     * @param surfaces of its runs in their order; an empty text where nobody said
     * @param sheets that went through at least one run for the edition
     * @param printed sheets that came through all runs
     * @param stages hours by the clock and hours of all hands, by stage such as "printing", where any are known
     * @param grams of ink mixed for its runs, as far as written down
     */
    record Job(
            String edition,
            String name,
            OptionalInt numbered,
            OptionalInt proofs,
            List<String> surfaces,
            int sheets,
            int printed,
            List<StageHours> stages,
            double grams) {
        public Job {
            surfaces = List.copyOf(surfaces);
            stages = List.copyOf(stages);
        }
    }

    /**
     * @param hours by the clock, from the entries of the log: a lower bound, unless {@code stated}
     * @param handHours the same times the people at it
     * @param stated somebody said so, for a day at least
     */
    record StageHours(String stage, double hours, double handHours, boolean stated) {}

    /**
     * One edition pull of a run.
     *
     * @param number of the pull; a second hit bears the number of the first
     * @param sheet code written on it; an empty text when it had none
     * @param grade at the press, such as "spoiled"
     * @param readings what was measured on its sheet in this run, by what it is called, in its unit
     * @param match "lighter", "match", "darker" beside the OK proof, or an empty text
     * @param margin "clean", "tint", "filling", or an empty text
     * @param loads the ink it was printed with, in order across the roller
     */
    record PullRow(
            String event,
            long millis,
            int number,
            String sheet,
            String grade,
            boolean secondHit,
            OptionalInt passes,
            List<String> faults,
            Map<String, Double> readings,
            String match,
            String margin,
            List<OnLoad> loads) {
        public PullRow {
            faults = List.copyOf(faults);
            readings = Map.copyOf(readings);
            loads = List.copyOf(loads);
        }
    }

    /**
     * What was on a load when a pull was made.
     *
     * @param shares by name of the material, 0 to 1
     */
    record OnLoad(double grams, Map<String, Double> shares) {
        public OnLoad {
            shares = Map.copyOf(shares);
        }
    }

    /**
     * Something that was written down while a run was printed, other than its pulls.
     *
     * @param type stored name of the event
     * @param before number of the first edition pull after it
     * @param text as a sentence
     * @param from what ink came from, for a charge; else an empty text
     */
    record Happening(String event, long millis, String type, int before, String text, String from) {}

    /**
     * A rule of the trade that a run does not meet, or a record that is missing.
     *
     * @param rule its name
     * @param event that shows it, or an empty text
     */
    record Check(String rule, String text, String event) {}

    /**
     * A run as it was printed.
     *
     * @param surface such as "flat", or an empty text
     * @param happenings in order
     */
    record RunRecord(
            String run,
            String name,
            String surface,
            List<PullRow> pulls,
            List<Happening> happenings,
            List<Check> checks) {
        public RunRecord {
            checks = List.copyOf(checks);
            pulls = List.copyOf(pulls);
            happenings = List.copyOf(happenings);
        }
    }

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

    /** Runs that were cleaned up lately, newest first. */
    List<PrintedRun> printedRuns();

    /** Editions that were curated lately, newest first. */
    List<Curating> curatings();

    /** Editions, newest first, at most 30. */
    List<Job> jobs();

    /** One edition; empty when there is none of this id. */
    Optional<Job> job(String edition);

    /** A run with every edition pull; empty when there is none of this id. */
    Optional<RunRecord> runRecord(String run);

    /** The step of the scale used last, or 0.1 g when none was ever used. */
    Mass scaleStep();
}
