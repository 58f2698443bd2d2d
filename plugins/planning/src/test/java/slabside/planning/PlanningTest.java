package slabside.planning;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.Test;
import slabside.kit.MadeUpStudio;
import slabside.kit.PluginCheck;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** The planning calculators on a small studio made up here, with numbers that can be checked by hand. */
class PlanningTest {
    private final MadeUpStudio studio = new MadeUpStudio();

    private Answer ask(Calculator calculator, Map<String, String> replies) {
        return calculator.answer(Replies.read(calculator.questions(), replies), studio);
    }

    private static double quantity(Answer answer, String label) {
        return answer.blocks().stream()
                .filter(block -> block instanceof Answer.Quantity q && q.label().equals(label))
                .mapToDouble(block -> ((Answer.Quantity) block).value())
                .findFirst()
                .orElseThrow();
    }

    private static Answer.Table table(Answer answer) {
        return answer.blocks().stream()
                .filter(Answer.Table.class::isInstance)
                .map(Answer.Table.class::cast)
                .findFirst()
                .orElseThrow();
    }

    private static boolean assumes(Answer answer, String words) {
        return answer.blocks().stream()
                .anyMatch(block ->
                        block instanceof Answer.Assumption a && a.text().contains(words));
    }

    private static StudioView.Job job(String id, int sheets, double hours, String... surfaces) {
        return new StudioView.Job(
                id,
                "Job " + id,
                OptionalInt.of(40),
                OptionalInt.of(8),
                List.of(surfaces),
                sheets,
                sheets - 4,
                hours == 0
                        ? List.of()
                        : List.of(
                                new StudioView.StageHours("mixing", hours / 4, hours / 4, false),
                                new StudioView.StageHours("printing", hours * 3 / 4, hours * 3 / 2, false)),
                90);
    }

    @Test
    void without_a_past_the_assumption_is_said_and_used() {
        Answer answer = ask(new SheetsToTear(), Map.of("numbered", "40", "proofs", "8", "runs", "flat, key"));
        // 48 ÷ (0.95 × 0.95 × 0.96) = 55.4
        assertEquals(56, quantity(answer, "On average enough"));
        assertTrue(quantity(answer, "Tear") > 56);
        assertEquals(quantity(answer, "Tear") - 48, quantity(answer, "Overs"));
        assertTrue(assumes(answer, "one sheet of twenty a run"));
        assertEquals("nothing yet", table(answer).rows().get(0).get(2));
    }

    @Test
    void what_was_lost_here_takes_over() {
        for (int i = 0; i < 10; i++) {
            studio.with(new StudioView.PrintedRun("r" + i, "flat " + i, "flat", 100, 0));
            studio.with(new StudioView.PrintedRun("b" + i, "blend " + i, "blend", 50, 10));
            studio.with(new StudioView.Curating("e" + i, "edition " + i, 40, 40));
        }
        Answer flat = ask(new SheetsToTear(), Map.of("numbered", "40", "proofs", "0", "runs", "flat"));
        // flat: (0 + 1) ÷ (1000 + 20); curating: (0 + 1) ÷ (400 + 25); 40 ÷ (0.99902 × 0.99765) = 40.1
        assertEquals(41, quantity(flat, "On average enough"));
        Answer blend = ask(new SheetsToTear(), Map.of("numbered", "40", "proofs", "0", "runs", "blend"));
        // blend: (100 + 1) ÷ (500 + 20) = 0.19423; 40 ÷ (0.80577 × 0.99765) = 49.8
        assertEquals(50, quantity(blend, "On average enough"));
        assertEquals("100 of 500", table(blend).rows().get(0).get(2));
        assertTrue(quantity(blend, "Tear") > quantity(flat, "Tear"));
        assertTrue(!assumes(blend, "one sheet of twenty"));
    }

