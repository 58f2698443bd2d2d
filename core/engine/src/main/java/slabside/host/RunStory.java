package slabside.host;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import slabside.colour.Bands;
import slabside.colour.CieLab;
import slabside.colour.Difference;
import slabside.colour.Illuminant;
import slabside.colour.Light;
import slabside.colour.Observer;
import slabside.edition.Edition;
import slabside.edition.Register;
import slabside.edition.Run;
import slabside.edition.Runs;
import slabside.event.Catalogue;
import slabside.event.CuratedAs;
import slabside.event.EditionEvent;
import slabside.event.EventCodec;
import slabside.event.InkEvent;
import slabside.event.Load;
import slabside.event.PressEvent;
import slabside.event.StoneEvent;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.ink.Contents;
import slabside.ink.Shelf;
import slabside.measure.Amount;
import slabside.plugin.StudioView;
import slabside.views.Role;
import slabside.views.Sentence;
import slabside.views.StoryKey;
import slabside.views.Told;
import slabside.views.Views;

/** A run told for plugins: each edition pull with what was read of its sheet and what was on the load, and all else between. */
final class RunStory {
    private static final String FROM_THE_OK_PROOF = "ΔE00 to the OK proof";

    private final Views views;
    private final Runs runs;
    private final Shelf shelf;
    private final Optional<Edition> edition;

    /**
     * @param edition the one that the run belongs to, where it is known
     */
    RunStory(Views views, Runs runs, Shelf shelf, Optional<Edition> edition) {
        this.views = views;
        this.runs = runs;
        this.shelf = shelf;
        this.edition = edition;
    }

    StudioView.RunRecord of(Run run) {
        List<Told> noted = views.of(run.id(), Set.of(Role.NOTED), StoryKey.LAST);
        Map<ThingId, Map<String, Double>> readings = new HashMap<>();
        Map<ThingId, String> matches = new HashMap<>();
        Map<ThingId, String> margins = new HashMap<>();
        Map<ThingId, Seen> labs = new HashMap<>();
        for (Told told : noted) {
            // A bar that lies over other runs is not the colour of this one.
            if (told.event() instanceof PressEvent.Measured e && e.sheet() != null) {
                of(readings, e.sheet()).put(called(e), e.value().doubleValue());
            } else if (told.event() instanceof PressEvent.Matched e && e.sheet() != null) {
                // One look may be written down in two taps.
                if (e.match() != null) {
                    matches.put(e.sheet(), EventCodec.word(e.match()));
                }
                if (e.margin() != null) {
                    margins.put(e.sheet(), EventCodec.word(e.margin()));
                }
            } else if (told.event() instanceof TestEvent.ColourRead e && e.sheet() != null && e.over() == null) {
                if (e.density() != null) {
                    of(readings, e.sheet()).put("density", e.density().doubleValue());
                }
                Seen.of(e).ifPresent(seen -> labs.put(e.sheet(), seen));
            }
        }
        Optional<ThingId> ok = run.edition().flatMap(runs::okSheet);
        Seen standard = ok.map(labs::get).orElse(null);
        labs.forEach((sheet, seen) -> {
            Map<String, Double> of = of(readings, sheet);
            of.put("L*", seen.lab().l());
            of.put("a*", seen.lab().a());
            of.put("b*", seen.lab().b());
            // The proof itself is no distance from itself.
            if (standard != null && !ok.equals(Optional.of(sheet)) && seen.comparesWith(standard)) {
                of.put(FROM_THE_OK_PROOF, Difference.ciede2000(standard.lab(), seen.lab()));
            }
        });
        Map<Run.Pull, List<Contents>> loads = runs.loadsAtEach(run);
        List<StudioView.PullRow> rows = run.pulls().stream()
                .filter(pull -> pull.number() > 0 && !pull.countedBefore())
                .map(pull -> row(pull, readings, matches, margins, loads.getOrDefault(pull, List.of())))
                .toList();
        return new StudioView.RunRecord(
                run.id().text(),
                views.name(run.id()),
                run.edition().map(ThingId::text).orElse(""),
                run.surface().map(EventCodec::word).orElse(""),
                !run.cleanedUp(),
                ok.map(sheet -> readings.getOrDefault(sheet, Map.of())).orElse(Map.of()),
                LastPulls.outOfBand(views, runs, run),
                rows,
                happenings(run, noted),
                RunChecks.of(views, runs, shelf, run));
    }

