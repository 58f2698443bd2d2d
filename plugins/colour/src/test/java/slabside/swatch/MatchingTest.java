package slabside.swatch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.Test;
import slabside.colour.Bands;
import slabside.colour.CieLab;
import slabside.colour.InkFilm;
import slabside.colour.Overprint;
import slabside.kit.Asked;
import slabside.kit.MadeUpStudio;
import slabside.kit.PluginCheck;
import slabside.looks.Known;
import slabside.looks.Mixed;
import slabside.looks.ReadFilm;
import slabside.looks.Sheets;
import slabside.measure.BadInput;
import slabside.measure.Lab;
import slabside.measure.Spectrum;
import slabside.measure.Uncertain;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Json;
import slabside.plugin.StudioView;

/** Orders, corrections, kept inks, strength, cost and overlaps that were measured, on a studio made up here. */
class MatchingTest {
    private static final StudioView.Material BASE =
            new StudioView.Material("base", "transparent base", "base", "#f3e9c8");
    private static final StudioView.Material BLUE = new StudioView.Material("blue", "blue", "ink", "#0072a8");
    private static final StudioView.Material NAVY = new StudioView.Material("navy", "navy", "ink", "#00507a");
    private static final StudioView.Material RED = new StudioView.Material("red", "red", "ink", "#b3123f");
    private static final StudioView.Material WHITE =
            new StudioView.Material("white", "opaque white", "opaque white", "#fbfbf6");

    private static StudioView.Composition of(
            String id, double grams, StudioView.Material ink, double share, StudioView.Material rest) {
        return new StudioView.Composition(
                id,
                "Mix " + id,
                new Uncertain(grams, 0.1),
                List.of(
                        new StudioView.Share(ink, new Uncertain(share, 0.001), new Uncertain(grams * share, 0.1)),
                        new StudioView.Share(
                                rest, new Uncertain(1 - share, 0.001), new Uncertain(grams * (1 - share), 0.1))),
                List.of());
    }

    private static MadeUpStudio studio() {
        return new MadeUpStudio()
                .with(BASE)
                .with(BLUE)
                .with(NAVY)
                .with(RED)
                .with(of("tint", 100, BLUE, 0.1, BASE))
                .with(of("pink", 40, RED, 0.1, BASE))
                .with(of("milky", 60, BLUE, 0.1, WHITE))
                .with("mix", "tint", "Mix tint")
                .with("packet", "pink", "Mix pink")
                .with("packet", "milky", "Mix milky");
    }

    private static Answer ask(Calculator calculator, StudioView studio, String... replies) {
        return Asked.of(calculator, studio, replies);
    }

    private static String words(Answer answer) {
        return answer.blocks().toString();
    }

    private static StudioView.ColourReading lab(
            String of, CieLab seen, String backing, OptionalDouble dry, String... over) {
        return reading(
                of,
                Optional.empty(),
                Optional.of(new Lab(
                        BigDecimal.valueOf(seen.l()), BigDecimal.valueOf(seen.a()), BigDecimal.valueOf(seen.b()))),
                backing,
                dry,
                over);
    }

    private static StudioView.ColourReading reading(
            String of,
            Optional<Spectrum> spectrum,
            Optional<Lab> lab,
            String backing,
            OptionalDouble dry,
            String... over) {
        return new StudioView.ColourReading(
                "event",
                1,
                1,
                of,
                "",
                spectrum,
                lab,
                OptionalDouble.empty(),
                backing,
                "D50",
                "2°",
                "",
                "",
                dry,
                OptionalDouble.of(3),
                List.of(over));
    }

    private static Spectrum spectrum(Bands bands) {
        List<BigDecimal> values = new ArrayList<>();
        for (double value : bands.values()) {
            values.add(BigDecimal.valueOf(value));
        }
        return new Spectrum(380, 10, values);
    }

