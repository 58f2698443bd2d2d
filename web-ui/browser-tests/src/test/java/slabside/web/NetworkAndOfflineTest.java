package slabside.web;

import static com.microsoft.playwright.assertions.PlaywrightAssertions.assertThat;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.microsoft.playwright.Browser;
import com.microsoft.playwright.BrowserContext;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.FilePayload;
import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.net.URI;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import java.util.OptionalInt;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.event.InkEvent;
import slabside.event.LogEvent;
import slabside.event.ThingId;
import slabside.studio.Studio;
import slabside.views.Told;

/** A tablet comes in, writes, and is shut out; pages that were open open again while the studio is off. */
class NetworkAndOfflineTest {
    private static Chromium chromium;

    @TempDir
    Path folder;

    private Studio studio;
    private Server server;

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
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemDefaultZone());
        server = Server.start(studio, 0, OptionalInt.of(0));
    }

    @AfterEach
    void shut() {
        server.close();
        studio.close();
    }

    @Test
    void a_tablet_comes_in_by_a_code_writes_under_its_own_name_and_is_shut_out() {
        String network = server.networkAddresses().stream()
                .filter(address -> address.startsWith("https://127.0.0.1:"))
                .findFirst()
                .orElseThrow();
        try (BrowserContext host = chromium.browser.newContext();
                // The studio's authority is not installed here: as on a device on its first day.
                BrowserContext tablet = chromium.browser.newContext(new Browser.NewContextOptions()
                        .setIgnoreHTTPSErrors(true)
                        .setViewportSize(820, 1100))) {
            Page desk = host.newPage();
            desk.navigate(server.address() + "/devices");
            desk.click("text=One that may write");
            String code = desk.innerText(".write-on strong");
            Page page = tablet.newPage();
            page.navigate(network + "/today");
            assertThat(page.locator("main")).containsText("not paired");
            page.navigate(network + "/join#" + code);
            assertThat(page.locator("[data-code]")).hasValue(code);
            page.fill("[name=name]", "tablet by the slab");
            page.click("text=Pair >> nth=-1");
            page.locator("form[action='/at'] [name=name]").fill("Somebody Invented");
            page.click("text=It is me");
            assertThat(page.locator(".who-here")).hasText("Somebody Invented");

            page.navigate(network + "/bench");
            page.fill("[name=name]", "by the tablet");
            page.click("text=Start >> nth=-1");
            page.locator(".adding").waitFor();
            Told started = studio.views().ofType("ink.mix-started", 1).get(0);
            assertEquals("by the tablet", ((InkEvent.MixStarted) started.event()).name());
            assertTrue(started.envelope().actor().device().startsWith("device-"));
            assertEquals(
                    "Somebody Invented", studio.name(started.envelope().actor().person()));

            desk.navigate(server.address() + "/devices");
            assertThat(desk.locator("main")).containsText("tablet by the slab");
            desk.click("text=Shut out");
            long before = studio.log().last();
            page.click(".deeds summary >> text=Worked it");
            page.click("form[action$='/work'] [value='5']");
            assertThat(page.locator("[aria-label='Waiting taps']")).containsText("1 tap waits");
            assertThat(page.locator(".foot")).containsText("not paired with the studio any more");
            assertEquals(before, studio.log().last());
            page.reload();
            assertThat(page.locator("main")).containsText("not paired");
        }
    }

    @Test
    void a_page_that_was_open_opens_again_while_the_studio_is_off_and_its_taps_are_sent_once() {
        ThingId mix = new ThingId("mix-offline");
        studio.write(Desk.HERE, List.of(new InkEvent.MixStarted(mix, "kept", null, null, null, null)));
        int port = URI.create(server.address()).getPort();
        String bench = server.address() + "/bench/" + mix;
        try (BrowserContext context = chromium.browser.newContext()) {
            Page page = context.newPage();
            page.navigate(bench);
            page.evaluate("() => navigator.serviceWorker.ready.then(() => true)");
            page.reload();
            assertThat(page.locator("h1")).hasText("kept");
            server.close();
            page.reload();
            assertThat(page.locator("h1")).hasText("kept");
            assertThat(page.locator(".foot")).containsText("The studio does not answer");
            page.click(".deeds summary >> text=Worked it");
            page.click("form[action$='/work'] [value='5']");
            assertThat(page.locator("[aria-label='Waiting taps']")).containsText("1 tap waits");
            page.navigate("http://127.0.0.1:" + port + "/shelf");
            assertThat(page.locator("h1")).hasText("The studio is off");
            page.navigate(bench);
            assertThat(page.locator("[aria-label='Waiting taps']")).containsText("1 tap waits");
            server = Server.start(studio, port);
            assertThat(page.locator("body")).hasAttribute("data-waiting", "0");
            assertEquals(
                    1,
                    studio.views().ofType("ink.worked", 10).size(),
                    "kept through two loads of the page, and sent once");
        }
    }

    @Test
    void a_photo_taken_while_the_studio_is_off_and_a_memo_that_was_said_are_kept_and_asked_for() throws IOException {
        ThingId mix = new ThingId("mix-shown");
        studio.write(Desk.HERE, List.of(new InkEvent.MixStarted(mix, "shown", null, null, null, null)));
        int port = URI.create(server.address()).getPort();
        ByteArrayOutputStream photo = new ByteArrayOutputStream();
        assertTrue(ImageIO.write(new BufferedImage(40, 30, BufferedImage.TYPE_INT_RGB), "jpg", photo));
        try (BrowserContext context =
                chromium.browser.newContext(new Browser.NewContextOptions().setPermissions(List.of("microphone")))) {
            Page page = context.newPage();
            page.navigate(server.address() + "/bench/" + mix);
            page.evaluate("() => navigator.serviceWorker.ready.then(() => true)");
            page.reload();
            server.close();
            page.click(".deeds summary >> text=Say it");
            page.setInputFiles(
                    "form[data-media] [type=file]", new FilePayload("scale.jpg", "image/jpeg", photo.toByteArray()));
            page.fill("form[data-media] [name=name]", "the scale");
            page.click("text=Keep the photo");
            assertThat(page.locator("[aria-label='Waiting photos and memos']")).containsText("1 photo or memo waits");
            page.reload();
            assertThat(page.locator("[aria-label='Waiting photos and memos']")).containsText("1 photo or memo waits");
            server = Server.start(studio, port);
            assertThat(page.locator("body")).hasAttribute("data-media", "0");
            LogEvent.Attached kept = (LogEvent.Attached)
                    studio.views().ofType("log.attached", 5).get(0).event();
            assertEquals("the scale", kept.name());
            assertEquals(mix, kept.thing());
            assertEquals(1, studio.views().ofType("log.attached", 5).size(), "kept through a reload, and sent once");

            page.reload();
            page.click(".deeds summary >> text=Say it");
            page.click("text=Record a memo");
            assertThat(page.locator("[data-record]")).hasAttribute("aria-pressed", "true");
            page.waitForTimeout(1_200);
            page.click("[data-record]");
            assertThat(page.locator(".foot")).containsText("The memo is kept");
            page.navigate(server.address() + "/today");
            page.click("text=A voice memo on shown");
            assertThat(page.locator("audio").first()).isVisible();
            page.evaluate("() => document.querySelector('audio').play()");
            page.fill("form[action='/write/log.annotated'] [name=words]", "a shade colder than the study");
            page.click("text=Write it down");
            assertThat(page.locator("body")).hasAttribute("data-busy", "no");
            page.navigate(server.address() + "/today");
            assertThat(page.locator("main")).not().containsText("A voice memo");
            assertEquals(List.of(), studio.attachments().check(studio.log()).wrong());
        }
    }
}
