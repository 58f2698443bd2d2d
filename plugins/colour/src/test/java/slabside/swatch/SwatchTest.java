package slabside.swatch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.Test;
import slabside.colour.Bands;
import slabside.colour.CieLab;
import slabside.colour.Difference;
import slabside.colour.Srgb;
import slabside.kit.Asked;
import slabside.kit.MadeUpStudio;
import slabside.kit.PluginCheck;
import slabside.looks.Known;
import slabside.looks.Mixed;
import slabside.looks.Sheets;
import slabside.measure.BadInput;
import slabside.measure.Lab;
import slabside.measure.Spectrum;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.StudioView;

/** What films look like, on a studio made up here. */
class SwatchTest {
    private static final StudioView.Material BASE =
            new StudioView.Material("base", "transparent base", "base", "#f3e9c8");
    private static final StudioView.Material BLUE = new StudioView.Material("blue", "blue", "ink", "#0072a8");
    private static final StudioView.Material RUBINE = new StudioView.Material("rubine", "rubine", "ink", "#b3123f");
    private static final StudioView.Material WHITE =
            new StudioView.Material("white", "opaque white", "opaque white", "#fbfbf6");

    private static StudioView.Composition mix(
            String id, StudioView.Material ink, double share, StudioView.Material rest) {
        return new StudioView.Composition(
                id,
                "Mix " + id,
                new Uncertain(100, 0.1),
                List.of(
                        new StudioView.Share(ink, new Uncertain(share, 0.001), new Uncertain(100 * share, 0.1)),
                        new StudioView.Share(
                                rest, new Uncertain(1 - share, 0.001), new Uncertain(100 - 100 * share, 0.1))),
                List.of());
    }

    private static MadeUpStudio studio() {
        return new MadeUpStudio()
                .with(mix("pure", BLUE, 1, BASE))
                .with(mix("tint", BLUE, 0.1, BASE))
                .with(mix("pink", RUBINE, 0.1, BASE))
                .with(mix("milky", BLUE, 0.1, WHITE))
                .with(mix("clear", BASE, 1, BASE));
    }

    private static Answer ask(Calculator calculator, StudioView studio, String... replies) {
        return Asked.of(calculator, studio, replies);
    }

    private static double quantity(Answer answer, String label) {
        return Asked.quantity(answer, label).value();
    }

    private static String words(Answer answer) {
        return answer.blocks().toString();
    }

    /** A pure ink at the weight for which its screen colour was picked, on a perfect white, is that colour again. */
    @Test
    void an_ink_known_by_a_screen_colour_gives_that_colour_back() {
        Answer answer = ask(new FilmLooks(), studio(), "mix", "pure", "film", "3", "paper", "100 0 0");
        CieLab picked = Srgb.of("#0072a8").labD50();
        CieLab got = new CieLab(quantity(answer, "L*"), quantity(answer, "a*"), quantity(answer, "b*"));
        assertTrue(Difference.ciede2000(picked, got) < 0.1, picked + " " + got);
        assertTrue(words(answer).contains("A dab decides"), "it says how little that is");
    }

    @Test
    void more_base_is_nearer_the_paper_and_a_thicker_film_further() {
        double before = -1;
        for (String film : List.of("0.5", "1", "2", "4", "8")) {
            double light = quantity(ask(new FilmLooks(), studio(), "mix", "tint", "film", film), "L*");
            assertTrue(before < 0 || light < before, film);
            before = light;
        }
        // A tenth of the ink at ten times the weight is the ink itself.
        assertEquals(
                quantity(ask(new FilmLooks(), studio(), "mix", "pure", "film", "1"), "L*"),
                quantity(ask(new FilmLooks(), studio(), "mix", "tint", "film", "10"), "L*"),
                1e-6);
    }

    @Test
    void over_a_black_bar_only_an_opaque_ink_shows() {
        Bands bar = Sheets.blackBar();
        Bands clear = Mixed.of("tint", "Mix", studio()).film().times(3).over(bar);
        Bands milky = Mixed.of("milky", "Mix", studio()).film().times(3).over(bar);
        assertTrue(Sheets.seen(clear).l() <= Sheets.seen(bar).l() + 1e-9, "a transparent ink does not lighten a black");
        assertTrue(Sheets.seen(milky).l() > Sheets.seen(bar).l() + 20, "one in opaque white does");
    }

    /** A spectrum is believed before L*a*b*, the newest of them, and none that was read over black. */
    @Test
    void the_best_that_is_known_of_an_ink_is_taken() {
        assertEquals(2, Known.of(BLUE, studio()).rank());
        StudioView.ColourReading lab = reading("1", 1, Optional.empty(), lab("40", "-10", "-40"), "white", "D50");
        assertEquals(1, Known.of(BLUE, studio().with(lab)).rank());
        StudioView.ColourReading spectrum = reading("2", 2, Optional.of(flat("0.2")), Optional.empty(), "white", "");
        Known known = Known.of(BLUE, studio().with(spectrum).with(lab));
        assertEquals(0, known.rank());
        // 3 g/m² gave 0.2 over 0.85: K·X of a film of 1 g/m² is ln(0.85 / 0.2) / 2 / 3.
        assertEquals(StrictMath.log(0.85 / 0.2) / 6, known.film().band(10).kx(), 1e-12);
        StudioView.ColourReading newer = reading("3", 3, Optional.of(flat("0.3")), Optional.empty(), "white", "");
        assertEquals(
                StrictMath.log(0.85 / 0.3) / 6,
                Known.of(BLUE, studio().with(spectrum).with(newer))
                        .film()
                        .band(10)
                        .kx(),
                1e-12);
        StudioView.ColourReading black = reading("4", 4, Optional.of(flat("0.05")), Optional.empty(), "black", "");
        assertEquals(
                2, Known.of(BLUE, studio().with(black)).rank(), "over black says nothing of a film that only absorbs");
        StudioView.ColourReading other = reading("5", 5, Optional.empty(), lab("40", "0", "0"), "white", "A");
        assertEquals(2, Known.of(BLUE, studio().with(other)).rank(), "L*a*b* of another light is not used");
    }

