package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.microsoft.playwright.Browser;
import com.microsoft.playwright.Locator;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.assertions.PlaywrightAssertions;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.event.EditionEvent;
import slabside.event.InkEvent;
import slabside.event.MaterialRole;
import slabside.event.ShelfEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.measure.Amount;
import slabside.studio.Studio;

/**
 * A new user's edition on a narrow screen: three runs planned, paper torn after the studio's advice, four sheets lost, a
 * stone nearly reworked at the wrong moment, ten prints released, number 7 found again two years later. The ink alone was
 * mixed before.
 */
class EditionWalkTest {
    private static final int TORN = 18;

    @TempDir
    Path folder;

    private final MovedClock clock = new MovedClock(Instant.parse("2026-03-02T09:00:00Z"));
    private final List<String> stops = new ArrayList<>();
    private Studio studio;
    private Server server;
    private Page page;

    @Test
    void an_edition_from_the_plan_to_a_print_found_again_two_years_later() {
        try (Chromium chromium = new Chromium();
                Studio opened = Studio.open(folder.resolve("data"), folder.resolve("config"), clock);
                Server serving = Server.start(opened, 0);
                Page narrow = chromium.browser.newPage(new Browser.NewPageOptions().setViewportSize(390, 844))) {
            studio = opened;
            server = serving;
            page = narrow;
            page.setDefaultTimeout(10_000);
            page.clock().install();
            plan();
            tear();
            print(1, 0, "lap line");
            between();
            print(2, 2, "scum");
            reworkAtTheWrongMoment();
            print(3, 0, "");
            curate();
            number();
            sign();
            release();
            twoYearsLater();
        }
    }

    private void open(String path) {
        clock.later(120);
        page.navigate(server.address() + path);
    }

    /** Hits a button and waits until something was written; stops are confirmed or left, as told. */
    private void hit(Locator button, boolean confirm) {
        long before = studio.log().last();
        button.click();
        long deadline = System.nanoTime() + 10_000_000_000L;
        while (studio.log().last() == before && System.nanoTime() < deadline) {
            page.waitForTimeout(5);
            Locator dialog = page.locator("dialog.stop");
            if (dialog.count() > 0) {
                dialog.locator("[data-rule]").allInnerTexts().forEach(stops::add);
                dialog.locator("button").nth(confirm ? 1 : 0).click();
                if (!confirm) {
                    PlaywrightAssertions.assertThat(page.locator("body")).hasAttribute("data-busy", "no");
                    assertEquals(before, studio.log().last(), "what was not confirmed was not written");
                    return;
                }
            }
        }
        assertTrue(
                studio.log().last() > before,
                () -> "nothing was written: " + page.locator("body").innerText());
        PlaywrightAssertions.assertThat(page.locator("body")).hasAttribute("data-busy", "no");
        studio.views().catchUp();
    }

    private void form(String path, String... fields) {
        open(path);
        fill("form[data-tap] ", fields);
        hit(page.locator("form[data-tap] .go").first(), true);
    }

    private void fill(String within, String... fields) {
        for (String field : fields) {
            String name = field.substring(0, field.indexOf('='));
            String text = field.substring(field.indexOf('=') + 1);
            Locator input = page.locator(within + "[name='" + name + "']").first();
            if (input.evaluate("e => e.tagName").equals("SELECT")) {
                input.selectOption(text);
            } else {
                input.fill(text);
            }
        }
    }

    private ThingId edition() {
        return studio.views().named("edition", "Eddy").id();
    }

    private ThingId run(int order) {
        return studio.runs().runOf(edition(), order).id();
    }

    private void plan() {
        form("/write/paper.received", "name=mould-made 300 g", "sheets=50");
        form("/write/edition.planned", "title=Eddy", "artist=A. Nonesuch", "number=12", "proofs=2");
        assertTrue(page.url().contains("/edition/"), "the plan leads to the page of the edition: " + page.url());
        for (int i = 1; i <= 3; i++) {
            form("/write/stone.listed", "kind=stone", "number=stone " + i);
            form(
                    "/write/edition.run-planned",
                    "edition=Eddy",
                    "order=" + i,
                    "surface=" + List.of("flat", "wash", "key").get(i - 1),
                    "stone=stone " + i,
                    "name=run " + i);
        }
        assertEquals(3, studio.runs().edition(edition()).runs().size());
    }

