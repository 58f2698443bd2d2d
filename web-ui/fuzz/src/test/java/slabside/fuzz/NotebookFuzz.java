package slabside.fuzz;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.ZoneOffset;
import java.util.Optional;
import slabside.event.Actor;
import slabside.event.ThingId;
import slabside.measure.BadInput;
import slabside.notebook.NotebookReader;
import slabside.studio.Studio;

/** A notebook made of anything: what it would write can be taken by the log, or it is refused. */
class NotebookFuzz {
    private static final Studio STUDIO = studio();
    private static final byte[] HEADING =
            "date,time,mix,action,material,can,amount,unit,note\n".getBytes(StandardCharsets.UTF_8);

    private static Studio studio() {
        try {
            Path folder = Files.createTempDirectory("slabside-fuzz-");
            return Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC());
        } catch (IOException failed) {
            throw new IllegalStateException(failed);
        }
    }

    @FuzzTest(maxDuration = "60s")
    void read(byte[] bytes) {
        look(bytes);
        byte[] headed = java.util.Arrays.copyOf(HEADING, HEADING.length + bytes.length);
        System.arraycopy(bytes, 0, headed, HEADING.length, bytes.length);
        look(headed);
    }

    private static void look(byte[] bytes) {
        try {
            NotebookReader.read(
                    bytes,
                    STUDIO.views(),
                    new NotebookReader.Settings(
                            ZoneOffset.UTC,
                            new Actor(new ThingId("notebook"), "import"),
                            Optional.empty(),
                            true,
                            STUDIO.log().clock().millis()));
        } catch (BadInput refused) {
            refused.remedy();
        }
    }
}
