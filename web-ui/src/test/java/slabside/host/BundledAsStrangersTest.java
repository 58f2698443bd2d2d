package slabside.host;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.URISyntaxException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.LinkedHashMap;
import java.util.Map;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.demo.Demo;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Replies;
import slabside.plugin.Upload;
import slabside.studio.Studio;

/**
 * What is bundled stands on the contract alone: each calculator, put into the process of a stranger's plugin, gives the very
 * answer that it gives inside.
 */
class BundledAsStrangersTest {
    private static final Map<String, Map<String, String>> REPLIES = Map.ofEntries(
            Map.entry("scale-a-mix", Map.of("mix", "PACKET", "grams", "40")),
            Map.entry("let-down", Map.of("mix", "PACKET", "times", "3")),
            Map.entry("to-a-recipe", Map.of("mix", "PACKET", "like", "OTHER")),
            Map.entry("ink-for-an-edition", Map.of("surface", "flat", "width", "40", "height", "50", "sheets", "60")),
            Map.entry("sheets-to-tear", Map.of("numbered", "40", "runs", "flat, blend")),
            Map.entry("jobs-like-this", Map.of("runs", "2", "sheets", "50")),
            Map.entry("what-went-wrong", Map.of("run", "Weir, Slack Water")),
            Map.entry("compare", Map.of("one", "Heron grey HG-2", "other", "Slack water B2")),
            Map.entry("common-factors", Map.of()),
            Map.entry("film-looks", Map.of("mix", "PACKET")),
            Map.entry("what-could-make", Map.of("target", "70 -20 -15")),
            Map.entry("how-inks-look", Map.of()),
            Map.entry("how-much-is-drawn", Map.of("picture", picture(), "outline", "40 x 50 cm")),
            Map.entry("one-minute-spread", Map.of("ink", "PACKET", "one", "36", "across", "35.5", "late", "38")),
            Map.entry("documentation-sheet", Map.of("edition", "Tidewrack, Four Fathoms")),
            Map.entry("labels", Map.of()),
            Map.entry("bench-sheet", Map.of("mix", "PACKET", "grams", "90")),
            Map.entry("run-sheet", Map.of("run", "Weir, Slack Water")),
            Map.entry("drawer-list", Map.of()),
            Map.entry("materials-and-cost", Map.of("of", "Tidewrack, Four Fathoms")),
            Map.entry("time-and-materials", Map.of("edition", "Tidewrack, Four Fathoms", "rate", "40")),
            Map.entry("stock", Map.of()),
            Map.entry("studio-year", Map.of()),
            Map.entry("mix-and-cautions", Map.of("mix", "PACKET")),
            Map.entry("trace-of-a-lot", Map.of("lot", "PACKET")),
            Map.entry("recipe-card", Map.of("mix", "PACKET")),
            Map.entry("same-body", Map.of("one", "PACKET", "other", "OTHER")),
            Map.entry("own-weight", Map.of("ink", "PACKET", "height", "8 mm")),
            Map.entry("string-length", Map.of("ink", "PACKET", "lengths", "30\n41\n44\n50\n61")),
            Map.entry("tack-judged", Map.of("ink", "PACKET")),
            Map.entry("pull-off", Map.of("disc", "30 mm", "volume", "0.05", "pull", "100", "seconds", "10")),
            Map.entry(
                    "film-by-weighing",
                    Map.of("before", "60", "after", "30", "pulls", "40", "image", "30 x 40 cm", "coverage", "50")),
            Map.entry("enough-kept", Map.of("like", "PACKET", "pulls", "40", "each", "0.3")),
            Map.entry("topping-up", Map.of("run", "Weir, Slack Water", "mix", "PACKET", "charge", "6")),
            Map.entry("paper-loss", Map.of("dabs", "1; 0.03\n2; 0.05")),
            Map.entry("dry-enough", Map.of("run", "Weir, Slack Water")),
            Map.entry("beside-others", Map.of("ink", "PACKET")),
            Map.entry("flow-curve", Map.of("readings", "50; 1140\n100; 1930\n800; 10600")),
            Map.entry("modifiers", Map.of("ink", "PACKET")),
            Map.entry("roller-and-image", Map.of("length", "50 cm", "width", "38 cm")),
            Map.entry(
                    "film-pull-by-pull",
                    Map.of("rolled", "40 x 60 cm", "diameter", "20 cm", "face", "40 cm", "image", "30 x 40 cm")),
            Map.entry("blend-holds", Map.of("widest", "60", "left", "PACKET", "right", "OTHER")),
            Map.entry("which-run-first", Map.of("first", "PACKET", "second", "OTHER")),
            Map.entry("what-to-add", Map.of("mix", "PACKET", "like", "OTHER", "dab", "60 5 5")),
            Map.entry("near-this-colour", Map.of("screen", "#8a9a9a", "grams", "40")),
            Map.entry("bleach-test", Map.of("lot", "CAN", "against", "OTHER CAN", "new-white", "55")),
            Map.entry(
                    "readings-file",
                    Map.of(
                            "of",
                            "PACKET",
                            "file",
                            Upload.of(
                                            "readings.xml",
                                            "application/xml",
                                            ("<CxF><Object Name='a'><ColorCIELab><L>50</L><A>1</A><B>2</B></ColorCIELab>"
                                                            + "</Object></CxF>")
                                                    .getBytes(StandardCharsets.UTF_8))
                                    .toString())),
            Map.entry("starting-point", Map.of("picture", picture(), "runs", "2")),
            Map.entry(
                    "photo-pair",
                    Map.of("picture", picture(), "places", "grey card 20 50; OK proof 50 50; new dab 80 50")),
            Map.entry("overlaps", Map.of("first", "PACKET", "second", "OTHER")));

