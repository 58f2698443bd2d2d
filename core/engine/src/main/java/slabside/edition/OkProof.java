package slabside.edition;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import slabside.event.EditionEvent;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.PaperEvent;
import slabside.event.PressEvent;
import slabside.event.StoneEvent;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.ink.Contents;
import slabside.ink.Ledger;
import slabside.views.Role;
import slabside.views.Stories;
import slabside.views.StoryKey;
import slabside.views.Told;

/**
 * The OK proof of an edition: run by run the pull that it went through, the ink on the load then, the stone or plate, its
 * paper and what was read of it. Folded from the log as it was known when the proof was signed, this is what was signed;
 * folded from the log as it reads now, it holds what was put right or read since.
 *
 * @param signed the event
 * @param paper lot of the sheet; empty when nobody said
 * @param standards one for each run that the sheet went through, in their order
 */
public record OkProof(Told signed, ThingId sheet, Optional<ThingId> paper, List<Standard> standards) {
    /**
     * What a run looked like when the OK proof went through.
     *
     * @param ink on each load, in order across the roller
     * @param mixes that had been charged by then
     * @param stone of the run, where it was said
     * @param state what was done to the stone last before
     * @param conditions what was in force, such as water and packing, by name
     * @param readings of the sheet: instruments, measures, judgements
     */
    public record Standard(
            Run run,
            Run.Pull pull,
            List<Contents> ink,
            List<ThingId> mixes,
            Optional<ThingId> stone,
            Optional<Told> state,
            Map<String, String> conditions,
            List<Told> readings) {}

    /**
     * What became of a run between its OK proof and the last pull of the edition.
     *
     * @param printed whether any edition pull followed
     * @param mixes charged for the edition, in their order
     * @param remade mixes of the edition that were made again from one of the proof's
     * @param farthest where the ink was farthest from the OK proof's; empty where the ink is not known
     * @param changes stone reworked, set up anew, something changed at the press, in order
     */
    public record Since(
            Run run,
            boolean printed,
            List<ThingId> mixes,
            List<ThingId> remade,
            Optional<Farthest> farthest,
            List<Told> changes) {}

    /**
     * The edition pull whose ink was least like the OK proof's.
     *
     * @param material whose share differs most
     * @param ok its share then, 0 to 1
     * @param here its share at the pull
     */
    public record Farthest(Run.Pull pull, ThingId material, double ok, double here) {}

    /** Folds the OK proof of an edition; empty when none was signed. */
    static Optional<OkProof> of(Stories stories, Ledger ledger, ThingId edition) {
        Told signed = null;
        ThingId paper = null;
        List<PaperEvent.Torn> torn = new ArrayList<>();
        for (Told told : stories.of(edition, Set.of(Role.NOTED), StoryKey.LAST)) {
            if (told.event() instanceof EditionEvent.OkSigned) {
                signed = told;
            } else if (told.event() instanceof PaperEvent.Torn each) {
                torn.add(each);
            }
        }
        if (signed == null) {
            return Optional.empty();
        }
        ThingId sheet = ((EditionEvent.OkSigned) signed.event()).sheet();
        for (PaperEvent.Torn each : torn) {
            if (each.sheets().stream().anyMatch(one -> one.sheet().equals(sheet))) {
                paper = each.lot();
            }
        }
        List<Standard> standards = Edition.runs(stories, edition).stream()
                .flatMap(run -> run.pullOf(sheet).map(pull -> standard(stories, ledger, run, pull, sheet)).stream())
                .toList();
        return Optional.of(new OkProof(signed, sheet, Optional.ofNullable(paper), standards));
    }

    private static Standard standard(Stories stories, Ledger ledger, Run run, Run.Pull pull, ThingId sheet) {
        Optional<ThingId> stone = Runs.stone(stories, run.id());
        Optional<Told> state = stone.stream()
                .flatMap(id -> stories.of(id, Set.of(Role.NOTED), pull.key()).stream())
                .filter(told -> told.event() instanceof StoneEvent.Treated)
                .reduce((first, last) -> last);
        Map<String, String> conditions = new LinkedHashMap<>();
        List<Told> readings = new ArrayList<>();
        for (Told told : stories.of(run.id(), Set.of(Role.NOTED), StoryKey.LAST)) {
            if (told.event() instanceof PressEvent.Noted noted && told.key().compareTo(pull.key()) < 0) {
                AtPress.note(conditions, noted);
            } else if (sheet.equals(sheetOf(told))) {
                readings.add(told);
            }
        }
        return new Standard(
                run,
                pull,
                pull.loading().stream()
                        .map(load -> ledger.justBefore(load.load(), List.of(pull.key()))
                                .get(0))
                        .toList(),
                charged(stories, pull.loading(), StoryKey.FIRST, pull.key()),
                stone,
                state,
                conditions,
                readings);
    }