    private static Map<String, Double> of(Map<ThingId, Map<String, Double>> readings, ThingId sheet) {
        return readings.computeIfAbsent(sheet, id -> new LinkedHashMap<>());
    }

    /**
     * A colour as it was read; from a spectrum under D50, where L*a*b* was not read itself.
     *
     * @param light illuminant and observer; D50 and 2° where nobody said
     * @param hoursDry null where nobody said
     */
    private record Seen(CieLab lab, String light, @Nullable BigDecimal hoursDry) {
        private static final Light D50 = Light.weighted(Illuminant.D50, Observer.TWO_DEGREES);
        /** From so many hours on a film counts as dry (common practice, no source). */
        private static final BigDecimal DRY = BigDecimal.valueOf(24);

        static Optional<Seen> of(TestEvent.ColourRead read) {
            String usual = "D50 2";
            if (read.lab() == null) {
                return Optional.ofNullable(read.spectrum())
                        .flatMap(Bands::readable)
                        .map(bands -> new Seen(D50.lab(bands), usual, read.hoursDry()));
            }
            String light = (read.illuminant() == null
                            ? "D50"
                            : read.illuminant().strip().toUpperCase(Locale.ROOT)) + " "
                    + (read.observer() != null && read.observer().matches(".*\\b(10|1964)\\b.*|10.*") ? "10" : "2");
            return Optional.of(new Seen(CieLab.of(read.lab()), light, read.hoursDry()));
        }

        /** Only what was read under the same light, and dry with dry. */
        boolean comparesWith(Seen other) {
            return isDry() == other.isDry() && light.equals(other.light);
        }

        /** Where nobody said, it counts as dry, as it does for films. */
        private boolean isDry() {
            return hoursDry == null || hoursDry.compareTo(DRY) >= 0;
        }
    }

    /** What was measured, with its unit, so that millimetres and densities never stand in one series. */
    static String called(PressEvent.Measured event) {
        return event.quantity() + (event.unit() == null ? "" : ", " + event.unit());
    }

