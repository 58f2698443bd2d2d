package slabside.body;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.TreeSet;
import java.util.function.DoubleUnaryOperator;
import java.util.function.ToDoubleFunction;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVRecord;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import slabside.measure.BadInput;

/**
 * Values of the relations of body, rollers and amounts. Each row of {@code checks.csv} has its source and its kind: computed (by two
 * independent ways), read, memory, or common practice; a failure tells both.
 */
class BodyChecksTest {
    /** A row: what goes in, by name. */
    record Row(
            String id,
            String relation,
            Map<String, double[]> in,
            Map<String, String> words,
            double expected,
            double tolerance,
            String source,
            String kind) {
        double at(String name) {
            return Objects.requireNonNull(in.get(name), id + " has no " + name)[0];
        }

        double[] all(String name) {
            return Objects.requireNonNull(in.get(name), id + " has no " + name);
        }

        Spread spread() {
            return new Spread(at("loadKg"), at("volumeM3"));
        }

        FlowCurve curve() {
            return new FlowCurve(all("shearRate"), all("stressPa"));
        }

        Rolling rolling() {
            return new Rolling(
                    at("slabM2"),
                    at("rollerM2"),
                    at("imageM2"),
                    (int) at("slabRevs"),
                    (int) at("stonePasses"),
                    at("paperSplit"));
        }

        @Override
        public String toString() {
            return id + ": " + relation + "; " + kind + ", " + source;
        }
    }

    private static final Map<String, ToDoubleFunction<Row>> RELATIONS = new LinkedHashMap<>();

    private static void by(String prefix, ToDoubleFunction<Row> relation) {
        RELATIONS.put(prefix, relation);
    }

