package slabside.documents;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.Test;
import slabside.kit.Asked;
import slabside.kit.MadeUpStudio;
import slabside.kit.PluginCheck;
import slabside.measure.BadInput;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.StudioView;

/** Papers of a studio made up here. */
class DocumentsTest {
    private static final StudioView.Material BASE = new StudioView.Material("base", "transparent base", "base", "");
    private static final StudioView.Material BLUE = new StudioView.Material("blue", "blue", "ink", "#2f4f8f");

    private static MadeUpStudio studio() {
        return new MadeUpStudio()
                .with("edition", "e", "Four Fathoms")
                .with("edition", "bare", "Nothing yet")
                .documenting(
                        "e",
                        List.of(
                                new StudioView.Documented(
                                        "The edition",
                                        List.of(
                                                new StudioView.DocumentedFact("Artist", Optional.of("A. Nyone")),
                                                new StudioView.DocumentedFact("Publisher", Optional.empty()))),
                                new StudioView.Documented(
                                        "Run 1", List.of(new StudioView.DocumentedFact("Roller", Optional.empty())))),
                        List.of(
                                new StudioView.Impression(
                                        "1/2", "numbered", "TD-01", "released", "a publisher", true, true),
                                new StudioView.Impression("2/2", "numbered", "TD-02", "here", "", true, false),
                                new StudioView.Impression(
                                        "AP 1/1", "artists-proof", "TD-03", "here", "", false, false)))
                .with(new StudioView.Composition(
                        "mix",
                        "Sky",
                        new Uncertain(100, 0.1),
                        List.of(
                                new StudioView.Share(BASE, new Uncertain(0.9, 0.001), new Uncertain(90, 0.1)),
                                new StudioView.Share(BLUE, new Uncertain(0.1, 0.001), new Uncertain(10, 0.1))),
                        List.of("how much ochre went in was not written down")))
                .with(new StudioView.Path(
                        "a", 1, "can", "can of base", "mix", "Sky", "added", Optional.of(new Uncertain(95, 0.05))))
                .with(new StudioView.Path("b", 2, "can2", "can of blue", "mix", "Sky", "added", Optional.empty()))
                .with(new StudioView.Path(
                        "c", 3, "mix", "Sky", "p", "packet of Sky", "set-aside", Optional.of(new Uncertain(5, 0.05))));
    }

    @Test
    void a_documentation_sheet_disclaims_each_unknown_by_itself() {
        Answer answer = Asked.of(new DocumentationSheet(), studio(), "edition", "e");
        String said = answer.toString();
        assertTrue(said.contains("Field[label=Artist, value=A. Nyone, note=]"), said);
        assertTrue(said.contains("Field[label=Publisher, value=, note=not known to this log]"), said);
        assertTrue(said.contains("The edition, Publisher; Run 1, Roller."), said);
        assertTrue(said.contains("not legal advice"), said);
        assertTrue(said.contains("[numbered, released, 1]") && said.contains("[artist's proof, here, 1]"), said);
        assertTrue(said.contains("[in all, 3]") && said.contains("[AP 1/1, TD-03, here, , ]"), said);
    }

    @Test
    void zero_impressions_are_said_and_nothing_is_invented() {
        String said =
                Asked.of(new DocumentationSheet(), studio(), "edition", "bare").toString();
        assertTrue(said.contains("No impression is numbered or named yet."), said);
        assertThrows(BadInput.class, () -> Asked.of(new DocumentationSheet(), studio(), "edition", "nobody"));
    }

    @Test
    void a_recipe_card_has_every_step_what_was_taken_out_and_the_gaps() {
        Answer answer = Asked.of(new RecipeCard(), studio(), "mix", "mix");
        String said = answer.toString();
        assertTrue(said.contains("in: can of base, 95.00 ± 0.10, added"), said);
        assertTrue(said.contains("in: can of blue, not known, added"), said);
        assertTrue(said.contains("out: packet of Sky, −5.00 ± 0.10, set aside"), said);
        assertTrue(said.contains("how much ochre went in"), said);
        assertEquals(100, Asked.quantity(answer, "Batch").value());
        assertThrows(BadInput.class, () -> Asked.of(new RecipeCard(), studio(), "mix", "nothing"));
    }

    @Nested
    class SheetIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new DocumentationSheet();
        }

        @Override
        protected StudioView studio() {
            return DocumentsTest.studio();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("edition", "e");
        }
    }

    @Nested
    class CardIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new RecipeCard();
        }

        @Override
        protected StudioView studio() {
            return DocumentsTest.studio();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("mix", "mix");
        }
    }
}
