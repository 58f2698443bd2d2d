package slabside.host;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import slabside.edition.Edition;
import slabside.edition.Run;
import slabside.edition.Runs;
import slabside.event.CuratedAs;
import slabside.event.EditionEvent;
import slabside.event.EventCodec;
import slabside.event.InkEvent;
import slabside.event.MaterialRole;
import slabside.event.PaperEvent;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.StoneEvent;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.ink.Contents;
import slabside.ink.Ledger;
import slabside.ink.Recipe;
import slabside.ink.Shelf;
import slabside.plugin.StudioView;
import slabside.views.Role;
import slabside.views.StoryKey;
import slabside.views.Thing;
import slabside.views.Told;
import slabside.views.Views;

/** A run, mix or edition in words and numbers, to be held against others. People never are among them. */
final class FactsTold {
    private static final double MS_PER_HOUR = 3_600_000;

    private final Views views;
    private final Runs runs;
    private final Shelf shelf;

    FactsTold(Views views, Runs runs, Shelf shelf) {
        this.views = views;
        this.runs = runs;
        this.shelf = shelf;
    }

    /** Empty for what is neither run, mix nor edition. */
    Optional<StudioView.Facts> of(Thing thing) {
        Gathered gathered = new Gathered();
        switch (thing.kind()) {
            case "run" -> runs.run(thing.id()).ifPresent(gathered::run);
            case "mix" -> gathered.mix(thing.id());
            case "edition" -> gathered.edition(runs.edition(thing.id()));
            default -> {
                return Optional.empty();
            }
        }
        Map<String, List<String>> words = new LinkedHashMap<>();
        gathered.words.forEach((name, values) -> words.put(name, List.copyOf(values)));
        return Optional.of(
                new StudioView.Facts(thing.id().text(), thing.kind(), views.name(thing.id()), words, gathered.numbers));
    }

    private final class Gathered {
        private final Map<String, Set<String>> words = new TreeMap<>();
        private final Map<String, Double> numbers = new TreeMap<>();

        private void say(String name, @Nullable String value) {
            if (value != null && !value.isBlank()) {
                words.computeIfAbsent(name, any -> new TreeSet<>()).add(value.strip());
            }
        }

        private void count(String name, double value) {
            if (Double.isFinite(value)) {
                numbers.put(name, value);
            }
        }

        private void mean(String name, List<Double> values) {
            OptionalDouble mean = values.stream().mapToDouble(each -> each).average();
            mean.ifPresent(value -> count(name, value));
        }

        private void run(Run run) {
            run.surface().map(EventCodec::word).ifPresent(surface -> say("surface", surface));
            runs.stone(run.id()).ifPresent(stone -> {
                say("stone or plate", views.name(stone));
                views.of(stone, Set.of(Role.DEFINES), StoryKey.LAST).forEach(told -> {
                    if (told.event() instanceof StoneEvent.Listed listed) {
                        say("matrix", EventCodec.word(listed.kind()));
                    }
                });
            });
            List<Run.Pull> edition =
                    run.pulls().stream().filter(pull -> pull.number() > 0).toList();
            press(run);
            paper(run, edition);
            if (!edition.isEmpty()) {
                ink(run, edition);
            }
            count("sheets", run.printed());
            if (run.printed() > 0) {
                count("spoiled at the press, %", 100.0 * run.graded(PressGrade.SPOILED) / run.printed());
                count("queries at the press, %", 100.0 * run.graded(PressGrade.QUERY) / run.printed());
            }
            edition.forEach(pull -> pull.event().faults().forEach(fault -> say("fault", fault)));
            mean(
                    "passes",
                    edition.stream()
                            .filter(pull -> pull.event().passes() != null)
                            .map(pull -> (double) pull.event().passes())
                            .toList());
            readings(run);
            runs.ledger()
                    .perPull(run.id())
                    .filter(Ledger.PerPull::learned)
                    .ifPresent(rate -> count("g a pull", rate.grams().value()));
        }