    static {
        by("SPREAD-YC", row -> row.spread().yieldWithEdge(row.at("diameterM")));
        by("SPREAD-Y", row -> row.spread().yieldAtRest(row.at("diameterM")));
        by("SPREAD-V", row -> row.spread().viscosity(0, row.at("diameterM"), row.at("timeS")));
        by("SPREAD-F", row -> row.spread().diameter(row.at("etaPaS"), row.at("d0M"), row.at("timeS")));
        by("SPREAD-RN", row -> new Spread(0.1, 5e-7).diameter(50, 0, 100) / new Spread(0.1, 5e-7).diameter(50, 0, 10));
        by("SPREAD-N", row -> Spread.flowIndex(row.at("d10M"), row.at("d100M")));
        by(
                "SPREAD-K",
                row -> row.spread()
                        .consistency(Spread.flowIndex(row.at("d10M"), row.at("d100M")), row.at("d100M"), 100));
        by("JIS-S", row -> Spread.slope(row.at("d10mm"), row.at("d100mm")));
        by("JIS-I", row -> Spread.intercept(row.at("d10mm"), row.at("d100mm")));
        by("SPREAD-G", row -> Squeeze.force(row.at("lambda")));
        by("SPREAD-B", row -> row.spread().bingham(row.at("tauPa"), row.at("etaPaS"), row.at("h0M"), row.at("timeS")));
        by("SLUMP-F", row -> Standing.slump(row.at("tauPrime")));
        by("SLUMP-I", row -> Standing.yieldOfSlump(row.at("rho"), row.at("heightM"), row.at("slumpM")));
        by("SLUMP-A", row -> Standing.yieldOfSlumpShort(row.at("rho"), row.at("heightM"), row.at("slumpM")));
        by("POOL", row -> Standing.yieldOfPool(row.at("rho"), row.at("volumeM3"), row.at("radiusM")));
        by("RIDGE-T", row -> Standing.leastOfRidge(row.at("rho"), row.at("heightM")));
        by("RIDGE-M", row -> Standing.leastOfRidgeMises(row.at("rho"), row.at("heightM")));
        by("SLOPE", row -> Standing.yieldOfSlope(row.at("rho"), row.at("thicknessM"), row.at("angleDeg")));
        by("FIT-B1", row -> row.curve().bingham().yield());
        by("FIT-B2", row -> row.curve().bingham().viscosity());
        by("FIT-BS", row -> row.curve().bingham().shortness());
        by("FIT-BL", row -> row.curve().bingham().length());
        by("FIT-C1", row -> row.curve().casson().yield());
        by("FIT-C2", row -> row.curve().casson().viscosity());
        by("FIT-P1", row -> row.curve().power().index());
        by("FIT-P2", row -> row.curve().power().consistency());
        by("FIT-P3", row -> row.curve().power().viscosityAt(2_500));
        by("FIT-P4", row -> row.curve().power().stressAt(2.5));
        by("FIT-P5", row -> row.curve().power().shortness());
        by("SHORT", row -> FlowCurve.shortness(row.at("N")));
        by("CASSON", row -> FlowCurve.casson(row.at("yieldPa"), row.at("etaPaS"), row.at("rate")));
        by("THREAD", row -> Pull.secondsOfThread(row.at("r0M"), row.at("etaPaS"), row.at("gamma")));
        by("DRIP", row -> Pull.lengthOfDrip(row.at("yieldPa"), row.at("rho")));
        by("STEFAN", row -> Pull.secondsApart(row.at("etaPaS"), row.at("radiusM"), row.at("filmM"), row.at("pullN")));
        by("PHI", row -> Filling.ofVolume(row.at("massFraction"), row.at("fillerDensity"), row.at("inkDensity")));
        by("EIN", row -> Filling.einstein(row.at("phi")));
        by("KD", row -> Filling.kriegerDougherty(row.at("phi"), row.at("phiMax")));
        by("MP", row -> Filling.maronPierce(row.at("phi"), row.at("phiMax")));
        by("COT", row -> Filling.yield(row.at("phi"), row.at("phiMax")));
        by(
                "LINK",
                row -> line(row, part -> Filling.kriegerDougherty(part, Filling.DENSEST))
                        .slope());
        by(
                "LINY-Chateau",
                row -> line(row, part -> Filling.yield(part, Filling.DENSEST_YIELD))
                        .off());
        by("LINY-phi^4", row -> line(row, part -> StrictMath.pow(part, 4)).off());
        by(
                "LIN-",
                row -> line(row, part -> Filling.kriegerDougherty(part, Filling.DENSEST))
                        .off());
        by("REF-B", row -> Blending.refutas(row.at("v1"), row.at("v2"), row.at("x1")));
        by("REF-", row -> Blending.blendingNumber(row.at("vCst")));
        by("LOG-B", row -> Blending.logarithmic(row.at("v1"), row.at("v2"), row.at("x1"), 0));
        by("GN-", row -> Blending.logarithmic(row.at("eta1"), row.at("eta2"), row.at("x1"), row.at("G")));
        by("WALB", row -> Blending.waltherSlope(row.at("t1C"), row.at("v1Cst"), row.at("t2C"), row.at("v2Cst")));
        by(
                "WAL-",
                row -> Blending.walther(row.at("t1C"), row.at("v1Cst"), row.at("t2C"), row.at("v2Cst"), row.at("tC")));
        by("ARR-K", row -> Blending.coefficient(row.at("E"), row.at("tC")));
        by("ARR-F", row -> Blending.factor(row.at("E"), row.at("t1C"), row.at("t2C")));
        by("ARR-LIN", row -> Blending.coefficient(row.at("eta30"), row.at("eta50"), 20));
        by("MIL-K", row -> Films.MILEAGE);

        by("MIL-", row -> Films.ofMileage(row.at("sqInPerLb")));
        by("FILM", row -> Films.weight(row.at("filmUm"), row.at("density")));
        by(
                "NEED",
                row -> Films.need(
                        row.at("imageM2"),
                        row.at("coverage"),
                        (int) row.at("pulls"),
                        row.at("gPerM2"),
                        StrictMath.PI * row.at("rollerD") * row.at("rollerW"),
                        row.at("slabM2"),
                        Films.weight(row.at("rollerUm"), row.at("density")),
                        row.at("residueG")));
        by("WF", row -> Films.takenUp(row.at("x"), row.at("k"), row.at("b"), row.at("f")));
        by("REV", row -> Rolling.turns(row.at("lengthM"), row.at("diameterM")));
        by("PASS", row -> Rolling.afterPasses(row.at("rollerUm"), row.at("p0Um"), (int) row.at("passes"), row.at("f")));
        by(
                "DEPL-P",
                row -> Rolling.depleted(
                        row.at("rollerUm"), row.at("stoneUm"), row.at("areaRatio"), (int) row.at("passes"))[0]);
        by(
                "DEPL-R",
                row -> Rolling.depleted(
                        row.at("rollerUm"), row.at("stoneUm"), row.at("areaRatio"), (int) row.at("passes"))[1]);
        by("CYC-P", row -> steady(row).printed());
        by("CYC-R", row -> steady(row).roller());
        by("CYC-SEQ", BodyChecksTest::printed);
        by("CYC-S", row -> steady(row).slab());
        by("CYC-L", row -> row.rolling().memory());
        by("CYC-N", row -> row.rolling().pullsToSettle());
        by("BLEND-V", row -> BlendRoll.spread(row.at("sigma0Mm"), (int) row.at("strokes"), row.at("amplitudeMm")));
        by(
                "BLEND-W",
                row -> BlendRoll.width(
                        BlendRoll.spread(row.at("sigma0Mm"), (int) row.at("strokes"), row.at("amplitudeMm"))));
        by("BLEND-U", row -> BlendRoll.spreadByChance(0, (int) row.at("strokes"), row.at("amplitudeMm")));
        by(
                "DRIFT-S",
                row -> BlendRoll.steady(
                        StrictMath.sqrt(row.at("v0Mm2")),
                        (int) row.at("strokesPerPull"),
                        row.at("amplitudeMm"),
                        row.at("refreshFraction")));
        by(
                "DRIFT-U",
                row -> BlendRoll.afterPulls(
                        StrictMath.sqrt(row.at("v0Mm2")),
                        (int) row.at("strokesPerPull"),
                        row.at("amplitudeMm"),
                        0,
                        (int) row.at("pulls")));
        by(
                "DRIFT-",
                row -> BlendRoll.afterPulls(
                        StrictMath.sqrt(row.at("v0Mm2")),
                        (int) row.at("strokesPerPull"),
                        row.at("amplitudeMm"),
                        row.at("refreshFraction"),
                        (int) row.at("pulls")));
        by("Q10", row -> Films.hoursToDry(row.at("t0H"), row.at("T0C"), row.at("TC"), row.at("Q10")));
        by("UNC-S", row -> Films.shareApart(row.at("m1G"), row.at("m2G"), row.at("resolutionG")));
        by("UNC-C", row -> Films.shareInOneCup(row.at("m1G"), row.at("m2G"), row.at("resolutionG")));
        by("UNC-T", row -> Spread.uncertainty(row.at("uF"), row.at("uV"), row.at("uD")));
    }