    private static List<Answer.Swatch> swatches(Answer answer, String caption) {
        return answer.blocks().stream()
                .filter(block ->
                        block instanceof Answer.Swatches all && all.caption().startsWith(caption))
                .flatMap(block -> ((Answer.Swatches) block).swatches().stream())
                .toList();
    }

    private static List<List<String>> table(Answer answer, String caption) {
        return answer.blocks().stream()
                .filter(block ->
                        block instanceof Answer.Table table && table.caption().equals(caption))
                .flatMap(block -> ((Answer.Table) block).rows().stream())
                .toList();
    }

    /** Measured once, an overlap stands first and as measured, and tells how the later film lies wherever that pair comes. */
    @Test
    void overlaps_are_shown_as_measured_where_somebody_read_them() {
        Bands paper = Sheets.paper(new Lab(new BigDecimal("95"), BigDecimal.ZERO, new BigDecimal("2")));
        CieLab read = Sheets.seen(new Overprint(0.947 * 0.02, 0.9)
                .of(
                        paper,
                        List.of(
                                Mixed.of("tint", "", studio()).film().times(3).over(paper),
                                Mixed.of("pink", "", studio()).film().times(3).over(paper))));
        MadeUpStudio studio = studio().with(lab("pink", read, "", OptionalDouble.of(48), "tint"));
        Answer answer = ask(new Overlaps(), studio, "first", "tint", "second", "pink");
        List<Answer.Swatch> all = swatches(answer, "One over the other");
        assertEquals("Mix tint, then Mix pink", all.get(0).label());
        assertTrue(all.get(0).measured());
        assertTrue(
                all.get(0).words().startsWith(Sheets.numbers(read)), all.get(0).words());
        assertTrue(all.stream().skip(1).noneMatch(Answer.Swatch::measured));
        double exponent = Double.parseDouble(
                table(answer, "Overlaps measured here").get(0).get(1));
        assertEquals(0.9, exponent, 0.02);
        // What is no overlap of these films teaches nothing, and an addition makes another ink of one.
        Answer odd = ask(
                new Overlaps(),
                studio().with(lab("pink", new CieLab(45, 40, 20), "", OptionalDouble.of(48), "tint")),
                "first",
                "tint",
                "second",
                "pink");
        assertEquals(
                "cannot be these films",
                table(odd, "Overlaps measured here").get(0).get(1));
        Answer later = ask(
                new Overlaps(),
                studio().with(lab("pink", read, "", OptionalDouble.of(48), "tint"))
                        .with(new StudioView.Path("e", 2, "x", "", "pink", "", "mixed", Optional.empty())),
                "first",
                "tint",
                "second",
                "pink");
        assertTrue(swatches(later, "One over the other").stream().noneMatch(Answer.Swatch::measured));
        // The other order was not read.
        assertEquals(1, table(answer, "Overlaps measured here").size());
        // What an ink is known by is not taken from where it lies on another.
        assertEquals(
                2,
                Known.of(RED, studio().with(lab("red", read, "", OptionalDouble.empty(), "tint")))
                        .rank());
    }

    /** With an exponent of 1 measured, three films are the plain product, with the usual one they are not. */
    @Test
    void what_was_measured_of_a_pair_is_used_where_three_lie_over_each_other() {
        Bands paper = Sheets.paper(new Lab(new BigDecimal("95"), BigDecimal.ZERO, new BigDecimal("2")));
        List<Mixed> inks =
                List.of(Mixed.of("tint", "", studio()), Mixed.of("pink", "", studio()), Mixed.of("tint", "", studio()));
        Stack unread = new Stack(inks, 3, paper, 0.02, studio());
        Bands plain = new Overprint(0.947 * 0.02, 1).of(paper, List.of(unread.alone(0), unread.alone(1)));
        Stack read = new Stack(
                inks,
                3,
                paper,
                0.02,
                studio().with(lab("pink", Sheets.seen(plain), "", OptionalDouble.empty(), "tint")));
        assertEquals(1, read.trapping(0, 1).orElseThrow(), 0.02);
        assertTrue(unread.trapping(0, 1).isEmpty());
        assertTrue(Sheets.seen(read.computed(List.of(0, 1, 2))).l()
                < Sheets.seen(unread.computed(List.of(0, 1, 2))).l());
    }

