package slabside.web;

import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;

/** Says plainly when the browser tests cannot run here; where the gate runs, they must. */
class BrowserTestsRunTest {
    @Test
    void a_browser_is_here_to_drive() {
        boolean here = Files.isExecutable(Path.of("/usr/bin/chromium"));
        if ("true".equals(System.getenv("CI"))) {
            assertTrue(here, "the gate must have Chromium at /usr/bin/chromium");
        }
        assumeTrue(here, "Chromium is not at /usr/bin/chromium: the browser tests (web-ui/browser-tests) are skipped");
    }
}
