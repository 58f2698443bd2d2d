package slabside.measure;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.math.BigDecimal;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class TypedTest {
    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {"1.5|1.5", "1,5|1.5", " 12 |12", ",5|0.5", "-3|-3", "\u22123,25|-3.25", "0,500|0.500"})
    void either_decimal_sign_is_read(String typed, String expected) {
        assertEquals(new BigDecimal(expected), Typed.decimal("grams", typed));
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "1,500",
                "12,000",
                "1.000,5",
                "1,000.5",
                "1e3",
                "NaN",
                "Infinity",
                "",
                "g",
                "1 000",
                "0x10",
                "1..2",
                "999999999999999"
            })
    void what_can_mean_two_things_or_nothing_is_refused(String typed) {
        BadInput refused = assertThrows(BadInput.class, () -> Typed.decimal("grams", typed));
        assertEquals("grams", refused.field());
        assertTrue(refused.getMessage().contains("write"), refused.getMessage());
    }

    @Test
    void a_stated_sign_settles_it() {
        assertEquals(new BigDecimal("1.500"), Typed.decimal("grams", "1,500", ','));
        assertThrows(BadInput.class, () -> Typed.decimal("grams", "1.5", ','));
    }

    @ParameterizedTest
    @ValueSource(strings = {"-1", "0.0001", "2000000"})
    void a_mass_that_no_studio_scale_shows_is_refused(String grams) {
        assertThrows(BadInput.class, () -> Mass.ofGrams("grams", new BigDecimal(grams)));
    }

    @Test
    void a_mass_is_shown_as_the_scale_shows_it() {
        assertEquals("12.30 g", Mass.ofGrams("12.3").shown(new Mass(10)));
        assertEquals("12 g", Mass.ofGrams("12.3").shown(new Mass(1000)));
        assertEquals("12.3 g", Mass.ofGrams("12.30").toString());
        assertEquals("500 g", Mass.ofGrams("500").toString());
    }

    @Test
    void the_step_of_a_typed_amount_is_that_of_its_last_digit() {
        assertEquals(100, ((Amount.Net) Amount.net("amount", "12,5 g")).stepMg());
        assertEquals(1, ((Amount.Net) Amount.net("amount", "0.125")).stepMg());
        assertEquals(1000, ((Amount.Net) Amount.net("amount", "12")).stepMg());
        assertEquals("12,5 g", Amount.net("amount", "12,5 g").entered());
        assertEquals(24_900, Amount.weighed("412.6", "387.7").netMg());
    }

    @Test
    void amounts_that_move_nothing_or_run_backwards_are_refused() {
        assertThrows(BadInput.class, () -> new Amount.Net(0, 100, "0"));
        assertThrows(BadInput.class, () -> new Amount.Net(-5, 100, "-5"));
        assertThrows(BadInput.class, () -> new Amount.Weighed(500, 500, 100, null, "x"));
        assertThrows(BadInput.class, () -> new Amount.Estimated(500, 400, "x"));
        assertThrows(BadInput.class, () -> new Amount.Parts(BigDecimal.ZERO, "g", "0"));
        assertThrows(BadInput.class, () -> new Amount.Net(5, 0, "5"));
    }

    @Test
    void a_very_long_value_is_shortened_in_the_message_only() {
        BadInput bad = new BadInput("note", "x".repeat(100_000), "shorten it");
        assertTrue(bad.getMessage().length() < 200);
        assertEquals(100_000, bad.value().length());
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', textBlock = """
            12.5 g        | 12.5 g
            12,50         | 12.50 g
            0.25 kg       | 250 g
            700 mg        | 0.700 g
            3–4 g         | 3 g to 4 g by eye
            about 3 to 4  | 3 g to 4 g by eye
            2 parts       | 2 parts
            1 part        | 1 part
            35.2 → 93.7   | 58.5 g
            93.7 -> 35.2 g | 58.5 g
            35.2 g → 93.7 g | 58.5 g
            3 to 4 g by eye | 3 g to 4 g by eye
            rest          | all the rest
            The Rest      | all the rest
            ?             | an amount not written down
            unknown       | an amount not written down
            """)
    void an_amount_is_read_as_it_is_typed(String text, String shown) {
        Amount amount = Typed.amount("amount", text, "mix", Optional.empty());
        assertEquals(shown, amount.shown());
        assertEquals(text.strip(), amount.entered(), "what was typed is kept");
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', textBlock = """
            3 oz      | use g, kg, mg or parts
            three     | use g, kg, mg or parts
            1,500     | thousands
            -3 g      | negative
            0 g       | above zero
            0.0001 g  | finer than 1 mg
            4-3 g     | swap them
            0 parts   | above zero
            5 → 5     | above zero
            """)
    void an_amount_that_cannot_be_is_refused_with_the_remedy(String text, String remedy) {
        BadInput refused = assertThrows(BadInput.class, () -> Typed.amount("amount", text, "mix", Optional.empty()));
        assertTrue(refused.getMessage().contains(remedy), refused.getMessage());
    }
}
