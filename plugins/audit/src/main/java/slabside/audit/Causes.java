package slabside.audit;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/** What may change a run and how it is weighed, read from {@code causes.csv}: assumptions, all in one file. */
final class Causes {
    /**
     * A kind of cause.
     *
     * @param weight how often it is at fault, against the others
     * @param lags chance that it shows at the first pull after it, the second, and so on
     * @param remedy what to try, reversible first
     */
    record Kind(String type, String called, double weight, double[] lags, String remedy) {}

    static final String OTHER_INK = "other ink";
    static final String OVER_CHARGED = "over-charged";
    static final String BEGINNING = "beginning";
    static final String DRIFT = "drift";
    /** What makes slab and roller as they were at the beginning. */
    static final Set<String> RESETS = Set.of("ink.washed-up", "ink.scraped-down", "press.run-started");

    private static final Map<String, Kind> KINDS = read();

    private Causes() {}

    static Optional<Kind> of(String type) {
        return Optional.ofNullable(KINDS.get(type));
    }

    private static Map<String, Kind> read() {
        Map<String, Kind> kinds = new LinkedHashMap<>();
        try (InputStream in = Causes.class.getResourceAsStream("causes.csv")) {
            if (in == null) {
                throw new IllegalStateException("causes.csv is missing from the plugin");
            }
            new String(in.readAllBytes(), StandardCharsets.UTF_8)
                    .lines()
                    .filter(line -> !line.startsWith("#") && !line.startsWith("type|"))
                    .map(line -> line.split("\\|"))
                    .forEach(cells -> kinds.put(
                            cells[0],
                            new Kind(
                                    cells[0],
                                    cells[1],
                                    Double.parseDouble(cells[2]),
                                    Arrays.stream(cells[3].split(";"))
                                            .mapToDouble(Double::parseDouble)
                                            .toArray(),
                                    cells[4])));
        } catch (IOException broken) {
            throw new UncheckedIOException(broken);
        }
        return kinds;
    }
}
