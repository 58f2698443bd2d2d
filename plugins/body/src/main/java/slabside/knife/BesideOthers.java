package slabside.knife;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import slabside.body.Beside;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** Where an ink stands among the others, from every time that two were held side by side under the knife. */
public final class BesideOthers implements Calculator {
    private static final Question<String> INK = Question.pick("ink", "Ink", "vessel");
    /** Inks that are held in mind; the newest comparisons come first. */
    private static final int MOST = 100;

    /** Standard deviations from which a difference is told as one (97.5 %), and as likely (80 %). */
    private static final double SURE = 1.96;

    private static final double LIKELY = 0.84;

    private static final Map<String, Integer> STIFFNESS = Map.of("stiffer", 1, "same", 0, "softer", -1);
    private static final Map<String, Integer> LENGTH = Map.of("longer", 1, "same", 0, "shorter", -1);

    @Override
    public Card card() {
        return new Card(
                "beside-others", "Stiffer or softer than which?", "Where does this ink stand among the others?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(INK);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        String ink = replies.to(INK);
        Map<String, Integer> places = new LinkedHashMap<>(Map.of(ink, 0));
        List<Beside.Felt> stiffness = new ArrayList<>();
        List<Beside.Felt> length = new ArrayList<>();
        int own = 0;
        boolean changed = false;
        String next = "";
        do {
            StudioView.Page page = studio.events("test.compared", next);
            for (StudioView.Moment moment : page.moments()) {
                String first = moment.fields().at("vessel").text();
                String second = moment.fields().at("against").text();
                if (first.equals(second)
                        || places.size() >= MOST && !(places.containsKey(first) && places.containsKey(second))) {
                    continue;
                }
                int a = places.computeIfAbsent(first, any -> places.size());
                int b = places.computeIfAbsent(second, any -> places.size());
                felt(moment, "stiffness", STIFFNESS, a, b, stiffness);
                felt(moment, "length", LENGTH, a, b, length);
                if (a == 0 || b == 0) {
                    own++;
                    changed |= studio.into(ink).stream().anyMatch(path -> path.millis() > moment.millis());
                }
            }
            next = page.next();
        } while (!next.isEmpty());
        String name = studio.composition(ink).name();
        Answer answer = Answer.titled("Stiffer or softer than which?");
        if (own == 0) {
            return answer.text(name
                            + " was never held beside another. Draw both out with the knife, one beside the other: is it stiffer,"
                            + " the same or softer; longer, the same or shorter?")
                    .with(new Answer.Link("Write it down on its page", ink));
        }
        answer = told(answer, "Stiffness", "stiffer", "softer", places, stiffness, studio);
        answer = told(answer, "Length", "longer", "shorter", places, length, studio);
        if (changed) {
            answer = answer.caution(
                    "Something went into " + name + " after it was held beside others: it may stand elsewhere now.");
        }
        return answer.assumption("A difference that is felt is about a step; chains of steps add up", "assumption");
    }

    private static void felt(
            StudioView.Moment moment,
            String field,
            Map<String, Integer> words,
            int first,
            int second,
            List<Beside.Felt> felt) {
        Integer more = words.get(moment.fields().at(field).text());
        if (more != null) {
            felt.add(new Beside.Felt(first, second, more));
        }
    }

    /** A single time that somebody felt a difference makes it likely, no more. */
    private static String words(Uncertain steps, String more, String less) {
        double z = Math.abs(steps.value()) / steps.u();
        String which = (steps.value() > 0 ? more : less) + " than it";
        return z > SURE ? which : z > LIKELY ? "likely " + which : "not told apart";
    }

    private static Answer told(
            Answer answer,
            String what,
            String more,
            String less,
            Map<String, Integer> places,
            List<Beside.Felt> felt,
            StudioView studio) {
        if (felt.isEmpty()) {
            return answer;
        }
        Beside beside = Beside.of(Math.max(2, places.size()), felt);
        List<Map.Entry<String, Integer>> others = places.entrySet().stream()
                .filter(each -> each.getValue() != 0)
                .filter(each -> felt.stream()
                        .anyMatch(one -> one.first() == each.getValue() || one.second() == each.getValue()))
                .sorted(Comparator.comparingDouble(
                        each -> -beside.difference(0, each.getValue()).value()))
                .toList();
        List<List<String>> rows = new ArrayList<>();
        for (Map.Entry<String, Integer> other : others) {
            Uncertain steps = beside.difference(0, other.getValue());
            rows.add(List.of(
                    studio.composition(other.getKey()).name(),
                    words(steps, more, less),
                    String.format(Locale.ROOT, "%.1f ± %.1f", steps.value(), steps.expanded())));
        }
        return answer.table(what, List.of("beside", "this ink is", "steps"), rows);
    }
}