    private StudioView.PullRow row(
            Run.Pull pull,
            Map<ThingId, Map<String, Double>> readings,
            Map<ThingId, String> matches,
            Map<ThingId, String> margins,
            List<Contents> loads) {
        ThingId sheet = pull.sheet();
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
                sheet == null ? "" : matches.getOrDefault(sheet, ""),
                sheet == null ? "" : margins.getOrDefault(sheet, ""),
                loads.stream().map(this::onLoad).toList(),
                edition.map(of -> of.register().impressions().get(sheet))
                        .map(Register.Impression::written)
                        .orElse(""),
                edition.map(of -> of.register().graded().get(sheet)).map(RunStory::looked));
    }

    private static StudioView.Looked looked(EditionEvent.Curated curated) {
        return new StudioView.Looked(
                EventCodec.word(curated.grade()),
                curated.words() == null || curated.grade() == CuratedAs.GOOD
                        ? List.of()
                        : Stream.of(curated.words().split("[,;]"))
                                .map(String::strip)
                                .filter(reason -> !reason.isEmpty())
                                .toList());
    }

    private StudioView.OnLoad onLoad(Contents contents) {
        return new StudioView.OnLoad(
                contents.grams().value(), named(contents.byMaterial(runs.ledger()::material)), named(contents.byLot()));
    }

    private Map<String, Double> named(List<Contents.Part> parts) {
        Map<String, Double> shares = new LinkedHashMap<>();
        parts.forEach(part -> shares.merge(views.name(part.id()), part.share().value(), Double::sum));
        return shares;
    }

    /**
     * All else that was written down of the run, its loads and its stone between the first set-up and the last pull, and what
     * went into the mixes that were charged, whenever that was.
     */
    private List<StudioView.Happening> happenings(Run run, List<Told> noted) {
        List<Run.Pull> edition = run.firstPulls();
        if (edition.isEmpty()) {
            return List.of();
        }
        StoryKey first = views.of(run.id(), Set.of(Role.PRESS), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof PressEvent.RunStarted)
                .map(Told::key)
                .filter(key -> key.compareTo(edition.get(0).key()) < 0)
                .findFirst()
                .orElse(edition.get(0).key());
        // What came after the last pull of a run that is still open has not been seen on any print yet, but is told.
        StoryKey last = run.cleanedUp() ? edition.get(edition.size() - 1).key() : StoryKey.LAST;
        Set<ThingId> loads = edition.stream()
                .flatMap(pull -> pull.loading().stream())
                .map(Load::load)
                .collect(Collectors.toCollection(LinkedHashSet::new));
        List<Told> all = new ArrayList<>();
        noted.stream().filter(RunStory::isCause).forEach(all::add);
        views.of(run.id(), Set.of(Role.PRESS), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof PressEvent.RunStarted)
                .forEach(all::add);
        loads.forEach(load -> views.of(load, Set.of(Role.IN, Role.OUT), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof InkEvent.Moved)
                .forEach(all::add));
        runs.stone(run.id())
                .ifPresent(stone -> views.of(stone, Set.of(Role.NOTED), StoryKey.LAST).stream()
                        .filter(told -> told.event() instanceof StoneEvent.Treated)
                        .forEach(all::add));
        Set<ThingId> mixes = charged(all);
        return Stream.concat(
                        all.stream()
                                .filter(told -> told.key().compareTo(first) > 0
                                        && told.key().compareTo(last) < 0),
                        mixes.stream()
                                .flatMap(mix -> views.of(mix, Set.of(Role.IN), StoryKey.LAST).stream())
                                .filter(told -> told.event() instanceof InkEvent.Moved
                                        && told.key().compareTo(last) < 0))
                .distinct()
                .sorted(Comparator.comparing(Told::key))
                .map(told -> happening(told, run, edition, loads))
                .toList();
    }

    private Set<ThingId> charged(List<Told> all) {
        Set<ThingId> mixes = new LinkedHashSet<>();
        for (Told told : all) {
            if (told.event() instanceof InkEvent.Moved moved && moved.why() == Why.CHARGED) {
                mixes.add(views.canonical(moved.from()));
            }
        }
        return mixes;
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

    private StudioView.Happening happening(Told told, Run run, List<Run.Pull> edition, Set<ThingId> loads) {
        Optional<Run.Pull> next = edition.stream()
                .filter(pull -> pull.key().compareTo(told.key()) > 0)
                .min(Comparator.comparingInt(Run.Pull::number));
        Map<String, Double> numbers = new LinkedHashMap<>();
        String from = "";
        int load = -1;
        if (told.event() instanceof InkEvent.Moved moved) {
            from = moved.why() == Why.CHARGED
                    ? views.name(moved.from())
                    : loads.contains(views.canonical(moved.to())) || loads.contains(views.canonical(moved.from()))
                            ? ""
                            : views.name(moved.to());
            List<ThingId> loading = next.orElse(edition.get(edition.size() - 1)).loading().stream()
                    .map(each -> views.canonical(each.load()))
                    .toList();
            load = Math.max(
                    loading.indexOf(views.canonical(moved.to())), loading.indexOf(views.canonical(moved.from())));
            grams(moved.amount()).ifPresent(grams -> numbers.put("g", grams));
        } else if (told.event() instanceof PressEvent.Noted noted) {
            if (noted.celsius() != null) {
                numbers.put("°C", noted.celsius().doubleValue());
            }
            if (noted.humidity() != null) {
                numbers.put("%RH", noted.humidity().doubleValue());
            }
        }
        return new StudioView.Happening(
                told.id().text(),
                told.key().millis(),
                type(told),
                next.map(Run.Pull::number).orElse(0),
                told.event() instanceof PressEvent.HandsChanged
                        // Whose they are is nobody's fault.
                        ? "other hands took over"
                        : Sentence.of(
                                told.event(),
                                id -> id.equals(run.id())
                                        ? "this run"
                                        : loads.contains(id) ? "the slab" : views.name(id)),
                from,
                load,
                numbers);
    }

    private static OptionalDouble grams(Amount amount) {
        return amount instanceof Amount.Weighed weighed
                ? OptionalDouble.of(weighed.netMg() / 1000.0)
                : amount instanceof Amount.Net net ? OptionalDouble.of(net.mg() / 1000.0) : OptionalDouble.empty();
    }

    private static String type(Told told) {
        if (told.event() instanceof InkEvent.Moved moved) {
            return "ink." + EventCodec.word(moved.why());
        } else if (told.event() instanceof PressEvent.Noted noted) {
            return noted.water() != null
                    ? "press.water"
                    : noted.roller() != null
                            ? "press.roller"
                            : noted.packing() != null
                                    ? "press.packing"
                                    : noted.pressure() != null
                                            ? "press.pressure"
                                            : noted.words() != null ? "press.noted" : "press.read";
        }
        return Catalogue.type(told.event());
    }
}