    @Test
    void readings_over_black_and_white_tell_how_much_an_ink_scatters() {
        // A film that scatters: S·X 0.4, K·X 0.2 for 3 g/m², over the white and black of a card.
        InkFilm film = InkFilm.mixed(
                List.of(
                        InkFilm.scattering(0.4),
                        InkFilm.overWhite(Known.white(0.85 * StrictMath.exp(-0.4)), Known.white(0.85))),
                1,
                1);
        Spectrum white = spectrum(film.over(Known.white(0.85)));
        Spectrum black = spectrum(film.over(Known.white(0.03)));
        MadeUpStudio studio = studio().with(
                        reading("blue", Optional.of(white), Optional.empty(), "white", OptionalDouble.of(48)))
                .with(reading("blue", Optional.of(black), Optional.empty(), "black", OptionalDouble.of(48)));
        Known known = Known.of(BLUE, studio);
        assertTrue(known.how().startsWith("spectra over white and over black"), known.how());
        assertEquals(0.4 / 3, known.film().band(9).sx(), 1e-6);
        assertEquals(0.2 / 3, known.film().band(9).kx(), 1e-6);
        // Dry is compared with dry: the one over black was read wet.
        Known wet = Known.of(
                BLUE,
                studio().with(reading("blue", Optional.of(white), Optional.empty(), "white", OptionalDouble.of(48)))
                        .with(reading("blue", Optional.of(black), Optional.empty(), "black", OptionalDouble.of(1))));
        assertEquals(0, wet.film().band(9).sx());
        assertTrue(Known.of(
                        BLUE,
                        studio().with(reading(
                                "blue", Optional.of(white), Optional.empty(), "white", OptionalDouble.of(2))))
                .wet());
    }

    /** A drawdown that was read when it had dried is of the ink as it was drawn down, not as it is now. */
    @Test
    void a_film_is_of_the_ink_as_it_was_when_it_was_made() {
        StudioView.ColourReading late = new StudioView.ColourReading(
                "event",
                100,
                10,
                "tint",
                "",
                Optional.empty(),
                Optional.of(new Lab(new BigDecimal("70"), new BigDecimal("-10"), new BigDecimal("-20"))),
                OptionalDouble.empty(),
                "white",
                "D50",
                "2°",
                "",
                "",
                OptionalDouble.of(48),
                OptionalDouble.of(3),
                List.of());
        MadeUpStudio studio = studio().with(late);
        assertTrue(Mixed.of("tint", "", studio).read().isPresent());
        studio.with(new StudioView.Path("e", 50, "x", "", "tint", "", "mixed", Optional.empty()));
        assertTrue(Mixed.of("tint", "", studio).read().isEmpty(), "something went in before it was read");
        assertTrue(
                assertThrows(BadInput.class, () -> ask(new WhatToAdd(), studio, "mix", "tint", "target", "70 -10 -20"))
                        .getMessage()
                        .contains("after its last dab"));
    }

    /** The dab was made before half as much blue again went in, and was right: the ink is as strong as known. */
    @Test
    void strength_is_learned_from_what_was_in_the_mix_when_the_dab_was_made() {
        Bands paper = Sheets.paper(new Lab(new BigDecimal("95"), BigDecimal.ZERO, new BigDecimal("2")));
        CieLab before =
                Sheets.seen(Mixed.of("tint", "", studio()).film().times(3).over(paper));
        MadeUpStudio studio = studio().with(lab("tint", before, "white", OptionalDouble.of(48)))
                .then(1, of("tint", 100, BLUE, 0.1, BASE))
                .with(of("tint", 105, BLUE, 15 / 105.0, BASE));
        Answer answer = ask(new WhatToAdd(), studio, "mix", "tint", "target", text(before));
        assertEquals(
                100,
                Double.parseDouble(table(answer, "Learned from 1 dab").get(0).get(1)),
                1);
    }

