package slabside.quantity;

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

/** What was printed, kept, charged and left on paper, in a studio made up here. */
class AmountsTest {
    private static final StudioView.Material BASE = new StudioView.Material("base", "transparent base", "base", "");
    private static final StudioView.Material BLUE = new StudioView.Material("blue", "blue", "ink", "");
    private static final StudioView.Material REDUCER =
            new StudioView.Material("reducer", "tack reducer", "tack reducer", "");

    private static StudioView.Composition ink(String id, double grams, double reducer) {
        return new StudioView.Composition(
                id,
                "Ink " + id,
                new Uncertain(grams, 0.1),
                List.of(
                        new StudioView.Share(BASE, new Uncertain(0.9 - reducer, 0), new Uncertain(1, 0)),
                        new StudioView.Share(BLUE, new Uncertain(0.1, 0), new Uncertain(1, 0)),
                        new StudioView.Share(REDUCER, new Uncertain(reducer, 0), new Uncertain(1, 0))),
                List.of());
    }

    /** A run with 14 g on slab and roller, 0.47 % of them tack reducer. */
    private static MadeUpStudio studio() {
        StudioView.PullRow pull = MadeUpStudio.pull(1, 1, Map.of());
        StudioView.PullRow loaded = new StudioView.PullRow(
                pull.event(),
                pull.millis(),
                1,
                pull.sheet(),
                pull.grade(),
                false,
                pull.passes(),
                pull.faults(),
                pull.readings(),
                "",
                "",
                List.of(new StudioView.OnLoad(
                        14, Map.of("transparent base", 0.8953, "blue", 0.1, "tack reducer", 0.0047), Map.of())),
                "",
                Optional.empty());
        return new MadeUpStudio()
                .with("packet", "a", "Ink a")
                .with("packet", "b", "Ink b")
                .with("packet", "c", "Ink c")
                .with(ink("a", 30, 0.0047))
                .with(ink("b", 25, 0.0047))
                .with(ink("c", 60, 0.045))
                .with(MadeUpStudio.run("run", "Weir", List.of(loaded)))
                .with(MadeUpStudio.run("bare", "Bare", List.of(pull)))
                .with(new StudioView.PastRun("old", "Old flat", "flat", new Uncertain(0.5, 0.01), 40));
    }

    private static Answer ask(Calculator calculator, String... replies) {
        return Asked.of(calculator, studio(), replies);
    }

    private static Answer weighed(String... more) {
        String[] all = {
            "before", "2060", "after", "2030", "pulls", "40", "image", "30 x 40 cm", "coverage", "50", "step", "0.1"
        };
        String[] with = java.util.Arrays.copyOf(all, all.length + more.length);
        System.arraycopy(more, 0, with, all.length, more.length);
        return ask(new FilmByWeighing(), with);
    }

    /** Worked by hand: 30 g over 40 pulls of 0.06 m² are 12.5 g/m²; two readings in steps of 0.1 g are ± 0.0408 g (JCGM 100). */
    @Test
    void a_film_by_weighing_slab_and_knife() {
        Answer.Quantity film = Asked.quantity(weighed(), "Film");
        assertEquals(12.5, film.value(), 1e-9);
        assertEquals(12.5 * Math.hypot(0.1 / Math.sqrt(6) / 30, 0.06), film.u(), 1e-6);
        assertEquals(0.75, Asked.quantity(weighed(), "A print takes").value(), 1e-9);
        // 6 g charged in between, 18 g kept by the roller.
        assertEquals(
                7.5, Asked.quantity(weighed("fed", "6", "roller", "18"), "Film").value(), 1e-9);
        assertTrue(weighed().toString().contains("Old flat"), "what the log has stands beside it");
        assertTrue(weighed("step", "20").toString().contains("coarse"));
        assertThrows(BadInput.class, () -> weighed("after", "2070"));
        String none =
                assertThrows(BadInput.class, () -> weighed("image", "1 x 1 cm")).getMessage();
        assertTrue(none.contains("no hand prints"), none);
    }