    private void tear() {
        open("/edition/" + edition());
        page.locator("a >> text=How many sheets to tear").click();
        String advice = page.locator(".quantity strong").first().innerText();
        int sheets = Integer.parseInt(advice.replaceAll("\\D.*", ""));
        assertTrue(sheets > 14 && sheets < 30, advice);
        assertTrue(page.locator(".assumed").count() > 0, "an empty past is said");
        form("/write/paper.torn?edition=" + edition(), "lot=mould-made 300 g", "sheets=ED-01…ED-" + TORN);
        open("/edition/" + edition());
        assertEquals(
                3,
                page.locator("text=Not yet through: ED-01…ED-" + TORN).count(),
                page.locator("main").innerText());
    }

    /** Sets a run up and pulls every sheet that is there; the first few spoiled ones of the run fail. */
    private void print(int order, int spoiled, String fault) {
        if (studio.runs().run(run(order)).orElseThrow().loading().isEmpty()) {
            setUp(order);
        }
        open("/press/" + run(order) + "?mode=edition");
        int sheets = studio.runs().atPress(run(order)).orElseThrow().next().size();
        int lost = order == 1 ? 1 : spoiled;
        for (int n = 1; n <= sheets; n++) {
            clock.later(90);
            page.clock().runFor(2_000);
            boolean bad = n > 3 && n <= 3 + lost;
            hit(page.locator("[data-key='" + (bad ? "s" : "pull") + "']"), true);
            if (bad) {
                page.fill("form[action$='/fault'] input[name=fault]:not([type=hidden])", fault);
                hit(page.locator("form[action$='/fault'] button >> text=Name it"), true);
            }
        }
        page.locator(".deeds summary", new Page.LocatorOptions().setHasText("Clean up"))
                .click();
        page.fill("form[action$='/clean-up'] [name=washed]", "8.0");
        hit(page.locator("form[action$='/clean-up'] .go"), true);
    }

    private void setUp(int order) {
        ThingId ink = ink(order);
        open("/press/" + run(order));
        page.locator("form[action$='/set-up'] [name=mix]").first().selectOption(ink.text());
        page.locator("form[action$='/set-up'] [name=charge]").first().fill("12.0");
        hit(page.locator("form[action$='/set-up'] .go"), true);
    }

    /** Ink as other pages would have written it. */
    private ThingId ink(int order) {
        ThingId material = new ThingId("material-" + order);
        ThingId can = new ThingId("can-" + order);
        ThingId mix = new ThingId("mix-" + order);
        studio.write(
                Desk.HERE,
                List.of(
                        new ShelfEvent.MaterialListed(
                                material, "ink " + order, MaterialRole.INK, null, null, null, null),
                        new ShelfEvent.CanReceived(
                                can, material, "L" + order, null, Amount.net("net", "500"), null, null, null),
                        new InkEvent.MixStarted(mix, "ink of run " + order, null, run(order), null, null),
                        new InkEvent.Moved(can, mix, Amount.net("grams", "60.0"), Why.ADDED, null)));
        return mix;
    }

    private void between() {
        form("/write/paper.spoiled", "sheets=ED-11", "words=coffee");
        open("/edition/" + edition());
        PlaywrightAssertions.assertThat(page.locator("main")).containsText("Nothing was ever rubbed dry here");
        open("/press/" + run(1));
        clock.later(24 * 3600);
        open("/today");
        hit(page.locator("button[value=rub-dry]").first(), true);
        open("/edition/" + edition());
        PlaywrightAssertions.assertThat(page.locator("main")).containsText("rubbed dry today");
        PlaywrightAssertions.assertThat(page.locator("main")).containsText("run 1: ED-04 (lap line)");
        PlaywrightAssertions.assertThat(page.locator("main")).containsText("off the press: ED-11 (coffee)");
    }

