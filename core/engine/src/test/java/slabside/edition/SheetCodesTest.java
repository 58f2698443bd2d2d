package slabside.edition;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import slabside.measure.BadInput;

/** Codes of sheets as they are written on paper. */
class SheetCodesTest {
    @ParameterizedTest
    @CsvSource(delimiter = '|', textBlock = """
            TD-01…TD-04            | TD-01 TD-02 TD-03 TD-04
            TD-01…04               | TD-01 TD-02 TD-03 TD-04
            TD-01..TD-03           | TD-01 TD-02 TD-03
            TD-09 to TD-11         | TD-09 TD-10 TD-11
            TD-01–03, TD-07; P-1   | TD-01 TD-02 TD-03 TD-07 P-1
            8…11                   | 8 9 10 11
            A                      | A
            """)
    void a_text_names_its_sheets_in_order(String text, String codes) {
        assertEquals(List.of(codes.split(" ")), SheetCodes.read("sheets", text));
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', textBlock = """
            TD-05…TD-01   | from the lower number
            TD-01…XD-04   | same letters
            TD-1…TD-99999 | over at most
            TD-01, TD-01  | named twice
            TD-01…03, TD-02 | named twice
            """)
    void what_cannot_be_meant_is_refused(String text, String remedy) {
        BadInput refused = assertThrows(BadInput.class, () -> SheetCodes.read("sheets", text));
        assertTrue(refused.getMessage().contains(remedy), refused.getMessage());
    }

    @Test
    void what_is_shown_short_reads_back_the_same() {
        Random random = new Random(4);
        for (int i = 0; i < 2_000; i++) {
            List<String> codes = new ArrayList<>();
            for (int n = 1; n <= 40; n++) {
                if (random.nextInt(3) > 0) {
                    codes.add(String.format(Locale.ROOT, random.nextInt(9) == 0 ? "P-%d" : "TD-%02d", n));
                }
            }
            if (random.nextBoolean()) {
                Collections.shuffle(codes, random);
            }
            List<String> once = codes.stream().distinct().toList();
            assertEquals(once, SheetCodes.read("sheets", SheetCodes.shown(once)));
        }
    }
}