    /** The sheet that a reading or judgement is of. */
    private static @Nullable ThingId sheetOf(Told told) {
        if (told.event() instanceof PressEvent.Measured measured) {
            return measured.sheet();
        } else if (told.event() instanceof PressEvent.Matched matched) {
            return matched.sheet();
        }
        return told.event() instanceof TestEvent.ColourRead read ? read.sheet() : null;
    }

    /** Mixes charged onto some loads behind one moment and up to another, each once. */
    private static List<ThingId> charged(Stories stories, List<Load> loads, StoryKey behind, StoryKey until) {
        Set<ThingId> mixes = new LinkedHashSet<>();
        loads.stream()
                .map(Load::load)
                .distinct()
                .flatMap(load -> stories.of(load, Set.of(Role.IN), until).stream())
                .filter(told -> told.key().compareTo(behind) > 0)
                .sorted(Comparator.comparing(Told::key))
                .forEach(told -> {
                    if (told.event() instanceof InkEvent.Moved moved && moved.why() == Why.CHARGED) {
                        mixes.add(stories.canonical(moved.from()));
                    }
                });
        return List.copyOf(mixes);
    }

    /** What became of each run since its OK proof. */
    static List<Since> since(Stories stories, Runs runs, OkProof ok) {
        return ok.standards.stream()
                .map(standard -> since(stories, runs, standard))
                .toList();
    }

    private static Since since(Stories stories, Runs runs, Standard ok) {
        List<Run.Pull> edition = ok.run.pulls().stream()
                .filter(pull -> pull.number() > 0 && pull.key().compareTo(ok.pull.key()) > 0)
                .toList();
        if (edition.isEmpty()) {
            return new Since(ok.run, false, List.of(), List.of(), Optional.empty(), List.of());
        }
        StoryKey last = edition.get(edition.size() - 1).key();
        List<Load> loads = edition.stream()
                .flatMap(pull -> pull.loading().stream())
                .distinct()
                .toList();
        List<ThingId> mixes = new ArrayList<>(charged(stories, loads, ok.pull.key(), last));
        if (mixes.isEmpty()) {
            mixes.addAll(ok.mixes);
        }
        List<Told> changes = Stream.concat(
                        stories.of(ok.run.id(), Set.of(Role.NOTED, Role.PRESS), last).stream()
                                .filter(told -> told.event() instanceof PressEvent.Noted
                                        || told.event() instanceof PressEvent.LaySet
                                        || told.event() instanceof PressEvent.RunStarted),
                        ok.stone.stream()
                                .flatMap(stone -> stories.of(stone, Set.of(Role.NOTED), last).stream())
                                .filter(told -> told.event() instanceof StoneEvent.Treated))
                .filter(told -> told.key().compareTo(ok.pull.key()) > 0)
                .distinct()
                .sorted(Comparator.comparing(Told::key))
                .toList();
        return new Since(
                ok.run,
                true,
                mixes,
                mixes.stream()
                        .filter(mix -> remadeFrom(stories, mix)
                                .filter(ok.mixes::contains)
                                .isPresent())
                        .toList(),
                farthest(runs, ok, edition),
                changes);
    }

    private static Optional<ThingId> remadeFrom(Stories stories, ThingId mix) {
        return stories.of(mix, Set.of(Role.DEFINES), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof InkEvent.MixStarted)
                .map(told -> ((InkEvent.MixStarted) told.event()).rebuilds())
                .filter(Objects::nonNull)
                .map(rebuilt -> stories.canonical(rebuilt.mix()))
                .findFirst();
    }

    private static Optional<Farthest> farthest(Runs runs, Standard ok, List<Run.Pull> edition) {
        Farthest farthest = null;
        double most = -1;
        Map<Run.Pull, List<Contents>> at = runs.loadsAtEach(ok.run);
        for (Run.Pull pull : edition) {
            List<Contents> ink = at.getOrDefault(pull, List.of());
            for (int side = 0; side < Math.min(ink.size(), ok.ink.size()); side++) {
                Map<ThingId, Double> then = shares(runs, ok.ink.get(side));
                Map<ThingId, Double> here = shares(runs, ink.get(side));
                Set<ThingId> materials = new LinkedHashSet<>(then.keySet());
                materials.addAll(here.keySet());
                for (ThingId material : materials) {
                    double was = then.getOrDefault(material, 0.0);
                    double is = here.getOrDefault(material, 0.0);
                    if (!here.isEmpty() && !then.isEmpty() && Math.abs(is - was) > most) {
                        most = Math.abs(is - was);
                        farthest = new Farthest(pull, material, was, is);
                    }
                }
            }
        }
        return Optional.ofNullable(farthest);
    }

    private static Map<ThingId, Double> shares(Runs runs, Contents contents) {
        Map<ThingId, Double> shares = new LinkedHashMap<>();
        contents.byMaterial(runs.ledger()::material)
                .forEach(part -> shares.put(part.id(), part.share().value()));
        return shares;
    }
}
