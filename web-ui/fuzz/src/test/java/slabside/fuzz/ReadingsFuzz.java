package slabside.fuzz;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.util.Base64;
import slabside.kit.Asked;
import slabside.kit.MadeUpStudio;
import slabside.measure.BadInput;
import slabside.swatch.ReadingsFile;

/** An instrument's file made of anything. */
class ReadingsFuzz {
    private static final MadeUpStudio STUDIO = new MadeUpStudio();

    @FuzzTest(maxDuration = "60s")
    void read(byte[] bytes) {
        try {
            Asked.of(
                    new ReadingsFile(),
                    STUDIO,
                    "file",
                    "data:text/plain;base64," + Base64.getEncoder().encodeToString(bytes));
        } catch (BadInput refused) {
            refused.remedy();
        }
    }
}
