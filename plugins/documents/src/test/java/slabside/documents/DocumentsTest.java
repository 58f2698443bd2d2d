package slabside.documents;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.function.Supplier;
import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.Test;
import slabside.kit.Asked;
import slabside.kit.MadeUpStudio;
import slabside.kit.PluginCheck;
import slabside.measure.BadInput;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Json;
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

    private static MadeUpStudio printed() {
        StudioView.Material drier = new StudioView.Material("drier", "cobalt drier", "drier", "");
        StudioView.Carrier carrier = new StudioView.Carrier(
                "pull-1", "run", "Run 1", "e", 1, "edition", "TD-01", "1/2", "released", "good", 0.25);
        return studio().with(BASE)
                .with(BLUE)
                .with(drier)
                .with(new StudioView.Moment(
                        "m1",
                        "shelf.material-listed",
                        1,
                        1,
                        "listed blue",
                        List.of("blue"),
                        Json.fields()
                                .with("pigment", "PY34")
                                .with("lightfastness", "II, as the maker says")
                                .with("cautions", "gloves")))
                .holding("can", "can", "blue BL-1", BLUE, 40)
                .holding("can", "can2", "base B-1", BASE, 0)
                .with(new StudioView.Moment(
                        "m2",
                        "shelf.can-received",
                        1,
                        1,
                        "came in",
                        List.of("can"),
                        Json.fields().with("lot", "BL-1").with("dataSheet", "red folder")))
                .with(new StudioView.Moment(
                        "m3", "ink.moved", 1, 90_000_000_000L, "moved", List.of("can"), Json.fields()))
                .with(new StudioView.Path(
                        "d",
                        89_999_000_000L,
                        "can",
                        "blue BL-1",
                        "mix",
                        "Sky",
                        "added",
                        Optional.of(new Uncertain(30, 0.05))))
                .holding("packet", "p", "Sky, wrapped", drier, 5)
                .with(new StudioView.Moment(
                        "m4",
                        "ink.wrapped",
                        1,
                        86_400_000,
                        "wrapped",
                        List.of("p"),
                        Json.fields().with("place", "drawer 4")))
                .with(MadeUpStudio.run(
                        "run",
                        "Run 1",
                        List.of(MadeUpStudio.pull(1, 1, Map.of("density", 1.25)), MadeUpStudio.pull(2, 2, Map.of()))))
                .tallying("run", new StudioView.TalliedRun("1–2 good", List.of("the room was read")))
                .with(new StudioView.Job(
                        "e",
                        "Four Fathoms",
                        OptionalInt.of(2),
                        OptionalInt.empty(),
                        List.of("flat"),
                        2,
                        2,
                        List.of(new StudioView.StageHours("printing", 2, 4, false)),
                        30))
                .inks(
                        "e",
                        new StudioView.RunInk(
                                "run",
                                "Run 1",
                                List.of(
                                        new StudioView.LotUsed(
                                                BLUE,
                                                "can",
                                                "blue BL-1",
                                                new Uncertain(10, 0.1),
                                                Optional.of(new Uncertain(2.5, 0.01)),
                                                "EUR"),
                                        new StudioView.LotUsed(
                                                BASE,
                                                "can2",
                                                "base B-1",
                                                new Uncertain(90, 0.1),
                                                Optional.empty(),
                                                "")),
                                List.of(
                                        new StudioView.InkWent("on paper", new Uncertain(60, 1)),
                                        new StudioView.InkWent("washed up", new Uncertain(40, 1))),
                                List.of("how much oil went in was not written down")))
                .with(new StudioView.Flow("added", "can", "mix", 100, 3, 1))
                .with(new StudioView.Flow("wrapped", "mix", "packet", 5, 1, 0))
                .with(new StudioView.Flow("thrown away", "mix", "waste", 7, 1, 0))
                .with(new StudioView.PrintedThen("run", "Run 1", "e", "Four Fathoms", 40, 3, 21.5, true))
                .carrying("can", carrier)
                .rebuilding(
                        "mix",
                        Answer.titled("Rebuild: Sky, 60 g")
                                .with(new Answer.Steps(List.of(new Answer.Step("Fold in 6.0 g of blue", "6.0 g")))));
    }

    @Test
    void a_bench_sheet_is_what_the_studio_says_with_a_code_and_lines_to_sign() {
        Answer answer = Asked.of(new BenchSheet(), printed(), "mix", "mix", "grams", "60");
        assertEquals("Bench sheet: Sky, 60 g", answer.title());
        assertTrue(answer.blocks().get(0) instanceof Answer.Code);
        assertTrue(answer.toString().contains("reading=6.0 g"), answer.toString());
        assertThrows(BadInput.class, () -> Asked.of(new BenchSheet(), printed(), "mix", "nobody", "grams", "60"));
        assertThrows(BadInput.class, () -> Asked.of(new BenchSheet(), printed(), "mix", "mix", "grams", "0"));
    }

    @Test
    void a_run_sheet_is_filled_or_empty() {
        String filled = Asked.of(new RunSheetPaper(), printed(), "run", "run").toString();
        assertTrue(filled.contains("[1, S-1, good, 1.25]"), filled);
        assertTrue(filled.contains("text=1–2 good") && filled.contains("the room was read"), filled);
        String empty = Asked.of(
                        new RunSheetPaper(), printed(), "run", "run", "as", "empty, to tally by hand", "sheets", "10")
                .toString();
        assertTrue(
                empty.contains("[3–7, ☐, ☐, ☐, ☐, ☐, , , ], [8–12,"), "it goes on behind what was printed: " + empty);
        assertFalse(empty.contains("13–17"), empty);
        assertThrows(BadInput.class, () -> Asked.of(new RunSheetPaper(), printed(), "run", "none"));
    }

    @Test
    void materials_cost_what_their_prices_say_and_no_more() {
        Answer answer = Asked.of(new MaterialsAndCost(), printed(), "of", "e");
        assertEquals(2.5, Asked.quantity(answer, "Ink").value(), 1e-12);
        String said = answer.toString();
        assertTrue(said.contains("No price is known of transparent base"), said);
        assertTrue(said.contains("[Run 1, 100.00, 60.00, 40.00]"), said);
        assertTrue(said.contains("how much oil went in"), said);
        assertTrue(said.contains("No paper was torn"), said);
        assertTrue(Asked.of(new MaterialsAndCost(), printed(), "of", "bare")
                .toString()
                .contains("No ink of it"));
    }

    /** 4 hours of hands at 40 are 160; with the ink 162.50. */
    @Test
    void time_is_a_lower_bound_unless_it_was_stated() {
        Answer answer = Asked.of(new TimeAndMaterials(), printed(), "edition", "e", "rate", "40", "currency", "eur");
        assertEquals(160, Asked.quantity(answer, "Hours at that rate").value(), 1e-12);
        assertEquals(162.5, Asked.quantity(answer, "Hours and ink").value(), 1e-12);
        assertTrue(answer.toString().contains("lower bound"));
        assertFalse(Asked.of(new TimeAndMaterials(), printed(), "edition", "e", "rate", "40", "currency", "USD")
                .toString()
                .contains("Hours and ink"));
        assertThrows(BadInput.class, () -> Asked.of(new TimeAndMaterials(), printed(), "edition", "bare"));
    }

    /** 30 g went out of a can in the last year, 40 g are left: it lasts for 16 months. */
    @Test
    void stock_says_what_to_order_and_what_to_look_into() {
        String said = Asked.of(new StockList(), printed(), "months", "17").toString();
        assertTrue(said.contains("[blue, 40.00, 30.00, 16.0, ☐]"), said);
        assertTrue(said.contains("blue BL-1, blue, 40.00, never, , ☐"), said);
        String less = Asked.of(new StockList(), printed(), "months", "16").toString();
        assertFalse(less.contains("[blue, 40.00, 30.00"), less);
        assertTrue(Asked.of(new StockList(), new MadeUpStudio()).toString().contains("No can is written down"));
    }

    @Test
    void a_year_adds_up_what_moved() {
        Answer answer = Asked.of(new StudioYear(), printed(), "year", "2026");
        assertEquals(100, Asked.quantity(answer, "Mixed").value(), 1e-12);
        assertEquals(21.5, Asked.quantity(answer, "Printed").value(), 1e-12);
        assertEquals(5, Asked.quantity(answer, "Wrapped and kept").value(), 1e-12);
        assertEquals(7, Asked.quantity(answer, "Thrown away").value(), 1e-12);
        assertTrue(answer.toString().contains("1 move has no amount"), answer.toString());
        assertTrue(answer.toString().contains("[Four Fathoms, 1, 40, 3, 21.50, 2, 3]"), answer.toString());
        assertTrue(Asked.of(new StudioYear(), new MadeUpStudio(), "year", "2026")
                .toString()
                .contains("Nothing of this year"));
    }

    @Test
    void cautions_say_what_is_written_down_and_judge_nothing() {
        String said = Asked.of(new MixCautions(), printed(), "mix", "mix").toString();
        assertTrue(said.startsWith("Answer[title=What is in this mix, and cautions. Not a safety data sheet."), said);
        assertTrue(said.contains("[blue, ink, 10.00, PY34, II, as the maker says]"), said);
        assertTrue(said.contains("[transparent base, base, 90.00, not known, not known]"), said);
        assertTrue(said.contains("blue: gloves") && said.contains("PY34 is a pigment with lead and chromium"), said);
        assertTrue(said.contains("BL-1, red folder]"), said);
        assertTrue(said.contains("This program does not judge whether a material is safe"), said);
    }

    @Test
    void a_pigment_with_a_metal_is_found_however_it_is_written() {
        for (String written :
                List.of("C.I. Pigment Yellow 34", "PY34 (77600)", "PR57:1, P.Y. 034", "pigment yellow 34")) {
            String said = Asked.of(
                            new MixCautions(),
                            printed()
                                    .with(new StudioView.Moment(
                                            "m9",
                                            "shelf.material-listed",
                                            1,
                                            2,
                                            "listed blue",
                                            List.of("blue"),
                                            Json.fields().with("pigment", written))),
                            "mix",
                            "mix")
                    .toString();
            assertTrue(said.contains("PY34 is a pigment with lead and chromium"), written + ": " + said);
        }
    }

    @Test
    void a_trace_leads_to_the_prints_and_where_they_are() {
        String said = Asked.of(new TraceOfLot(), printed(), "lot", "can").toString();
        assertTrue(said.contains("[added: Sky, 125.00, 2]"), said);
        assertTrue(said.contains("[Run 1, 1, 25.00, 25.00]") && said.contains("[released, 1]"), said);
        assertTrue(Asked.of(new TraceOfLot(), printed(), "lot", "p").toString().contains("No print carries it"));
    }

    @Test
    void a_drawer_is_gone_through_place_by_place() {
        String said = Asked.of(new DrawerList(), printed()).toString();
        assertTrue(said.contains("Heading[text=drawer 4]"), said);
        assertTrue(said.contains("Sky, 5.00, 1970-01-02, cobalt drier, ☐, ☐, ☐, ☐]"), said);
        assertTrue(Asked.of(new DrawerList(), printed().in("Pacific/Honolulu"))
                .toString()
                .contains("1970-01-01"));
        assertTrue(Asked.of(new DrawerList(), new MadeUpStudio()).toString().contains("No packet holds ink"));
    }

    /** The sections of Maryland's law in the order in which that state publishes them, and nothing claimed that is not known. */
    @Test
    void a_law_is_answered_section_by_section() {
        Answer answer = Asked.of(new DocumentationSheet(), printed(), "edition", "e", "law", "Maryland");
        List<String> sections = answer.blocks().stream()
                .filter(Answer.Fields.class::isInstance)
                .flatMap(block -> ((Answer.Fields) block).fields().stream())
                .map(field -> field.label().split(" ")[0])
                .filter(label -> label.startsWith("("))
                .toList();
        assertEquals(
                List.of(
                        "(a)(1)",
                        "(a)(2)",
                        "(a)(2)(i)",
                        "(a)(2)(ii)",
                        "(a)(2)(iii)",
                        "(a)(2)(iv)",
                        "(a)(3)",
                        "(a)(4)",
                        "(a)(5)",
                        "(a)(6)",
                        "(a)(7)"),
                sections);
        String said = answer.toString();
        assertTrue(said.contains("value=A. Nyone"), said);
        assertTrue(
                said.contains(
                        "label=(a)(7) Workshop, value=, note=not known to this log; no knowledge of it is claimed"),
                said);
        assertTrue(said.contains("Facts for a disclosure; not legal advice"), said);
        for (DisclosureLaw law : DisclosureLaw.KNOWN.values()) {
            assertFalse(law.toString().toLowerCase(java.util.Locale.ROOT).contains("compl"), "never says it complies");
        }
    }

    /** Each report as any plugin is tried. */
    abstract static class Checked extends PluginCheck {
        private final Supplier<Calculator> made;
        private final Map<String, String> replies;

        Checked(Supplier<Calculator> made, Map<String, String> replies) {
            this.made = made;
            this.replies = replies;
        }

        @Override
        protected Calculator plugin() {
            return made.get();
        }

        @Override
        protected StudioView studio() {
            return printed();
        }

        @Override
        protected Map<String, String> replies() {
            return replies;
        }
    }

    @Nested
    class Sheet extends Checked {
        Sheet() {
            super(DocumentationSheet::new, Map.of("edition", "e"));
        }
    }

    @Nested
    class Law extends Checked {
        Law() {
            super(DocumentationSheet::new, Map.of("edition", "e", "law", "Hawaii"));
        }
    }

    @Nested
    class Recipe extends Checked {
        Recipe() {
            super(RecipeCard::new, Map.of("mix", "mix"));
        }
    }

    @Nested
    class Bench extends Checked {
        Bench() {
            super(BenchSheet::new, Map.of("mix", "mix"));
        }
    }

    @Nested
    class RunSheet extends Checked {
        RunSheet() {
            super(RunSheetPaper::new, Map.of("run", "run"));
        }
    }

    @Nested
    class Drawer extends Checked {
        Drawer() {
            super(DrawerList::new, Map.of());
        }
    }

    @Nested
    class Materials extends Checked {
        Materials() {
            super(MaterialsAndCost::new, Map.of("of", "e"));
        }
    }

    @Nested
    class Time extends Checked {
        Time() {
            super(TimeAndMaterials::new, Map.of("edition", "e", "rate", "40"));
        }
    }

    @Nested
    class Stock extends Checked {
        Stock() {
            super(StockList::new, Map.of());
        }
    }

    @Nested
    class OfTheYear extends Checked {
        OfTheYear() {
            super(StudioYear::new, Map.of("year", "2026"));
        }
    }

    @Nested
    class Cautions extends Checked {
        Cautions() {
            super(MixCautions::new, Map.of("mix", "mix"));
        }
    }

    @Nested
    class Trace extends Checked {
        Trace() {
            super(TraceOfLot::new, Map.of("lot", "can"));
        }
    }

    @Nested
    class OnCans extends Checked {
        OnCans() {
            super(Labels::new, Map.of());
        }
    }
}