    @Test
    void the_surer_the_more_sheets() {
        Map<String, String> asked = Map.of("numbered", "40", "proofs", "8", "runs", "flat wash key");
        double half = quantity(ask(new SheetsToTear(), with(asked, "sureness", "50")), "Tear");
        double nine = quantity(ask(new SheetsToTear(), with(asked, "sureness", "90")), "Tear");
        double nearly = quantity(ask(new SheetsToTear(), with(asked, "sureness", "99")), "Tear");
        assertTrue(half < nine && nine < nearly, half + ", " + nine + ", " + nearly);
    }

    private static Map<String, String> with(Map<String, String> asked, String id, String reply) {
        Map<String, String> more = new java.util.HashMap<>(asked);
        more.put(id, reply);
        return more;
    }

    @Test
    void a_planned_edition_answers_for_itself() {
        studio.with(job("e1", 0, 0, "flat", "key"));
        Answer answer = ask(new SheetsToTear(), Map.of("edition", "e1"));
        assertEquals(48, quantity(answer, "Wanted"));
        assertEquals(3, table(answer).rows().size());
        Answer other = ask(new SheetsToTear(), Map.of("edition", "e1", "numbered", "20"));
        assertEquals(28, quantity(other, "Wanted"), "what is typed counts before the plan");
    }

    @Test
    void what_cannot_be_taken_says_so() {
        assertTrue(refused(Map.of("numbered", "40")).contains("surface of each run"));
        assertTrue(refused(Map.of("runs", "flat")).contains("say how many"));
        assertTrue(refused(Map.of("numbered", "40", "runs", "flat, foil")).contains("foil"));
        assertTrue(refused(Map.of("edition", "none")).contains("no edition of this id"));
    }

    private String refused(Map<String, String> replies) {
        return String.valueOf(assertThrows(BadInput.class, () -> ask(new SheetsToTear(), replies))
                .getMessage());
    }

    @Test
    void the_nearest_four_jobs_are_shown_with_their_hours() {
        studio.with(job("now", 0, 0, "flat", "wash", "key"));
        studio.with(job("far", 200, 60, "flat"));
        studio.with(job("near", 50, 20, "flat", "wash", "key"));
        studio.with(job("also", 45, 30, "flat", "flat", "key"));
        studio.with(job("some", 60, 24, "flat", "key"));
        studio.with(job("more", 40, 16, "flat", "wash"));
        studio.with(job("silent", 48, 0, "flat", "wash", "key"));
        Answer answer = ask(new JobsLikeThis(), Map.of("edition", "now"));
        List<String> names =
                table(answer).rows().stream().map(row -> row.get(0)).toList();
        assertEquals(List.of("Job near", "Job also"), names.subList(0, 2));
        assertEquals(4, names.size());
        assertTrue(!names.contains("Job far") && !names.contains("Job silent") && !names.contains("Job now"));
        assertEquals(16, quantity(answer, "Shortest of these"), 1e-9);
        assertEquals(30, quantity(answer, "Longest of these"), 1e-9);
        List<String> near = table(answer).rows().get(0);
        assertEquals(List.of("5.0", "15.0", "20.0", "35.0"), near.subList(5, 9));
        assertTrue(assumes(answer, "lower bound"));
    }

    @Test
    void a_first_job_has_nothing_to_compare_with_and_says_so() {
        Answer answer = ask(new JobsLikeThis(), Map.of("runs", "3", "sheets", "40"));
        assertTrue(answer.blocks().stream()
                .anyMatch(block -> block instanceof Answer.Text t && t.text().contains("No other edition")));
    }

    @Nested
    class SheetsToTearIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new SheetsToTear();
        }

        @Override
        protected StudioView studio() {
            return new MadeUpStudio()
                    .with(new StudioView.PrintedRun("r1", "flat 1", "flat", 100, 3))
                    .with(new StudioView.Curating("e1", "edition 1", 40, 38));
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("numbered", "40", "runs", "flat");
        }
    }

    @Nested
    class JobsLikeThisIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new JobsLikeThis();
        }

        @Override
        protected StudioView studio() {
            return new MadeUpStudio().with(job("e1", 60, 20, "flat"));
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("runs", "1", "sheets", "60");
        }
    }
}