    /** Facts that no relation of ours computes: limits of dusts, densities, gains of drying oils, doses, readings of one ink. */
    private static final List<String> FACTS =
            List.of("OXY", "GAIN", "DENSG", "QUAM", "PEL", "DENS-", "DRIER", "MIL-READ");

    private static Filling.Line line(Row row, DoubleUnaryOperator law) {
        return Filling.line(law, row.at("fillerDensity"), row.at("oilAbsorptionGperG"), row.at("phi0"), 0.08);
    }

    private static Rolling.State steady(Row row) {
        return row.rolling().steady(row.rolling().feed(row.at("feedCm3")));
    }

    private static double printed(Row row) {
        Rolling rolling = row.rolling();
        Rolling.State state = new Rolling.State(8, 8, 0, 0);
        for (int pull = 0; pull < row.at("n"); pull++) {
            state = rolling.next(state, rolling.feed(row.at("feedCm3")));
        }
        return state.printed();
    }

    private static final Pattern FIELD = Pattern.compile("\"([A-Za-z0-9]+)\":(\\[[^\\]]*\\]|\"[^\"]*\"|[-+0-9.eE]+)");

    static Stream<Row> rows() throws IOException {
        try (BufferedReader reader = new BufferedReader(new InputStreamReader(
                Objects.requireNonNull(BodyChecksTest.class.getResourceAsStream("checks.csv")),
                StandardCharsets.UTF_8))) {
            return CSVFormat.RFC4180
                    .builder()
                    .setHeader()
                    .setSkipHeaderRecord(true)
                    .get()
                    .parse(reader)
                    .getRecords()
                    .stream()
                    .map(BodyChecksTest::row);
        }
    }

    private static Row row(CSVRecord cells) {
        Map<String, double[]> in = new HashMap<>();
        Map<String, String> words = new HashMap<>();
        Matcher field = FIELD.matcher(cells.get(2));
        while (field.find()) {
            String value = field.group(2);
            if (value.startsWith("\"")) {
                words.put(field.group(1), value.replace("\"", ""));
            } else {
                in.put(
                        field.group(1),
                        Arrays.stream(value.replaceAll("[\\[\\]]", "").split(","))
                                .mapToDouble(Double::parseDouble)
                                .toArray());
            }
        }
        return new Row(
                cells.get(0),
                cells.get(1),
                in,
                words,
                Double.parseDouble(cells.get(3)),
                Double.parseDouble(cells.get(5)),
                cells.get(6),
                cells.get(7));
    }

