package slabside.edition;

import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import slabside.event.EditionEvent;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.PaperEvent;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.Sheet;
import slabside.event.StoneEvent;
import slabside.event.ThingId;
import slabside.event.Treatment;
import slabside.event.Why;
import slabside.views.Role;
import slabside.views.Stories;
import slabside.views.StoryKey;
import slabside.views.Told;

/**
 * How a run stands at the press: what was set up, what was last pulled and changed, which sheets come next.
 *
 * @param setUp as it was last started; empty while it is only planned
 * @param pausedAt the pause that nothing ended yet
 * @param opened when the stone was last opened, rolled up or the printing resumed, in ms; 0 when never
 * @param sheets of the edition that should go through this run, in their order
 * @param proofs sheets kept for proofs
 * @param behind of the sheets, those that an earlier run which was printed has not had yet
 * @param lost sheets spoiled at an earlier run, off the press or destroyed
 * @param feeding mixes that were charged, newest first, by load
 * @param sinceMatch edition pulls since somebody last compared with the OK proof
 * @param notes what was last written down of water, packing and the like, by its name
 */
public record AtPress(
        Run run,
        Optional<PressEvent.RunStarted> setUp,
        Optional<Told> pausedAt,
        long opened,
        List<Sheet> sheets,
        List<Sheet> proofs,
        Set<ThingId> behind,
        Set<ThingId> lost,
        Map<ThingId, List<ThingId>> feeding,
        int sinceMatch,
        Map<String, String> notes) {
    /** After a longer pause a newsprint pull is offered first. */
    private static final long LONG_PAUSE_MS = 15 * 60_000;

    /** The last pull, whatever it was for. */
    public Optional<Run.Pull> last() {
        return run.pulls().isEmpty()
                ? Optional.empty()
                : Optional.of(run.pulls().get(run.pulls().size() - 1));
    }

    /** What the next pull is for when nobody says otherwise. */
    public PullMode mode() {
        return last().map(pull -> pull.event().mode()).orElse(PullMode.NEWSPRINT);
    }

    /** Whether a newsprint pull should come first: after a long pause or an opening. */
    public boolean newsprintFirst(long now) {
        return last().filter(pull -> pull.event().mode() == PullMode.EDITION)
                .filter(pull -> now - pull.key().millis() > LONG_PAUSE_MS
                        || opened > pull.key().millis())
                .isPresent();
    }

    /** Sheets that have not been through this run, in order, those included that an earlier run has not had yet. */
    public List<Sheet> pending() {
        Set<ThingId> done = pulled(PullMode.EDITION);
        return sheets.stream().filter(sheet -> !done.contains(sheet.sheet())).toList();
    }

    /** Sheets that can go through this run now, in order. */
    public List<Sheet> next() {
        return pending().stream()
                .filter(sheet -> !behind.contains(sheet.sheet()))
                .toList();
    }

    /** Proof sheets that have not been through this run, in order; all of them when all have. */
    public List<Sheet> nextProofs() {
        Set<ThingId> done = pulled(PullMode.PROOF);
        List<Sheet> left =
                proofs.stream().filter(sheet -> !done.contains(sheet.sheet())).toList();
        return left.isEmpty() ? proofs : left;
    }

    private Set<ThingId> pulled(PullMode mode) {
        Set<ThingId> done = new HashSet<>();
        run.pulls().stream()
                .filter(pull -> pull.event().mode() == mode && pull.sheet() != null)
                .forEach(pull -> done.add(pull.sheet()));
        return done;
    }

    /** Sheets that will have gone through when none is skipped. */
    public int wanted() {
        return run.printed() + next().size();
    }

    static AtPress of(Stories stories, Run run, List<Run> runs, Optional<ThingId> stone) {
        PressEvent.RunStarted setUp = null;
        Told paused = null;
        long opened = 0;
        int sinceMatch = 0;
        Map<String, String> notes = new LinkedHashMap<>();
        for (Told told : stories.of(run.id(), Set.of(Role.PRESS, Role.NOTED), StoryKey.LAST)) {
            if (told.event() instanceof PressEvent.RunStarted started) {
                setUp = started;
            } else if (told.event() instanceof PressEvent.Paused) {
                paused = told;
            } else if (told.event() instanceof PressEvent.Resumed) {
                paused = null;
                opened = told.key().millis();
            } else if (told.event() instanceof PressEvent.Pulled pulled) {
                paused = null;
                sinceMatch += pulled.mode() == PullMode.EDITION ? 1 : 0;
            } else if (told.event() instanceof PressEvent.Matched) {
                sinceMatch = 0;
            } else if (told.event() instanceof PressEvent.Noted noted) {
                note(notes, noted);
            }
        }
        if (stone.isPresent()) {
            for (Told told : stories.of(stone.get(), Set.of(Role.NOTED), StoryKey.LAST)) {
                if (told.event() instanceof StoneEvent.Treated treated
                        && (treated.treatment() == Treatment.OPENED || treated.treatment() == Treatment.ROLLED_UP)) {
                    opened = Math.max(opened, told.key().millis());
                }
            }
        }
        Sheets paper = Sheets.of(stories, run, runs);
        return new AtPress(
                run,
                Optional.ofNullable(setUp),
                Optional.ofNullable(paused),
                opened,
                paper.going(),
                paper.proofs(),
                paper.behind(),
                paper.lost(),
                feeding(stories, run),
                sinceMatch,
                notes);
    }

    static void note(Map<String, String> notes, PressEvent.Noted noted) {
        if (noted.water() != null) {
            notes.put("water", noted.water());
        }
        if (noted.celsius() != null) {
            notes.put("°C", noted.celsius().toPlainString());
        }
        if (noted.humidity() != null) {
            notes.put("%RH", noted.humidity().toPlainString());
        }
        if (noted.packing() != null) {
            notes.put("packing", noted.packing());
        }
        if (noted.pressure() != null) {
            notes.put("pressure", noted.pressure());
        }
    }

    private static Map<ThingId, List<ThingId>> feeding(Stories stories, Run run) {
        Map<ThingId, List<ThingId>> feeding = new HashMap<>();
        for (Load load : run.loading()) {
            LinkedHashSet<ThingId> mixes = new LinkedHashSet<>();
            for (Told told : stories.of(load.load(), Set.of(Role.IN), StoryKey.LAST)) {
                if (told.event() instanceof InkEvent.Moved moved && moved.why() == Why.CHARGED) {
                    ThingId mix = stories.canonical(moved.from());
                    mixes.remove(mix);
                    mixes.add(mix);
                }
            }
            List<ThingId> newestFirst = new ArrayList<>(mixes);
            java.util.Collections.reverse(newestFirst);
            feeding.put(load.load(), newestFirst);
        }
        return feeding;
    }

    /** The sheets of an edition, told apart by what they are for. */
    private record Sheets(List<Sheet> going, List<Sheet> proofs, Set<ThingId> behind, Set<ThingId> lost) {
        static Sheets of(Stories stories, Run run, List<Run> runs) {
            List<List<Sheet>> batches = new ArrayList<>();
            Set<ThingId> lost = new HashSet<>();
            run.edition().ifPresent(edition -> {
                for (Told told : stories.of(edition, Set.of(Role.NOTED), StoryKey.LAST)) {
                    if (told.event() instanceof PaperEvent.Torn torn && !Boolean.TRUE.equals(torn.afterPrinting())) {
                        batches.add(torn.sheets());
                    } else if (told.event() instanceof EditionEvent.Curated curated
                            && curated.grade() == slabside.event.CuratedAs.DESTROYED) {
                        lost.add(curated.sheet());
                    } else if (told.event() instanceof EditionEvent.Destroyed destroyed) {
                        lost.addAll(destroyed.sheets());
                    }
                }
            });
            Set<ThingId> inEdition = new HashSet<>();
            for (Run each : runs) {
                Map<ThingId, PressGrade> last = new HashMap<>();
                for (Run.Pull pull : each.pulls()) {
                    if (pull.sheet() != null && pull.event().mode() == PullMode.EDITION) {
                        inEdition.add(pull.sheet());
                        last.put(pull.sheet(), pull.event().grade());
                    }
                }
                if (each.order() < run.order()) {
                    last.forEach((sheet, grade) -> {
                        if (grade == PressGrade.SPOILED) {
                            lost.add(sheet);
                        }
                    });
                }
            }
            Set<ThingId> edition = edition(batches, inEdition);
            Set<ThingId> proofed = proofed(runs, inEdition);
            List<Sheet> all = batches.stream().flatMap(Collection::stream).toList();
            all.stream()
                    .map(Sheet::sheet)
                    .filter(sheet -> spoiled(stories, sheet))
                    .forEach(lost::add);
            List<Sheet> going = all.stream()
                    .filter(sheet -> edition.contains(sheet.sheet()))
                    .filter(sheet -> !lost.contains(sheet.sheet()))
                    .filter(sheet -> !proofed.contains(sheet.sheet()))
                    .sorted(Comparator.comparing(Sheet::code))
                    .toList();
            return new Sheets(
                    going,
                    all.stream()
                            .filter(sheet -> proofed.contains(sheet.sheet()) || !edition.contains(sheet.sheet()))
                            .sorted(Comparator.comparing(Sheet::code))
                            .toList(),
                    behind(going, run, runs),
                    lost);
        }

        private static Set<ThingId> behind(List<Sheet> going, Run run, List<Run> runs) {
            Set<ThingId> behind = new HashSet<>();
            for (Run earlier : runs) {
                Set<ThingId> had = new HashSet<>();
                earlier.pulls().stream()
                        .filter(pull -> pull.number() > 0)
                        .forEach(pull -> Optional.ofNullable(pull.sheet()).ifPresent(had::add));
                if (earlier.order() < run.order() && !had.isEmpty()) {
                    going.stream()
                            .map(Sheet::sheet)
                            .filter(sheet -> !had.contains(sheet))
                            .forEach(behind::add);
                }
            }
            return behind;
        }

        /** The batches any sheet of which was pulled for the edition; before the first, the largest. */
        private static Set<ThingId> edition(List<List<Sheet>> batches, Set<ThingId> inEdition) {
            List<List<Sheet>> chosen = batches.stream()
                    .filter(batch -> batch.stream().anyMatch(sheet -> inEdition.contains(sheet.sheet())))
                    .toList();
            if (chosen.isEmpty()) {
                chosen = batches.stream().max(Comparator.comparingInt(List::size)).stream()
                        .toList();
            }
            Set<ThingId> sheets = new HashSet<>();
            chosen.forEach(batch -> batch.forEach(sheet -> sheets.add(sheet.sheet())));
            return sheets;
        }

        private static Set<ThingId> proofed(List<Run> runs, Set<ThingId> inEdition) {
            Set<ThingId> proofed = new HashSet<>();
            runs.forEach(run -> run.pulls().stream()
                    .filter(pull -> pull.event().mode() == PullMode.PROOF && pull.sheet() != null)
                    .filter(pull -> !inEdition.contains(pull.sheet()))
                    .forEach(pull -> proofed.add(pull.sheet())));
            return proofed;
        }

        private static boolean spoiled(Stories stories, ThingId sheet) {
            return stories.of(sheet, Set.of(Role.NOTED), StoryKey.LAST).stream()
                    .anyMatch(told -> told.event() instanceof PaperEvent.Spoiled);
        }
    }
}
