package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.microsoft.playwright.Browser;
import com.microsoft.playwright.Locator;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.assertions.PlaywrightAssertions;
import java.math.BigDecimal;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.demo.Demo;
import slabside.event.Actor;
import slabside.event.EditionEvent;
import slabside.event.Load;
import slabside.event.PaperEvent;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.PullMode;
import slabside.event.Sheet;
import slabside.event.StudioEvent;
import slabside.event.Surface;
import slabside.event.ThingId;
import slabside.studio.Studio;

/**
 * Somebody who knows nothing opens the failed edition on a narrow screen: what happened, what is only suspected and which
 * sheets to take from the drawer stand at the top of one page, and every claim leads to its entry.
 */
class AuditWalkTest {
    private static final int WIDE = 390;
    private static final int HIGH = 844;

    @TempDir
    Path folder;

    private Studio studio;
    private Server server;
    private Page page;

    @Test
    void a_failed_edition_is_understood_from_one_page() {
        Demo.write(folder.resolve("data"), folder.resolve("config"), LocalDate.of(2026, 6, 15), ZoneOffset.UTC);
        try (Chromium chromium = new Chromium();
                Studio opened = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC());
                Server serving = Server.start(opened, 0);
                Page narrow = chromium.browser.newPage(new Browser.NewPageOptions().setViewportSize(WIDE, HIGH))) {
            studio = opened;
            server = serving;
            page = narrow;
            page.setDefaultTimeout(10_000);
            failedEdition();
            whereElse();
            whileItIsPrinted();
        }
    }

    private void failedEdition() {
        page.navigate(server.address() + "/editions");
        page.getByText("Weir, Slack Water", new Page.GetByTextOptions().setExact(true))
                .click();
        page.getByText("What went wrong?").click();
        Locator answer = page.locator("section.answer");
        String verdict = answer.locator("p").first().innerText();
        assertTrue(verdict.contains("From pull 23 on, solid density went from"), verdict);
        assertTrue(verdict.contains("Slack water B2 came onto the slab, with more tack reducer in it"), verdict);
        assertTrue(verdict.contains("This is no proof"), "it is said to be a suspicion: " + verdict);
        Locator sheets = answer.getByText("To take from the drawer: 14 sheets, WS-23 … WS-36");
        assertTrue(
                sheets.boundingBox().y + sheets.boundingBox().height < HIGH,
                "the sheets are named before anybody scrolls: " + sheets.boundingBox().y);
        assertTrue(answer.locator(".caution").first().innerText().contains("lunch"), "the other suspect is named");
        PlaywrightAssertions.assertThat(answer.locator("svg.chart").first()).isVisible();
        PlaywrightAssertions.assertThat(answer.locator("details.deeper table").first())
                .isHidden();
        answer.getByText("The statistics of solid density").click();
        PlaywrightAssertions.assertThat(answer.getByText("Pettitt, by ranks")).isVisible();
        assertEquals(
                0,
                (Integer) page.evaluate("document.documentElement.scrollWidth - innerWidth"),
                "nothing is wider than the screen");
        answer.getByText("Added: 3.0 g of tack reducer").click();
        assertTrue(page.locator("main, body").first().innerText().contains("3.0 g"), "the claim leads to its entry");
        page.goBack();
    }

    private void whereElse() {
        page.getByText("Side by side with").first().click();
        PlaywrightAssertions.assertThat(page.getByText("Different, the most unusual first"))
                .isVisible();
        page.navigate(server.address() + "/thing/"
                + studio.views().named("mix", "Slack water B2").id() + "/trace");
        PlaywrightAssertions.assertThat(page.getByText("Sheets that carry it")).isVisible();
        PlaywrightAssertions.assertThat(page.getByText("WS-36")).isVisible();
    }

    private void write(StudioEvent... events) {
        studio.write(new Actor(Studio.SOMEBODY, "this"), List.of(events));
    }

    /** A reading out of the band shows on the open page of the press without anybody asking. */
    private void whileItIsPrinted() {
        ThingId edition = new ThingId("edition-live");
        ThingId run = new ThingId("run-live");
        List<Sheet> sheets = new ArrayList<>();
        for (int i = 1; i <= 12; i++) {
            sheets.add(new Sheet(new ThingId("sheet-live-" + i), "LV-" + i));
        }
        write(
                new EditionEvent.Planned(
                        edition, "Live", null, 10, null, null, null, null, null, null, null, null, null),
                new PaperEvent.Torn(new ThingId("paper-live"), sheets, null, null, edition, null),
                new EditionEvent.RunPlanned(run, edition, 1, Surface.FLAT, null, null, null),
                new PressEvent.RunStarted(
                        run, List.of(new Load(new ThingId("load-live"), "", null)), null, null, null, null, null));
        for (int i = 1; i <= 9; i++) {
            write(new PressEvent.Pulled(
                    run, sheets.get(i - 1).sheet(), PullMode.EDITION, null, 6, PressGrade.GOOD, List.of(), null));
        }
        for (int i = 1; i <= 8; i++) {
            read(run, sheets.get(i - 1).sheet(), i % 2 == 0 ? "1.01" : "0.99");
        }
        page.navigate(server.address() + "/press/" + run);
        assertEquals(0, page.getByText("Look before going on").count());
        read(run, sheets.get(8).sheet(), "1.22");
        PlaywrightAssertions.assertThat(page.locator("#live-count"))
                .containsText("Look before going on: density 1.22 at pull 9, the band is 0.8");
        page.locator("#live-count").getByText("What went wrong?").click();
        PlaywrightAssertions.assertThat(page.locator("section.answer .caution").first())
                .containsText("Live, after pull 9: density 1.22 at pull 9");
    }

    private void read(ThingId run, ThingId sheet, String density) {
        write(new PressEvent.Measured(run, sheet, "density", new BigDecimal(density), null, null));
    }
}
