package slabside.web;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.microsoft.playwright.Browser;
import com.microsoft.playwright.Locator;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.assertions.PlaywrightAssertions;
import com.microsoft.playwright.options.AriaRole;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import slabside.demo.Demo;
import slabside.host.Drawn;
import slabside.studio.Studio;

/**
 * The guide for authors of plugins, followed to the letter in an empty folder: every file it shows is written, every command it
 * shows is run, and the number is the same on the page, on the command line and on paper.
 */
class GuideWalkTest {
    private static final Pattern WORD = Pattern.compile("(?:[^\\s\"]|\"[^\"]*\")+");
    private static final Path PROGRAM =
            Path.of("../target/slabside.jar").toAbsolutePath().normalize();
    private static final Path EXAMPLES =
            Path.of("../../plugins/examples/target").toAbsolutePath().normalize();

    @TempDir
    Path folder;

    private Server server;
    private Page page;
    private final List<String> said = new ArrayList<>();

    @Test
    void a_stranger_follows_the_guide_to_the_letter() throws Exception {
        Demo.write(folder.resolve("data"), folder.resolve("config"), LocalDate.of(2026, 6, 15), ZoneOffset.UTC);
        try (Chromium chromium = new Chromium();
                Studio studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC());
                Server serving = Server.start(studio, 0);
                Page narrow = chromium.browser.newPage(new Browser.NewPageOptions().setViewportSize(390, 844))) {
            server = serving;
            page = narrow;
            page.setDefaultTimeout(20_000);
            follow();
            sameNumberEverywhere();
            keptAndFoundAgain();
            entriesOfItsOwn(studio);
        }
    }

    /** Writes the files and runs the commands of the guide, in the order in which they stand there. */
    private void follow() throws Exception {
        page.navigate(server.address() + "/calculators");
        page.getByText("Write one of your own").click();
        Path place = Files.createDirectory(folder.resolve("empty"));
        Locator steps = page.locator("pre[data-file], pre[data-run]");
        int count = steps.count();
        assertTrue(count >= 5, "the guide has " + count + " steps");
        for (int i = 0; i < count; i++) {
            Locator step = steps.nth(i);
            String file = step.getAttribute("data-file");
            if (file != null) {
                Path to = place.resolve("time-left").resolve(file);
                assertTrue(Files.exists(to), "the guide puts code in the place of a file that was made: " + file);
                Files.writeString(to, step.textContent());
            } else {
                for (String line : step.textContent().strip().lines().toList()) {
                    said.add(run(place.resolve(step.getAttribute("data-run")), line));
                }
            }
        }
        Files.copy(place.resolve("time-left.pdf"), folder.resolve("command.pdf"));
    }

    private String run(Path in, String line) throws IOException, InterruptedException {
        List<String> command = new ArrayList<>();
        Matcher words = WORD.matcher(line);
        while (words.find()) {
            command.add(words.group().replace("\"", ""));
        }
        if (command.get(0).equals("java")) {
            command.set(
                    0, Path.of(System.getProperty("java.home"), "bin", "java").toString());
            command.set(command.indexOf("slabside.jar"), PROGRAM.toString());
            if (!line.contains("plugins new")) {
                command.addAll(List.of(
                        "--data",
                        folder.resolve("data").toString(),
                        "--config",
                        folder.resolve("config").toString()));
            }
        } else {
            // What it needs was fetched for this build already.
            command.add("-o");
            String repository = System.getProperty("maven.repo.local");
            if (repository != null) {
                command.add("-Dmaven.repo.local=" + repository);
            }
        }
        Path out = Files.createTempFile(folder, "said", ".txt");
        Process process = new ProcessBuilder(command)
                .directory(in.toFile())
                .redirectErrorStream(true)
                .redirectOutput(out.toFile())
                .start();
        assertTrue(process.waitFor(3, TimeUnit.MINUTES), line);
        String text = Files.readString(out, StandardCharsets.UTF_8);
        assertEquals(0, process.exitValue(), line + "\n" + text);
        return text;
    }

    private void sameNumberEverywhere() throws IOException {
        JsonNode quantity = null;
        String text = "";
        for (String each : said) {
            if (each.startsWith("{")) {
                quantity = new ObjectMapper().readTree(each).path("blocks").path(0);
            } else if (each.startsWith("Time left")) {
                text = each;
            }
        }
        assertEquals("Still to come", quantity.path("label").asText());
        String number = Drawn.number(quantity.path("value").asDouble(), 0) + " min";
        assertTrue(text.contains("Still to come: " + number), number + " on the command line: " + text);
        String filed = paper(Files.readAllBytes(folder.resolve("command.pdf")));
        assertTrue(filed.contains("Still to come: " + number), number + " on paper: " + filed);

        page.navigate(server.address() + "/calculators");
        page.getByRole(AriaRole.LINK, new Page.GetByRoleOptions().setName("Time left"))
                .click();
        page.locator("select[name=run]")
                .selectOption(new com.microsoft.playwright.options.SelectOption()
                        .setLabel(page.locator("select[name=run] option")
                                .filter(new Locator.FilterOptions()
                                        .setHasText(Pattern.compile("^Weir, Slack Water(?! \\(over)")))
                                .first()
                                .textContent()));
        page.locator("input[name=sheets]").fill("20");
        page.getByText("Work it out").click();
        PlaywrightAssertions.assertThat(
                        page.locator("section.answer .quantity strong").first())
                .hasText(number);
        PlaywrightAssertions.assertThat(page.locator("section.answer svg.chart"))
                .isVisible();
        assertEquals(
                0,
                (Integer) page.evaluate("document.documentElement.scrollWidth - innerWidth"),
                "nothing is wider than the screen");
        String pdf = page.getByRole(
                        AriaRole.LINK,
                        new Page.GetByRoleOptions().setName("PDF").setExact(true))
                .getAttribute("href");
        byte[] paper = page.request().get(server.address() + pdf).body();
        String printed = paper(paper);
        assertTrue(printed.contains("Time left") && printed.contains("Still to come: " + number), printed);
    }

    private static String paper(byte[] pdf) throws IOException {
        try (PDDocument document = Loader.loadPDF(pdf)) {
            assertEquals("Time left", document.getDocumentInformation().getTitle());
            return new PDFTextStripper().getText(document).replaceAll("\\s+", " ");
        }
    }

    private void keptAndFoundAgain() {
        page.getByText("Keep this answer").click();
        page.waitForURL("**/thing/**");
        PlaywrightAssertions.assertThat(page.getByText("kept an answer on", new Page.GetByTextOptions())
                        .first())
                .isVisible();
        page.navigate(server.address() + "/calculators/time-left");
        page.getByText("Ask again").first().click();
        PlaywrightAssertions.assertThat(
                        page.locator("section.answer .quantity strong").first())
                .containsText("min");
        page.locator("section", new Page.LocatorOptions().setHasText("Kept before"))
                .locator("a")
                .first()
                .click();
        PlaywrightAssertions.assertThat(page.locator("pre.kept")).containsText("Minutes between one pull and the next");
    }

    /** A reading is proposed, written down with a tap, shown the next time, and still told when the plugin is gone. */
    private void entriesOfItsOwn(Studio studio) throws IOException {
        Path jar;
        try (Stream<Path> built = Files.list(EXAMPLES)) {
            jar = built.filter(each -> each.getFileName().toString().matches("slabside-plugin-examples-.*\\.jar"))
                    .findFirst()
                    .orElseThrow();
        }
        Path dropped = Files.copy(jar, studio.host().droppedIn().folder().resolve("examples.jar"));
        page.navigate(server.address() + "/plugins");
        page.locator("form", new Page.LocatorOptions().setHasText("examples.jar"))
                .locator("button")
                .click();
        PlaywrightAssertions.assertThat(page.getByText("plugin.paper-store.read"))
                .isVisible();
        for (String damp : List.of("48", "51")) {
            page.navigate(server.address() + "/calculators/paper-store");
            page.locator("input[name=humidity]").fill(damp);
            page.locator("input[name=temperature]").fill("66 °F");
            page.getByText("Work it out").click();
            page.getByText("Write it down").click();
            page.waitForURL("**/timeline");
            PlaywrightAssertions.assertThat(page.getByText("read the paper store: " + damp + " %RH at 18.9 °C"))
                    .isVisible();
        }
        page.navigate(server.address() + "/calculators/paper-store?humidity=50&temperature=20");
        PlaywrightAssertions.assertThat(
                        page.locator("section.answer .quantity strong").first())
                .hasText("2");
        Files.delete(dropped);
        page.navigate(server.address() + "/timeline");
        PlaywrightAssertions.assertThat(page.getByText("read the paper store: 48 %RH at 18.9 °C"))
                .isVisible();
        page.navigate(server.address() + "/calculators/paper-store");
        PlaywrightAssertions.assertThat(page.getByText("there are:")).isVisible();
    }
}
