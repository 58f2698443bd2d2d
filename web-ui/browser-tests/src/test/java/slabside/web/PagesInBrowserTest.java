package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.microsoft.playwright.Browser;
import com.microsoft.playwright.Page;
import java.io.IOException;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import slabside.demo.Demo;
import slabside.studio.Studio;

/** The pages as a browser shows them: at three widths, by keyboard, and with nothing fetched from elsewhere. */
class PagesInBrowserTest {
    @TempDir
    static Path folder;

    private static Studio studio;
    private static Server server;
    private static Chromium chromium;
    private static String axe;

    private final List<String> outside = new ArrayList<>();
    private final List<String> complaints = new ArrayList<>();
    private Page page;

    @BeforeAll
    static void start() throws IOException {
        Path data = folder.resolve("data");
        Path config = folder.resolve("config");
        Demo.write(data, config, LocalDate.now(ZoneId.systemDefault()), ZoneId.systemDefault());
        studio = Studio.open(data, config, Clock.systemDefaultZone());
        server = Server.start(studio, 0);
        chromium = new Chromium();
        axe = Chromium.axe();
    }

    @AfterAll
    static void stop() {
        chromium.close();
        server.close();
        studio.close();
    }

    @AfterEach
    void nothing_left_this_machine_and_nothing_was_blocked() {
        if (page != null) {
            page.close();
        }
        assertEquals(List.of(), outside);
        assertEquals(List.of(), complaints);
    }

    private Page open(int width, String path) {
        page = chromium.browser.newPage(new Browser.NewPageOptions().setViewportSize(width, 900));
        page.onRequest(request -> {
            if (!request.url().startsWith(server.address()) && !request.url().startsWith("data:")) {
                outside.add(request.url());
            }
        });
        page.onConsoleMessage(message -> {
            if (message.type().equals("error")) {
                complaints.add(message.text());
            }
        });
        page.navigate(server.address() + path);
        return page;
    }

    private static String thing(String kind, String name) {
        return "/thing/"
                + studio.views().things(kind, "", 500).stream()
                        .filter(t -> studio.name(t.id()).equals(name))
                        .findFirst()
                        .orElseThrow()
                        .id();
    }

    private static List<String> paths() {
        String heron = thing("mix", "Heron grey HG-2");
        return List.of(
                "/timeline",
                "/timeline?q=heron",
                "/event/30",
                "/shelf",
                heron,
                heron + "/rebuild?grams=90",
                heron + "/weighings",
                thing("mix", "Slack water B2") + "/trace",
                thing("run", "Weir, Slack Water, run 1, the water"),
                "/editions",
                thing("edition", "Tidewrack, Four Fathoms"),
                thing("edition", "Tidewrack, Four Fathoms").replace("/thing/", "/edition/") + "?number=7",
                thing("edition", "Heron, Standing Water").replace("/thing/", "/edition/") + "/curate",
                thing("edition", "Weir, Slack Water").replace("/thing/", "/edition/") + "/number",
                thing("sheet", "TD-11"),
                thing("run", "Weir, Slack Water, run 1, the water")
                        .replace("/thing/", "/calculators/what-went-wrong?run="),
                thing("edition", "Tidewrack, Four Fathoms").replace("/thing/", "/calculators/what-went-wrong?run="),
                "/calculators/compare?one=Slack%20water%20B1&other=Slack%20water%20B2",
                "/calculators/common-factors?lost=20",
                "/calculators/sheets-to-tear?numbered=40&proofs=8&runs=flat,+wash,+key",
                "/calculators/jobs-like-this?runs=1&sheets=40",
                "/today",
                "/bench",
                heron.replace("/thing/", "/bench/"),
                thing("mix", "Slack water B2").replace("/thing/", "/bench/"),
                "/press",
                thing("run", "Weir, Slack Water, run 1, the water").replace("/thing/", "/press/"),
                "/calculators",
                "/documents",
                "/find",
                "/calculators/ink-for-an-edition?surface=flat&width=38&height=52&sheets=50",
                "/safekeeping",
                "/plugins",
                "/help/plugins",
                "/calculators/what-could-make?screen=%236a8a7c",
                thing("edition", "Tidewrack, Four Fathoms").replace("/thing/", "/calculators/overlaps?edition="),
                heron.replace("/thing/", "/calculators/film-looks?mix="),
                "/calculators/near-this-colour?screen=%238a9a9a&grams=40",
                "/calculators/how-inks-look",
                "/calculators/photo-pair",
                "/calculators/readings-file",
                thing("edition", "Tidewrack, Four Fathoms")
                        .replace("/thing/", "/calculators/documentation-sheet?edition="),
                "/calculators/labels?sheet=A4,+3+x+7",
                "/calculators/same-body",
                "/calculators/own-weight",
                thing("run", "Weir, Slack Water, run 1, the water").replace("/thing/", "/calculators/dry-enough?run="),
                thing("run", "Tidewrack, Four Fathoms, run 3, the blend")
                        .replace("/thing/", "/calculators/blend-holds?widest=90&run="),
                "/stones",
                thing("stone", "stone 12"),
                "/write",
                "/write/shelf.can-received",
                "/write/shelf.vessel-inspected",
                "/write/ink.recipe-planned",
                "/write/press.pulled",
                "/event/30/put-right",
                thing("run", "Weir, Slack Water, run 1, the water").replace("/thing/", "/press/")
                        + "/sheet?text=37-40+good;+charged+9+g+at+38",
                "/devices",
                "/join",
                "/at");
    }

