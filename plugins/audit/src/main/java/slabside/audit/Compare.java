package slabside.audit;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Function;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/**
 * Two runs, mixes or editions side by side: what is the same, what is different, and how unusual each difference is between
 * things of their kind in this studio.
 */
public final class Compare implements Calculator {
    static final String ID = "compare";
    private static final Question<String> ONE =
            Question.pick("one", "One run, mix or edition", "run", "mix", "edition");
    private static final Question<String> OTHER = Question.pick("other", "and another", "run", "mix", "edition");
    /** Fewer things of a kind say nothing of what is unusual: assumption. */
    private static final int FEWEST = 4;

    private static final int TOLD = 3;

    @Override
    public Card card() {
        return new Card(ID, "Side by side", "What is the same in two runs, mixes or editions, and what is not?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(ONE, OTHER);
    }

    /** @param unusual part of all pairs here that differ as much; empty when there are too few to say */
    private record Difference(String what, String one, String other, Optional<Double> unusual) {}

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        StudioView.Facts one = facts(replies.to(ONE), ONE, studio);
        StudioView.Facts other = facts(replies.to(OTHER), OTHER, studio);
        if (!one.kind().equals(other.kind())) {
            throw new BadInput(
                    OTHER.label(),
                    other.name(),
                    "this is " + an(other.kind()) + "; pick " + an(one.kind()) + " like the other");
        }
        if (one.id().equals(other.id())) {
            throw new BadInput(OTHER.label(), other.name(), "pick another one than " + one.name());
        }
        List<StudioView.Facts> all = studio.factsOfAll(one.kind());
        List<Difference> different = new ArrayList<>();
        List<List<String>> same = new ArrayList<>();
        for (String what : names(one, other, StudioView.Facts::numbers)) {
            Double x = one.numbers().get(what);
            Double y = other.numbers().get(what);
            if (x != null && y != null && shown(x).equals(shown(y))) {
                same.add(List.of(what, shown(x)));
            } else {
                different.add(new Difference(
                        what,
                        x == null ? "not known" : shown(x),
                        y == null ? "not known" : shown(y),
                        x == null || y == null ? Optional.empty() : unusual(all, what, Math.abs(x - y))));
            }
        }
        for (String what : names(one, other, StudioView.Facts::words)) {
            List<String> x = one.words().getOrDefault(what, List.of());
            List<String> y = other.words().getOrDefault(what, List.of());
            if (x.equals(y)) {
                same.add(List.of(what, String.join(", ", x)));
            } else {
                different.add(new Difference(
                        what,
                        x.isEmpty() ? "not known" : String.join(", ", without(x, y)),
                        y.isEmpty() ? "not known" : String.join(", ", without(y, x)),
                        x.isEmpty() || y.isEmpty() ? Optional.empty() : unusual(all, what)));
            }
        }
        different.sort(Comparator.comparing((Difference each) -> each.unusual().orElse(2.0))
                .thenComparing(Difference::what));
        return told(one, other, different, same, all.size());
    }

    private static Answer told(
            StudioView.Facts one,
            StudioView.Facts other,
            List<Difference> different,
            List<List<String>> same,
            int known) {
        Answer answer = Answer.titled(one.name() + " beside " + other.name());
        List<String> most = different.stream()
                .filter(each -> each.unusual().filter(part -> part < 0.5).isPresent())
                .limit(TOLD)
                .map(each -> each.what() + " (" + each.one() + " and " + each.other() + ")")
                .toList();
        if (different.isEmpty()) {
            answer = answer.text("Nothing that is written down of them differs.");
        } else if (known < FEWEST) {
            answer = answer.text("There are only " + known + " " + many(one.kind())
                    + " in this log, too few to say which difference is unusual; all are listed.");
        } else if (most.isEmpty()) {
            answer = answer.text(
                    "They differ in nothing that is unusual between " + many(one.kind()) + " of this studio.");
        } else {
            answer = answer.text("They differ most unusually in: " + String.join("; ", most) + ".");
        }
        return answer.with(new Answer.Table(
                        "Different, the most unusual first",
                        List.of("what", one.name(), other.name(), "pairs here that differ as much"),
                        different.stream()
                                .map(each -> List.of(
                                        each.what(),
                                        each.one(),
                                        each.other(),
                                        each.unusual().map(Words::percent).orElse("")))
                                .toList()))
                .with(new Answer.Deeper(
                        "The same in both", List.of(new Answer.Table("", List.of("what", "both"), same))))
                .with(new Answer.Link("To " + one.name(), one.id()))
                .with(new Answer.Link("To " + other.name(), other.id()))
                .assumption(
                        "a difference is as unusual as the part of all pairs of the newest " + known + " "
                                + many(one.kind())
                                + " that differ as much; it says nothing of what did harm. People are left out",
                        "measured here");
    }

    private static StudioView.Facts facts(String id, Question<String> question, StudioView studio) {
        return studio.facts(id)
                .orElseThrow(() -> new BadInput(question.label(), id, "pick a run, a mix or an edition of this log"));
    }

    private static String many(String kind) {
        return kind + (kind.endsWith("x") ? "es" : "s");
    }

    private static String an(String kind) {
        return (kind.startsWith("e") ? "an " : "a ") + kind;
    }

    private static Set<String> names(
            StudioView.Facts one, StudioView.Facts other, Function<StudioView.Facts, Map<String, ?>> of) {
        Set<String> names = new TreeSet<>(of.apply(one).keySet());
        names.addAll(of.apply(other).keySet());
        return names;
    }

    private static List<String> without(List<String> some, List<String> others) {
        List<String> left = some.stream().filter(each -> !others.contains(each)).toList();
        return left.isEmpty() ? List.of("nothing else") : left;
    }

    private static Optional<Double> unusual(List<StudioView.Facts> all, String what, double difference) {
        int pairs = 0;
        int asMuch = 0;
        for (int i = 0; i < all.size(); i++) {
            for (int j = 0; j < i; j++) {
                Double x = all.get(i).numbers().get(what);
                Double y = all.get(j).numbers().get(what);
                if (x != null && y != null) {
                    pairs++;
                    asMuch += Math.abs(x - y) >= difference - 1e-9 ? 1 : 0;
                }
            }
        }
        return part(asMuch, pairs);
    }

    private static Optional<Double> unusual(List<StudioView.Facts> all, String what) {
        int pairs = 0;
        int different = 0;
        for (int i = 0; i < all.size(); i++) {
            for (int j = 0; j < i; j++) {
                List<String> x = all.get(i).words().getOrDefault(what, List.of());
                List<String> y = all.get(j).words().getOrDefault(what, List.of());
                if (!x.isEmpty() && !y.isEmpty()) {
                    pairs++;
                    different += x.equals(y) ? 0 : 1;
                }
            }
        }
        return part(different, pairs);
    }

    private static Optional<Double> part(int some, int all) {
        return all < FEWEST * (FEWEST - 1) / 2 ? Optional.empty() : Optional.of((double) some / all);
    }

    private static String shown(double value) {
        return value == Math.rint(value) && Math.abs(value) < 1e6
                ? String.format(Locale.ROOT, "%.0f", value)
                : Words.shown(value);
    }
}