    /** After one pull of the last run somebody wants to take a line away from its stone. */
    private void reworkAtTheWrongMoment() {
        setUp(3);
        open("/press/" + run(3) + "?mode=edition");
        hit(page.locator("[data-key=pull]"), true);
        open("/write/stone.treated");
        fill("form[data-tap] ", "stone=stone 3", "treatment=deletion", "words=the line at the left");
        hit(page.locator("form[data-tap] .go").first(), false);
        assertTrue(
                stops.stream().anyMatch(stop -> stop.contains("stone 3") && stop.contains("13 sheets not yet through")),
                stops.toString());
        assertEquals(0, studio.views().ofType("stone.treated", 10).size());
    }

    private void curate() {
        open("/edition/" + edition());
        page.locator("a >> text=Look through 14 sheets").click();
        for (int n = 1; n <= 14; n++) {
            clock.later(20);
            PlaywrightAssertions.assertThat(page.locator(".label")).hasText(n + " of 14");
            if (n == 9) {
                page.locator(".curating label", new Page.LocatorOptions().setHasText("fingerprint"))
                        .click();
                hit(page.locator(".curating [value=second]"), true);
            } else {
                hit(page.locator(".curating [value=good]"), true);
            }
        }
        PlaywrightAssertions.assertThat(page.locator("main")).containsText("13 good, 1 second");
    }

    private void number() {
        page.locator("a >> text=Number the good ones").click();
        hit(page.locator("form[action$='/number'] .go").first(), true);
        PlaywrightAssertions.assertThat(page.locator("main")).containsText("1 good without a number");
        Locator proofs = page.locator("form[action$='/number']");
        assertEquals(1, proofs.count(), "all twelve numbers are issued");
        proofs.locator("[name=kind]").selectOption("artists-proof");
        proofs.locator("[name=count]").fill("1");
        proofs.locator("[name=number]").fill("1");
        proofs.locator("[name=of]").fill("1");
        hit(proofs.locator(".go"), true);
        assertEquals(12, studio.runs().register(edition()).numbered());
    }

    private void deed(String title) {
        open("/edition/" + edition());
        page.locator(".deeds summary", new Page.LocatorOptions().setHasText(title))
                .first()
                .click();
    }

    private void sign() {
        deed("Release");
        fill("form[action$='/release'] ", "which=1…10", "to=B. Nobody");
        hit(page.locator("form[action$='/release'] .go"), false);
        assertTrue(
                stops.get(stops.size() - 1).contains("Not signed, as far as is written down: 1/12"), stops.toString());
        deed("Sign");
        fill("form[action$='/sign'] ", "by=A. Nonesuch", "where=lower right", "medium=pencil");
        hit(page.locator("form[action$='/sign'] .go"), true);
        assertEquals(13, studio.runs().register(edition()).signed());
    }

    private void release() {
        deed("Release");
        fill("form[action$='/release'] ", "which=1…10", "to=B. Nobody");
        hit(page.locator("form[action$='/release'] .go"), true);
        assertEquals(10, studio.runs().register(edition()).released());
        PlaywrightAssertions.assertThat(page.locator("main"))
                .containsText("Printed to date 14, for an edition of 12; numbered 12, signed 13, released 10");
        deed("Release");
        fill("form[action$='/release'] ", "which=10…11");
        page.locator("form[action$='/release'] .go").click();
        PlaywrightAssertions.assertThat(page.locator(".refused")).containsText("10/12 was released already");
    }

    private void twoYearsLater() {
        clock.later(2 * 365 * 24 * 3600);
        open("/editions");
        page.locator("a", new Page.LocatorOptions().setHasText("Eddy")).first().click();
        page.fill("form.find [name=number]", "7");
        page.locator("form.find button").click();
        String found = page.locator("[role=status].big").innerText();
        assertTrue(found.contains("7/12 is sheet ED-"), found);
        assertTrue(found.contains("to B. Nobody"), found);
        page.locator("[role=status].big a").click();
        String sheet = page.locator("main").innerText();
        assertTrue(IntStream.rangeClosed(1, 3).allMatch(order -> sheet.contains("run " + order + ", pull ")), sheet);
        assertEquals(1, studio.views().ofType("edition.released", 10).size());
        assertTrue(
                studio.views().ofType("edition.released", 10).get(0).event() instanceof EditionEvent.Released released
                        && released.sheets().size() == 10);
    }
}
