package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.microsoft.playwright.Browser;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.assertions.PlaywrightAssertions;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.edition.Run;
import slabside.event.EditionEvent;
import slabside.event.InkEvent;
import slabside.event.PressGrade;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.studio.Studio;

/**
 * A first day, from an empty studio, on a narrow screen and without a mouse: every step is reached by Tab and taken by a
 * key. Listed, mixed, tested, printed as a blend with two mistakes put right, wrapped, tidied up.
 */
class FirstWalkTest {
    private static final int MOST_TABS = 400;

    @TempDir
    Path folder;

    private Studio studio;
    private Server server;
    private Page page;
    private final MovedClock clock = new MovedClock(Instant.parse("2026-11-03T09:00:00Z"));

    @Test
    void a_first_day_can_be_written_down_by_keyboard_alone_on_a_narrow_screen() {
        try (Chromium chromium = new Chromium();
                Studio opened = Studio.open(folder.resolve("data"), folder.resolve("config"), clock);
                Server serving = Server.start(opened, 0);
                Page narrow = chromium.browser.newPage(new Browser.NewPageOptions()
                        .setViewportSize(390, 844)
                        .setReducedMotion(com.microsoft.playwright.options.ReducedMotion.REDUCE))) {
            studio = opened;
            server = serving;
            page = narrow;
            page.setDefaultTimeout(10_000);
            page.clock().install();
            walk();
        }
    }

    private void walk() {
        for (String material : List.of("transparent base|base", "process blue|ink", "violet|ink")) {
            open("/write/shelf.material-listed");
            type("[name=name]", material.substring(0, material.indexOf('|')));
            choose("[name=role]", material.substring(material.indexOf('|') + 1));
            hit("text=Write it down >> nth=0");
        }
        for (String can : List.of("transparent base", "process blue", "violet")) {
            open("/write/shelf.can-received");
            type("[name=material]", can);
            type("[name=lot]", "L " + can);
            type("[name=net]", "500 g");
            hit("text=Write it down >> nth=0");
        }
        open("/write/shelf.tool-listed");
        choose("[name=kind]", "roller");
        type("[name=name]", "blend roller");
        type("[name=diameterUm]", "200");
        hit("text=Write it down >> nth=0");
        open("/write/edition.planned");
        type("[name=title]", "First walk");
        type("[name=number]", "30");
        hit("text=Write it down >> nth=0");
        open("/write/paper.received");
        type("[name=name]", "cotton");
        hit("text=Write it down >> nth=0");
        open("/write/paper.torn");
        type("[name=lot]", "cotton");
        type("[name=sheets]", "FW-01…FW-34");
        type("[name=edition]", "First walk");
        hit("text=Write it down >> nth=0");
        open("/write/edition.run-planned");
        type("[name=edition]", "First walk");
        type("[name=order]", "1");
        choose("[name=surface]", "blend");
        hit("text=Write it down >> nth=0");
        ThingId run = studio.views().things("run", "", 1).get(0).id();

        String left = mixed("sea", "process blue");
        String right = mixed("dusk", "violet");
        unfold("Test");
        choose("form[action$='/compare'] [name=against]", left);
        tabTo("form[action$='/compare'] [name=stiffness]");
        page.keyboard().press("Space");
        hit("form[action$='/compare'] .go");
        assertEquals(1, studio.views().ofType("test.compared", 5).size());
        assertTrue(studio.views().ofType("test.compared", 5).get(0).event() instanceof TestEvent.Compared compared
                && compared.stiffness() != null);

        open("/press/" + run);
        choose("form[action$='/set-up'] [name=mix] >> nth=0", left);
        type("form[action$='/set-up'] [name=charge] >> nth=0", "7.0");
        choose("form[action$='/set-up'] [name=mix] >> nth=1", right);
        type("form[action$='/set-up'] [name=charge] >> nth=1", "7.0");
        choose(
                "form[action$='/set-up'] [name=roller]",
                studio.views().things("tool", "", 1).get(0).id().text());
        hit("form[action$='/set-up'] .go");
        tabTo(".modes >> text=edition");
        page.keyboard().press("Enter");
        page.waitForURL("**mode=edition");
        for (int n = 1; n <= 30; n++) {
            key(n == 7 ? "s" : " ");
            if (n == 7 || n == 19) {
                // A mistake: taken back, and pulled again as it really was.
                key("u");
                key(" ");
            }
        }
        Run told = studio.runs().run(run).orElseThrow();
        assertEquals(30, told.printed());
        assertEquals(30, told.graded(PressGrade.GOOD));
        assertEquals(2, told.loads().size());
        tabTo(".deeds summary >> text=Clean up");
        page.keyboard().press("Enter");
        type("form[action$='/clean-up'] [name=washed] >> nth=0", "4.0");
        type("form[action$='/clean-up'] [name=washed] >> nth=1", "4.0");
        hit("form[action$='/clean-up'] .go");
        assertTrue(studio.runs().run(run).orElseThrow().cleanedUp());

        for (String mix : List.of(left, right)) {
            open("/bench/" + mix);
            unfold("Wrap");
            type("form[action$='/wrap'] [name=place]", "drawer 1");
            hit("form[action$='/wrap'] .go");
            PlaywrightAssertions.assertThat(page.locator(".write-on")).containsText("Write");
        }
        assertEquals(2, studio.shelf().packets().size());

        // One amount stayed unweighed; Tidy up asks for it, and it is put right there.
        open("/today");
        tabTo("a:has-text('dusk')");
        page.keyboard().press("Enter");
        page.waitForURL("**/bench/**");
        open("/event/" + unweighed());
        tabTo("text=Put it right");
        page.keyboard().press("Enter");
        page.waitForURL("**/put-right");
        type("[name=amount]", "0.4 g");
        hit("text=Put it right >> nth=-1");
        open("/today");
        assertEquals(0, page.locator("text=not weighed yet").count());
        assertEquals(
                EditionEvent.RunPlanned.class,
                studio.views().ofType("edition.run-planned", 1).get(0).event().getClass());
    }

