package slabside.kit;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.function.Executable;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Card;
import slabside.plugin.Json;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** Each check of the kit lets a good plugin through and catches one that is bad in its own way. */
class PluginCheckTest {
    private static final Question<Integer> TIMES = Question.count("times", "Times", 1, 9);

    private interface Answering {
        Answer of(Replies replies, StudioView studio);
    }

    private static PluginCheck checking(Answering answering) {
        return new PluginCheck() {
            @Override
            protected Calculator plugin() {
                return new Calculator() {
                    @Override
                    public Card card() {
                        return new Card("tried", "Tried", "Is it caught?");
                    }

                    @Override
                    public List<Question<?>> questions() {
                        return List.of(TIMES);
                    }

                    @Override
                    public Answer answer(Replies replies, StudioView studio) {
                        return answering.of(replies, studio);
                    }
                };
            }

            @Override
            protected StudioView studio() {
                return new MadeUpStudio()
                        .with(MadeUpStudio.run(
                                "run-1", "Run", List.of(MadeUpStudio.pull(1, 0, Map.of("density", 1.0)))))
                        .with(new StudioView.Moment(
                                "event-1",
                                "ink.moved",
                                1,
                                0,
                                "moved",
                                List.of("mix-1"),
                                Json.fields().with("why", "mixed")));
            }

            @Override
            protected Map<String, String> replies() {
                return Map.of("times", "2");
            }
        };
    }

    private static Answer good(Replies replies) {
        return Answer.titled("Tried").quantity("twice", 2.0 * replies.to(TIMES), "g", "2 × times");
    }

    @Test
    void a_good_plugin_passes_all_of_them() {
        PluginCheck check = checking((replies, studio) -> good(replies));
        check.the_same_question_gives_the_same_answer();
        check.in_other_countries_and_time_zones_too();
        check.its_questions_can_be_asked();
        check.an_empty_log_is_no_failure();
        check.entries_that_it_does_not_know_are_no_failure();
        check.a_huge_log_is_answered_within_the_deadline();
        check.bad_replies_are_refused_in_words();
        check.its_answer_can_be_read();
        assertEquals(4, PluginCheck.quantity(check.answer(), "twice"));
    }

    private static void caught(Executable check) {
        assertThrows(AssertionError.class, check);
    }

    @Test
    void chance_is_caught() {
        int[] asked = {0};
        caught(
                checking((replies, studio) -> good(replies).text("asked " + asked[0]++))
                        ::the_same_question_gives_the_same_answer);
    }

    @Test
    void numbers_in_the_words_of_a_country_are_caught() {
        caught(
                checking((replies, studio) -> good(replies).text(String.format("%.1f", 1.5)))
                        ::in_other_countries_and_time_zones_too);
        caught(
                checking((replies, studio) -> good(replies).text("I".toLowerCase(Locale.getDefault())))
                        ::in_other_countries_and_time_zones_too);
    }

    @Test
    void falling_over_an_empty_log_is_caught() {
        PluginCheck check = checking((replies, studio) ->
                good(replies).text(studio.runRecord("run-1").orElseThrow().name()));
        assertThrows(java.util.NoSuchElementException.class, check::an_empty_log_is_no_failure);
        checking((replies, studio) -> {
                    if (studio.find("run", "").isEmpty()) {
                        throw new BadInput("Run", "", "print one first");
                    }
                    return good(replies);
                })
                .an_empty_log_is_no_failure();
    }

    @Test
    void falling_over_an_unknown_grade_or_entry_is_caught() {
        assertThrows(IllegalStateException.class, checking((replies, studio) -> {
            studio.runRecord("run-1").orElseThrow().pulls().forEach(pull -> {
                if (!pull.grade().equals("good")) {
                    throw new IllegalStateException(pull.grade());
                }
            });
            return good(replies);
        })::entries_that_it_does_not_know_are_no_failure);
        assertThrows(java.util.NoSuchElementException.class, checking((replies, studio) -> {
            studio.events("ink", "")
                    .moments()
                    .forEach(moment -> moment.fields().at("cups").number().ifPresentOrElse(cups -> {}, () -> {
                        if (!moment.type().startsWith("ink.")) {
                            throw new java.util.NoSuchElementException(moment.type());
                        }
                    }));
            return good(replies);
        })::entries_that_it_does_not_know_are_no_failure);
    }

    @Test
    void a_huge_log_is_huge() {
        int[] seen = {0, 0};
        checking((replies, studio) -> {
                    seen[0] = studio.runRecord("run-1")
                            .map(run -> run.pulls().size())
                            .orElse(0);
                    String next = "";
                    seen[1] = 0;
                    do {
                        StudioView.Page page = studio.events("ink.moved", next);
                        seen[1] += page.moments().size();
                        next = page.next();
                    } while (!next.isEmpty());
                    return good(replies);
                })
                .a_huge_log_is_answered_within_the_deadline();
        assertEquals(2_000, seen[0]);
        assertEquals(20_000, seen[1]);
    }

    @Test
    void an_answer_that_cannot_be_read_is_caught() {
        assertThrows(
                BadInput.class,
                checking((replies, studio) -> good(replies).quantity("none", Double.NaN, "g", ""))
                        ::its_answer_can_be_read);
        caught(checking((replies, studio) -> good(replies).chart("", "x", "y", List.of()))::its_answer_can_be_read);
        caught(checking((replies, studio) -> good(replies).chart("c", "", "y", List.of()))::its_answer_can_be_read);
        assertThrows(
                BadInput.class,
                checking((replies, studio) -> good(replies).table("t", List.of("a", "b"), List.of(List.of("one"))))
                        ::its_answer_can_be_read);
        caught(checking((replies, studio) -> good(replies).assumption("so", ""))::its_answer_can_be_read);
        caught(
                checking((replies, studio) -> good(replies)
                        .with(new Answer.Deeper("more", List.of(new Answer.Chart("", "x", "y", List.of(), List.of())))))
                        ::its_answer_can_be_read);
        caught(checking((replies, studio) -> Answer.titled("empty"))::its_answer_can_be_read);
    }

    @Test
    void an_odd_failure_on_bad_replies_is_caught() {
        assertThrows(
                NumberFormatException.class,
                checkingText(text -> Integer.parseInt(text))::bad_replies_are_refused_in_words);
    }

    private static PluginCheck checkingText(java.util.function.ToIntFunction<String> reading) {
        Question<String> words = Question.text("words", "Words");
        return new PluginCheck() {
            @Override
            protected Calculator plugin() {
                return new Calculator() {
                    @Override
                    public Card card() {
                        return new Card("tried", "Tried", "Is it caught?");
                    }

                    @Override
                    public List<Question<?>> questions() {
                        return List.of(words);
                    }

                    @Override
                    public Answer answer(Replies replies, StudioView studio) {
                        return Answer.titled("Tried").quantity("n", reading.applyAsInt(replies.to(words)), "", "");
                    }
                };
            }

            @Override
            protected Map<String, String> replies() {
                return Map.of("words", "12");
            }
        };
    }
}