    private void fits(String path, int width, String how) {
        page.setViewportSize(width, 900);
        int over = (Integer) page.evaluate("document.documentElement.scrollWidth - window.innerWidth");
        assertTrue(over <= 0, path + " is " + over + " px too wide at " + width + how);
    }

    /** What axe finds between the two widths it finds at one of them. */
    @ParameterizedTest
    @ValueSource(ints = {390, 1280})
    void no_page_is_wider_than_the_screen_and_none_has_a_serious_hindrance(int width) {
        for (String path : paths()) {
            open(width, path);
            page.evaluate(
                    "document.querySelectorAll('details').forEach(d => { d.removeAttribute('name'); d.open = true; })");
            fits(path, width, "");
            page.evaluate(axe);
            Object serious = page.evaluate(
                    "axe.run().then(r => r.violations.filter(v => v.impact === 'serious' || v.impact === 'critical')"
                            + ".map(v => v.id + ': ' + v.nodes[0].html))");
            assertEquals(List.of(), serious, path + " at " + width);
            if (width == 390) {
                fits(path, 820, "");
                page.evaluate("document.documentElement.style.fontSize = '200%'");
                fits(path, 640, " and twice the text size");
            }
            page.close();
        }
    }

    @ParameterizedTest
    @ValueSource(ints = {390, 820, 1280})
    void everything_to_hit_at_bench_and_press_is_large_enough_for_an_inked_hand(int width) {
        for (String path : paths()) {
            if (!path.matches("/(bench|press)(/.*)?")) {
                continue;
            }
            open(width, path);
            page.evaluate(
                    "document.querySelectorAll('details').forEach(d => { d.removeAttribute('name'); d.open = true; })");
            Object small = page.evaluate(
                    "[...document.querySelectorAll('#main button, #main .button, #main select, #main summary,"
                            + " #main input:not([type=radio]):not([type=checkbox]):not([type=hidden]), .choose span, .pick label, .modes a, .slab a, label.check')]"
                            + ".filter(e => e.offsetParent !== null && e.getBoundingClientRect().height < 63.5)"
                            + ".map(e => e.tagName + ' ' + (e.name || e.className) + ' ' + e.getBoundingClientRect().height)");
            assertEquals(List.of(), small, path + " at " + width);
            page.close();
        }
    }

    @Test
    void the_heron_grey_is_found_and_made_again_by_keyboard_alone() {
        open(820, "/timeline");
        page.focus("input[name=q]");
        page.keyboard().type("heron grey");
        page.keyboard().press("Enter");
        page.waitForSelector("text=agreed the colour of");
        page.focus("a:has-text('Heron grey HG-2')");
        page.keyboard().press("Enter");
        page.waitForSelector("h2:has-text('Make it again')");
        page.focus("input[name=grams]");
        page.keyboard().press("Control+A");
        page.keyboard().type("45");
        page.keyboard().press("Enter");
        page.waitForSelector("text=/Lay out 32.8[67] g of transparent base/");
        page.focus("button:has-text('Rebuild as a new mix')");
        page.keyboard().press("Enter");
        page.waitForSelector("h1:has-text('Heron grey HG-2, again')");
        assertTrue(page.url().contains("/bench/"), page.url());
        assertTrue(page.content().contains("Nothing in it yet"));
        assertTrue(page.content().contains("of 32."), "the recipe asks for the base");
    }

    @Test
    void older_events_come_below_without_leaving_the_page() {
        open(1280, "/timeline");
        int before = page.locator("li.event").count();
        page.click("text=Older");
        page.locator("li.event").nth(before).waitFor();
        assertEquals(before * 2, page.locator("li.event").count());
        assertTrue(page.url().endsWith("/timeline"));
    }
}