        private void press(Run run) {
            List<Double> celsius = new ArrayList<>();
            List<Double> humidity = new ArrayList<>();
            for (Told told : views.of(run.id(), Set.of(Role.PRESS, Role.NOTED), StoryKey.LAST)) {
                if (told.event() instanceof PressEvent.RunStarted started) {
                    say("roller", started.roller() == null ? null : views.name(started.roller()));
                } else if (told.event() instanceof PressEvent.Noted noted) {
                    say("water", noted.water());
                    say("packing", noted.packing());
                    say("pressure", noted.pressure());
                    say("roller", noted.roller() == null ? null : views.name(noted.roller()));
                    if (noted.celsius() != null) {
                        celsius.add(noted.celsius().doubleValue());
                    }
                    if (noted.humidity() != null) {
                        humidity.add(noted.humidity().doubleValue());
                    }
                } else if (told.event() instanceof PressEvent.Paused paused) {
                    say("pauses", Boolean.TRUE.equals(paused.gummedUp()) ? "gummed up" : "not gummed up");
                }
            }
            mean("°C", celsius);
            mean("%RH", humidity);
        }

        private void readings(Run run) {
            Map<String, List<Double>> read = new TreeMap<>();
            for (Told told : views.of(run.id(), Set.of(Role.NOTED), StoryKey.LAST)) {
                if (told.event() instanceof PressEvent.Measured measured) {
                    read.computeIfAbsent(RunStory.called(measured), any -> new ArrayList<>())
                            .add(measured.value().doubleValue());
                } else if (told.event() instanceof TestEvent.ColourRead colour
                        && colour.over() == null
                        && colour.density() != null) {
                    read.computeIfAbsent("density", any -> new ArrayList<>())
                            .add(colour.density().doubleValue());
                }
            }
            read.forEach((quantity, values) -> mean(quantity + ", mean", values));
        }

        private void paper(Run run, List<Run.Pull> edition) {
            Optional<ThingId> of = run.edition();
            Set<ThingId> through = new LinkedHashSet<>();
            edition.forEach(pull -> {
                if (pull.sheet() != null) {
                    through.add(pull.sheet());
                }
            });
            of.ifPresent(id -> views.of(id, Set.of(Role.NOTED), StoryKey.LAST).forEach(told -> {
                if (told.event() instanceof PaperEvent.Torn torn
                        && torn.sheets().stream().anyMatch(sheet -> through.contains(sheet.sheet()))) {
                    say("paper", views.name(torn.lot()));
                }
            }));
        }

        /** Shares of the first and the last pull's load, which is all that is needed to see what kind of ink it was. */
        private void ink(Run run, List<Run.Pull> edition) {
            Run.Pull first = edition.get(0);
            Run.Pull last = edition.get(edition.size() - 1);
            List<Contents> loads = runs.loadsAt(last);
            for (Contents load : loads) {
                load.byLot().forEach(part -> say("can", views.name(part.id()) + lot(part.id())));
                load.byMaterial(runs.ledger()::material)
                        .forEach(part ->
                                say("material", shelf.material(part.id()).name()));
            }
            roles(loads);
            List<Double> grams = runs.loadsAt(first).stream()
                    .map(load -> load.grams().value())
                    .toList();
            count(
                    "load at the first pull, g",
                    grams.stream().mapToDouble(each -> each).sum());
            first.loading()
                    .forEach(load -> views.of(load.load(), Set.of(Role.IN), StoryKey.LAST)
                            .forEach(told -> {
                                if (told.event() instanceof InkEvent.Moved moved && moved.why() == Why.CHARGED) {
                                    ThingId mix = views.canonical(moved.from());
                                    say("ink", views.name(mix));
                                    Recipe.of(views, mix).ifPresent(recipe -> say("recipe", views.name(recipe.id())));
                                }
                            }));
        }

