package slabside.plugin;

import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import slabside.measure.Lab;
import slabside.measure.Mass;
import slabside.measure.Spectrum;
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
     * @param impression what the sheet became, as printers write it, such as "7/40"; an empty text when it has no number
     * @param looked what was said of the sheet when it was looked through last; empty when nobody did
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
            List<OnLoad> loads,
            String impression,
            Optional<Looked> looked) {
        public PullRow {
            faults = List.copyOf(faults);
            readings = Map.copyOf(readings);
            loads = List.copyOf(loads);
        }
    }

    /**
     * A sheet looked through.
     *
     * @param grade such as "good", "second", "destroyed"
     * @param reasons as they were ticked
     */
    record Looked(String grade, List<String> reasons) {
        public Looked {
            reasons = List.copyOf(reasons);
        }
    }

    /**
     * What was on a load when a pull was made.
     *
     * @param shares by name of the material, 0 to 1
     * @param lots shares by name of the can or other vessel that the ink came from first, 0 to 1
     */
    record OnLoad(double grams, Map<String, Double> shares, Map<String, Double> lots) {
        public OnLoad {
            shares = Map.copyOf(shares);
            lots = Map.copyOf(lots);
        }
    }

    /**
     * Something that was written down while a run was printed, other than its pulls; and what went into its inks before.
     *
     * @param type stored name of the event; for ink that moved "ink." and why, such as "ink.charged"; for what was noted at
     *     the press "press." and what, such as "press.water", or "press.read" when nothing but the room was read
     * @param before number of the first edition pull after it; 0 when there is none
     * @param text as a sentence
     * @param from what ink came from, for a charge, or into which mix it went, for an addition; else an empty text
     * @param load the one it concerns, from 0 across the roller; −1 when it concerns all of them or none
     * @param numbers "g" of ink that moved, "°C" and "%RH" of the room, where they are known
     */
    record Happening(
            String event,
            long millis,
            String type,
            int before,
            String text,
            String from,
            int load,
            Map<String, Double> numbers) {
        public Happening {
            numbers = Map.copyOf(numbers);
        }
    }

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
     * @param edition id, or an empty text
     * @param surface such as "flat", or an empty text
     * @param open whether it was not cleaned up yet
     * @param standard what was read of the OK proof in this run, by what it is called, in its unit
     * @param outOfBand what left the band of the approved opening with the last pulls, in words
     * @param happenings in order
     */
    record RunRecord(
            String run,
            String name,
            String edition,
            String surface,
            boolean open,
            Map<String, Double> standard,
            List<String> outOfBand,
            List<PullRow> pulls,
            List<Happening> happenings,
            List<Check> checks) {
        public RunRecord {
            standard = Map.copyOf(standard);
            outOfBand = List.copyOf(outOfBand);
            checks = List.copyOf(checks);
            pulls = List.copyOf(pulls);
            happenings = List.copyOf(happenings);
        }
    }

    /**
     * A print that carries ink from a can, mix or packet.
     *
     * @param event of the pull
     * @param pull its number in the run; 0 for newsprint and proofs
     * @param kind what the pull was for, such as "edition" or "proof"
     * @param sheet code written on it; an empty text when it had none
     * @param impression what the sheet became, such as "7/40"; an empty text when it has no number
     * @param where the impression is now, such as "released"; an empty text when it has no number
     * @param grade at the press
     * @param share of the ink on the load at that pull that came from there, 0 to 1
     */
    record Carrier(
            String event,
            String run,
            String runName,
            String edition,
            int pull,
            String kind,
            String sheet,
            String impression,
            String where,
            String grade,
            double share) {}

    /**
     * What can be said of a run, mix or edition in words and numbers, to hold it against others of its kind. People are
     * left out.
     *
     * @param words by what they tell, such as "roller"; each may have several, as inks do
     * @param numbers by what they measure, with the unit, such as "tack reducer, %"
     */
    record Facts(String id, String kind, String name, Map<String, List<String>> words, Map<String, Double> numbers) {
        public Facts {
            words = Map.copyOf(words);
            numbers = Map.copyOf(numbers);
        }
    }

    /**
     * An entry of the log, as it reads after all corrections.
     *
     * @param event id
     * @param type stored name, such as "ink.moved" or, of a plugin's own, "plugin.paper-store.read"
     * @param version in which {@code fields} are
     * @param millis when it happened, in ms since 1970 UTC
     * @param words as a sentence
     * @param about ids of the things it concerns
     * @param fields its body; masses are in mg, lengths in µm, times in ms, decimals as text
     */
    record Moment(
            String event, String type, int version, long millis, String words, List<String> about, Json.Fields fields) {
        public Moment {
            about = List.copyOf(about);
        }
    }

    /**
     * Some entries, newest first.
     *
     * @param next give this to have those before; empty when there are none
     */
    record Page(List<Moment> moments, String next) {
        public Page {
            moments = List.copyOf(moments);
        }
    }

    /**
     * Ink that moved from one vessel into another.
     *
     * @param why such as "mixed", "charged"
     * @param grams as they follow from everything written down; empty when that cannot be known
     */
    record Path(
            String event,
            long millis,
            String from,
            String fromName,
            String into,
            String intoName,
            String why,
            Optional<Uncertain> grams) {}

    /**
     * Something measured.
     *
     * @param of id of what was measured: a run, mix or drawdown
     * @param sheet code written on it, or an empty text
     * @param quantity such as "density" or "L*"
     * @param unit or an empty text
     */
    record Reading(String event, long millis, String of, String sheet, String quantity, double value, String unit) {}

    /**
     * A colour as an instrument read it.
     *
     * @param made when the film was made, as far as anybody said, in ms since 1970 UTC: its drawdown, or the reading less the
     *     hours it had dried
     * @param of id of what was read: a drawdown, mix, can or material
     * @param backing what lay under it, such as "white" or "black", or an empty text
     * @param illuminant such as "D50", or an empty text
     * @param observer such as "2°", or an empty text
     * @param geometry such as "45/0", or an empty text
     * @param instrument as it was named, or an empty text
     * @param hoursDry empty when nobody said
     * @param gramsPerM2 weight of the film; empty when nobody said
     * @param over ids of the inks or runs that lay under it, in the order in which they were printed; none for the bare paper
     */
    record ColourReading(
            String event,
            long millis,
            long made,
            String of,
            String sheet,
            Optional<Spectrum> spectrum,
            Optional<Lab> lab,
            OptionalDouble density,
            String backing,
            String illuminant,
            String observer,
            String geometry,
            String instrument,
            OptionalDouble hoursDry,
            OptionalDouble gramsPerM2,
            List<String> over) {
        public ColourReading {
            over = List.copyOf(over);
        }
    }

    /**
     * What belongs together on the documentation sheet of an edition, such as all about one run.
     *
     * @param facts field by field
     */
    record Documented(String heading, List<DocumentedFact> facts) {
        public Documented {
            facts = List.copyOf(facts);
        }
    }

    /**
     * @param value in words; empty when the log does not know
     */
    record DocumentedFact(String field, Optional<String> value) {}

    /**
     * An impression of an edition.
     *
     * @param written as it stands under the print, such as "7/40" or "AP I/IV"
     * @param kind such as "numbered" or "artists-proof"
     * @param sheet code written on it; an empty text when it had none
     * @param where it is now, such as "here" or "released"
     * @param holder to whom it was released; an empty text when it was not, or nobody said
     */
    record Impression(
            String written, String kind, String sheet, String where, String holder, boolean signed, boolean chopped) {}

    /**
     * The ink of a run, from the shelf to where it went.
     *
     * @param lots of which it was made
     * @param went where it is now; its sum is what of the lots is known
     * @param gaps what was not written down
     */
    record RunInk(String run, String name, List<LotUsed> lots, List<InkWent> went, List<String> gaps) {
        public RunInk {
            lots = List.copyOf(lots);
            went = List.copyOf(went);
            gaps = List.copyOf(gaps);
        }
    }

    /**
     * @param lot id of the can, or of another vessel where nothing is known of what went into it
     * @param name of the lot
     * @param grams of it that went into the inks of the run
     * @param cost of so much; empty without a price
     * @param currency of the cost, or an empty text
     */
    record LotUsed(
            Material material, String lot, String name, Uncertain grams, Optional<Uncertain> cost, String currency) {}

    /**
     * @param where "on paper", "washed up", "tests", "thrown away", "in packets", "in other inks", "used elsewhere" or "left"
     */
    record InkWent(String where, Uncertain grams) {}

    /**
     * Ink that moved for one reason from one kind of vessel into another.
     *
     * @param why such as "wrapped"
     * @param from a kind such as "can", or "supply"
     * @param into a kind such as "mix", or "wash-up", "waste", "test", "elsewhere"
     * @param grams of those moves whose amount is known
     * @param unknown how many have none
     */
    record Flow(String why, String from, String into, double grams, int moves, int unknown) {}

    /**
     * What was printed of one run in a time.
     *
     * @param edition id, or an empty text; {@code editionName} likewise
     * @param pulls for the edition, second hits and newsprint not counted
     * @param proofs newsprint counted
     * @param grams on paper
     * @param learned from the balance of the run; else taken from past runs or assumed
     */
    record PrintedThen(
            String run,
            String name,
            String edition,
            String editionName,
            int pulls,
            int proofs,
            double grams,
            boolean learned) {}

    /**
     * A run in the words of the run sheet that can be written down in bulk.
     *
     * @param text reads back as the same pulls, charges and notes
     * @param besides what those words cannot say
     */
    record TalliedRun(String text, List<String> besides) {
        public TalliedRun {
            besides = List.copyOf(besides);
        }
    }

    /** Most entries of one {@link Page}. */
    int PAGE = 500;

    /** Things of a kind whose name, label or id contains {@code query}, newest first, at most {@link #PAGE}. */
    List<Thing> find(String kind, String query);

    /** Every thing of a kind, newest first; for what must not miss an old one, such as a list of all that is kept. */
    List<Thing> every(String kind);

    /** The thing with exactly this id, label or name. */
    Optional<Thing> thing(String kind, String idOrName);

    /** What is in a vessel now. */
    Composition composition(String vessel);

    /** What is left in a can, mix or packet, counted from its last weighing; empty when that cannot be known. */
    Optional<Uncertain> left(String vessel);

    /** What was in a vessel at the end of a millisecond since 1970 UTC. */
    Composition compositionAt(String vessel, long millis);

    /** What was in a vessel just after an entry of the log; nothing when there is no such entry. */
    Composition compositionAfter(String vessel, String event);

    /** What ink came into a vessel, in order. */
    List<Path> into(String vessel);

    /** Where ink of a vessel went, in order. */
    List<Path> from(String vessel);

    /** What was measured of a run, mix or drawdown, in order. */
    List<Reading> readings(String thing);

    /** Colours read of a material, can, mix or packet and of drawdowns made of it or of a material's cans, in order. */
    List<ColourReading> colourReadings(String thing);

    /**
     * Entries that concern a thing.
     *
     * @param next as the page before said; an empty text for the newest
     */
    Page story(String thing, String next);

    /**
     * Entries of one type ("ink.moved") or group ("ink").
     *
     * @param next as the page before said; an empty text for the newest
     */
    Page events(String type, String next);

    /** The entry with an id; empty when there is none or it was taken back. */
    Optional<Moment> moment(String event);

    /** Every entry of a plugin's own kind, oldest first, with the fields of its present version. */
    default List<Moment> events(OwnEvent kind) {
        List<Moment> all = new ArrayList<>();
        String next = "";
        do {
            Page page = events(OwnEvent.stored(kind.type()), next);
            for (Moment moment : page.moments()) {
                all.add(
                        moment.version() >= kind.version()
                                ? moment
                                : new Moment(
                                        moment.event(),
                                        moment.type(),
                                        kind.version(),
                                        moment.millis(),
                                        moment.words(),
                                        moment.about(),
                                        kind.upcast(moment.version(), moment.fields())));
            }
            next = page.next();
        } while (!next.isEmpty());
        // Pages come newest first; those of one moment keep the order in which they were written.
        Collections.reverse(all);
        all.sort(Comparator.comparingLong(Moment::millis));
        return all;
    }

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

    /** What the papers of an edition ask for, group by group; none when there is no edition of this id. */
    List<Documented> documentation(String edition);

    /** Every impression of an edition, in the order in which they were numbered; none when there is no edition of this id. */
    List<Impression> impressions(String edition);

    /**
     * How an ink is made again, as it was when its colour was agreed: steps, what has changed since, what to hold it against.
     *
     * @throws slabside.measure.BadInput when nothing was in it
     */
    Answer rebuilt(String vessel, Mass batch);

    /** The inks of a run, or of every run of an edition in their order; none when there is neither of this id. */
    List<RunInk> inkOf(String runOrEdition);

    /** What ink moved from one moment on until before another, in ms since 1970 UTC. */
    List<Flow> flows(long from, long until);

    /** What was printed from one moment on until before another, in ms since 1970 UTC. */
    List<PrintedThen> printed(long from, long until);

    /** A run as it is tallied; empty when there is none of this id. */
    Optional<TalliedRun> tallied(String run);

    /** A run with every edition pull; empty when there is none of this id. */
    Optional<RunRecord> runRecord(String run);

    /** Prints that carry ink from a can, mix or packet, sheets with a code first, in the order of their codes. */
    List<Carrier> carriers(String vessel);

    /** Ids of the runs of an edition, in their order; empty when there is none of this id. */
    List<String> runsOf(String edition);

    /** Facts of a run, mix or edition; empty when there is none of this id, or it is of another kind. */
    Optional<Facts> facts(String id);

    /** Facts of the newest runs, mixes or editions, newest first, at most 40. */
    List<Facts> factsOfAll(String kind);

    /** The time zone of the studio by its name in the IANA data base, in which days and times are to be shown. */
    String zone();

    /** The step of the scale used last, or 0.1 g when none was ever used. */
    Mass scaleStep();
}