    /** 55 g of the same ink are kept, of 30 and 25 g; a third packet has ten times the reducer. */
    @Test
    void what_is_kept_is_enough_or_it_is_said_what_to_mix() {
        Answer yes = ask(new EnoughKept(), "like", "a", "pulls", "40", "each", "0.5");
        assertEquals(55, Asked.quantity(yes, "Kept").value(), 1e-9);
        assertEquals(40, Asked.quantity(yes, "Needed").value(), 1e-9);
        assertTrue(yes.toString().contains("Yes: what is kept"), yes.toString());
        assertTrue(yes.toString().contains("holds already") && yes.toString().contains("tack reducer"));
        Answer no = ask(new EnoughKept(), "like", "a", "pulls", "100", "each", "0.5");
        // 70 g needed, 15 missing, and 1.2816 standard deviations of 5 g beside it.
        assertEquals(
                15 + 1.2815515655 * Math.sqrt(25 + 0.02),
                Asked.quantity(no, "Mix in addition").value(),
                1e-6);
        assertTrue(no.toString().contains("No: what is kept"), no.toString());
        // Half a per cent more of a strong ink in a tint is another ink.
        MadeUpStudio tints = studio().with("packet", "d", "Tint d").with("packet", "e", "Tint e");
        for (String id : List.of("d", "e")) {
            double blue = id.equals("d") ? 0.005 : 0.01;
            tints.with(new StudioView.Composition(
                    id,
                    "Tint " + id,
                    new Uncertain(20, 0),
                    List.of(
                            new StudioView.Share(BASE, new Uncertain(1 - blue, 0), new Uncertain(20, 0)),
                            new StudioView.Share(BLUE, new Uncertain(blue, 0), new Uncertain(0.1, 0))),
                    List.of()));
        }
        Answer tint = Asked.of(new EnoughKept(), tints, "like", "d", "pulls", "10", "each", "0.1");
        assertEquals(20, Asked.quantity(tint, "Kept").value(), 1e-9);
        assertTrue(ask(new EnoughKept(), "like", "a", "pulls", "70", "each", "0.5")
                .toString()
                .contains("may just be enough"));
    }

    /**
     * The made-up edition of the trade's notes: 6 g with 4.50 % are charged onto 14 g with 0.47 %: 1.68, 2.53, 3.13 % there, where
     * the load shrinks a little between charges.
     */
    @Test
    void a_second_batch_with_ten_times_the_reducer_jumps() {
        Answer answer = ask(new ToppingUp(), "run", "run", "mix", "c", "charge", "6");
        assertTrue(answer.toString().contains("tack reducer from 0.47 to 3.12 %"), answer.toString());
        assertTrue(answer.toString().contains("tack reducer, 0.47, 4.50, 1.68, 3.12"), answer.toString());
        assertTrue(ask(new ToppingUp(), "run", "run", "mix", "c", "charge", "6", "charges", "2")
                .toString()
                .contains("tack reducer, 0.47, 4.50, 1.68, 2.53"));
        Answer same = ask(new ToppingUp(), "run", "run", "mix", "a", "charge", "6");
        assertTrue(same.toString().contains("Nothing jumps"), same.toString());
        assertTrue(ask(new ToppingUp(), "run", "run", "charge", "6", "batch", "100")
                .toString()
                .contains("transparent base, 89.53, 89.53"));
        assertThrows(BadInput.class, () -> ask(new ToppingUp(), "run", "bare", "charge", "6"));
        assertThrows(BadInput.class, () -> ask(new ToppingUp(), "run", "run", "ink", "2", "charge", "6"));
    }

    /** Worked by hand: 0.10 g of 4.00 g are 2.5 %; for 2 g in the mix 2.0513 g go onto the paper. */
    @Test
    void what_stays_on_the_paper() {
        Answer answer = ask(new PaperLoss(), "dabs", "1; 0.03\n2; 0.05\n1; 0.02", "wanted", "2");
        assertEquals(2.5, Asked.quantity(answer, "Stays on the paper").value(), 1e-9);
        assertEquals(2.05128, Asked.quantity(answer, "Put on the paper").value(), 1e-5);
        assertTrue(answer.toString().contains("may be nothing"), "three dabs on a scale of 0.1 g");
        assertThrows(BadInput.class, () -> ask(new PaperLoss(), "dabs", "1; 1.3"));
        assertThrows(BadInput.class, () -> ask(new PaperLoss(), "dabs", "1; 1", "wanted", "2"));
        assertThrows(BadInput.class, () -> ask(new PaperLoss(), "dabs", "1; much"));
    }

    private abstract static class Check extends PluginCheck {
        @Override
        protected StudioView studio() {
            return AmountsTest.studio();
        }
    }

    @Nested
    class FilmIsChecked extends Check {
        @Override
        protected Calculator plugin() {
            return new FilmByWeighing();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("before", "60", "after", "30", "pulls", "40", "image", "30 x 40 cm", "coverage", "50");
        }
    }

    @Nested
    class KeptIsChecked extends Check {
        @Override
        protected Calculator plugin() {
            return new EnoughKept();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("like", "a", "pulls", "40", "each", "0.5");
        }
    }

    @Nested
    class ToppingIsChecked extends Check {
        @Override
        protected Calculator plugin() {
            return new ToppingUp();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("run", "run", "mix", "c", "charge", "6");
        }
    }

    @Nested
    class PaperIsChecked extends Check {
        @Override
        protected Calculator plugin() {
            return new PaperLoss();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("dabs", "1; 0.03\n2; 0.05");
        }
    }
}
