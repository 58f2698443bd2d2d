package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.microsoft.playwright.Browser;
import com.microsoft.playwright.Locator;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.assertions.LocatorAssertions;
import com.microsoft.playwright.assertions.PlaywrightAssertions;
import java.io.IOException;
import java.math.BigDecimal;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.edition.Run;
import slabside.event.EditionEvent;
import slabside.event.InkEvent;
import slabside.event.LogEvent;
import slabside.event.MaterialRole;
import slabside.event.PaperEvent;
import slabside.event.Portion;
import slabside.event.PressGrade;
import slabside.event.Sheet;
import slabside.event.ShelfEvent;
import slabside.event.StudioEvent;
import slabside.event.Surface;
import slabside.event.ThingId;
import slabside.event.ToolKind;
import slabside.ink.Contents;
import slabside.measure.Amount;
import slabside.measure.Mass;
import slabside.studio.Studio;

/** Ink mixed and an edition printed through the screens, tap by tap; then the log is asked what happened. */
class MixAndPrintTest {
    private static Chromium chromium;

    @TempDir
    Path folder;

    private final MovedClock clock = new MovedClock(Instant.parse("2026-11-03T09:00:00Z"));
    private final List<String> complaints = new ArrayList<>();
    private ThingId run = new ThingId("run-water");
    private final ThingId edition = new ThingId("edition-weir");
    private Studio studio;
    private Server server;
    private Page page;
    private int taps;

    @BeforeAll
    static void launch() {
        chromium = new Chromium();
    }

    @AfterAll
    static void quit() {
        chromium.close();
    }

