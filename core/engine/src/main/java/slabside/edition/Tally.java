package slabside.edition;

import static java.util.Objects.requireNonNull;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import slabside.event.InkEvent;
import slabside.event.PressEvent;
import slabside.event.PullMode;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.measure.Amount;
import slabside.measure.BadInput;
import slabside.measure.Mass;
import slabside.views.Role;
import slabside.views.StoryKey;
import slabside.views.Told;
import slabside.views.Views;

/**
 * A run in the words of a {@link RunSheet}: read again, they say the same pulls, charges and notes.
 *
 * @param text parted by semicolons
 * @param besides what those words cannot say, in order
 */
public record Tally(String text, List<Told> besides) {
    public Tally {
        besides = List.copyOf(besides);
    }

    /** Tallies what was written of a run. */
    public static Tally of(Views views, Run run) {
        return new Writer(views, run).write();
    }

    private static final class Writer {
        private final Views views;
        private final Run run;
        private final List<String> parts = new ArrayList<>();
        private final List<Told> besides = new ArrayList<>();
        private final Map<Told, Run.Pull> pulls = new LinkedHashMap<>();
        /** Pulls of one kind that follow each other. */
        private int from;

        private int to;
        private String kind = "";
        private final Set<Integer> again = new HashSet<>();
        /** Something was pulled. */
        private boolean begun;

        Writer(Views views, Run run) {
            this.views = views;
            this.run = run;
            run.pulls().stream().filter(pull -> !pull.countedBefore()).forEach(pull -> pulls.put(pull.told(), pull));
        }

        Tally write() {
            List<Told> story = new ArrayList<>(views.of(run.id(), Set.of(Role.NOTED), StoryKey.LAST));
            story.addAll(pulls.keySet());
            loads().forEach(load -> story.addAll(views.of(load, Set.of(Role.IN, Role.OUT), StoryKey.LAST)));
            List<Told> inOrder = story.stream()
                    .filter(told -> !(told.event() instanceof PressEvent.Pulled) || pulls.containsKey(told))
                    .filter(told -> told.event() instanceof PressEvent.Pulled
                            || told.event() instanceof PressEvent.Noted
                            || told.event() instanceof InkEvent.Moved)
                    .sorted(Comparator.comparing(Told::key))
                    .distinct()
                    .toList();
            for (int i = 0; i < inOrder.size(); i++) {
                Told told = inOrder.get(i);
                if (told.event() instanceof PressEvent.Pulled) {
                    pull(told, next(inOrder, i));
                } else {
                    String said = said(told, next(inOrder, i));
                    if (said.isEmpty()) {
                        besides.add(told);
                    } else {
                        close();
                        parts.add(said);
                    }
                }
            }
            close();
            return new Tally(String.join("; ", counted(parts)), besides);
        }

        /** Everything that ever stood for slab, roller and stone of the run. */
        private Set<ThingId> loads() {
            Set<ThingId> loads = new LinkedHashSet<>();
            views.of(run.id(), Set.of(Role.PRESS), StoryKey.LAST).stream()
                    .filter(told -> told.event() instanceof PressEvent.RunStarted)
                    .flatMap(told -> ((PressEvent.RunStarted) told.event()).loads().stream())
                    .forEach(load -> loads.add(views.canonical(load.load())));
            return loads;
        }

        /** With several newsprint pulls or proofs in a row told as one. */
        private static List<String> counted(List<String> parts) {
            List<String> counted = new ArrayList<>();
            for (int i = 0, times = 1; i < parts.size(); i += times, times = 1) {
                String part = parts.get(i);
                while (part.startsWith("1 ")
                        && i + times < parts.size()
                        && parts.get(i + times).equals(part)
                        && part.matches("1 (newsprint|proof).*")) {
                    times++;
                }
                counted.add(times == 1 ? part : times + part.substring(1).replace("proof", "proofs"));
            }
            return counted;
        }

        /** Number of the next edition pull after a place; 0 before the first of all and behind the last. */
        private int next(List<Told> story, int place) {
            return story.subList(place + 1, story.size()).stream()
                    .map(pulls::get)
                    .filter(pull -> pull != null && isEdition(pull) && !isSecond(pull))
                    .mapToInt(Run.Pull::number)
                    .findFirst()
                    .orElse(0);
        }

        private static boolean isEdition(Run.Pull pull) {
            return pull.event().mode() == PullMode.EDITION;
        }

        private static boolean isSecond(Run.Pull pull) {
            return Boolean.TRUE.equals(pull.event().secondHit());
        }

