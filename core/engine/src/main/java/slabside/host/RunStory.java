package slabside.host;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import java.util.Set;
import java.util.stream.Stream;
import slabside.edition.Run;
import slabside.edition.Runs;
import slabside.event.Catalogue;
import slabside.event.EventCodec;
import slabside.event.InkEvent;
import slabside.event.PressEvent;
import slabside.event.StoneEvent;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.ink.Contents;
import slabside.plugin.StudioView;
import slabside.views.Role;
import slabside.views.Sentence;
import slabside.views.StoryKey;
import slabside.views.Told;
import slabside.views.Views;

/** A run told for plugins: each edition pull with what was read of its sheet and what was on the load, and all else between. */
final class RunStory {
    private final Views views;
    private final Runs runs;

    RunStory(Views views, Runs runs) {
        this.views = views;
        this.runs = runs;
    }

    StudioView.RunRecord of(Run run) {
        Map<ThingId, Map<String, Double>> readings = new HashMap<>();
        Map<ThingId, PressEvent.Matched> matches = new HashMap<>();
        List<Told> noted = views.of(run.id(), Set.of(Role.NOTED), StoryKey.LAST);
        for (Told told : noted) {
            if (told.event() instanceof PressEvent.Measured e && e.sheet() != null) {
                readings.computeIfAbsent(e.sheet(), id -> new LinkedHashMap<>())
                        .put(called(e), e.value().doubleValue());
            } else if (told.event() instanceof PressEvent.Matched e && e.sheet() != null) {
                matches.put(e.sheet(), e);
            } else if (told.event() instanceof TestEvent.ColourRead e && e.sheet() != null && e.density() != null) {
                readings.computeIfAbsent(e.sheet(), id -> new LinkedHashMap<>())
                        .put("density", e.density().doubleValue());
            }
        }
        Map<Run.Pull, List<Contents>> loads = runs.loadsAtEach(run);
        List<StudioView.PullRow> rows = run.pulls().stream()
                .filter(pull -> pull.number() > 0 && !pull.countedBefore())
                .map(pull -> row(pull, readings, matches, loads.getOrDefault(pull, List.of())))
                .toList();
        return new StudioView.RunRecord(
                run.id().text(),
                views.name(run.id()),
                run.surface().map(EventCodec::word).orElse(""),
                rows,
                happenings(run, noted),
                RunChecks.of(views, runs, run));
    }

    /** What was measured, with its unit, so that millimetres and densities never stand in one series. */
    private static String called(PressEvent.Measured event) {
        return event.quantity() + (event.unit() == null ? "" : ", " + event.unit());
    }

    private StudioView.PullRow row(
            Run.Pull pull,
            Map<ThingId, Map<String, Double>> readings,
            Map<ThingId, PressEvent.Matched> matches,
            List<Contents> loads) {
        ThingId sheet = pull.sheet();
        PressEvent.Matched match = sheet == null ? null : matches.get(sheet);
        return new StudioView.PullRow(
                pull.told().id().text(),
                pull.key().millis(),
                pull.number(),
                sheet == null ? "" : views.name(sheet),
                EventCodec.word(pull.event().grade()),
                Boolean.TRUE.equals(pull.event().secondHit()),
                pull.event().passes() == null
                        ? OptionalInt.empty()
                        : OptionalInt.of(pull.event().passes()),
                pull.event().faults(),
                sheet == null ? Map.of() : readings.getOrDefault(sheet, Map.of()),
                match == null || match.match() == null ? "" : EventCodec.word(match.match()),
                match == null || match.margin() == null ? "" : EventCodec.word(match.margin()),
                loads.stream().map(this::onLoad).toList());
    }

    private StudioView.OnLoad onLoad(Contents contents) {
        Map<String, Double> shares = new LinkedHashMap<>();
        contents.byMaterial(runs.ledger()::material)
                .forEach(
                        part -> shares.merge(views.name(part.id()), part.share().value(), Double::sum));
        return new StudioView.OnLoad(contents.grams().value(), shares);
    }

    /** All else that was written down of the run, its loads and its stone between the first set-up and the last pull. */
    private List<StudioView.Happening> happenings(Run run, List<Told> noted) {
        List<Run.Pull> edition =
                run.pulls().stream().filter(pull -> pull.number() > 0).toList();
        if (edition.isEmpty()) {
            return List.of();
        }
        StoryKey first = views.of(run.id(), Set.of(Role.PRESS), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof PressEvent.RunStarted)
                .map(Told::key)
                .filter(key -> key.compareTo(edition.get(0).key()) < 0)
                .findFirst()
                .orElse(edition.get(0).key());
        StoryKey last = edition.get(edition.size() - 1).key();
        List<Told> all = new ArrayList<>();
        noted.stream().filter(told -> isCause(told)).forEach(all::add);
        views.of(run.id(), Set.of(Role.PRESS), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof PressEvent.RunStarted)
                .forEach(all::add);
        edition.stream()
                .flatMap(pull -> pull.loading().stream())
                .map(load -> load.load())
                .distinct()
                .forEach(load -> views.of(load, Set.of(Role.IN, Role.OUT), StoryKey.LAST).stream()
                        .filter(told -> told.event() instanceof InkEvent.Moved)
                        .forEach(all::add));
        runs.stone(run.id())
                .ifPresent(stone -> views.of(stone, Set.of(Role.NOTED), StoryKey.LAST).stream()
                        .filter(told -> told.event() instanceof StoneEvent.Treated)
                        .forEach(all::add));
        return all.stream()
                .distinct()
                .filter(told -> told.key().compareTo(first) > 0 && told.key().compareTo(last) < 0)
                .sorted(Comparator.comparing(Told::key))
                .map(told -> happening(told, run, edition))
                .toList();
    }

    private static boolean isCause(Told told) {
        return Stream.of(
                        PressEvent.Noted.class,
                        PressEvent.LaySet.class,
                        PressEvent.HandsChanged.class,
                        PressEvent.Paused.class,
                        PressEvent.Resumed.class)
                .anyMatch(type -> type.isInstance(told.event()));
    }

    private StudioView.Happening happening(Told told, Run run, List<Run.Pull> edition) {
        Set<ThingId> loads = new HashSet<>();
        run.pulls().forEach(pull -> pull.loading().forEach(load -> loads.add(load.load())));
        int before = edition.stream()
                .filter(pull -> pull.key().compareTo(told.key()) > 0)
                .mapToInt(Run.Pull::number)
                .min()
                .orElse(0);
        String from = told.event() instanceof InkEvent.Moved moved && moved.why() == Why.CHARGED
                ? views.name(moved.from())
                : "";
        String type = told.event() instanceof InkEvent.Moved moved
                ? "ink." + EventCodec.word(moved.why())
                : Catalogue.of(told.event()).type();
        return new StudioView.Happening(
                told.id().text(),
                told.key().millis(),
                type,
                before,
                Sentence.of(
                        told.event(),
                        id -> id.equals(run.id()) ? "this run" : loads.contains(id) ? "the slab" : views.name(id)),
                from);
    }
}
