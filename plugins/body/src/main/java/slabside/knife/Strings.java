package slabside.knife;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.OptionalLong;
import java.util.stream.IntStream;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Json;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;
import slabside.statistics.TwoSamples;

/** How long an ink strings out from the knife before it breaks: an order of more and less, compared with strings that were pulled alike only. */
public final class Strings implements Calculator {
    private static final Question<String> INK = Question.pick("ink", "Ink", "vessel");
    private static final Question<List<List<String>>> LENGTHS =
            Question.rows("lengths", "Strings, as they broke", "mm").hint("one a line, five at least");
    private static final int LEAST = 5;
    private static final int MOST = 100;
    private static final double LONGEST = 1_000;
    /** Chance from which two sets of strings are told apart. */
    private static final double APART = 0.05;

    private static final int SHOWN = 12;

    @Override
    public Card card() {
        return new Card("string-length", "How long it strings", "Is this ink longer or shorter than before?");
    }

    @Override
    public List<Question<?>> questions() {
        return List.of(INK, LENGTHS);
    }

    @Override
    public Answer answer(Replies replies, StudioView studio) {
        double[] lengths = replies.to(LENGTHS).stream()
                .mapToDouble(row -> millimetres(row.get(0)))
                .toArray();
        if (lengths.length < LEAST || lengths.length > MOST) {
            throw new BadInput(LENGTHS.label(), lengths.length + " strings", "give 5 to 100: one alone tells nothing");
        }
        String ink = replies.to(INK);
        double[] sorted = lengths.clone();
        Arrays.sort(sorted);
        List<List<String>> rows = new ArrayList<>();
        List<StudioView.Moment> before = studio.events("test.string-measured", "").moments().stream()
                .filter(moment -> lengths(moment).length >= LEAST)
                .limit(SHOWN)
                .toList();
        for (StudioView.Moment moment : before) {
            String vessel = moment.fields().at("vessel").text();
            double[] other = lengths(moment);
            // Of many comparisons some come out by luck: each must be the surer the more there are.
            boolean apart = TwoSamples.of(lengths, other).p() < APART / before.size();
            Arrays.sort(other);
            rows.add(List.of(
                    studio.composition(vessel).name() + (vessel.equals(ink) ? " (this one, before)" : ""),
                    String.format(Locale.ROOT, "%.0f", median(other)),
                    "" + other.length,
                    !apart ? "not told apart" : median(sorted) > median(other) ? "longer" : "shorter"));
        }
        Answer answer = Answer.titled("How long it strings")
                .quantity("Median", median(sorted), "mm", "of " + lengths.length + " strings")
                .chart(
                        "String after string",
                        "string",
                        "mm",
                        IntStream.range(0, lengths.length)
                                .mapToObj(i -> new Answer.Point(i + 1, lengths[i]))
                                .toList())
                .quantity("Shortest", sorted[0], "mm", "as it broke")
                .quantity("Longest", sorted[sorted.length - 1], "mm", "as it broke");
        answer = rows.isEmpty()
                ? answer.text(
                        "No strings were written down before: pull the same number, with the same knife, of an ink you know.")
                : answer.table("Beside strings before", List.of("ink", "median, mm", "strings", "this one is"), rows);
        return answer.caution(
                        "Speed, warmth and the width of the knife count as much as the ink: only strings pulled alike are"
                                + " compared. No law turns a length at break into a stiffness.")
                .assumption(
                        "Told apart where chance alone does it in less than 5 of 100 such tables (Mann and Whitney, Bonferroni)",
                        "published")
                .with(new Answer.Proposed(
                        "Write it down",
                        List.of(new Answer.Proposal(
                                "test.string-measured",
                                1,
                                Json.fields()
                                        .with("vessel", ink)
                                        .with(
                                                "lengthsUm",
                                                new Json.Items(Arrays.stream(lengths)
                                                        .<Json>mapToObj(mm -> new Json.Number(
                                                                BigDecimal.valueOf(StrictMath.round(mm * 1000))))
                                                        .toList())),
                                "",
                                List.of(),
                                OptionalLong.empty()))));
    }

    private static double[] lengths(StudioView.Moment moment) {
        return moment.fields().at("lengthsUm").items().stream()
                .mapToDouble(length -> length.number().orElse(0) / 1000)
                .filter(mm -> mm > 0)
                .toArray();
    }

    private static double median(double[] sorted) {
        int half = sorted.length / 2;
        return sorted.length % 2 == 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
    }

    private static double millimetres(String cell) {
        String plain = cell.strip().replace(',', '.');
        double value = plain.matches("\\d{1,5}(\\.\\d{1,3})?") ? Double.parseDouble(plain) : 0;
        if (!(value > 0 && value <= LONGEST)) {
            throw new BadInput(LENGTHS.label(), cell, "give a length above 0 and up to 1000 mm");
        }
        return value;
    }
}