        private String lot(ThingId can) {
            return views.thing(can)
                    .map(Thing::label)
                    .filter(label -> !label.isEmpty())
                    .map(label -> " (" + label + ")")
                    .orElse("");
        }

        private void roles(List<Contents> loads) {
            Map<MaterialRole, Double> shares = new TreeMap<>();
            for (Contents load : loads) {
                load.byMaterial(runs.ledger()::material)
                        .forEach(part -> shares.merge(
                                shelf.material(part.id()).role(), part.share().value() / loads.size(), Double::sum));
            }
            shares.forEach((role, share) -> count(EventCodec.word(role).replace('-', ' ') + ", %", 100 * share));
        }

        private void mix(ThingId mix) {
            Contents now = runs.ledger().now(mix);
            // Of one that is used up, what was in it when the last of it left.
            Contents contents = now.isEmpty()
                    ? views.of(mix, Set.of(Role.OUT), StoryKey.LAST).stream()
                            .map(Told::key)
                            .max(StoryKey::compareTo)
                            .map(last ->
                                    runs.ledger().justBefore(mix, List.of(last)).get(0))
                            .orElse(now)
                    : now;
            contents.byMaterial(runs.ledger()::material)
                    .forEach(part -> count(
                            shelf.material(part.id()).name() + ", %",
                            100 * part.share().value()));
            contents.byLot().forEach(part -> say("can", views.name(part.id()) + lot(part.id())));
            Recipe.of(views, mix).ifPresent(recipe -> say("recipe", views.name(recipe.id())));
            double in = runs.ledger().steps(mix).stream()
                    .filter(step -> step.to().equals(mix))
                    .mapToDouble(
                            step -> step.grams().map(grams -> grams.value()).orElse(0.0))
                    .sum();
            count("mixed in all, g", in);
            count("in it now, g", now.isEmpty() ? 0 : now.grams().value());
            List<Told> coming = views.of(mix, Set.of(Role.IN), StoryKey.LAST);
            count("additions", coming.size());
            if (coming.size() > 1) {
                count(
                        "hours from the first addition to the last",
                        (coming.get(coming.size() - 1).key().millis()
                                        - coming.get(0).key().millis())
                                / MS_PER_HOUR);
            }
            for (Told told : views.of(mix, Set.of(Role.NOTED), StoryKey.LAST)) {
                if (told.event() instanceof TestEvent.Compared compared && compared.stiffness() != null) {
                    say("body", EventCodec.word(compared.stiffness()) + " than " + views.name(compared.against()));
                } else if (told.event() instanceof TestEvent.ColourAgreed agreed) {
                    say("agreed in", agreed.light());
                    say("agreed over", agreed.over());
                } else if (told.event() instanceof TestEvent.ColourRead read
                        && read.over() == null
                        && read.density() != null) {
                    count("density", read.density().doubleValue());
                }
            }
        }

        private void edition(Edition edition) {
            for (Run run : edition.runs()) {
                Gathered of = new Gathered();
                of.run(run);
                of.words.forEach((name, values) -> values.forEach(value -> say(name, value)));
                of.numbers.forEach((name, value) -> {
                    if (!name.equals("sheets")) {
                        count("run " + run.order() + ": " + name, value);
                    }
                });
            }
            count("runs", edition.runs().size());
            count("printed", edition.printed().size());
            count("lost on the way", edition.losses().size());
            var graded = edition.register().graded().values();
            if (!graded.isEmpty()) {
                count(
                        "good at curating, %",
                        100.0
                                * graded.stream()
                                        .filter(each -> each.grade() == CuratedAs.GOOD)
                                        .count()
                                / graded.size());
            }
            edition.plan().map(EditionEvent.Planned::number).ifPresent(number -> count("numbered, planned", number));
            edition.plan().map(EditionEvent.Planned::paper).ifPresent(lot -> say("paper", views.name(lot)));
        }
    }
}
