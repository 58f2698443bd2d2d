package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.microsoft.playwright.Browser;
import com.microsoft.playwright.Page;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.demo.Demo;
import slabside.event.Actor;
import slabside.event.InkEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.measure.Amount;
import slabside.studio.Studio;

/**
 * Two glasses, a weight and a ruler on a narrow screen: two inks of a blend are read, one gets what the page says, is read again, and
 * the blend is looked at before anybody rolls up.
 */
class BodyWalkTest {
    @TempDir
    Path folder;

    private Studio studio;
    private Server server;
    private Page page;

    @Test
    void two_inks_are_brought_to_one_body() {
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
            page.navigate(server.address() + "/calculators");
            page.locator("a:has-text('Bring inks to one body')").click();
            String green = offered("Blend A, sea green");
            String violet = offered("Blend B, dusk violet");
            page.locator("select[name=one]").selectOption(green);
            page.locator("select[name=other]").selectOption(violet);
            answered();
            assertTrue(said().contains("First read a one-minute spread of"), said());
            String same = page.url();
            page.locator("section.answer a:has-text('One-minute spread of Blend A')")
                    .click();
            spread("34", "34.5");
            page.navigate(same);
            page.locator("section.answer a:has-text('One-minute spread of Blend B')")
                    .click();
            spread("36.5", "37");
            page.navigate(same);
            page.waitForSelector("section.answer");
            Matcher grams = Pattern.compile("Add\\s+([0-9.]+) g").matcher(said());
            assertTrue(said().contains("% stiffer than Blend B") && grams.find(), said());
            added(violet, grams.group(1));
            page.locator("section.answer a:has-text('One-minute spread of Blend B')")
                    .click();
            spread("34.5", "34.5");
            page.navigate(same);
            page.waitForSelector("section.answer");
            assertTrue(
                    said().contains("same body")
                            || said().contains("may be alike")
                            || said().contains("% stiffer than"),
                    said());
            assertEquals(
                    1, page.locator("td[data-head=readings]:has-text('2')").count(), "both readings count: " + said());
            blend(green, violet);
            assertEquals(List.of(), complaints);
        }
    }

    private String offered(String ink) {
        return page.locator("select[name=one] option:has-text('" + ink + "')")
                .first()
                .getAttribute("value");
    }

    private String said() {
        return page.locator("section.answer").innerText();
    }

    private void answered() {
        page.locator("button:has-text('Work it out')").click();
        page.waitForSelector("section.answer");
    }

    /** The clock is there, the diameters are typed, and the reading is written down. */
    private void spread(String one, String across) {
        if (page.locator("section.answer").count() > 0) {
            page.locator("summary:has-text('Ask otherwise')").click();
        }
        page.locator("input[name=one]").fill(one);
        page.locator("input[name=across]").fill(across);
        page.locator("input[name=celsius]").fill("21");
        answered();
        assertTrue(said().contains("Yield stress at 20 °C"), said());
        page.locator("button:has-text('Write it down')").click();
        page.waitForURL("**/calculators/**");
        page.waitForSelector("[role=status], .said");
    }

    private void added(String packet, String grams) {
        ThingId powder = studio.views().named("material", "magnesium carbonate").id();
        ThingId can = studio.shelf().cans().stream()
                .filter(each -> each.material().equals(powder))
                .findFirst()
                .orElseThrow()
                .thing()
                .id();
        studio.write(
                new Actor(Studio.SOMEBODY, "this"),
                List.of(new InkEvent.Moved(can, new ThingId(packet), Amount.net("grams", grams), Why.ADDED, null)));
    }

    private void blend(String left, String right) {
        page.navigate(server.address() + "/calculators/blend-holds?widest=90&left=" + left + "&right=" + right);
        page.waitForSelector("section.answer");
        assertEquals(3, page.locator("section.answer img").count(), "pulls 1, 10 and 30");
        assertEquals(
                true,
                page.evaluate(
                        "[...document.querySelectorAll('section.answer img')].every(i => i.complete && i.naturalWidth > 0)"));
        assertTrue(said().contains("From the left: Blend A"), said());
    }
}