        private void pull(Told told, int next) {
            Run.Pull pull = requireNonNull(pulls.get(told));
            PressEvent.Pulled event = pull.event();
            if (event.mode() == PullMode.CANCELLATION || !isEdition(pull) && next == 0 && to > 0) {
                besides.add(told);
                return;
            }
            List<String> faults = event.faults().stream()
                    .filter(fault -> !fault.matches("(?s).*[,;()\n].*"))
                    .toList();
            if (faults.size() < event.faults().size()) {
                // Its pull is told all the same, so that the numbers have no gap.
                besides.add(told);
            }
            begun = true;
            if (!isEdition(pull)) {
                close();
                parts.add("1 " + (event.mode() == PullMode.NEWSPRINT ? "newsprint" : "proof") + at(next));
                return;
            }
            String words = slabside.event.EventCodec.word(event.grade())
                    + (event.passes() == null ? "" : " " + event.passes() + " passes")
                    + (faults.isEmpty() ? "" : faults.stream().collect(Collectors.joining(", ", " (", ")")));
            if (isSecond(pull)) {
                if (pull.number() == to && again.add(to)) {
                    close();
                    parts.add("second hit of " + to + " " + words);
                } else {
                    besides.add(told);
                }
                return;
            }
            if (!words.equals(kind) || pull.number() != to + 1) {
                close();
                from = pull.number();
                kind = words;
            }
            to = pull.number();
        }

        private void close() {
            if (!kind.isEmpty()) {
                parts.add((from == to ? "" + from : from + "–" + to) + " " + kind);
            }
            kind = "";
        }

        private static String at(int number) {
            return number > 1 ? " at " + number : "";
        }

        /** A charge, a note or a wash-up; an empty text for what a run sheet has no words for. */
        private String said(Told told, int next) {
            if (told.event() instanceof PressEvent.Noted noted) {
                return noted(noted, next);
            }
            InkEvent.Moved moved = (InkEvent.Moved) told.event();
            Optional<String> amount = amount(moved.amount());
            int side = run.loads().indexOf(views.canonical(moved.why() == Why.CHARGED ? moved.to() : moved.from()));
            String on = run.loads().size() > 1 ? " on side " + (side + 1) : "";
            if (amount.isEmpty() || side < 0) {
                return "";
            }
            if (moved.why() == Why.CHARGED && (next > 0 || isBeforeAll())) {
                return called(moved.from())
                        .map(mix -> "charged " + amount.get() + on + " of " + mix
                                + (begun && next == 1 ? " at 1" : at(next)))
                        .orElse("");
            }
            return moved.why() == Why.WASHED_UP && next == 0 && !isBeforeAll() ? "washed up " + amount.get() + on : "";
        }

        /** No edition pull was told yet. */
        private boolean isBeforeAll() {
            return to == 0;
        }

        private static String noted(PressEvent.Noted noted, int next) {
            String words = noted.words();
            boolean plain = words != null
                    && words.matches("[^;\n,()]+")
                    && !words.matches("(?i).*\\s(at|before)\\s+\\d.*|(charged|washed up|second hit)\\b.*|\\d.*");
            boolean alone = noted.water() == null
                    && noted.celsius() == null
                    && noted.humidity() == null
                    && noted.packing() == null
                    && noted.pressure() == null
                    && noted.roller() == null;
            return words != null && plain && alone && next > 0 ? words.strip() + " at " + next : "";
        }

        /** A mix by its short id; else by a name that no other has and that cannot be taken for something else. */
        private Optional<String> called(ThingId mix) {
            return views.thing(views.canonical(mix))
                    .filter(thing -> thing.kind().equals("mix"))
                    .map(thing -> thing.label().isEmpty() ? thing.name() : thing.label())
                    .filter(name -> views.called("mix", name).size() == 1)
                    .filter(name -> name.matches("[^;\n,()]+") && !name.matches("(?i).*\\s(at|before)\\s.*"));
        }

        /** As it was typed, when that reads the same again; else its mass. */
        private static Optional<String> amount(Amount amount) {
            for (@Nullable String text : new String[] {amount.entered(), mass(amount)}) {
                if (text != null && !text.isBlank() && reads(text, amount)) {
                    return Optional.of(text.strip() + (text.strip().matches("[\\d.,]+") ? " g" : ""));
                }
            }
            return Optional.empty();
        }

        private static @Nullable String mass(Amount amount) {
            return amount instanceof Amount.Net || amount instanceof Amount.Weighed ? amount.shown() : null;
        }

        private static boolean reads(String text, Amount amount) {
            if (text.matches(".*[;\n].*|.*\\D,.*|.*,\\D.*|.*\\b(of|at|before)\\b.*")) {
                return false;
            }
            try {
                Amount again = RunSheet.amount(text.strip());
                return grams(again).isPresent()
                        ? grams(again).equals(grams(amount))
                        : again.getClass() == amount.getClass() && !(again instanceof Amount.Parts);
            } catch (BadInput unreadable) {
                return false;
            }
        }

        private static Optional<List<Mass>> grams(Amount amount) {
            if (amount instanceof Amount.Weighed w) {
                return Optional.of(List.of(new Mass(w.netMg())));
            }
            if (amount instanceof Amount.Net n) {
                return Optional.of(List.of(new Mass(n.mg())));
            }
            return amount instanceof Amount.Estimated e
                    ? Optional.of(List.of(new Mass(e.lowMg()), new Mass(e.highMg())))
                    : Optional.empty();
        }
    }
}
