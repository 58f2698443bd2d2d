package slabside.web;

import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.net.Socket;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.RepeatedTest;
import org.junit.jupiter.api.io.TempDir;
import slabside.event.LogEvent;
import slabside.event.ThingId;
import slabside.studio.Studio;

/** A live page that goes away at the very moment its connection is ended must not keep the server busy. */
class LiveEndTest {
    private static final int WATCHERS = 6;

    @TempDir
    Path folder;

    @RepeatedTest(8)
    void the_server_ends_while_pages_go_away() {
        Random random = new Random(7);
        assertTimeoutPreemptively(Duration.ofSeconds(30), () -> {
            try (Studio studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC())) {
                Server server = Server.start(studio, 0);
                List<Socket> pages = new ArrayList<>();
                for (int i = 0; i < WATCHERS; i++) {
                    pages.add(watching(server));
                }
                Thread leaving = new Thread(() -> pages.forEach(page -> gone(page, random.nextInt(3))));
                leaving.start();
                // What is written down meanwhile is told to pages that are there no more.
                studio.write(Desk.HERE, List.of(new LogEvent.Annotated(null, new ThingId("run-1"), "somebody writes")));
                Thread.sleep(random.nextInt(8));
                server.close();
                leaving.join();
            }
        });
    }

    private static Socket watching(Server server) throws IOException {
        URI address = URI.create(server.address());
        Socket socket = new Socket("127.0.0.1", address.getPort());
        socket.getOutputStream()
                .write(("GET /press/run-1/live HTTP/1.1\r\nHost: " + address.getAuthority()
                                + "\r\nAccept: text/event-stream\r\n\r\n")
                        .getBytes(StandardCharsets.US_ASCII));
        byte[] head = socket.getInputStream().readNBytes(12);
        assertTrue(new String(head, StandardCharsets.US_ASCII).startsWith("HTTP/1.1 200"));
        return socket;
    }

    /** Goes without a word, as a tablet that is switched off. */
    private static void gone(Socket page, int afterMillis) {
        try {
            Thread.sleep(afterMillis);
            page.setSoLinger(true, 0);
            page.close();
        } catch (IOException | InterruptedException ended) {
            Thread.currentThread().interrupt();
        }
    }
}
