package slabside.web;

import static com.microsoft.playwright.assertions.PlaywrightAssertions.assertThat;
import static org.junit.jupiter.api.Assertions.assertEquals;

import com.microsoft.playwright.Browser;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.assertions.LocatorAssertions;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.LongStream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.event.EditionEvent;
import slabside.event.Load;
import slabside.event.PaperEvent;
import slabside.event.PressEvent;
import slabside.event.Sheet;
import slabside.event.StudioEvent;
import slabside.event.Surface;
import slabside.event.ThingId;
import slabside.log.Postgres;
import slabside.log.PostgresAddress;
import slabside.log.Stored;
import slabside.studio.Studio;

/**
 * One edition printed at two presses of a school: two servers on one database, a browser at each. Each sees the other at once, a
 * sheet that both count is one pull, and what is tapped while the database is away arrives when it is back.
 */
class TwoServersWalkTest {
    private static final int SHEETS = 40;
    private static final LocatorAssertions.HasTextOptions PATIENTLY =
            new LocatorAssertions.HasTextOptions().setTimeout(30_000);

    @TempDir
    Path folder;

    private final Chromium chromium = new Chromium();
    private final Postgres database = Postgres.ofItsOwn();
    private final PostgresAddress address = database.database();
    private Place one;
    private Place two;
    private final ThingId run = new ThingId("run-school");

    /** A server and a tablet beside it. */
    private final class Place {
        private final Studio studio;
        private final Server server;
        private final Page page = chromium.browser.newPage(new Browser.NewPageOptions().setViewportSize(820, 1180));

        Place(String name) {
            studio = Studio.open(
                    address, folder.resolve(name), folder.resolve(name + "-config"), Clock.systemDefaultZone());
            server = Server.start(studio, 0);
        }

        void go() {
            page.navigate(server.address() + "/press/" + run + "?mode=edition");
            page.locator("[data-key=pull]").waitFor();
        }

        /** A second tap at once would count as a slip of the hand. */
        void pull() {
            page.waitForTimeout(1_700);
            page.click("[data-key=pull]");
        }

        void counts(int pulls) {
            assertThat(page.locator("[data-count]")).hasText(String.valueOf(pulls), PATIENTLY);
        }

        int printed() {
            studio.views().catchUp();
            return studio.runs().run(run).orElseThrow().printed();
        }

        void close() {
            server.close();
            studio.close();
        }
    }

    @BeforeEach
    void open() {
        one = new Place("one");
        two = new Place("two");
    }

    @AfterEach
    void close() {
        try {
            one.close();
            two.close();
        } finally {
            chromium.close();
            database.close();
        }
    }

    @Test
    void two_browsers_at_two_servers_see_each_other() {
        plan();
        one.go();
        two.go();
        one.pull();
        two.counts(1);
        two.pull();
        one.counts(2);
        two.counts(2);

        // Both count the same sheet before either has heard of the other.
        one.page.waitForTimeout(1_700);
        for (Place place : List.of(one, two)) {
            place.page.selectOption("[data-sheet]", "sheet-school-9");
        }
        one.page.click("[data-key=pull]", new Page.ClickOptions().setNoWaitAfter(true));
        two.page.click("[data-key=pull]", new Page.ClickOptions().setNoWaitAfter(true));
        one.counts(3);
        two.counts(3);
        assertEquals(3, one.printed(), "the same sheet is one pull");

        // The database goes away while both print, and comes back.
        one.page.waitForTimeout(1_700);
        database.kill();
        one.page.selectOption("[data-sheet]", "sheet-school-20");
        two.page.selectOption("[data-sheet]", "sheet-school-21");
        one.page.click("[data-key=pull]");
        two.page.click("[data-key=pull]");
        one.page.waitForTimeout(1_500);
        database.start();
        one.counts(5);
        two.counts(5);
        assertEquals(5, two.printed());
        assertEquals(5, one.printed());

        // One order for both, each chain whole.
        List<Stored> all = one.studio.log().read(0, Integer.MAX_VALUE);
        assertEquals(all, two.studio.log().read(0, Integer.MAX_VALUE));
        assertEquals(
                LongStream.rangeClosed(1, all.size()).boxed().toList(),
                all.stream().map(Stored::pos).toList());
        assertEquals(Optional.empty(), two.studio.log().verify().wrong());
        assertEquals(2, one.studio.log().heads().size(), "each server writes a chain of its own");
    }

    private void plan() {
        ThingId edition = new ThingId("edition-school");
        List<Sheet> sheets = new ArrayList<>();
        for (int i = 1; i <= SHEETS; i++) {
            sheets.add(new Sheet(new ThingId("sheet-school-" + i), "SC-" + i));
        }
        List<StudioEvent> events = List.of(
                new EditionEvent.Planned(
                        edition, "Weir at school", null, 30, null, null, null, null, null, null, null, null, null),
                new PaperEvent.Torn(new ThingId("paper-school"), sheets, null, null, edition, null),
                new EditionEvent.RunPlanned(run, edition, 1, Surface.FLAT, null, null, null),
                new PressEvent.RunStarted(
                        run, List.of(new Load(new ThingId("load-school"), "", null)), null, null, null, null, null));
        one.studio.write(Desk.HERE, events);
    }
}
