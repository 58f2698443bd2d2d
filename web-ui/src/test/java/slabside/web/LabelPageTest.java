package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import javax.imageio.ImageIO;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.rendering.PDFRenderer;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import slabside.demo.Demo;
import slabside.plugin.Progress;
import slabside.studio.Studio;
import slabside.views.Thing;

/** A label as it is printed, photographed and read again, or typed. */
class LabelPageTest {
    @TempDir
    static Path folder;

    private static Studio studio;
    private static Server server;
    private static Thing packet;
    private static final HttpClient HTTP =
            HttpClient.newBuilder().followRedirects(HttpClient.Redirect.NEVER).build();

    @BeforeAll
    static void write() {
        Demo.write(folder.resolve("data"), folder.resolve("config"), LocalDate.of(2026, 6, 15), ZoneOffset.UTC);
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC());
        studio.views().catchUp();
        server = Server.start(studio, 0);
        packet = studio.views().things("packet", "", 1).get(0);
    }

    @AfterAll
    static void close() {
        server.close();
        studio.close();
    }

    /** One label on a sheet of its own, at so many dots to the inch. */
    private static BufferedImage label(int dots, String sheet) throws IOException {
        var calculator = studio.host().calculator("labels");
        byte[] pdf = Paper.as(
                "pdf",
                studio.host().ask(calculator, Map.of("one", packet.id().text(), "sheet", sheet), Progress.NONE),
                calculator.card(),
                new Paper.Sheet(Paper.Size.A4, server.address(), ""));
        try (PDDocument document = Loader.loadPDF(pdf)) {
            return new PDFRenderer(document).renderImageWithDPI(0, dots);
        }
    }

    /** As a hand holds a camera: turned, grey, with noise, on a table. */
    private static BufferedImage photographed(BufferedImage label, double turned) {
        BufferedImage photo = new BufferedImage(1600, 1200, BufferedImage.TYPE_INT_RGB);
        Graphics2D into = photo.createGraphics();
        into.setColor(new Color(0x6b5a48));
        into.fillRect(0, 0, 1600, 1200);
        into.translate(800, 600);
        into.rotate(Math.toRadians(turned));
        into.drawImage(label, -label.getWidth() / 2, -label.getHeight() / 2, null);
        into.dispose();
        Random random = new Random(1);
        for (int y = 0; y < 1200; y++) {
            for (int x = 0; x < 1600; x++) {
                int grey = (int) Math.max(
                        0, Math.min(255, (photo.getRGB(x, y) & 0xff) * 0.8 + 20 + random.nextGaussian() * 8));
                photo.setRGB(x, y, grey << 16 | grey << 8 | grey);
            }
        }
        return photo;
    }

    @ParameterizedTest
    @CsvSource({
        "0, 'single, 62 x 35 mm'",
        "12, 'single, 62 x 35 mm'",
        "90, 'single, 62 x 35 mm'",
        "188, 'single, 90 x 38 mm'"
    })
    void the_code_of_a_printed_label_is_read_from_a_photo(double turned, String sheet) throws IOException {
        assertEquals(
                Optional.of(server.address() + "/thing/" + packet.id()),
                LabelPage.read(photographed(label(300, sheet), turned)));
    }

    @Test
    void where_no_code_is_none_is_read() {
        assertEquals(Optional.empty(), LabelPage.read(photographed(new BufferedImage(300, 200, 5), 7)));
        assertEquals(Optional.empty(), LabelPage.read(new BufferedImage(1, 1, BufferedImage.TYPE_INT_ARGB)));
    }

    private static HttpResponse<String> get(String path) throws IOException, InterruptedException {
        return HTTP.send(
                HttpRequest.newBuilder(URI.create(server.address() + path)).build(),
                HttpResponse.BodyHandlers.ofString());
    }

    private static HttpResponse<String> photo(byte[] bytes) throws IOException, InterruptedException {
        ByteArrayOutputStream body = new ByteArrayOutputStream();
        String edge = "edge-of-a-part";
        body.writeBytes(("--" + edge + "\r\nContent-Disposition: form-data; name=\"photo\"; filename=\"p.png\"\r\n"
                        + "Content-Type: image/png\r\n\r\n")
                .getBytes(StandardCharsets.UTF_8));
        body.writeBytes(bytes);
        body.writeBytes(("\r\n--" + edge + "--\r\n").getBytes(StandardCharsets.UTF_8));
        return HTTP.send(
                HttpRequest.newBuilder(URI.create(server.address() + "/find/photo"))
                        .header("Origin", server.address())
                        .header("Content-Type", "multipart/form-data; boundary=" + edge)
                        .POST(HttpRequest.BodyPublishers.ofByteArray(body.toByteArray()))
                        .build(),
                HttpResponse.BodyHandlers.ofString());
    }

    private static byte[] png(BufferedImage picture) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        ImageIO.write(picture, "png", out);
        return out.toByteArray();
    }

    @Test
    void a_photo_that_is_sent_leads_to_its_thing() throws IOException, InterruptedException {
        HttpResponse<String> read = photo(png(photographed(label(300, "single, 62 x 35 mm"), 5)));
        assertEquals(303, read.statusCode(), read.body());
        assertEquals(
                "/thing/" + packet.id(), read.headers().firstValue("Location").orElse(""));
        assertTrue(photo(png(new BufferedImage(300, 300, 1))).body().contains("No code was found on this photo"));
        HttpResponse<String> none = photo("no picture".getBytes(StandardCharsets.UTF_8));
        assertEquals(400, none.statusCode());
        assertTrue(none.body().contains("give a PNG or JPEG"), none.body());
        HttpResponse<String> cut = HTTP.send(
                HttpRequest.newBuilder(URI.create(server.address() + "/find/photo"))
                        .header("Origin", server.address())
                        .header("Content-Type", "multipart/form-data; boundary=none")
                        .POST(HttpRequest.BodyPublishers.ofString("cut off"))
                        .build(),
                HttpResponse.BodyHandlers.ofString());
        assertEquals(400, cut.statusCode());
        assertTrue(cut.body().contains("did not come through whole"), cut.body());
        assertTrue(photo(new byte[0]).body().contains("Take a photo of the label first"));
    }

    @Test
    void a_short_id_may_be_typed_in_small_letters_and_an_address_pasted() throws IOException, InterruptedException {
        for (String typed : new String[] {
            packet.label().toLowerCase(java.util.Locale.ROOT),
            packet.label() + "%20",
            packet.id().text(),
            "https%3A%2F%2F192.168.1.20%3A4174%2Fthing%2F" + packet.id()
        }) {
            HttpResponse<String> found = get("/find?label=" + typed);
            assertEquals(
                    "/thing/" + packet.id(),
                    found.headers().firstValue("Location").orElse(""),
                    typed);
        }
        assertTrue(get("/find?label=slack").body().contains("Which of these?"));
        assertTrue(get("/find?label=ZZZZ9").body().contains("Nothing here is called ZZZZ9"));
        // What a code from elsewhere says leads nowhere but into this studio.
        assertEquals(
                200,
                get("/find?label=https%3A%2F%2Fexample.org%2Fthing%2Fnothing").statusCode());
    }
}
