package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.microsoft.playwright.Browser;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.assertions.PlaywrightAssertions;
import com.microsoft.playwright.options.FilePayload;
import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.demo.Demo;
import slabside.event.Actor;
import slabside.event.InkEvent;
import slabside.event.ShelfEvent;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.measure.Spectrum;
import slabside.studio.Studio;

/**
 * Colours on a narrow screen: an instrument's file becomes a swatch in three taps, two films read one over the other are shown as
 * measured, a photo is tapped, and an ink that is gone leads to what comes near.
 */
class ColourWalkTest {
    @TempDir
    Path folder;

    private Studio studio;
    private Server server;
    private Page page;

    @Test
    void colours_are_read_shown_and_compared() throws IOException {
        Demo.write(folder.resolve("data"), folder.resolve("config"), LocalDate.of(2026, 6, 15), ZoneOffset.UTC);
        List<String> complaints = new ArrayList<>();
        try (Chromium chromium = new Chromium();
                Studio opened = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC());
                Server serving = Server.start(opened, 0);
                Page narrow = chromium.browser.newPage(new Browser.NewPageOptions().setViewportSize(390, 844))) {
            studio = opened;
            server = serving;
            page = narrow;
            page.onConsoleMessage(message -> {
                if (message.type().equals("error")) {
                    complaints.add(message.text());
                }
            });
            studio.views().catchUp();
            oddEntriesSpoilNoPage();
            threeTapsToASwatch();
            measuredOnceShownEverAfter();
            twoColoursInOnePhoto();
            whatComesNear();
            aStartingPoint();
            assertEquals(List.of(), complaints);
        }
    }

    private void open(String path) {
        page.navigate(server.address() + path);
    }

    private String packet(int n) {
        return studio.shelf().packets().get(n).thing().id().text();
    }

    private void answered() {
        page.locator("button:has-text('Work it out')").click();
        page.waitForSelector("section.answer");
    }

    private void writtenDown() {
        page.locator("button:has-text('Write it down')").click();
        page.waitForURL("**/calculators/**");
        page.waitForSelector("[role=status], .said");
    }

    /** A spectrum in per cent from an old line, and a mix that was begun and holds nothing. */
    private void oddEntriesSpoilNoPage() {
        ThingId run = studio.views()
                .named("run", "Weir, Slack Water, run 1, the water")
                .id();
        ThingId yellow = studio.views().named("material", "yellow").id();
        studio.write(
                new Actor(Studio.SOMEBODY, "this"),
                List.of(
                        new InkEvent.MixStarted(new ThingId("mix-empty"), null, "ZZZ9", run, null, null),
                        new TestEvent.ColourRead(
                                yellow,
                                null,
                                new Spectrum(400, 20, Collections.nCopies(16, new BigDecimal("55"))),
                                null,
                                null,
                                null,
                                null,
                                null,
                                null,
                                null,
                                null,
                                0L,
                                null)));
        for (String path : List.of(
                "/shelf",
                "/thing/" + run,
                "/edition/"
                        + studio.views().named("edition", "Weir, Slack Water").id(),
                "/calculators/how-inks-look",
                "/calculators/what-went-wrong?run=" + run)) {
            assertEquals(200, page.navigate(server.address() + path).status(), path);
        }
    }

    private static FilePayload file(String lab) {
        return new FilePayload(
                "reading.csv", "text/csv", ("name;L*;a*;b*\ndab;" + lab + "\n").getBytes(StandardCharsets.UTF_8));
    }

    /** Choose the file, pick the ink, write it down. */
    private void threeTapsToASwatch() {
        open("/thing/" + packet(0));
        assertTrue(page.locator(".looks").innerText().contains("computed from screen colours"));
        open("/calculators/readings-file");
        page.locator("input[type=file]").setInputFiles(file("81,2;-9,1;-4,4"));
        page.locator("select[name=of]").selectOption(packet(0));
        answered();
        assertTrue(page.locator("section.answer").innerText().contains("L* 81 a* -9 b* -4"));
        writtenDown();
        open("/thing/" + packet(0));
        assertTrue(page.locator(".looks .measured").isVisible());
        assertTrue(page.locator(".looks").innerText().contains("L* 81 a* -9 b* -4"));
    }

    private void measuredOnceShownEverAfter() {
        open("/calculators/readings-file");
        page.locator("input[type=file]").setInputFiles(file("60,0;5,0;-8,0"));
        page.locator("select[name=of]").selectOption(packet(5));
        page.locator("select[name=under]").selectOption(packet(0));
        answered();
        writtenDown();
        open("/calculators/overlaps?first=" + packet(0) + "&second=" + packet(5));
        String said = page.locator("section.answer").innerText();
        assertTrue(said.contains("measured") && said.contains("L* 60 a* 5 b* -8"), said);
        assertTrue(said.contains("Overlaps measured here") || said.contains("scatters light"), said);
        assertTrue(
                page.locator("section.answer svg.swatch rect").count() >= 2, "what was measured is a whole rectangle");
        assertTrue(page.locator("section.answer svg.swatch path").count() >= 2, "what was not has a corner cut off");
    }

    private void twoColoursInOnePhoto() throws IOException {
        BufferedImage photo = new BufferedImage(300, 200, BufferedImage.TYPE_INT_RGB);
        for (int i = 0; i < 60_000; i++) {
            int x = i % 300;
            photo.setRGB(x, i / 300, x < 100 ? 0x777777 : x < 200 ? 0x4f7f8c : 0x6a9aa8);
        }
        ByteArrayOutputStream png = new ByteArrayOutputStream();
        ImageIO.write(photo, "png", png);
        open("/calculators/photo-pair");
        page.locator("input[type=file]").setInputFiles(new FilePayload("photo.png", "image/png", png.toByteArray()));
        var canvas = page.locator(".places canvas");
        PlaywrightAssertions.assertThat(page.locator(".places p")).hasText("Tap: grey card");
        var box = canvas.boundingBox();
        for (double part : new double[] {0.17, 0.5, 0.84}) {
            canvas.click(
                    new com.microsoft.playwright.Locator.ClickOptions().setPosition(box.width * part, box.height / 2));
        }
        PlaywrightAssertions.assertThat(page.locator(".places p")).containsText("All tapped");
        answered();
        String said = page.locator("section.answer").innerText();
        assertTrue(said.contains("The dab is lighter by"), said);
        assertTrue(said.contains("gives no recipe"), said);
    }

    /** The blue cans are finished: the sheet that makes a grey again offers what comes near without it. */
    private void whatComesNear() {
        ThingId grey = studio.views().named("mix", "Heron grey HG-2").id();
        for (var can : studio.shelf().cans()) {
            if (studio.name(can.material()).equals("process blue")
                    && can.seen().finished().isEmpty()) {
                studio.write(
                        new Actor(Studio.SOMEBODY, "this"),
                        List.of(new ShelfEvent.CanFinished(can.thing().id(), null)));
            }
        }
        open("/thing/" + grey + "/rebuild?grams=90");
        page.locator("text=What comes near without process blue?").click();
        page.waitForSelector("section.answer");
        String said = page.locator("section.answer").innerText();
        assertTrue(said.contains("Wanted, and as computed"), said);
        assertEquals(
                0,
                page.locator("section.answer .strip title:has-text('process blue')")
                        .count());
    }

    private void aStartingPoint() throws IOException {
        BufferedImage sketch = new BufferedImage(120, 90, BufferedImage.TYPE_INT_RGB);
        for (int i = 0; i < 120 * 90; i++) {
            sketch.setRGB(i % 120, i / 120, i / 120 < 45 ? 0xbcd0d8 : i % 120 < 60 ? 0x8c6a4f : 0xf4f0e6);
        }
        ByteArrayOutputStream png = new ByteArrayOutputStream();
        ImageIO.write(sketch, "png", png);
        open("/calculators/starting-point");
        page.locator("input[type=file]").setInputFiles(new FilePayload("sketch.png", "image/png", png.toByteArray()));
        page.locator("input[name=runs]").fill("2");
        page.locator("button:has-text('Work it out')").click();
        page.waitForSelector("section.answer", new Page.WaitForSelectorOptions().setTimeout(60_000));
        assertEquals(3, page.locator("section.answer img.shown").count(), "the print and two runs");
        int over = (Integer) page.evaluate("document.documentElement.scrollWidth - window.innerWidth");
        assertTrue(over <= 0, "too wide by " + over);
    }
}