    @BeforeEach
    void open() {
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), clock);
        server = Server.start(studio, 0);
        page = page(820);
    }

    @AfterEach
    void shut() {
        page.close();
        server.close();
        studio.close();
        assertEquals(List.of(), complaints);
    }

    private Page page(int width) {
        Page opened = chromium.browser.newPage(new Browser.NewPageOptions().setViewportSize(width, 1100));
        opened.setDefaultTimeout(10_000);
        opened.clock().install();
        opened.onRequest(request -> {
            if (!request.url().startsWith("http://127.0.0.1:")) {
                complaints.add("asked another machine for " + request.url());
            }
        });
        return opened;
    }

    private void write(StudioEvent... events) {
        studio.write(Desk.HERE, List.of(events));
    }

    /** A shelf, paper, an edition and its one run, as the other pages would have written them. */
    private void stock() {
        material("base", MaterialRole.BASE);
        material("blue", MaterialRole.INK);
        material("black", MaterialRole.INK);
        material("white", MaterialRole.OPAQUE_WHITE);
        material("mag", MaterialRole.POWDER);
        material("reducer", MaterialRole.TACK_REDUCER);
        write(
                new ShelfEvent.ToolListed(
                        new ThingId("tool-roller"),
                        ToolKind.ROLLER,
                        "smooth roller 25 cm",
                        250_000L,
                        600_000L,
                        "smooth",
                        null),
                new PaperEvent.Received(
                        new ThingId("paper-1"), "mould-made 300 g", 60, null, null, new BigDecimal("300"), null, null),
                new EditionEvent.Planned(
                        edition, "Weir", null, 40, null, null, null, null, null, null, null, null, null),
                new EditionEvent.RunPlanned(run, edition, 1, Surface.FLAT, null, "run 1, the water", null),
                new PaperEvent.Torn(new ThingId("paper-1"), sheets(), null, null, edition, null),
                new InkEvent.RecipePlanned(
                        new ThingId("recipe-water"),
                        "Slack water",
                        List.of(
                                portion("base", "65.00"),
                                portion("blue", "7.97"),
                                portion("black", "5.00"),
                                portion("white", "21.09"),
                                portion("mag", "0.47"),
                                portion("reducer", "0.47")),
                        64_000L,
                        null));
    }

    private void material(String name, MaterialRole role) {
        ThingId material = new ThingId("material-" + name);
        ThingId can = new ThingId("can-" + name);
        write(
                new ShelfEvent.MaterialListed(material, name, role, null, null, null, null),
                new ShelfEvent.CanReceived(
                        can,
                        material,
                        "L-" + name,
                        studio.ids().label(),
                        Amount.net(Mass.ofGrams("500"), Mass.ofGrams("1")),
                        null,
                        null,
                        null),
                new ShelfEvent.CanOpened(can, null));
    }

    private static Portion portion(String material, String percent) {
        return new Portion(new ThingId("material-" + material), new BigDecimal(percent));
    }

    private static List<Sheet> sheets() {
        List<Sheet> sheets = new ArrayList<>();
        for (int i = 1; i <= 50; i++) {
            sheets.add(new Sheet(new ThingId("sheet-" + i), String.format(Locale.ROOT, "WS-%02d", i)));
        }
        return sheets;
    }

    /** Fills the form of an event and writes it down; several fields as "name=text". */
    private void form(String type, String... fields) {
        page.navigate(server.address() + "/write/" + type);
        for (String field : fields) {
            String name = field.substring(0, field.indexOf('='));
            String text = field.substring(field.indexOf('=') + 1);
            Locator input = page.locator("form[data-tap] [name='" + name + "']");
            if (input.evaluate("e => e.tagName").equals("SELECT")) {
                input.selectOption(text);
            } else {
                input.fill(text);
            }
        }
        long before = studio.log().last();
        page.locator("form[data-tap] .go").first().click();
        written(before);
    }

    private ThingId named(String kind, String name) {
        studio.views().catchUp();
        return studio.views().named(kind, name).id();
    }

    /** The same stock as {@link #stock}, entered through the screens. */
    private void stockByHand() {
        for (String each : List.of(
                "base=base", "blue=ink", "black=ink", "white=opaque-white", "mag=powder", "reducer=tack-reducer")) {
            String material = each.substring(0, each.indexOf('='));
            form("shelf.material-listed", "name=" + material, "role=" + each.substring(each.indexOf('=') + 1));
            form("shelf.can-received", "material=" + material, "lot=L-" + material, "net=500 g");
            form("shelf.can-opened", "can=L-" + material);
        }
        form(
                "shelf.tool-listed",
                "kind=roller",
                "name=smooth roller 25 cm",
                "diameterUm=250",
                "widthUm=600",
                "cover=smooth");
        form("paper.received", "name=mould-made 300 g", "sheets=60", "gramsPerM2=300");
        form("edition.planned", "title=Weir", "number=40");
        form("edition.run-planned", "edition=Weir", "order=1", "surface=flat", "name=run 1, the water");
        form("paper.torn", "lot=mould-made 300 g", "sheets=WS-01…WS-50", "edition=Weir");
        form(
                "ink.recipe-planned",
                "name=Slack water",
                "portions=base 65.00\nblue 7.97\nblack 5.00\nwhite 21.09\nmag 0.47\nreducer 0.47",
                "batchMg=64");
        run = named("run", "run 1, the water");
    }

    private static LocatorAssertions expect(Locator what) {
        return PlaywrightAssertions.assertThat(what);
    }

    private void tap(Locator what) {
        taps++;
        what.click();
    }

    private void tap(String what) {
        tap(page.locator(what));
    }

    private void digits(String text) {
        for (char digit : text.toCharArray()) {
            page.locator(".keypad button", new Page.LocatorOptions().setHasText(String.valueOf(digit)))
                    .first()
                    .click();
        }
    }

    /** Waits until nothing waits on the device any more. */
    private void settled() {
        expect(page.locator("body")).hasAttribute("data-busy", "no");
    }

    private void add(String can, String reading) {
        long before = studio.log().last();
        taps = 0;
        tap(page.locator(".pick label", new Page.LocatorOptions().setHasText("L-" + can)));
        digits(reading);
        tap(".adding .go");
        assertTrue(taps <= 3, "an addition takes " + taps + " taps beside the digits");
        if (!reading.equals("102.7")) {
            written(before);
        }
    }

    /** Waits until the page shows what was written after {@code before}. */
    private void written(long before) {
        long deadline = System.nanoTime() + 10_000_000_000L;
        while (studio.log().last() == before && System.nanoTime() < deadline) {
            page.waitForTimeout(5);
        }
        assertTrue(
                studio.log().last() > before,
                () -> "nothing was written: " + page.locator("body").innerText());
        settled();
        long now = studio.log().last();
        studio.views().await(now);
        page.waitForLoadState();
    }

    private void submit(String form, String button) {
        long before = studio.log().last();
        page.locator("form[action$='" + form + "'] " + button).first().click();
        written(before);
    }

    private void unfold(String title) {
        Locator summary = page.locator(".deeds summary", new Page.LocatorOptions().setHasText(title));
        if (summary.locator("xpath=..").getAttribute("open") == null) {
            summary.click();
        }
    }

    private String mix(String reducerReading) {
        page.navigate(server.address() + "/bench");
        page.selectOption("select[name=run]", run.text());
        page.selectOption("select[name=recipe]", named("recipe", "Slack water").text());
        long before = studio.log().last();
        page.click("text=Start >> nth=-1");
        written(before);
        page.locator(".adding").waitFor();
        String id = page.url().replaceAll(".*/bench/", "").replaceAll("\\?.*", "");
        page.locator("[name=way][value=cup]").locator("xpath=..").click();
        page.fill(".adding [name=tare]", "36.0");
        page.locator(".adding [name=reading]").focus();
        add("base", "77.6");
        add("blue", "82.7");
        add("black", "85.9");
        add("white", "99.4");
        add("mag", "99.7");
        add("reducer", reducerReading);
        return id;
    }

    private void charge(String mix, String grams) {
        unfold("Charge the slab");
        page.selectOption("form[action$='/charge'] [name=mix]", mix);
        page.fill("form[action$='/charge'] [name=grams]", grams);
        submit("/charge", "button");
    }

    private void pull(String key) {
        long before = studio.log().last();
        taps = 0;
        tap("[data-key='" + key + "']");
        assertEquals(1, taps);
        written(before);
        clock.later(2);
        page.clock().runFor(2_000);
    }

    private Map<String, Double> load(int pull) {
        Run told = studio.runs().run(run).orElseThrow();
        Contents contents = studio.runs().loadsAt(told.pull(pull)).get(0);
        Map<String, Double> shares = new java.util.HashMap<>();
        contents.byMaterial(studio.ledger()::material)
                .forEach(part -> shares.put(studio.name(part.id()), part.share().value() * 100));
        return shares;
    }

    /** Scenario B; its numbers are those of the imported one (see ScenariosTest), made up for this project. */
    @Test
    void slack_water_mixed_and_printed_through_the_screens_gives_the_same_load_at_every_pull() {
        stockByHand();
        String b1 = mix("100.0");
        unfold("Worked it");
        submit("/work", "[value='6']");
        unfold("Take out");
        page.fill("form[action$='/out'] [name=grams]", "1.50");
        submit("/out", ".go");
        unfold("Colour");
        submit("/agree", ".go");

        page.navigate(server.address() + "/press/" + run);
        page.locator("form[action$='/set-up'] [name=mix]").first().selectOption(b1);
        page.locator("form[action$='/set-up'] [name=charge]").first().fill("20.00");
        page.selectOption(
                "form[action$='/set-up'] [name=roller]",
                named("tool", "smooth roller 25 cm").text());
        page.fill("form[action$='/set-up'] [name=water]", "fresh");
        page.fill("form[action$='/set-up'] [name=celsius]", "20.1");
        submit("/set-up", ".go");

        page.click(".modes >> text=proof");
        for (String sheet : List.of("WS-49", "WS-50", "WS-49")) {
            page.selectOption("[data-sheet]", named("sheet", sheet).text());
            pull("pull");
        }
        page.click(".modes >> text=edition");
        page.fill("[name=passes]", "7");
        for (int number = 1; number <= 22; number++) {
            if (number == 6) {
                charge(b1, "12.00");
            } else if (number == 14) {
                charge(b1, "12.64");
            }
            pull("pull");
            expect(page.locator("[data-count]")).hasText(String.valueOf(number));
        }
        assertEquals(22, studio.runs().run(run).orElseThrow().printed());
        String counter = page.locator("#live-count").innerText();
        assertTrue(counter.contains("22 of 48"), counter);
        unfold("Measure, weigh, scrape");
        page.fill("form[action$='/weigh'] [name=grams]", "14.00");
        submit("/weigh", ".go");
        String ink = page.locator("#live-count").innerText();
        assertTrue(ink.contains("Ink for about 14 more"), ink);
        assertTrue(ink.contains("Mix the second batch now"), ink);

        clock.later(600);
        String b2 = mix("102.7");
        Locator stop = page.locator("dialog.stop");
        expect(stop.locator("[data-rule=ten-times-the-recipe]")).isVisible();
        expect(stop.locator("[data-rule=above-the-limit]")).isVisible();
        long before = studio.log().last();
        assertEquals(before, studio.log().last(), "nothing is written before it is confirmed");
        stop.locator("button >> text=Yes, that is right").click();
        written(before);

        page.navigate(server.address() + "/press/" + run + "?mode=edition");
        unfold("Pause");
        page.check("form[action$='/pause'] [name=gummed]");
        submit("/pause", ".go");
        clock.later(45 * 60);
        submit("/resume", ".go");
        page.click(".modes >> text=edition");
        for (int number = 23; number <= 36; number++) {
            if (number == 23 || number == 28 || number == 33) {
                charge(b2, "6.00");
            }
            pull(number < 28 ? "?" : "s");
        }
        unfold("Clean up");
        page.fill("form[action$='/clean-up'] [name=washed]", "14.80");
        submit("/clean-up", ".go");

        assertEquals(0.469, load(22).get("reducer"), 0.0015);
        assertEquals(1.678, load(23).get("reducer"), 0.0015);
        assertEquals(2.530, load(28).get("reducer"), 0.0015);
        assertEquals(3.129, load(33).get("reducer"), 0.0015);
        Run told = studio.runs().run(run).orElseThrow();
        assertEquals(36, told.printed());
        assertEquals(22, told.graded(PressGrade.GOOD));
        assertEquals(5, told.graded(PressGrade.QUERY));
        assertEquals(9, told.graded(PressGrade.SPOILED));
        assertEquals(3, told.beforeTheEdition());
        assertEquals(1.2257, studio.ledger().perPull(run).orElseThrow().grams().value(), 0.01);
        List<String> confirmed = studio.views().ofType("log.warned", 50).stream()
                .map(event -> (LogEvent.Warned) event.event())
                .filter(LogEvent.Warned::confirmed)
                .map(LogEvent.Warned::rule)
                .sorted()
                .toList();
        assertEquals(List.of("above-the-limit", "ten-times-the-recipe"), confirmed);
    }

    /** A run that stands ready: an ink mixed, the slab charged, nothing pulled. */
    private void standReady() {
        stock();
        ThingId mix = new ThingId("mix-ready");
        ThingId load = new ThingId("load-ready");
        write(
                new InkEvent.MixStarted(mix, "ready", null, run, null, null),
                new InkEvent.Moved(
                        new ThingId("can-base"), mix, Amount.net("grams", "60.0"), slabside.event.Why.ADDED, null),
                new slabside.event.PressEvent.RunStarted(
                        run,
                        List.of(new slabside.event.Load(load, "", null)),
                        new ThingId("tool-roller"),
                        null,
                        null,
                        null,
                        null),
                new InkEvent.Moved(mix, load, Amount.net("grams", "20.0"), slabside.event.Why.CHARGED, null));
    }

    private Run printed() {
        studio.views().catchUp();
        return studio.runs().run(run).orElseThrow();
    }

    @Test
    void taps_made_while_the_studio_is_down_wait_on_the_device_and_are_counted_once() {
        standReady();
        page.navigate(server.address() + "/press/" + run + "?mode=edition");
        page.locator("[data-key=pull]").waitFor();
        int port = java.net.URI.create(server.address()).getPort();
        server.close();
        for (int i = 1; i <= 3; i++) {
            page.click("[data-key=pull]");
            expect(page.locator("[data-count]")).hasText(String.valueOf(i));
            page.clock().runFor(1_600);
        }
        expect(page.locator("[aria-label='Waiting taps']")).containsText("3 taps wait");
        assertEquals(0, printed().printed());
        server = Server.start(studio, port);
        page.clock().runFor(4_000);
        page.clock().runFor(4_000);
        expect(page.locator("[aria-label='Waiting taps']")).isHidden();
        settled();
        assertEquals(3, printed().printed());
        assertEquals(3, printed().pulls().size());
        assertEquals(
                List.of("WS-01", "WS-02", "WS-03"),
                printed().pulls().stream()
                        .map(pull -> studio.name(pull.sheet()))
                        .toList());
    }

    @Test
    void two_devices_count_different_sheets_all_and_the_same_sheet_once() {
        standReady();
        String address = server.address() + "/press/" + run + "?mode=edition";
        page.navigate(address);
        Page other = page(390);
        other.navigate(address);
        other.waitForTimeout(300);
        pull("pull");
        expect(other.locator("[data-count]")).hasText("1");
        expect(other.locator("[data-next]")).hasText("WS-02");
        other.click("[data-key=pull]");
        expect(page.locator("[data-count]")).hasText("2");
        assertEquals(2, printed().printed());

        // One that does not hear of the other in time.
        Page deaf = page(390);
        deaf.route("**/live", route -> route.abort());
        deaf.navigate(address);
        page.selectOption("[data-sheet]", "sheet-7");
        deaf.selectOption("[data-sheet]", "sheet-7");
        long before = studio.log().last();
        page.click("[data-key=pull]");
        deaf.click("[data-key=pull]");
        long deadline = System.nanoTime() + 10_000_000_000L;
        while (studio.log().last() < before + 2 && System.nanoTime() < deadline) {
            page.waitForTimeout(5);
        }
        assertEquals(3, printed().printed(), "the same sheet is one pull");
        assertEquals(4, printed().pulls().size(), "the second tap is kept and marked");
        assertTrue(printed().pulls().get(3).countedBefore());
        other.close();
        deaf.close();
    }

    @Test
    void a_pedal_and_single_keys_do_all_of_a_run_and_mistakes_are_taken_back() throws IOException {
        standReady();
        page.navigate(server.address() + "/press/" + run + "?mode=edition");
        page.locator("[data-key=pull]").waitFor();
        long before = studio.log().last();
        for (String key : List.of(" ", "Enter", "s", "h", "?", "u")) {
            page.keyboard().press(key);
            written(before);
            before = studio.log().last();
            page.clock().runFor(1_600);
            clock.later(2);
        }
        // Two pulls, one spoiled, hit again; the query was undone.
        assertEquals(3, printed().printed());
        assertEquals(1, printed().graded(PressGrade.SPOILED));
        assertEquals(4, printed().pulls().size());
        page.click("#live-asks >> text=hickey");
        written(before);
        assertEquals(
                List.of("hickey"),
                printed().pulls().stream()
                        .filter(pull -> pull.event().grade() == PressGrade.SPOILED)
                        .flatMap(pull -> pull.event().faults().stream())
                        .distinct()
                        .toList());
        page.evaluate(Chromium.axe());
        Object serious = page.evaluate("axe.run().then(r => r.violations"
                + ".filter(v => v.impact === 'serious' || v.impact === 'critical')"
                + ".map(v => v.id + ' ' + v.nodes[0].html))");
        assertEquals(List.of(), serious, "the press in use");
        page.click("[data-keys]");
        page.evaluate("document.activeElement.blur()");
        before = studio.log().last();
        page.keyboard().press("s");
        page.waitForTimeout(200);
        assertEquals(before, studio.log().last(), "single keys can be turned off");
        expect(page.locator("[data-next]")).hasText("WS-04");
        page.click("[data-skip]");
        expect(page.locator("[data-next]")).hasText("WS-05");
        page.evaluate("document.activeElement.blur()");
        page.keyboard().press(" ");
        page.keyboard().press(" ");
        written(before);
        assertEquals(4, printed().printed(), "two taps within a moment are one");
    }

    @Test
    void on_a_phone_the_pull_is_in_sight_without_scrolling() {
        standReady();
        try (Page phone = page(390)) {
            phone.navigate(server.address() + "/press/" + run + "?mode=edition");
            com.microsoft.playwright.options.BoundingBox pull =
                    phone.locator("[data-key=pull]").boundingBox();
            assertTrue(pull.y + pull.height <= 844, "the pull ends at " + (pull.y + pull.height));
        }
    }
}
