package slabside.fuzz;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.nio.charset.StandardCharsets;
import slabside.edition.RunSheet;
import slabside.measure.BadInput;
import slabside.measure.Mass;
import slabside.measure.Typed;

/** A tally, and an amount, typed by anybody. */
class RunSheetFuzz {
    @FuzzTest(maxDuration = "60s")
    void read(byte[] bytes) {
        String text = new String(bytes, StandardCharsets.UTF_8);
        try {
            RunSheet.read(text);
        } catch (BadInput refused) {
            refused.remedy();
        }
        try {
            Mass.ofGrams("grams", Typed.decimal("grams", text));
        } catch (BadInput refused) {
            refused.remedy();
        }
    }
}