    static Stream<Row> computed() throws IOException {
        return rows().filter(row -> FACTS.stream().noneMatch(row.id()::startsWith));
    }

    @ParameterizedTest
    @MethodSource("computed")
    void a_relation_gives_its_value(Row row) {
        ToDoubleFunction<Row> relation = RELATIONS.entrySet().stream()
                .filter(each -> row.id().startsWith(each.getKey()))
                .findFirst()
                .orElseThrow(() -> new AssertionError("no relation for " + row))
                .getValue();
        double got = relation.applyAsDouble(row);
        assertEquals(row.expected(), got, Math.max(Math.abs(row.expected()) * row.tolerance(), 1e-12), row.toString());
    }

    @Test
    void every_row_is_a_relation_or_a_fact() throws IOException {
        TreeSet<String> unknown = new TreeSet<>();
        rows().map(Row::id)
                .filter(id -> RELATIONS.keySet().stream().noneMatch(id::startsWith))
                .filter(id -> FACTS.stream().noneMatch(id::startsWith))
                .forEach(unknown::add);
        assertEquals(new TreeSet<String>(), unknown);
        assertTrue(computed().count() > 260, "rows computed: " + computed().count());
    }

    /** Two readings of a disc of an ink that yields and then flows tell both again. */
    @Test
    void a_yielding_ink_is_known_again_by_two_diameters() {
        Spread spread = new Spread(0.115, 5e-7);
        for (double[] ink : new double[][] {{20, 20}, {50, 50}, {100, 20}}) {
            double early = spread.bingham(ink[0], ink[1], 0.005, 10);
            double late = spread.bingham(ink[0], ink[1], 0.005, 100);
            Spread.Bingham found = spread.bingham(early, 10, late, 100, 0.005);
            assertEquals(ink[0], found.yield(), 0.001 * ink[0]);
            assertEquals(ink[1], found.viscosity(), 0.002 * ink[1]);
        }
        assertThrows(BadInput.class, () -> spread.bingham(0.03, 10, 0.029, 100, 0.005));
        assertThrows(BadInput.class, () -> spread.bingham(0.01, 10, 0.06, 100, 0.005));
    }

    @Test
    void what_cannot_be_is_refused_by_name() {
        assertThrows(BadInput.class, () -> new Spread(0, 5e-7));
        assertThrows(BadInput.class, () -> new Spread(0.1, Double.NaN));
        assertThrows(BadInput.class, () -> new Spread(0.1, 5e-7).yieldAtRest(0));
        assertThrows(BadInput.class, () -> new Spread(0.1, 5e-7).viscosity(0.03, 0.02, 60));
        assertThrows(BadInput.class, () -> Spread.flowIndex(0.03, 0.02));
        assertThrows(BadInput.class, () -> Spread.flowIndex(0.01, 0.05));
        assertThrows(BadInput.class, () -> Standing.slump(0.6));
        assertThrows(BadInput.class, () -> Standing.yieldOfSlump(1050, 0.02, 0.03));
        assertThrows(BadInput.class, () -> Standing.yieldOfSlope(1050, 0.002, 120));
        assertThrows(BadInput.class, () -> new FlowCurve(new double[] {1, 1}, new double[] {2, 2}));
        assertThrows(BadInput.class, () -> Filling.ofVolume(1.2, 2, 1));
        assertThrows(BadInput.class, () -> Filling.kriegerDougherty(0.64, 0.64));
        assertThrows(BadInput.class, () -> new Rolling(0.1, 0.5, 0.1, 1, 1, 0.5));
        assertThrows(BadInput.class, () -> new Rolling(0.1, 0.1, 0.1, 0, 1, 0.5));
        assertThrows(BadInput.class, () -> Rolling.turns(0.5, 0));
        assertThrows(BadInput.class, () -> Films.need(0.1, 1.2, 10, 2, 0.1, 0.1, 8, 3));
        assertThrows(BadInput.class, () -> BlendRoll.steady(0, 2, 3, 0));
    }
}
