package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.microsoft.playwright.Browser;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.Media;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.demo.Demo;
import slabside.studio.Studio;
import slabside.views.Thing;

/** From a page to its paper, from a label back to its page, and every page as it is printed by the browser. */
class PapersWalkTest {
    /** A camera that sees a grey field, and a reader of codes that finds one on it. */
    private static final String CAMERA = """
            navigator.mediaDevices.getUserMedia = async () => {
              const canvas = document.createElement("canvas");
              const draw = canvas.getContext("2d");
              setInterval(() => { draw.fillStyle = "#777"; draw.fillRect(0, 0, 300, 150); }, 40);
              return canvas.captureStream(25);
            };
            window.BarcodeDetector = class {
              static async getSupportedFormats() { return ["qr_code"]; }
              async detect() { return (this.looks = (this.looks || 0) + 1) > 2 ? [{ rawValue: "%s" }] : []; }
            };
            """;

    @TempDir
    Path folder;

    @Test
    void a_label_is_found_with_the_camera_and_every_page_prints() {
        Demo.write(folder.resolve("data"), folder.resolve("config"), LocalDate.of(2026, 6, 15), ZoneOffset.UTC);
        try (Chromium chromium = new Chromium();
                Studio studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC());
                Server server = Server.start(studio, 0);
                Page page = chromium.browser.newPage(new Browser.NewPageOptions().setViewportSize(390, 844))) {
            studio.views().catchUp();
            Thing packet = studio.views().things("packet", "", 1).get(0);
            page.navigate(server.address() + "/find");
            assertTrue(page.locator("#scan").isHidden(), "nothing is offered that this browser cannot do");
            page.addInitScript(CAMERA.formatted(server.address() + "/thing/" + packet.id()));
            page.navigate(server.address() + "/shelf");
            page.locator("a:has-text('Find by its label')").click();
            page.locator("[data-scan]").click();
            page.waitForURL("**/thing/" + packet.id());
            assertTrue(page.locator(".papers-of a").count() >= 4);
            page.locator(".papers-of a:has-text('Recipe card')").click();
            page.waitForSelector("section.answer");
            assertTrue(page.locator("a:has-text('PDF, A5')").count() > 0);
            prints(page, server, studio, packet);
        }
    }

    /** On paper: no header, no form, nothing wider than the sheet, black on white. */
    private static void prints(Page page, Server server, Studio studio, Thing packet) {
        String edition = "/edition/"
                + studio.views().named("edition", "Tidewrack, Four Fathoms").id();
        String run = "/thing/"
                + studio.views()
                        .named("run", "Weir, Slack Water, run 1, the water")
                        .id();
        String mix = "/thing/" + studio.views().named("mix", "Heron grey HG-2").id();
        page.emulateMedia(new Page.EmulateMediaOptions().setMedia(Media.PRINT));
        // A4 less its margins, at 96 pixels to the inch.
        page.setViewportSize(688, 1000);
        for (String path : List.of(
                "/today",
                "/bench",
                "/press",
                "/stones",
                "/editions",
                edition,
                run,
                mix,
                mix + "/trace",
                mix + "/rebuild?grams=90",
                "/thing/" + packet.id(),
                "/timeline",
                "/shelf",
                "/calculators",
                "/documents",
                run.replace("/thing/", "/calculators/what-went-wrong?run="),
                "/safekeeping",
                "/plugins",
                "/help/plugins")) {
            page.navigate(server.address() + path);
            assertEquals(
                    List.of(),
                    page.evaluate(
                            "[...document.querySelectorAll('header, form, button, .skip, .button')].filter(e => e.getClientRects().length > 0).map(e => e.tagName)"),
                    path);
            assertTrue(page.locator("h1").isVisible(), path);
            Number wider = (Number) page.evaluate("document.documentElement.scrollWidth - innerWidth");
            assertTrue(wider.intValue() <= 0, path + " is wider than its sheet by " + wider);
            assertEquals(
                    "rgb(255, 255, 255)",
                    page.evaluate("getComputedStyle(document.documentElement).backgroundColor"),
                    path);
            assertEquals(
                    "rgb(255, 255, 255)",
                    page.evaluate(
                            "getComputedStyle(document.querySelector('.sheet') || document.documentElement).backgroundColor"),
                    path);
        }
    }
}
