package slabside.swatch;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import slabside.looks.Mixed;
import slabside.looks.Sheets;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** What two or three inks give where one is printed over the other, in every order; or the runs of an edition in theirs. */
public final class Overlaps implements Calculator {
    private static final Question<String> EDITION = Question.pick("edition", "The runs of an edition", "edition")
            .optional()
            .hint("or pick inks");
    private static final Question<String> FIRST =
            Question.pick("first", "One ink", "vessel").optional();
    private static final Question<String> SECOND =
            Question.pick("second", "Another", "vessel").optional();
    private static final Question<String> THIRD =
            Question.pick("third", "A third", "vessel").optional();
    private static final int MOST_RUNS = 6;

    @Override
    public Card card() {
        return new Card("overlaps", "Overlaps", "What colour will these inks give, one over the other?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(EDITION, FIRST, SECOND, THIRD, Sheets.FILM, Sheets.PAPER, Sheets.DARKEST);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        Optional<String> edition = replies.maybe(EDITION);
        List<Mixed> inks = edition.isPresent() ? runs(edition.get(), studio) : picked(replies, studio);
        Stack stack = new Stack(
                inks,
                replies.to(Sheets.FILM),
                Sheets.paper(replies.to(Sheets.PAPER)),
                replies.to(Sheets.DARKEST) / 100,
                studio);
        List<Answer.Swatch> singles = new ArrayList<>();
        for (int i = 0; i < inks.size(); i++) {
            singles.add(Sheets.single(inks.get(i), replies.to(Sheets.FILM), stack.alone(i)));
        }
        singles.add(Sheets.swatch("the bare paper", stack.paper()));
        List<List<Integer>> orders = new ArrayList<>(stack.orders(2));
        if (inks.size() > 2) {
            orders.addAll(stack.orders(3));
        }
        if (edition.isPresent()) {
            orders.removeIf(order -> !rises(order));
        }
        long measured = orders.stream()
                .filter(order -> stack.measured(order).isPresent())
                .count();
        List<List<Integer>> shown = new ArrayList<>(orders);
        // What was pulled and read stands first.
        shown.sort(java.util.Comparator.comparing(order -> stack.measured(order).isEmpty()));
        Answer answer = Answer.titled("Overlaps")
                .with(new Answer.Swatches(
                        String.format(Locale.ROOT, "Each alone, %.1f g/m²", replies.to(Sheets.FILM)), singles))
                .with(new Answer.Swatches(
                        "One over the other: "
                                + (measured == 0 ? "all" : orders.size() - measured + " of " + orders.size())
                                + " as computed",
                        shown.stream().map(stack::swatch).toList()));
        if (measured < orders.size()) {
            answer = answer.text(
                    "Print a small bar of each run in the waste margin of a proof, so that the bars lie one over"
                            + " the other; read each once, with what it lies over: it stands here as measured ever after.");
        }
        answer = stack.told(answer);
        if (edition.isEmpty()) {
            answer = answer.table("How much the order matters", List.of("pair", "ΔE00"), care(stack));
        }
        if (edition.isPresent()) {
            List<String> left = studio.runsOf(edition.get()).stream()
                    .filter(run -> inks.stream().noneMatch(ink -> ink.id().equals(run)))
                    .map(run ->
                            studio.thing("run", run).map(StudioView.Thing::name).orElse(run))
                    .toList();
            if (!left.isEmpty()) {
                answer = answer.caution("Not shown, because nothing of it was pulled or there are more than "
                        + MOST_RUNS + " runs: " + String.join(", ", left) + ".");
            }
        }
        for (Mixed mix : inks) {
            answer = mix.told(answer);
        }
        return Sheets.honest(answer, inks);
    }

    private static boolean rises(List<Integer> order) {
        for (int i = 1; i < order.size(); i++) {
            if (order.get(i) < order.get(i - 1)) {
                return false;
            }
        }
        return true;
    }

    private static List<Mixed> picked(Replies replies, StudioView studio) {
        List<Mixed> inks = new ArrayList<>();
        for (Question<String> question : List.of(FIRST, SECOND, THIRD)) {
            replies.maybe(question).ifPresent(vessel -> inks.add(Mixed.of(vessel, question.label(), studio)));
        }
        if (inks.size() < 2) {
            throw new BadInput(FIRST.label(), inks.size() + " picked", "pick two or three inks, or an edition");
        }
        return inks;
    }

    static List<Mixed> runs(String edition, StudioView studio) {
        List<Mixed> inks = new ArrayList<>();
        for (String run : studio.runsOf(edition)) {
            if (inks.size() < MOST_RUNS) {
                Mixed.ofRun(run, studio).ifPresent(inks::add);
            }
        }
        String first = inks.isEmpty() ? "" : inks.get(0).name();
        inks.replaceAll(ink -> ink.called(within(ink.name(), first)));
        if (inks.size() < 2) {
            throw new BadInput(
                    EDITION.label(),
                    inks.size() + " runs with ink",
                    "pick an edition of which two runs were printed at least");
        }
        return inks;
    }

    /** The name of a run without the edition's, which stands before all of them. */
    private static String within(String run, String first) {
        int same = 0;
        while (same < run.length() && same < first.length() && run.charAt(same) == first.charAt(same)) {
            same++;
        }
        int comma = run.lastIndexOf(", run ", same + 1);
        return comma < 0 ? run : run.substring(comma + 2);
    }

    /** How far each pair is apart from itself the other way round. */
    static List<List<String>> care(Stack stack) {
        List<List<String>> care = new ArrayList<>();
        for (List<Integer> order : stack.orders(2)) {
            if (rises(order)) {
                List<Integer> turned = List.of(order.get(1), order.get(0));
                care.add(List.of(
                        stack.name(order) + " or the other way round",
                        String.format(Locale.ROOT, "%.1f", Sheets.apart(stack.best(order), stack.best(turned)))));
            }
        }
        return care;
    }
}
