package slabside.statistics;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.List;

/** Tables of the test resources; SOURCES.md beside them says where each comes from. */
final class Published {
    private Published() {}

    static List<String[]> rows(String name) {
        try (InputStream in = Published.class.getResourceAsStream(name)) {
            return new String(in.readAllBytes(), StandardCharsets.UTF_8)
                    .lines()
                    .skip(1)
                    .filter(line -> !line.isBlank())
                    .map(line -> Arrays.stream(line.split(",", -1))
                            .map(cell -> cell.replace("\"", "").strip())
                            .toArray(String[]::new))
                    .toList();
        } catch (IOException missing) {
            throw new IllegalStateException(name, missing);
        }
    }

    static double[] column(String name, int column) {
        return rows(name).stream()
                .mapToDouble(row -> Double.parseDouble(row[column]))
                .toArray();
    }

    static int[] counts(String name, int column) {
        return Arrays.stream(column(name, column))
                .mapToInt(value -> (int) value)
                .toArray();
    }

    /** One of the expected values. */
    static double value(String key) {
        return rows("expected_values.csv").stream()
                .filter(row -> row[0].equals(key))
                .mapToDouble(row -> Double.parseDouble(row[1]))
                .findFirst()
                .orElseThrow(() -> new IllegalStateException("no value " + key));
    }
}
