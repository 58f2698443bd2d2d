package slabside.fuzz;

import com.code_intelligence.jazzer.junit.FuzzTest;
import slabside.measure.BadInput;
import slabside.studio.MediaFile;

/** A photo or memo made of anything. */
class MediaFuzz {
    @FuzzTest(maxDuration = "60s")
    void look(byte[] bytes) {
        try {
            MediaFile once = MediaFile.of(bytes);
            MediaFile again = MediaFile.of(once.bytes());
            if (!again.mediaType().equals(once.mediaType())) {
                throw new AssertionError("what was kept is something else: " + once.mediaType());
            }
        } catch (BadInput refused) {
            refused.remedy();
        }
    }
}