    /** What was wrapped is the ink that was read. */
    @Test
    void a_packet_looks_as_the_mix_that_was_wrapped() {
        MadeUpStudio studio = studio().with(lab("tint", new CieLab(70, -10, -20), "white", OptionalDouble.of(48)))
                .with(of("packet", 30, BLUE, 0.1, BASE))
                .with(new StudioView.Path("e", 5, "tint", "", "packet", "", "wrapped", Optional.empty()));
        assertTrue(Mixed.of("packet", "", studio).read().isPresent());
        studio.with(new StudioView.Path("f", 6, "x", "", "packet", "", "mixed", Optional.empty()));
        assertTrue(Mixed.of("packet", "", studio).read().isEmpty());
    }

    /** A percentage where a factor belongs, a film of no weight, the wrong observer: left out, and told. */
    @Test
    void readings_that_cannot_be_are_left_out_in_words() {
        Spectrum percent = new Spectrum(
                380,
                10,
                spectrum(Known.white(0.5)).values().stream()
                        .map(value -> value.movePointRight(2))
                        .toList());
        MadeUpStudio studio =
                studio().with(reading("blue", Optional.of(percent), Optional.empty(), "white", OptionalDouble.of(48)));
        assertEquals(2, Known.of(BLUE, studio).rank());
        assertTrue(
                Known.of(BLUE, studio).how().contains("put its values right"),
                Known.of(BLUE, studio).how());
        assertTrue(Known.isD50("D50", "1931"));
        assertTrue(!Known.isD50("", "CIE 1964 10 degree"));
        assertTrue(!Known.isD50("D65", "2°"));
    }

    /** A photo is no dab that was read to a third of a unit, and no measured swatch. */
    @Test
    void photos_are_believed_less() {
        StudioView.ColourReading photo = new StudioView.ColourReading(
                "event",
                1,
                1,
                "tint",
                "",
                Optional.empty(),
                Optional.of(new Lab(new BigDecimal("60"), new BigDecimal("-10"), new BigDecimal("-20"))),
                OptionalDouble.empty(),
                "",
                "D50",
                "2°",
                "",
                ReadFilm.PHOTO,
                OptionalDouble.of(48),
                OptionalDouble.of(3),
                List.of());
        Answer.Swatch swatch = swatches(ask(new HowInksLook(), studio().with(photo), "inks", "tint"), "Each")
                .get(0);
        assertTrue(!swatch.measured() && swatch.words().contains("from a photo"), swatch.toString());
        assertThrows(
                BadInput.class,
                () -> ask(new WhatToAdd(), studio().with(photo), "mix", "tint", "target", "70 -10 -20"));
    }

    @Test
    void wet_readings_give_way_to_dry_ones_and_are_told_beside_them() {
        MadeUpStudio studio = studio().with(of("both", 50, BLUE, 0.5, RED))
                .with(lab("blue", new CieLab(40, -10, -40), "white", OptionalDouble.of(0)))
                .with(lab("red", new CieLab(45, 60, 20), "white", OptionalDouble.of(72)));
        assertTrue(words(ask(new FilmLooks(), studio, "mix", "both")).contains("read wet and some dry"));
        studio.with(lab("blue", new CieLab(44, -8, -35), "white", OptionalDouble.of(72)));
        assertTrue(!words(ask(new FilmLooks(), studio, "mix", "both")).contains("read wet"));
    }

