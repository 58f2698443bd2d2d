package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.event.Actor;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.InkEvent;
import slabside.event.LogEvent;
import slabside.event.MaterialRole;
import slabside.event.RawBody;
import slabside.event.ShelfEvent;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.measure.Amount;
import slabside.studio.Studio;

/** Two machines with their pages and a folder between them, by what their pages say and do. */
class SharingPagesTest {
    private static final ThingId MIX = new ThingId("mix-1");

    @TempDir
    Path folder;

    private final HttpClient http = HttpClient.newHttpClient();
    private Studio laptop;
    private Studio tablet;
    private Server atLaptop;
    private Server atTablet;

    @BeforeEach
    void open() {
        laptop = Studio.open(folder.resolve("a/data"), folder.resolve("a/config"), Clock.systemUTC());
        tablet = Studio.open(folder.resolve("b/data"), folder.resolve("b/config"), Clock.systemUTC());
        atLaptop = Server.start(laptop, 0);
        atTablet = Server.start(tablet, 0);
    }

    @AfterEach
    void close() {
        atLaptop.close();
        atTablet.close();
        laptop.close();
        tablet.close();
    }

    private String get(Server server, String path) throws IOException, InterruptedException {
        return http.send(
                        HttpRequest.newBuilder(URI.create(server.address() + path))
                                .build(),
                        HttpResponse.BodyHandlers.ofString())
                .body();
    }

    private int post(Server server, String path, Map<String, String> form) throws IOException, InterruptedException {
        String body = form.entrySet().stream()
                .map(each -> each.getKey() + "=" + URLEncoder.encode(each.getValue(), StandardCharsets.UTF_8))
                .collect(Collectors.joining("&"));
        return http.send(
                        HttpRequest.newBuilder(URI.create(server.address() + path))
                                .header("Content-Type", "application/x-www-form-urlencoded")
                                .header("Origin", server.address())
                                .POST(HttpRequest.BodyPublishers.ofString(body))
                                .build(),
                        HttpResponse.BodyHandlers.ofString())
                .statusCode();
    }

    private static EventId write(Studio studio, StudioEvent event) {
        return studio.write(new Actor(Studio.SOMEBODY, "test"), List.of(event))
                .stored()
                .get(0)
                .envelope()
                .id();
    }

    private void share() throws IOException, InterruptedException {
        String shared = folder.resolve("shared").toString();
        assertEquals(303, post(atLaptop, "/sharing/make", Map.of("folder", shared, "name", "the laptop")));
        assertEquals(303, post(atTablet, "/sharing/join", Map.of("folder", shared, "name", "the tablet")));
        exchange();
    }

    private void exchange() throws IOException, InterruptedException {
        for (Server each : List.of(atLaptop, atTablet, atLaptop)) {
            assertEquals(303, post(each, "/sharing/now", Map.of()));
        }
        laptop.views().catchUp();
        tablet.views().catchUp();
    }

    @Test
    void pages_say_what_came_from_where() throws IOException, InterruptedException {
        write(laptop, new InkEvent.MixStarted(MIX, "Grey", null, null, null, null));
        share();
        String page = get(atTablet, "/sharing");
        assertTrue(page.contains("the tablet (this one)") && page.contains("the laptop"), page);
        assertTrue(page.contains("Everything that any machine is known to have written is here."), page);
        assertTrue(get(atTablet, "/thing/mix-1").contains("Grey"));
        assertEquals(400, post(atTablet, "/sharing/make", Map.of("folder", "/tmp/elsewhere", "name", "x")));
        assertEquals(303, post(atTablet, "/sharing/leave", Map.of()));
        assertTrue(get(atTablet, "/sharing").contains("Enter a studio that is shared"));
    }

    @Test
    void an_entry_put_right_on_both_stands_side_by_side_until_one_is_kept() throws IOException, InterruptedException {
        InkEvent.Moved wrong =
                new InkEvent.Moved(new ThingId("can-1"), MIX, Amount.net("grams", "45"), Why.ADDED, null);
        EventId id = write(laptop, wrong);
        share();
        write(laptop, right(id, "4.5"));
        EventId second = write(tablet, right(id, "5.4"));
        exchange();
        String page = get(atTablet, "/event/" + id.text());
        assertTrue(page.contains("Corrected in two ways") && page.contains("4.5 g") && page.contains("5.4 g"), page);
        assertEquals(2, page.split("Keep this", -1).length - 1);
        long pos = tablet.log().find(id).orElseThrow().pos();
        assertEquals(303, post(atTablet, "/event/" + pos + "/settle", Map.of("amendment", second.text())));
        exchange();
        for (Studio each : List.of(laptop, tablet)) {
            var told = each.views().told(id).orElseThrow();
            assertFalse(told.disputed());
            assertTrue(told.event().toString().contains("5400"), told.event().toString());
        }
        assertFalse(get(atLaptop, "/event/" + id.text()).contains("Corrected in two ways"));
        assertEquals(
                400,
                post(atTablet, "/event/" + pos + "/settle", Map.of("amendment", second.text())),
                "it was settled already");
    }

    private static LogEvent.Amended right(EventId id, String grams) {
        InkEvent.Moved right =
                new InkEvent.Moved(new ThingId("can-1"), MIX, Amount.net("grams", grams), Why.ADDED, null);
        return new LogEvent.Amended(
                id, List.of(id), new RawBody(EventCodec.body(right).toString()), null, null, "misread");
    }

    @Test
    void one_material_written_down_twice_is_asked_about_and_joined() throws IOException, InterruptedException {
        write(laptop, new LogEvent.Annotated(null, MIX, "here"));
        share();
        for (Studio each : List.of(laptop, tablet)) {
            ThingId material = new ThingId("material-" + (each == laptop ? "l" : "t"));
            write(
                    each,
                    new ShelfEvent.MaterialListed(
                            material, "transparent base", MaterialRole.BASE, null, null, null, null));
        }
        exchange();
        String page = get(atLaptop, "/sharing");
        assertTrue(page.contains("are called “transparent base”"), page);
        assertEquals(
                303,
                post(
                        atLaptop,
                        "/write/log.same-thing",
                        Map.of("keep", "material-l", "other", "material-t", "back", "/sharing")));
        exchange();
        assertFalse(get(atTablet, "/sharing").contains("are called “transparent base”"));
        assertEquals(new ThingId("material-l"), tablet.views().canonical(new ThingId("material-t")));
    }

    @Test
    void a_name_that_is_taken_out_on_one_is_out_on_the_other() throws IOException, InterruptedException {
        laptop.people().name(new ThingId("person-f"), "Fern Lowe");
        write(laptop, new LogEvent.Annotated(null, MIX, "here"));
        share();
        assertTrue(tablet.people().all().containsValue("Fern Lowe"));
        assertEquals(400, post(atLaptop, "/safekeeping/forget", Map.of("person", "person-f")), "not ticked");
        assertEquals(303, post(atLaptop, "/safekeeping/forget", Map.of("person", "person-f", "sure", "1")));
        exchange();
        assertFalse(tablet.people().all().containsValue("Fern Lowe"));
        assertFalse(get(atTablet, "/safekeeping").contains("Fern Lowe"));
    }
}
