package slabside.quantity;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.Test;
import slabside.kit.MadeUpStudio;
import slabside.kit.PluginCheck;
import slabside.measure.BadInput;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** The calculators on a small studio made up here, with numbers that can be checked by hand. */
class QuantityTest {
    private static final StudioView.Material BASE = new StudioView.Material("base", "transparent base", "base", "");
    private static final StudioView.Material BLUE = new StudioView.Material("blue", "blue", "ink", "");
    private static final StudioView.Material MAG = new StudioView.Material("mag", "magnesium carbonate", "powder", "");

    /** 90 g of base, 10 g of blue. */
    private static final StudioView STUDIO = new MadeUpStudio()
            .with(BASE)
            .with(BLUE)
            .with(MAG)
            .with(new StudioView.Composition(
                    "mix",
                    "Sky",
                    new Uncertain(100, 0.1),
                    List.of(
                            new StudioView.Share(BASE, new Uncertain(0.9, 0.001), new Uncertain(90, 0.1)),
                            new StudioView.Share(BLUE, new Uncertain(0.1, 0.001), new Uncertain(10, 0.1))),
                    List.of("how much ochre went in was not written down")))
            .recipe(
                    "stronger",
                    new StudioView.Planned(BASE, 0.75),
                    new StudioView.Planned(BLUE, 0.2),
                    new StudioView.Planned(MAG, 0.05))
            .recipe("no blue", new StudioView.Planned(BASE, 1.0))
            .with(new StudioView.PastRun("run", "Old flat", "flat", new Uncertain(0.5, 0.01), 40));

    private static Answer ask(Calculator calculator, Map<String, String> replies) {
        return calculator.answer(Replies.read(calculator.questions(), replies), STUDIO);
    }

    private static double quantity(Answer answer, String label) {
        return answer.blocks().stream()
                .filter(b -> b instanceof Answer.Quantity q && q.label().equals(label))
                .mapToDouble(b -> ((Answer.Quantity) b).value())
                .findFirst()
                .orElseThrow();
    }

    private static List<List<String>> rows(Answer answer) {
        return answer.blocks().stream()
                .filter(b -> b instanceof Answer.Table)
                .map(b -> ((Answer.Table) b).rows())
                .findFirst()
                .orElseThrow();
    }

    private static boolean says(Answer answer, String words) {
        return answer.blocks().toString().contains(words);
    }

    @Test
    void a_mix_is_scaled_by_its_shares_and_its_gap_is_said() {
        Answer answer = ask(new ScaleMix(), Map.of("mix", "mix", "grams", "40"));
        assertEquals(
                List.of("transparent base", "90.00", "0.20", "36.00"),
                rows(answer).get(0));
        assertTrue(says(answer, "how much ochre went in"));
    }

    @Test
    void letting_down_four_times_takes_three_times_the_ink_in_base() {
        Answer answer = ask(new LetDown(), Map.of("mix", "mix", "times", "4"));
        assertEquals(300, quantity(answer, "Base to add"), 1e-9);
        assertEquals(400, quantity(answer, "Then there is"), 1e-9);
    }

    @Test
    void on_a_small_slab_some_is_set_aside_first() {
        Answer answer = ask(new LetDown(), Map.of("mix", "mix", "times", "4", "room", "120"));
        assertEquals(70, quantity(answer, "Set aside first"), 1e-9);
        assertEquals(90, quantity(answer, "Base to add"), 1e-9);
        assertEquals(120, quantity(answer, "Then there is"), 1e-9);
    }

    @Test
    void a_mix_is_brought_to_a_recipe_by_additions_alone() {
        Answer answer = ask(new ToRecipe(), Map.of("mix", "mix", "recipe", "stronger"));
        // 90 g of base are 75 %: the whole is 120 g, so 14 g of blue and 6 g of magnesium are missing.
        assertEquals(120, quantity(answer, "Then there is"), 1e-9);
        assertEquals(20, quantity(answer, "To add in all"), 1e-9);
        assertEquals(
                List.of("–", "14.00", "6.00"),
                rows(answer).stream().map(r -> r.get(3)).toList());
    }

    @Test
    void what_the_recipe_does_not_know_is_said_since_it_cannot_be_taken_out() {
        Answer answer = ask(new ToRecipe(), Map.of("mix", "mix", "recipe", "no blue"));
        assertTrue(says(answer, "blue (10.00 g)"));
        assertThrows(BadInput.class, () -> ask(new ToRecipe(), Map.of("mix", "mix")));
        assertThrows(BadInput.class, () -> ask(new ToRecipe(), Map.of("mix", "mix", "recipe", "unheard of")));
    }

    /** Area × coverage × film: 0.38 m × 0.52 m × 0.8 × 2 to 4 g/m² (the unit identity 1 µm × 1 g/cm³ = 1 g/m²). */
    @Test
    void ink_for_an_edition_is_a_range_with_the_studios_own_runs_first() {
        Answer answer = ask(
                new InkForEdition(),
                Map.of(
                        "surface", "Flat", "width", "38", "height", "52", "sheets", "60", "proofs", "3", "slab", "20",
                        "tests", "3", "reserve", "0"));
        assertEquals(0.5 * 63 + 23, quantity(answer, "At least"), 1e-9);
        assertEquals(0.38 * 0.52 * 0.8 * 3, quantity(answer, "A print takes"), 1e-9);
        assertTrue(says(answer, "assumption"));
    }

    @Test
    void replies_out_of_range_or_missing_are_named_with_the_range() {
        BadInput tooWeak = assertThrows(BadInput.class, () -> ask(new LetDown(), Map.of("mix", "mix", "times", "0.5")));
        assertTrue(tooWeak.getMessage().contains("from 1.01 to 100"), tooWeak.getMessage());
        assertThrows(BadInput.class, () -> ask(new LetDown(), Map.of("mix", "mix")));
        assertThrows(BadInput.class, () -> ask(new LetDown(), Map.of("mix", "other", "times", "2")));
        BadInput sheets = assertThrows(
                BadInput.class,
                () -> ask(
                        new InkForEdition(),
                        Map.of("surface", "flat", "width", "38", "height", "52", "sheets", "2.5")));
        assertTrue(sheets.getMessage().contains("whole number"), sheets.getMessage());
    }

    @Test
    void every_calculator_is_found_by_its_service_line() {
        List<String> found = java.util.ServiceLoader.load(Calculator.class).stream()
                .map(p -> p.get().card().id())
                .sorted()
                .toList();
        assertEquals(
                List.of(
                        "enough-kept",
                        "film-by-weighing",
                        "ink-for-an-edition",
                        "let-down",
                        "paper-loss",
                        "scale-a-mix",
                        "to-a-recipe",
                        "topping-up"),
                found);
    }

    @Nested
    class ScaleMixIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new ScaleMix();
        }

        @Override
        protected StudioView studio() {
            return STUDIO;
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("mix", "mix", "grams", "40");
        }
    }

    @Nested
    class LetDownIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new LetDown();
        }

        @Override
        protected StudioView studio() {
            return STUDIO;
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("mix", "mix", "times", "4");
        }
    }

    @Nested
    class ToRecipeIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new ToRecipe();
        }

        @Override
        protected StudioView studio() {
            return STUDIO;
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("mix", "mix", "recipe", "stronger");
        }
    }

    @Nested
    class InkForEditionIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new InkForEdition();
        }

        @Override
        protected StudioView studio() {
            return STUDIO;
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("surface", "flat", "width", "40", "height", "50", "sheets", "60");
        }
    }
}