    private static Optional<Lab> lab(String l, String a, String b) {
        return Optional.of(new Lab(new BigDecimal(l), new BigDecimal(a), new BigDecimal(b)));
    }

    private static Spectrum flat(String value) {
        List<BigDecimal> values = new ArrayList<>();
        for (int i = 0; i < 36; i++) {
            values.add(new BigDecimal(value));
        }
        return new Spectrum(380, 10, values);
    }

    private static StudioView.ColourReading reading(
            String event,
            long millis,
            Optional<Spectrum> spectrum,
            Optional<Lab> lab,
            String backing,
            String illuminant) {
        return new StudioView.ColourReading(
                event,
                millis,
                millis,
                "blue",
                "",
                spectrum,
                lab,
                OptionalDouble.empty(),
                backing,
                illuminant,
                "",
                "",
                "",
                OptionalDouble.empty(),
                OptionalDouble.of(3),
                List.of());
    }

    @Test
    void overlaps_are_darker_than_each_alone_and_depend_on_the_order() {
        Answer answer = ask(new Overlaps(), studio(), "first", "tint", "second", "pink", "film", "3");
        List<Answer.Swatches> all = answer.blocks().stream()
                .filter(Answer.Swatches.class::isInstance)
                .map(Answer.Swatches.class::cast)
                .toList();
        assertEquals(3, all.get(0).swatches().size(), "two inks and the paper");
        assertEquals(
                List.of("Mix tint, then Mix pink", "Mix pink, then Mix tint"),
                all.get(1).swatches().stream().map(Answer.Swatch::label).toList());
        double alone = Srgb.of(all.get(0).swatches().get(0).screen()).labD50().l();
        double over = Srgb.of(all.get(1).swatches().get(0).screen()).labD50().l();
        assertTrue(over < alone, over + " under " + alone);
        assertTrue(
                words(answer).contains("ΔE00 2.2 in the middle and 5.6 at most"),
                "the error that was measured stands there");
        Answer three = ask(new Overlaps(), studio(), "first", "tint", "second", "pink", "third", "pure");
        assertEquals(
                12,
                three.blocks().stream()
                        .filter(Answer.Swatches.class::isInstance)
                        .map(Answer.Swatches.class::cast)
                        .skip(1)
                        .findFirst()
                        .orElseThrow()
                        .swatches()
                        .size(),
                "six pairs and six triples");
        assertTrue(
                words(ask(new Overlaps(), studio(), "first", "tint", "second", "milky"))
                        .contains("opaque white"),
                "with a white in it the other model is named");
    }

    @Test
    void what_cannot_be_told_is_said() {
        assertTrue(words(ask(new FilmLooks(), studio(), "mix", "clear")).contains("has a colour that is known"));
        assertThrows(BadInput.class, () -> ask(new FilmLooks(), studio(), "mix", "no such mix"));
        BadInput odd =
                assertThrows(BadInput.class, () -> ask(new FilmLooks(), studio(), "mix", "tint", "paper", "50 250 0"));
        assertTrue(odd.remedy().contains("no sheet looks so"), odd.remedy());
    }

    @Nested
    class FilmLooksIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new FilmLooks();
        }

        @Override
        protected StudioView studio() {
            return SwatchTest.studio();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("mix", "tint");
        }
    }

    @Nested
    class OverlapsAreChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new Overlaps();
        }

        @Override
        protected StudioView studio() {
            return SwatchTest.studio();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("first", "tint", "second", "pink");
        }
    }

    /** A tint of an ink that the studio has is made again of that ink, in its share. */
    @Test
    void a_colour_that_was_made_here_is_found_again() {
        Answer answer = ask(new WhatCouldMake(), stocked(), "like", "tint");
        Answer.Strip first = answer.blocks().stream()
                .filter(Answer.Strip.class::isInstance)
                .map(Answer.Strip.class::cast)
                .findFirst()
                .orElseThrow();
        assertTrue(first.caption().startsWith("1: transparent base 90.0"), first.caption());
        assertTrue(first.caption().contains("blue 10.0") || first.caption().contains("blue 9.9"), first.caption());
        assertTrue(words(answer).contains("as near as can be seen"));
        Answer out = ask(new WhatCouldMake(), stocked(), "target", "80 -60 60");
        assertTrue(words(out).contains("Out of reach"), "a green that no blue and rubine make");
        BadInput missing = assertThrows(BadInput.class, () -> ask(new WhatCouldMake(), stocked()));
        assertTrue(missing.remedy().contains("as a screen shows it"));
        assertThrows(BadInput.class, () -> ask(new WhatCouldMake(), studio(), "target", "80 0 0"));
    }

    private static MadeUpStudio stocked() {
        return studio().with(BASE).with(BLUE).with(RUBINE).with(WHITE);
    }

    @Nested
    class WhatCouldMakeIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new WhatCouldMake();
        }

        @Override
        protected StudioView studio() {
            return stocked();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("target", "70 -20 -15");
        }
    }
}
