package slabside.statistics;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class ReconciliationTest {
    private static List<String[]> rows(String name) throws IOException {
        try (InputStream in = ReconciliationTest.class.getResourceAsStream(name)) {
            List<String[]> rows = new ArrayList<>();
            new String(in.readAllBytes(), StandardCharsets.UTF_8)
                    .lines()
                    .skip(1)
                    .forEach(line -> rows.add(line.split(",", -1)));
            return rows;
        }
    }

    /** Six streams around four units; Narasimhan &amp; Jordache (2000), example with the network as published, 2 decimals. */
    @Test
    void the_published_flow_network_is_reconciled_to_its_printed_digits() throws IOException {
        Readings readings = new Readings();
        Map<String, Propagated> flow = new LinkedHashMap<>();
        List<String[]> rows = rows("reconciliation_nj2000.csv");
        for (String[] row : rows) {
            flow.put(row[0], readings.reading(row[0], Double.parseDouble(row[1]), Double.parseDouble(row[2])));
        }
        List<Propagated> residuals = List.of(
                flow.get("1").minus(flow.get("2")).minus(flow.get("3")),
                flow.get("2").minus(flow.get("4")),
                flow.get("3").minus(flow.get("5")),
                flow.get("4").plus(flow.get("5")).minus(flow.get("6")));
        Reconciliation result = Reconciliation.of(readings, residuals).orElseThrow();
        for (int i = 0; i < rows.size(); i++) {
            assertEquals(
                    Double.parseDouble(rows.get(i)[3]),
                    result.adjusted().get(i).reconciled(),
                    0.005,
                    "stream " + (i + 1));
        }
    }

    /** An invented ledger of two cans, a powder and a cup; values computed apart from this program (METHODS §9). */
    @ParameterizedTest
    @ValueSource(strings = {"clean", "add_B_slip", "canB_after_misread"})
    void the_ledger_of_weighings_is_reconciled_and_its_culprit_named(String name) throws IOException {
        Readings readings = new Readings();
        Map<String, Propagated> r = new LinkedHashMap<>();
        List<String[]> expected = rows("reconciliation_ledger.csv").stream()
                .filter(row -> row[0].equals(name))
                .toList();
        for (String[] row : expected) {
            if (!row[1].startsWith("GLOBAL")) {
                r.put(row[1], readings.reading(row[1], Double.parseDouble(row[2]), Double.parseDouble(row[3])));
            }
        }
        List<Propagated> residuals = List.of(
                r.get("A_before").minus(r.get("A_after")).minus(r.get("add_A")),
                r.get("B_before").minus(r.get("B_after")).minus(r.get("add_B")),
                r.get("M_before").minus(r.get("M_after")).minus(r.get("add_M")),
                r.get("add_A")
                        .plus(r.get("add_B"))
                        .plus(r.get("add_M"))
                        .plus(r.get("mix_tare"))
                        .minus(r.get("mix_gross")));
        Reconciliation result = Reconciliation.of(readings, residuals).orElseThrow();
        for (String[] row : expected) {
            if (row[1].startsWith("GLOBAL")) {
                assertEquals(Double.parseDouble(row[4]), result.chiSquare(), 1e-6 * Math.max(1, result.chiSquare()));
                assertEquals(Double.parseDouble(row[6]), result.p(), 5e-5);
                assertEquals(4, result.freedom());
                continue;
            }
            Reconciliation.Adjusted found = result.adjusted().stream()
                    .filter(a -> a.name().equals(row[1]))
                    .findFirst()
                    .orElseThrow();
            assertEquals(Double.parseDouble(row[4]), found.reconciled(), 1e-8, row[1]);
            assertEquals(Double.parseDouble(row[5]), found.u(), 1e-8, row[1]);
            assertEquals(Math.abs(Double.parseDouble(row[6])), Math.abs(found.z()), 1e-6, row[1]);
        }
        List<String> culprits =
                result.culprits().stream().map(Reconciliation.Adjusted::name).toList();
        switch (name) {
            case "clean" -> assertFalse(result.contradicts());
            case "add_B_slip" -> assertEquals(List.of("add_B"), culprits);
            default ->
                assertEquals(List.of("B_after", "B_before"), culprits, "two readings that stand only as a difference");
        }
    }

    /** The end gauge of JCGM 100:2008, H.1: length 50.000838 mm, combined standard uncertainty printed as 32 nm. */
    @Test
    void the_end_gauge_of_the_guide_has_its_length_and_uncertainty() {
        Readings readings = new Readings();
        Propagated standard = readings.reading("length of the standard, nm", 50_000_623, 25);
        Propagated difference = readings.reading("difference, nm", 215, 9.7);
        Propagated expansion = readings.reading("expansion of the standard, 1/K", 11.5e-6, 1.2e-6);
        Propagated expansionDifference = readings.reading("difference in expansion, 1/K", 0, 0.58e-6);
        Propagated offset = readings.reading("temperature off 20 °C, K", -0.1, 0.41);
        Propagated temperatureDifference = readings.reading("difference in temperature, K", 0, 0.029);
        Propagated length = standard.plus(difference)
                .minus(standard.times(expansionDifference.times(offset).plus(expansion.times(temperatureDifference))));
        assertEquals(50_000_838, length.value(), 0.5);
        assertEquals(31.71, length.u(readings), 0.01, "computed; printed as 32 nm");
    }

    /** Resistance and reactance from five sets of readings: JCGM 100:2008, H.2, table H.4; printed values from memory. */
    @Test
    void correlated_results_of_the_guide_keep_their_correlation() {
        double[] v = {5.007, 4.994, 5.005, 4.990, 4.999};
        double[] i = {19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3};
        double[] phi = {1.0456, 1.0438, 1.0468, 1.0428, 1.0433};
        // Five sets stand for fifteen readings; taken as independent readings whose means are what enters.
        Readings readings = new Readings();
        Propagated meanV = Propagated.ZERO;
        Propagated meanI = Propagated.ZERO;
        Propagated meanPhi = Propagated.ZERO;
        for (int k = 0; k < 5; k++) {
            meanV = meanV.plus(readings.reading("V" + k, v[k], deviation(v)).times(0.2));
            meanI = meanI.plus(readings.reading("I" + k, i[k], deviation(i)).times(0.2));
            meanPhi = meanPhi.plus(
                    readings.reading("phi" + k, phi[k], deviation(phi)).times(0.2));
        }
        assertEquals(127.73, meanV.over(meanI).value() * StrictMath.cos(meanPhi.value()), 0.01);
        assertEquals(0.0032, meanV.u(readings), 0.00005, "u(V) as printed in table H.2");
        assertEquals(0.0095e-3, meanI.u(readings), 0.00005e-3, "u(I) as printed in table H.2");
        assertEquals(0.00075, meanPhi.u(readings), 0.000005, "u(phi) as printed in table H.2");
    }

    private static double deviation(double[] values) {
        double mean = java.util.Arrays.stream(values).average().orElseThrow();
        double sum = java.util.Arrays.stream(values)
                .map(x -> (x - mean) * (x - mean))
                .sum();
        return StrictMath.sqrt(sum / (values.length - 1));
    }

    /** Fractions of a mix of three parts; closed form and Monte Carlo (METHODS §8). */
    @ParameterizedTest
    @CsvSource({"0, 0.0009687167886801441", "1, 0.0009600281953294299", "2, 0.00048492911331175244"})
    void the_fraction_of_a_mix_has_the_uncertainty_of_the_closed_form(int part, double expected) {
        Readings readings = new Readings();
        Propagated[] mass = {
            readings.reading("a", 24.83, 0.05), readings.reading("b", 12.62, 0.05), readings.reading("c", 2.31, 0.02)
        };
        Propagated whole = mass[0].plus(mass[1]).plus(mass[2]);
        assertEquals(expected, mass[part].over(whole).u(readings), expected * 1e-10);
    }

    @Test
    void a_number_used_twice_is_not_counted_twice() {
        Readings readings = new Readings();
        Propagated a = readings.reading("a", 3, 0.1);
        assertEquals(0, a.minus(a).u(readings), 0);
        assertEquals(0.6, a.times(a).u(readings), 1e-12);
        assertEquals(0.01, a.covariance(a, readings), 1e-12);
        assertEquals(0, a.over(a).u(readings), 1e-15);
    }

    @Test
    void nothing_weighed_twice_gives_nothing_to_reconcile() {
        assertTrue(Reconciliation.of(new Readings(), List.of()).isEmpty());
        assertTrue(
                Reconciliation.of(new Readings(), List.of(Propagated.exact(1))).isEmpty());
    }
}
