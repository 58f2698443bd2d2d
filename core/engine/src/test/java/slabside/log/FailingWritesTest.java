package slabside.log;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The n-th write fails, for every n: what was acknowledged is there, what was refused is not, and the log goes on. */
class FailingWritesTest {
    private static final int APPENDS = 6;

    @TempDir
    Path folder;

    private final Random random = new Random(31);

    @Test
    void whichever_write_fails_nothing_acknowledged_is_lost_and_nothing_refused_is_there() throws IOException {
        int tried = 0;
        for (boolean after : new boolean[] {false, true}) {
            boolean failed = true;
            for (int nth = 1; failed; nth++) {
                failed = append(nth, after, folder.resolve((after ? "after-" : "before-") + nth));
                tried += failed ? 1 : 0;
            }
        }
        System.out.println("Writes that were made to fail, before or after they were done: " + tried
                + "; acknowledged and lost 0, refused and there 0");
        assertTrue(tried > 2 * APPENDS, "every write and commit: " + tried);
    }

    private boolean append(int nth, boolean after, Path here) {
        FailingDriver driver = new FailingDriver(nth, after);
        List<Draft> acknowledged = new ArrayList<>();
        List<Draft> refused = new ArrayList<>();
        try (SqlEventLog log =
                SqlEventLog.open(here.resolve("data"), here.resolve("config"), Samples.CLOCK, random, driver)) {
            for (int i = 0; i < APPENDS; i++) {
                List<Draft> drafts = Samples.drafts(random, 1 + i % 3);
                try {
                    log.append(Decision.of(drafts));
                    acknowledged.addAll(drafts);
                } catch (LogTrouble said) {
                    refused.addAll(drafts);
                }
            }
            look(log, acknowledged, refused, nth);
        }
        try (SqlEventLog log = SqlEventLog.open(here.resolve("data"), here.resolve("config"), Samples.CLOCK, random)) {
            look(log, acknowledged, refused, nth);
            assertEquals(List.of(), log.cut());
            assertEquals(1, log.heads().size());
            log.append(Decision.of(refused.isEmpty() ? Samples.drafts(random, 1) : refused));
            assertEquals(Optional.empty(), log.verify().wrong());
        }
        return driver.hasFailed();
    }

    private static void look(SqlEventLog log, List<Draft> acknowledged, List<Draft> refused, int nth) {
        assertEquals(Optional.empty(), log.verify().wrong(), "fault " + nth);
        acknowledged.forEach(
                draft -> assertTrue(log.find(draft.id()).isPresent(), "acknowledged and lost, fault " + nth));
        refused.forEach(draft -> assertTrue(log.find(draft.id()).isEmpty(), "refused and there, fault " + nth));
        assertEquals(log.last(), log.read(0, 10_000).size());
    }
}
