package slabside.colour;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Objects;
import java.util.function.Predicate;

/** Reads the published tables beside this class. */
final class Tables {
    private Tables() {}

    /** The rows of a table, without its source line and its head. */
    static List<String[]> rows(String file) {
        try (InputStream in = Objects.requireNonNull(Tables.class.getResourceAsStream(file), file);
                BufferedReader reader = new BufferedReader(new InputStreamReader(in, StandardCharsets.UTF_8))) {
            return reader.lines()
                    .filter(Predicate.not(line -> line.startsWith("#")))
                    .skip(1)
                    .map(line -> line.split(","))
                    .toList();
        } catch (IOException failed) {
            throw new UncheckedIOException(failed);
        }
    }

    /** A column of the bands from 380 to 730 nm, where the wavelength stands in column {@code nm}. */
    static double[] column(List<String[]> rows, int nm, int column) {
        double[] values = new double[Bands.COUNT];
        for (String[] row : rows) {
            int band = (Integer.parseInt(row[nm]) - Bands.FIRST) / Bands.STEP;
            if (Integer.parseInt(row[nm]) >= Bands.FIRST && band < Bands.COUNT) {
                values[band] = Double.parseDouble(row[column]);
            }
        }
        return values;
    }
}
