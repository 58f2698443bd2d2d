package slabside.bench;

import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import slabside.log.LogTrouble;
import slabside.log.Prepared;

/** Asks for pages of every kind, each several times, and for the slowest query that any of them waited for. */
final class PagesTimed {
    private static final int ASKED = 5;
    private static final int SLOWEST = 3;

    private final String address;
    private final HttpClient http =
            HttpClient.newBuilder().followRedirects(HttpClient.Redirect.NORMAL).build();

    PagesTimed(String address) {
        this.address = address;
    }

    /**
     * The slowest first.
     *
     * @param pages paths, by the shortest of several times
     * @param queries statements, by the shortest of the times that they took for a page
     */
    record Times(List<Map.Entry<String, Long>> pages, List<Map.Entry<String, Long>> queries) {}

    Times measure(List<String> paths) {
        Map<String, Long> queries = new LinkedHashMap<>();
        Map<String, Long> pages = new LinkedHashMap<>();
        try {
            for (String path : paths) {
                Map<String, Long> ofPage = new LinkedHashMap<>();
                for (int i = 0; i < ASKED; i++) {
                    Map<String, Long> now = new ConcurrentHashMap<>();
                    Prepared.watch((sql, nanos) -> now.merge(sql, nanos, Math::max));
                    long start = System.nanoTime();
                    get(path);
                    pages.merge(path, System.nanoTime() - start, Math::min);
                    now.forEach((sql, nanos) -> ofPage.merge(sql, nanos, Math::min));
                }
                ofPage.forEach((sql, nanos) -> queries.merge(sql, nanos, Math::max));
            }
        } finally {
            Prepared.watch(null);
        }
        return new Times(slowest(pages), slowest(queries));
    }

    private static List<Map.Entry<String, Long>> slowest(Map<String, Long> times) {
        return times.entrySet().stream()
                .sorted(Map.Entry.<String, Long>comparingByValue().reversed())
                .limit(SLOWEST)
                .toList();
    }

    void get(String path) {
        try {
            HttpResponse<String> answer = http.send(
                    HttpRequest.newBuilder(URI.create(address + path)).build(), HttpResponse.BodyHandlers.ofString());
            if (answer.statusCode() != 200) {
                throw new LogTrouble(path + " answered " + answer.statusCode() + ": " + answer.body());
            }
        } catch (IOException failed) {
            throw new LogTrouble(path + " did not answer: " + failed.getMessage(), failed);
        } catch (InterruptedException stopped) {
            Thread.currentThread().interrupt();
            throw new LogTrouble("the bench was stopped", stopped);
        }
    }
}