    private long unweighed() {
        return studio.views().ofType("ink.moved", 60).stream()
                .filter(told -> ((InkEvent.Moved) told.event()).amount() instanceof slabside.measure.Amount.Unknown)
                .findFirst()
                .orElseThrow()
                .pos();
    }

    /** A mix of base and one strong ink; the dusk one gets a touch more that nobody weighed. */
    private String mixed(String name, String ink) {
        open("/bench");
        type("[name=name]", name);
        choose("[name=run]", studio.views().things("run", "", 1).get(0).id().text());
        hit("text=Start >> nth=-1");
        page.locator(".adding").waitFor();
        add("transparent base", "40.0");
        add(ink, "4.0");
        if (name.equals("dusk")) {
            seek(ink);
            tabTo(".adding [name=way]:checked");
            for (int i = 0;
                    i < 6 && !page.locator(".adding [name=way][value=later]").isChecked();
                    i++) {
                page.keyboard().press("ArrowRight");
            }
            hit(".adding .go");
        }
        return page.url().replaceAll(".*/bench/", "").replaceAll("\\?.*", "");
    }

    /** Finds a can by a part of its name, as a scanner or a keyboard would. */
    private void seek(String can) {
        tabTo("[data-seek]");
        page.keyboard().type("l " + can);
        page.keyboard().press("Enter");
    }

    private void add(String can, String grams) {
        seek(can);
        type(".adding [name=grams]", grams);
        hit(".adding .go");
    }

    private void open(String path) {
        clock.later(60);
        page.navigate(server.address() + path);
    }

    /** Presses Tab until the thing that is wanted has the focus, and sees that the focus can be seen. */
    private void tabTo(String what) {
        page.locator(what)
                .first()
                .waitFor(new com.microsoft.playwright.Locator.WaitForOptions()
                        .setState(com.microsoft.playwright.options.WaitForSelectorState.ATTACHED));
        for (int i = 0; i < MOST_TABS; i++) {
            if ((Boolean) page.locator(what).first().evaluate("e => e === document.activeElement")) {
                return;
            }
            page.keyboard().press("Tab");
        }
        throw new AssertionError(what + " is not reached by Tab on " + page.url());
    }

    private void unfold(String title) {
        tabTo(".deeds summary >> text=" + title);
        page.keyboard().press("Enter");
    }

    private void type(String field, String text) {
        tabTo(field);
        page.keyboard().press("Control+A");
        page.keyboard().type(text);
    }

    /** Chooses in a list by the arrow keys. */
    private void choose(String list, String value) {
        tabTo(list);
        page.keyboard().press("Home");
        for (int i = 0; i < 60 && !page.locator(list).first().inputValue().equals(value); i++) {
            page.keyboard().press("ArrowDown");
        }
        assertEquals(value, page.locator(list).first().inputValue(), list);
    }

    private void hit(String button) {
        long before = studio.log().last();
        tabTo(button);
        page.keyboard().press("Enter");
        written(before);
    }

    private void key(String key) {
        long before = studio.log().last();
        page.keyboard().press(key.equals(" ") ? "Space" : key);
        written(before);
        clock.later(90);
        page.clock().runFor(2_000);
    }

    private void written(long before) {
        long deadline = System.nanoTime() + 10_000_000_000L;
        while (studio.log().last() == before && System.nanoTime() < deadline) {
            page.waitForTimeout(5);
        }
        assertTrue(
                studio.log().last() > before,
                () -> "nothing was written: " + page.locator("body").innerText());
        PlaywrightAssertions.assertThat(page.locator("body")).hasAttribute("data-busy", "no");
        studio.views().catchUp();
    }
}
