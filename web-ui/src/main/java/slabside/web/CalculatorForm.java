package slabside.web;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Stream;
import slabside.event.EventId;
import slabside.host.Host;
import slabside.plugin.Calculator;
import slabside.plugin.Question;
import slabside.views.Sentence;
import slabside.views.Thing;
import slabside.views.Told;

/** The form of a calculator, from what its questions declare. */
final class CalculatorForm {
    /** Kinds of questions that are typed in several lines. */
    public static final Set<Question.Kind> IN_LINES = Set.of(Question.Kind.ROWS, Question.Kind.SPECTRUM);

    private static final String VESSEL = "vessel";
    private static final int CHOICES = 200;
    private static final int READINGS = 100;

    private final Desk desk;

    CalculatorForm(Desk desk) {
        this.desk = desk;
    }

    /**
     * One question as a form asks it.
     *
     * @param groups to pick from, by kind; none for a typed reply
     * @param value shown in the field
     * @param note where a default comes from, the range, or how to reply
     */
    public record Field(
            String id,
            String label,
            String unit,
            Question.Kind kind,
            boolean optional,
            String value,
            String note,
            List<String> options,
            List<Group> groups) {}

    /** Things of one kind; {@code called} is empty when there is but one kind. */
    public record Group(String called, List<Desk.Piece> choices) {}

    /** Fields with what was replied, or else with the defaults. */
    List<Field> fields(Calculator calculator, Map<String, String> replies) {
        return calculator.questions().stream()
                .map(question -> field(question, replies))
                .toList();
    }

    /** Whether a form must be posted, for a file or much text. */
    static boolean posts(Calculator calculator) {
        return calculator.questions().stream()
                .anyMatch(question -> isFile(question)
                        || IN_LINES.contains(question.declared().kind()));
    }

    static boolean isFile(Question<?> question) {
        Question.Kind kind = question.declared().kind();
        return kind == Question.Kind.FILE || kind == Question.Kind.PICTURE;
    }

    private Field field(Question<?> question, Map<String, String> replies) {
        Question.Declared declared = question.declared();
        List<String> notes = new ArrayList<>();
        question.origin().ifPresent(origin -> notes.add("default: " + origin.words()));
        if (question.origin().isEmpty() && question.isOptional()) {
            notes.add("may stay empty");
        }
        if (!question.range().isEmpty()) {
            notes.add(question.range());
        }
        if (!declared.hint().isEmpty()) {
            notes.add(declared.hint());
        }
        if (declared.kind() == Question.Kind.ROWS) {
            notes.add("a line each: " + String.join("; ", declared.options()));
        } else if (declared.kind() == Question.Kind.SPECTRUM) {
            notes.add("a wavelength in nm and a factor on each line: 400 0.12");
        }
        if (declared.kind() == Question.Kind.PLACES) {
            notes.add("tap them in the picture, one after the other; or write "
                    + String.join(" x y; ", declared.options()) + " x y, in hundredths from the left and from the top");
        }
        return new Field(
                question.id(),
                question.label(),
                question.unit(),
                declared.kind(),
                question.isOptional(),
                isFile(question)
                        ? ""
                        : replies.getOrDefault(question.id(), question.preset().orElse("")),
                String.join(" · ", notes),
                declared.options(),
                question.picks().isEmpty() ? List.of() : groups(question, replies.getOrDefault(question.id(), "")));
    }

    /** What there is to pick, with what was picked among it. */
    private List<Group> groups(Question<?> question, String picked) {
        List<Group> groups = new ArrayList<>();
        Set<String> kinds = new LinkedHashSet<>();
        for (String kind : question.picks()) {
            kinds.addAll(kind.equals(VESSEL) ? List.of("packet", "mix", "can") : List.of(kind));
        }
        boolean full = question.picks().contains(VESSEL);
        for (String kind : kinds) {
            groups.add(new Group(
                    kinds.size() == 1 ? "" : kind,
                    kind.equals(Host.READING)
                            ? readings()
                            : things(kind, full && !question.picks().contains(kind))));
        }
        boolean listed = groups.stream()
                .flatMap(group -> group.choices().stream())
                .anyMatch(choice -> choice.href().equals(picked));
        if (!picked.isEmpty() && !listed) {
            groups.add(0, new Group(groups.isEmpty() ? "" : "picked", List.of(new Desk.Piece(named(picked), picked))));
        }
        return groups;
    }

    /** What stands under an id, or what was typed when that is none. */
    private String named(String picked) {
        return EventId.isUuid(picked)
                ? picked
                : desk.studio.views().exactly("", picked).stream()
                        .findFirst()
                        .map(this::called)
                        .orElse(picked);
    }

    private List<Desk.Piece> things(String kind, boolean full) {
        return desk.studio.views().things(kind, "", CHOICES).stream()
                .filter(thing -> !full || !desk.studio.ledger().now(thing.id()).isEmpty())
                .map(thing -> new Desk.Piece(called(thing), thing.id().text()))
                .toList();
    }

    /** By its name, or a packet by the mix it came from, and its short id. */
    String called(Thing thing) {
        String name = thing.kind().equals("packet") ? desk.packet(thing) : desk.studio.name(thing.id());
        return thing.label().isEmpty() || name.contains(thing.label())
                ? name
                : name.isEmpty() ? thing.label() : name + " (" + thing.label() + ")";
    }

    /** The newest entries that measured something. */
    private List<Desk.Piece> readings() {
        return Stream.of("press.measured", "test.colour-read", "test.spread-measured", "test.string-measured")
                .flatMap(type -> desk.studio.views().ofType(type, READINGS).stream())
                .sorted(Comparator.comparing(Told::key).reversed())
                .limit(READINGS)
                .map(told -> new Desk.Piece(
                        desk.answers.when(told) + ": " + Sentence.of(told.event(), desk.studio::name),
                        told.id().text()))
                .toList();
    }
}
