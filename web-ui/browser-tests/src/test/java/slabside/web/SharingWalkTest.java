package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.microsoft.playwright.Browser;
import com.microsoft.playwright.Page;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.studio.Studio;
import slabside.studio.WholeFolder;

/**
 * Two machines and a folder between them, by hand: one is cut off, an old copy is put back on the other, and work goes on. At
 * each step the pages say what is so.
 */
class SharingWalkTest {
    @TempDir
    Path folder;

    private final Chromium chromium = new Chromium();
    private final Page page = chromium.browser.newPage(new Browser.NewPageOptions().setViewportSize(820, 1180));

    /** One machine with its studio and its pages. */
    private final class Machine {
        private final Path home;
        private Studio studio;
        private Server server;

        Machine(String name) {
            home = folder.resolve(name);
            open();
        }

        void open() {
            studio = Studio.open(home.resolve("data"), home.resolve("config"), Clock.systemUTC());
            server = Server.start(studio, 0);
        }

        void close() {
            server.close();
            studio.close();
        }

        void go(String path) {
            page.navigate(server.address() + path);
        }

        String said(String path) {
            go(path);
            return page.locator("main").innerText();
        }

        void enter(String action, String name) {
            go("/safekeeping");
            page.locator("a:has-text('Several machines')").click();
            String form = "form[action='" + action + "'] ";
            page.locator(form + "input[name=folder]").fill(shared().toString());
            page.locator(form + "input[name=name]").fill(name);
            page.locator(form + "button").click();
            page.waitForSelector("text=This machine is “" + name + "”");
        }

        void mix(String name) {
            go("/bench");
            page.locator("form[action='/bench/start'] input[name=name]").fill(name);
            page.locator("form[action='/bench/start'] button").first().click();
            page.waitForURL("**/bench/mix-*");
        }

        void exchange() {
            go("/sharing");
            page.locator("form[action='/sharing/now'] button").click();
            page.waitForURL("**/sharing");
        }
    }

    private Machine laptop;
    private Machine tablet;

    private Path shared() {
        return folder.resolve("between");
    }

    @AfterEach
    void close() {
        page.close();
        chromium.close();
        laptop.close();
        tablet.close();
    }

    private void together() {
        laptop.exchange();
        tablet.exchange();
        laptop.exchange();
    }

    @Test
    void one_is_cut_off_an_old_copy_is_put_back_on_the_other_and_work_goes_on() throws IOException {
        laptop = new Machine("laptop");
        tablet = new Machine("tablet");
        laptop.mix("Morning grey");
        laptop.enter("/sharing/make", "the laptop");
        tablet.enter("/sharing/join", "the tablet");
        together();
        assertTrue(tablet.said("/timeline").contains("Morning grey"));
        tablet.close();
        Path old = folder.resolve("old");
        copy(tablet.home.resolve("data"), old);
        tablet.open();
        tablet.mix("Noon blue");
        together();
        assertTrue(laptop.said("/timeline").contains("Noon blue"));

        // The laptop is cut off, and both go on.
        Files.move(shared(), folder.resolve("gone"));
        laptop.mix("Evening green");
        laptop.exchange();
        assertTrue(
                page.locator("main").innerText().contains("look whether the drive is in"),
                page.locator("main").innerText());
        assertTrue(
                laptop.said("/today").contains("The sharing with other machines does not work"),
                "and the first page says so too");
        tablet.mix("Dusk violet");

        // An old copy is put back on the tablet: what it wrote since is nowhere but on the disk that is gone.
        tablet.close();
        WholeFolder.delete(tablet.home.resolve("data"));
        copy(old, tablet.home.resolve("data"));
        tablet.open();
        String first = tablet.said("/today");
        assertTrue(first.contains("an old copy was put back"), first);
        assertFalse(tablet.said("/timeline").contains("Noon blue"));
        Files.move(folder.resolve("gone"), shared());
        together();
        assertTrue(tablet.said("/timeline").contains("Noon blue"), "what the laptop had came back");
        assertTrue(tablet.said("/timeline").contains("Evening green"));
        assertFalse(laptop.said("/today").contains("does not work"));
        String lost = tablet.said("/sharing");
        assertFalse(lost.contains("Everything that any machine is known to have written is here"), lost);
        tablet.mix("Night black");
        together();
        for (Machine each : List.of(laptop, tablet)) {
            String told = each.said("/timeline");
            for (String mix : List.of("Morning grey", "Noon blue", "Evening green", "Night black")) {
                assertTrue(told.contains(mix), mix);
            }
            each.go("/safekeeping");
            page.locator("form[action='/safekeeping/verify'] button").click();
            page.waitForSelector("text=are as they were written");
        }
        looks();
    }

    private void looks() throws IOException {
        for (int width : List.of(390, 820, 1280)) {
            page.setViewportSize(width, 900);
            for (String path : List.of("/sharing", "/safekeeping", "/today")) {
                tablet.go(path);
                Number wider = (Number) page.evaluate("document.documentElement.scrollWidth - innerWidth");
                assertTrue(wider.intValue() <= 0, path + " at " + width + " is wider by " + wider);
                page.evaluate(Chromium.axe());
                assertEquals(
                        List.of(),
                        page.evaluate(
                                "axe.run().then(r => r.violations.filter(v => v.impact === 'serious' || v.impact === 'critical')"
                                        + ".map(v => v.id + ': ' + v.nodes[0].html))"),
                        path);
            }
        }
    }

    private static void copy(Path from, Path to) throws IOException {
        try (Stream<Path> all = Files.walk(from)) {
            for (Path file : all.sorted().toList()) {
                Path target = to.resolve(from.relativize(file).toString());
                if (Files.isDirectory(file)) {
                    Files.createDirectories(target);
                } else {
                    Files.copy(file, target);
                }
            }
        }
    }
}