    @Test
    void a_mix_that_was_read_is_shown_as_read_until_something_is_added() {
        CieLab read = new CieLab(70, -10, -20);
        MadeUpStudio studio = studio().with(lab("tint", read, "white", OptionalDouble.of(48)));
        List<Answer.Swatch> all = swatches(ask(new FilmLooks(), studio, "mix", "tint"), "Mix tint");
        assertTrue(all.get(0).measured());
        assertTrue(
                all.get(0).words().startsWith("L* 70 a* -10 b* -20"), all.get(0).words());
        studio.with(new StudioView.Path("e", 2, "x", "", "tint", "", "mixed", Optional.empty()));
        assertTrue(swatches(ask(new FilmLooks(), studio, "mix", "tint"), "Mix tint").stream()
                .noneMatch(Answer.Swatch::measured));
    }

    @Test
    void the_order_is_found_that_gives_the_wanted_overlap() {
        Bands paper = Sheets.paper(new Lab(new BigDecimal("95"), BigDecimal.ZERO, new BigDecimal("2")));
        Stack stack = new Stack(
                List.of(Mixed.of("milky", "", studio()), Mixed.of("pink", "", studio())), 3, paper, 0.02, studio());
        CieLab wanted = Sheets.seen(stack.computed(List.of(1, 0)));
        Answer answer = ask(
                new WhichRunFirst(),
                studio(),
                "first",
                "milky",
                "second",
                "pink",
                "wanted",
                String.format(Locale.ROOT, "1+2; %.3f; %.3f; %.3f", wanted.l(), wanted.a(), wanted.b()));
        assertTrue(words(answer).contains("Mix pink, then Mix milky comes nearest"), words(answer));
        assertEquals(2, table(answer, "Every order").size());
        assertTrue(
                Double.parseDouble(table(answer, "Which pairs care").get(0).get(1)) > 5,
                "a milky film hides the other");
        assertTrue(words(ask(new WhichRunFirst(), studio(), "first", "tint", "second", "tint"))
                .contains("no pair of these cares"));
        assertThrows(
                BadInput.class,
                () -> ask(new WhichRunFirst(), studio(), "first", "tint", "second", "pink", "wanted", "1+3; 50; 0; 0"));
        assertThrows(
                BadInput.class,
                () -> ask(
                        new WhichRunFirst(), studio(), "first", "tint", "second", "pink", "wanted", "1+2; 150; 0; 0"));
    }

    /** The blue is half as strong again as known: the dab is too dark, and base brings it back. */
    @Test
    void a_dab_that_is_too_strong_gets_base() {
        Bands paper = Sheets.paper(new Lab(new BigDecimal("95"), BigDecimal.ZERO, new BigDecimal("2")));
        InkFilm film = Mixed.of("tint", "", studio()).film().times(3);
        CieLab wanted = Sheets.seen(film.over(paper));
        CieLab dab = Sheets.seen(film.times(1.5).over(paper));
        Answer answer = ask(new WhatToAdd(), studio(), "mix", "tint", "target", text(wanted), "dab", text(dab));
        assertTrue(words(answer).contains("g of transparent base"), words(answer));
        // Between a stronger ink and a thicker film a single dab does not decide; both together are half as much again.
        List<List<String>> learned = table(answer, "Learned from 1 dab");
        assertEquals(
                1.5,
                Double.parseDouble(learned.get(0).get(1))
                        * Double.parseDouble(learned.get(1).get(1))
                        / 1e4,
                0.06);
        // 100 g at 1.5 of the strength want 50 g of base.
        double base = Double.parseDouble(words(answer).replaceAll("(?s).*?([0-9.]+) g of transparent base.*", "$1"));
        assertEquals(50, base, 5);
        assertTrue(words(ask(new WhatToAdd(), studio(), "mix", "tint", "target", text(dab), "dab", text(dab)))
                .contains("Leave it"));
        assertTrue(words(ask(new WhatToAdd(), studio(), "mix", "tint", "target", text(wanted), "dab", "20 -10 -30"))
                .contains("far from what these inks should give"));
        // Less than a step of the scale is told with its let-down.
        CieLab little = Sheets.seen(film.times(1.17).over(paper));
        String few = words(ask(new WhatToAdd(), studio(), "mix", "tint", "target", text(little), "dab", text(wanted)));
        assertTrue(few.contains("let down, 1 part in 10"), few);
        assertTrue(words(ask(
                        new WhatToAdd(),
                        studio(),
                        "mix",
                        "tint",
                        "target",
                        "50 60 30",
                        "dab",
                        text(dab),
                        "from",
                        "any ink of the studio"))
                .contains("g of red"));
        assertThrows(BadInput.class, () -> ask(new WhatToAdd(), studio(), "mix", "tint", "target", "50 0 0"));
    }

