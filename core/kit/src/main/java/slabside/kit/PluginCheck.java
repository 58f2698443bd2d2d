package slabside.kit;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import java.time.Duration;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TimeZone;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Progress;
import slabside.plugin.Question;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/**
 * What every calculator, report and importer should pass. Extend it in a test, say which plugin, give it a studio and replies, and
 * add tests of your own that compare its numbers with ones you worked out by hand.
 *
 * <pre>{@code
 * class TimeLeftTest extends PluginCheck {
 *     protected Calculator plugin() { return new TimeLeft(); }
 *     protected StudioView studio() { return new MadeUpStudio().with(MadeUpStudio.run("run-1", "Run", pulls)); }
 *     protected Map<String, String> replies() { return Map.of("run", "run-1", "sheets", "20"); }
 * }
 * }</pre>
 */
public abstract class PluginCheck {
    /** The deadline that the host sets. */
    private static final Duration DEADLINE = Duration.ofSeconds(15);

    private static final List<String> NONSENSE = List.of("\u0000", "-1e999", "½", "no number at all", "’; --", "<b>");

    /** The plugin, made anew at each call. */
    protected abstract Calculator plugin();

    /** Replies to which it has an answer in {@link #studio()}. */
    protected abstract Map<String, String> replies();

    /** A studio in which it has something to answer. */
    protected StudioView studio() {
        return new MadeUpStudio();
    }

    /** Its answer to some replies in a studio. */
    protected final Answer ask(Map<String, String> replies, StudioView studio) {
        Calculator plugin = plugin();
        return assertTimeoutPreemptively(
                DEADLINE,
                () -> plugin.answer(Replies.read(plugin.questions(), replies), studio, Progress.NONE),
                "it took longer than the host waits");
    }

    /** Its answer to {@link #replies()} in {@link #studio()}. */
    protected final Answer answer() {
        return ask(replies(), studio());
    }

    /** The value of the quantity with a label. */
    protected static double quantity(Answer answer, String label) {
        return all(answer.blocks())
                .filter(block -> block instanceof Answer.Quantity q && q.label().equals(label))
                .mapToDouble(block -> ((Answer.Quantity) block).value())
                .findFirst()
                .orElseThrow(() -> new AssertionError("no quantity \"" + label + "\" in " + answer));
    }

    private static Stream<Answer.Block> all(List<Answer.Block> blocks) {
        return blocks.stream()
                .flatMap(block -> block instanceof Answer.Deeper deeper ? all(deeper.blocks()) : Stream.of(block));
    }

    @Test
    void the_same_question_gives_the_same_answer() {
        assertEquals(answer(), answer(), "no clock, no chance, no order of a HashMap");
        assertEquals(plugin().card(), plugin().card());
        assertEquals(declared(), declared(), "its questions are always the same");
    }

    private List<Question.Declared> declared() {
        return plugin().questions().stream()
                .map(question -> question.declared())
                .toList();
    }

    @Test
    void in_other_countries_and_time_zones_too() {
        Answer here = answer();
        Locale country = Locale.getDefault();
        TimeZone zone = TimeZone.getDefault();
        try {
            for (String other : List.of("de-DE", "tr-TR", "ar-EG", "hi-IN-u-nu-deva")) {
                Locale.setDefault(Locale.forLanguageTag(other));
                TimeZone.setDefault(TimeZone.getTimeZone("Pacific/Kiritimati"));
                assertEquals(here, answer(), "another answer in " + other + "; use Locale.ROOT for numbers and words");
            }
        } finally {
            Locale.setDefault(country);
            TimeZone.setDefault(zone);
        }
    }

    @Test
    void its_questions_can_be_asked() {
        Set<String> ids = new HashSet<>();
        for (Question<?> question : plugin().questions()) {
            assertTrue(ids.add(question.id()), "two questions have the id " + question.id());
            question.preset().ifPresent(question::read);
        }
        assertFalse(plugin().card().title().isBlank(), "a card needs a title");
        assertFalse(plugin().card().asks().isBlank(), "a card says which question it answers");
    }

    /** From an empty log it answers, or says with a BadInput what is missing; it does not fall over. */
    @Test
    void an_empty_log_is_no_failure() {
        answersOrSays(replies(), new MadeUpStudio(), "an empty log");
    }

    @Test
    void entries_that_it_does_not_know_are_no_failure() {
        checked(ask(replies(), OtherStudios.withUnknownEntries(studio())));
    }

    @Test
    void a_huge_log_is_answered_within_the_deadline() {
        StudioView huge = OtherStudios.huge(studio());
        answersOrSays(replies(), huge, "a huge log");
    }

    /** Whatever is typed, it answers or says what to type instead. */
    @Test
    void bad_replies_are_refused_in_words() {
        for (Question<?> question : plugin().questions()) {
            for (String nonsense : NONSENSE) {
                Map<String, String> replies = new LinkedHashMap<>(replies());
                replies.put(question.id(), nonsense);
                answersOrSays(replies, studio(), question.id() + " = " + nonsense);
            }
            if (!question.isOptional()) {
                Map<String, String> replies = new LinkedHashMap<>(replies());
                replies.remove(question.id());
                try {
                    ask(replies, studio());
                    fail("it answered without " + question.id());
                } catch (BadInput missing) {
                    assertEquals(question.label(), missing.field());
                }
            }
        }
    }

    private void answersOrSays(Map<String, String> replies, StudioView studio, String when) {
        try {
            checked(ask(replies, studio));
        } catch (BadInput said) {
            assertFalse(said.remedy().isBlank(), "a refusal says what to do instead: " + when);
        }
    }

    @Test
    void its_answer_can_be_read() {
        checked(answer());
    }

    /** That every quantity and chart is labelled and every swatch a colour; the rest an answer refuses itself. */
    private static void checked(Answer answer) {
        assertFalse(answer.title().isBlank(), "an answer has a title");
        assertFalse(answer.blocks().isEmpty(), "an answer says something");
        List<String> wrong = new ArrayList<>();
        all(answer.blocks()).forEach(block -> {
            if (block instanceof Answer.Quantity q) {
                need(wrong, !q.label().isBlank(), "a quantity without a label: " + q);
            } else if (block instanceof Answer.Chart chart) {
                need(
                        wrong,
                        !chart.caption().isBlank()
                                && !chart.across().isBlank()
                                && !chart.up().isBlank(),
                        "a chart that does not say what it shows: \"" + chart.caption() + "\"");
            } else if (block instanceof Answer.Strip strip) {
                strip.parts().forEach(part -> need(wrong, isColour(part.screen()), "no colour: " + part));
            } else if (block instanceof Answer.Swatches swatches) {
                swatches.swatches().forEach(each -> need(wrong, isColour(each.screen()), "no colour: " + each));
            } else if (block instanceof Answer.Picture picture) {
                need(wrong, !picture.caption().isBlank(), "a picture that says nothing to whoever cannot see it");
            } else if (block instanceof Answer.Assumption assumption) {
                need(wrong, !assumption.origin().isBlank(), "an assumption says where it comes from: " + assumption);
            }
        });
        assertEquals(List.of(), wrong);
    }

    private static boolean isColour(String screen) {
        return screen.isEmpty() || screen.matches("#[0-9a-fA-F]{6}");
    }

    private static void need(List<String> wrong, boolean right, String otherwise) {
        if (!right) {
            wrong.add(otherwise);
        }
    }
}
