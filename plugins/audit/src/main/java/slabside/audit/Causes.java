package slabside.audit;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/**
 * What may change a run and how it is weighed, read from {@code causes.csv}, and what signs of trouble ask for, from {@code
 * faults.csv}: assumptions and common practice, each in one file.
 */
final class Causes {
    /**
     * A kind of cause.
     *
     * @param weight how often it is at fault, against the others
     * @param lags chance that it shows at the first pull after it, the second, and so on
     * @param counterTest what would show that it was not this
     * @param remedy what to try, reversible first
     */
    record Kind(String type, String called, double weight, double[] lags, String counterTest, String remedy) {
        /** Whether it comes on slowly, so that no pull is the first. */
        boolean gradual() {
            return type.equals(DRIFT) || type.equals(ROOM);
        }
    }

    /**
     * A sign of trouble.
     *
     * @param rules of the trade that may explain it
     * @param steps to try, reversible first
     */
    record Fault(String sign, List<String> rules, List<String> steps) {}

    static final String OTHER_INK = "other ink";
    static final String OTHER_LOT = "other lot";
    static final String OVER_CHARGED = "over-charged";
    static final String ROOM = "room";
    static final String BEGINNING = "beginning";
    static final String DRIFT = "drift";
    /** What makes slab and roller as they were at the beginning. */
    static final Set<String> RESETS = Set.of("ink.washed-up", "ink.scraped-down", "press.run-started");

    private static final Map<String, Kind> KINDS = new LinkedHashMap<>();
    private static final Map<String, Fault> FAULTS = new LinkedHashMap<>();

    static {
        for (String[] cells : rows("causes.csv", 6)) {
            double[] lags = Arrays.stream(cells[3].split(";"))
                    .mapToDouble(Double::parseDouble)
                    .toArray();
            KINDS.put(cells[0], new Kind(cells[0], cells[1], Double.parseDouble(cells[2]), lags, cells[4], cells[5]));
        }
        for (String[] cells : rows("faults.csv", 3)) {
            FAULTS.put(cells[0], new Fault(cells[0], parts(cells[1], ","), parts(cells[2], ">")));
        }
    }

    private Causes() {}

    static Optional<Kind> of(String type) {
        return Optional.ofNullable(KINDS.get(type));
    }

    /** One that the program itself relies on. */
    static Kind known(String type) {
        return of(type).orElseThrow(() -> new IllegalStateException("causes.csv has no line for " + type));
    }

    static Optional<Fault> fault(String sign) {
        return Optional.ofNullable(FAULTS.get(sign));
    }

    private static List<String> parts(String cell, String between) {
        return Arrays.stream(cell.split(between))
                .map(String::strip)
                .filter(part -> !part.isEmpty())
                .toList();
    }

    private static List<String[]> rows(String file, int cells) {
        try (InputStream in = Causes.class.getResourceAsStream(file)) {
            if (in == null) {
                throw new IllegalStateException(file + " is missing from the plugin");
            }
            List<String[]> rows = new String(in.readAllBytes(), StandardCharsets.UTF_8)
                    .lines()
                    .filter(line -> !line.isBlank() && !line.startsWith("#"))
                    .skip(1)
                    .map(line -> line.split("\\|", -1))
                    .toList();
            for (String[] row : rows) {
                if (row.length != cells) {
                    throw new IllegalStateException(
                            file + ": the line of “" + row[0] + "” has " + row.length + " cells, not " + cells);
                }
            }
            return rows;
        } catch (IOException broken) {
            throw new UncheckedIOException(broken);
        }
    }
}