    /** Three stripes. */
    private static String picture() {
        BufferedImage image = new BufferedImage(30, 20, BufferedImage.TYPE_INT_RGB);
        for (int i = 0; i < 600; i++) {
            image.setRGB(i % 30, i / 30, i % 30 < 10 ? 0x777777 : i % 30 < 20 ? 0x4f7f8c : 0x8c2f4f);
        }
        ByteArrayOutputStream png = new ByteArrayOutputStream();
        try {
            ImageIO.write(image, "png", png);
        } catch (IOException failed) {
            throw new UncheckedIOException(failed);
        }
        return Upload.of("stripes.png", "image/png", png.toByteArray()).toString();
    }

    @TempDir
    Path folder;

    @Test
    void each_bundled_calculator_answers_the_same_as_a_strangers() throws URISyntaxException {
        Demo.write(folder.resolve("data"), folder.resolve("config"), LocalDate.of(2026, 6, 15), ZoneOffset.UTC);
        try (Studio studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC())) {
            studio.views().catchUp();
            Host host = studio.host();
            assertTrue(host.view().runRecord(packet(studio, 0)).isEmpty(), "a packet is no run");
            Map<Path, RemotePlugin> strangers = new LinkedHashMap<>();
            for (Calculator bundled : host.calculators()) {
                String id = bundled.card().id();
                assertTrue(REPLIES.containsKey(id), "say with which replies " + id + " is to be asked");
                Path where = Path.of(bundled.getClass()
                        .getProtectionDomain()
                        .getCodeSource()
                        .getLocation()
                        .toURI());
                RemotePlugin stranger = strangers.computeIfAbsent(
                        where,
                        path -> new RemotePlugin(
                                path.toString(), path, folder.resolve("no archive"), Duration.ofSeconds(60)));
                Calculator remote = stranger.offers().asked().stream()
                        .filter(each -> each.card().equals(bundled.card()))
                        .findFirst()
                        .orElseThrow(() ->
                                new AssertionError(id + ": " + stranger.offers().broken()));
                Map<String, String> replies = new LinkedHashMap<>(REPLIES.get(id));
                replies.replaceAll((question, reply) -> switch (reply) {
                    case "PACKET" -> packet(studio, 0);
                    case "OTHER" -> packet(studio, 1);
                    case "CAN" -> can(studio, 0);
                    case "OTHER CAN" -> can(studio, 1);
                    default -> reply;
                });
                Answer inside = host.ask(bundled, replies);
                Answer outside = host.ask(remote, replies);
                assertEquals(inside, outside, id);
                assertTrue(outside.blocks().size() > 1, id + " said something");
                assertEquals(
                        Replies.read(bundled.questions(), host.picked(bundled, replies))
                                .typed(),
                        Replies.read(remote.questions(), host.picked(remote, replies))
                                .typed());
            }
            assertEquals(REPLIES.size(), host.calculators().size());
            strangers.values().forEach(RemotePlugin::close);
        }
    }

    private static String can(Studio studio, int n) {
        return studio.views().things("can", "", 2).get(n).id().text();
    }

    private static String packet(Studio studio, int n) {
        return studio.shelf().packets().get(n).thing().id().text();
    }
}