    private static String text(CieLab lab) {
        return String.format(Locale.ROOT, "%.3f %.3f %.3f", lab.l(), lab.a(), lab.b());
    }

    @Test
    void the_nearest_kept_ink_and_the_packet_without_a_mark() {
        Answer near = ask(new NearThisColour(), studio(), "screen", "#e8b8c4");
        assertTrue(words(near).contains("Mix pink is nearest"), words(near));
        Answer packet = ask(new NearThisColour(), studio(), "screen", "#e8b8c4", "grams", "39.5");
        assertTrue(words(packet).contains("likely Mix pink"), words(packet));
        assertTrue(words(packet).contains("never certain"));
        double sum = table(packet, "Which it may be").stream()
                .mapToDouble(row -> Double.parseDouble(row.get(1)))
                .sum();
        assertTrue(sum < 99.9, "some chance is left for none of them: " + sum);
        // Of two packets of one colour that whose weight is known fits better than that whose weight could be anything.
        MadeUpStudio two = studio().with(new StudioView.Composition(
                        "vague",
                        "Mix vague",
                        new Uncertain(60, 30),
                        of("x", 60, RED, 0.1, BASE).shares(),
                        List.of()))
                .with("packet", "vague", "Mix vague");
        assertTrue(words(ask(new NearThisColour(), two, "like", "tint", "grams", "40"))
                        .length()
                > 0);
        Answer sure = ask(new NearThisColour(), two, "screen", "#e8b8c4", "grams", "40");
        assertEquals("Mix pink", table(sure, "Which it may be").get(0).get(0));
        Answer none = ask(new NearThisColour(), studio(), "target", "30 60 40", "grams", "900");
        assertTrue(words(none).contains("none of these"), words(none));
    }

    /** Twice the absorbing beside the same white: K/S is (1 − R)² / 2R, for R of 0.5 0.25, for R of 0.382 0.5. */
    @Test
    void strength_from_two_tints_and_from_white() {
        Answer white = ask(new Bleaching(), studio(), "lot", "a", "against", "b", "white", "50", "new-white", "60");
        assertEquals(120, quantity(white).value(), 1e-9);
        double r = 1 + 0.5 - StrictMath.sqrt(0.5 * 2.5);
        String one = text(Known.PLAIN_D50.lab(Known.white(0.5)));
        String other = text(Known.PLAIN_D50.lab(Known.white(r)));
        Answer tints = ask(new Bleaching(), studio(), "lot", "a", "against", "b", "old-tint", one, "new-tint", other);
        assertEquals(200, quantity(tints).value(), 0.5);
        assertTrue(quantity(tints).u() > 0);
        Answer.Proposed proposed = (Answer.Proposed) tints.blocks().stream()
                .filter(Answer.Proposed.class::isInstance)
                .findFirst()
                .orElseThrow();
        assertEquals("200", proposed.entries().get(0).fields().at("percent").text());
        assertThrows(
                BadInput.class, () -> ask(new Bleaching(), studio(), "lot", "a", "against", "a", "new-white", "60"));
        assertThrows(BadInput.class, () -> ask(new Bleaching(), studio(), "lot", "a", "against", "b"));
        assertThrows(BadInput.class, () -> ask(new Bleaching(), studio(), "lot", "a", "against", "b", "old-tint", one));
        assertThrows(
                BadInput.class,
                () -> ask(
                        new Bleaching(),
                        studio(),
                        "lot",
                        "a",
                        "against",
                        "b",
                        "old-tint",
                        "99.9 0 0",
                        "new-tint",
                        "99 0 0"));
    }

