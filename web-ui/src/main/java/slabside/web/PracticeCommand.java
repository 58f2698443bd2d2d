package slabside.web;

import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.util.List;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import slabside.demo.Demo;
import slabside.studio.Studio;
import slabside.studio.WholeFolder;

/** Does what a start does, in a studio that is thrown away, so that the JDK learns which classes one needs. */
@Command(name = "practice", hidden = true, description = "Starts once for practice.")
final class PracticeCommand implements Callable<Integer> {
    private static final List<String> PAGES =
            List.of("/today", "/bench", "/press", "/timeline", "/shelf", "/editions", "/calculators");

    @Override
    public Integer call() throws IOException, InterruptedException {
        Path folder = Files.createTempDirectory("slabside-practice-");
        Path data = folder.resolve("data");
        Path config = folder.resolve("config");
        Clock clock = Clock.systemDefaultZone();
        try {
            Demo.write(data, config, LocalDate.now(clock), clock.getZone());
            try (Studio studio = Studio.open(data, config, clock);
                    ServedPages pages = ServedPages.of(studio)) {
                HttpClient http = HttpClient.newHttpClient();
                for (String page : PAGES) {
                    http.send(
                            HttpRequest.newBuilder(URI.create(pages.address() + page))
                                    .build(),
                            HttpResponse.BodyHandlers.discarding());
                }
            }
            return 0;
        } finally {
            WholeFolder.delete(folder);
        }
    }
}