    private static Answer.Quantity quantity(Answer answer) {
        return (Answer.Quantity) answer.blocks().stream()
                .filter(Answer.Quantity.class::isInstance)
                .findFirst()
                .orElseThrow();
    }

    @Test
    void a_recipe_without_what_is_gone_by_stock_and_by_cost() {
        MadeUpStudio studio = studio().holding("can", "blue-can", "blue can", BLUE, 4)
                .holding("can", "navy-can", "navy can", NAVY, 500)
                .holding("can", "base-can", "base can", BASE, 900);
        for (String ink : List.of("blue", "navy", "base")) {
            double price = ink.equals("blue") ? 40 : ink.equals("navy") ? 10 : 5;
            studio.with(new StudioView.Path(
                            "e-" + ink,
                            1,
                            "supply",
                            "",
                            ink + "-can",
                            "",
                            "received",
                            Optional.of(new Uncertain(100, 0.1))))
                    .with(new StudioView.Moment(
                            "e-" + ink,
                            "shelf.can-received",
                            1,
                            1,
                            "",
                            List.of(ink + "-can"),
                            Json.fields()
                                    .with("can", ink + "-can")
                                    .with("material", ink)
                                    .with(
                                            "price",
                                            Json.fields()
                                                    .with("amount", String.valueOf(price))
                                                    .with("currency", "EUR"))));
        }
        Answer like = ask(new WhatCouldMake(), studio, "like", "tint", "grams", "100");
        assertTrue(first(like).contains("blue"), first(like));
        assertTrue(words(like).contains("it takes 10.0 g of blue, the cans hold 4.0 g"), words(like));
        // 10 g of blue at 0.40 and 90 g of base at 0.05.
        assertTrue(
                table(like, "One step deeper").stream()
                        .anyMatch(row -> row.get(5).equals("8.50 EUR")),
                table(like, "One step deeper").toString());
        Answer without = ask(new WhatCouldMake(), studio, "like", "tint", "without", "blue");
        assertTrue(without.blocks().stream()
                .filter(Answer.Strip.class::isInstance)
                .noneMatch(block -> block.toString().contains("label=blue")));
        assertTrue(first(without).contains("navy"), first(without));
        Answer plenty = ask(new WhatCouldMake(), studio, "like", "tint", "prefer", "of what there is most of");
        assertTrue(!first(plenty).contains(" blue "), first(plenty));
    }

    private static String first(Answer answer) {
        return ((Answer.Strip) answer.blocks().stream()
                        .filter(Answer.Strip.class::isInstance)
                        .findFirst()
                        .orElseThrow())
                .caption();
    }

    @Nested
    class WhichRunFirstIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new WhichRunFirst();
        }

        @Override
        protected StudioView studio() {
            return MatchingTest.studio();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("first", "tint", "second", "pink");
        }
    }

    @Nested
    class WhatToAddIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new WhatToAdd();
        }

        @Override
        protected StudioView studio() {
            return MatchingTest.studio();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("mix", "tint", "target", "80 -10 -12", "dab", "75 -10 -18");
        }
    }

    @Nested
    class NearThisColourIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new NearThisColour();
        }

        @Override
        protected StudioView studio() {
            return MatchingTest.studio();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("screen", "#e8b8c4", "grams", "40");
        }
    }

    @Nested
    class BleachingIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new Bleaching();
        }

        @Override
        protected StudioView studio() {
            return MatchingTest.studio();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("lot", "a", "against", "b", "new-white", "55");
        }
    }
}
