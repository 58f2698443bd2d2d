package slabside.swatch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.math.BigDecimal;
import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.Test;
import slabside.kit.MadeUpStudio;
import slabside.kit.PluginCheck;
import slabside.measure.Lab;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;
import slabside.plugin.Upload;

/**
 * Files as instruments save them. Keywords and elements are those of ISO 28178 and ISO 17972-1 (from memory; the standards
 * themselves were not at hand); the files are made up here.
 */
class ReadingsFileTest {
    private static final StudioView.Material BLUE = new StudioView.Material("blue", "blue", "ink", "#0072a8");

    private static String waves(String before, String after, int from, int to, int step, String between) {
        return IntStream.iterate(from, nm -> nm <= to, nm -> nm + step)
                .mapToObj(nm -> before + nm + after)
                .collect(Collectors.joining(between));
    }

    private static String values(int many, String value, String between) {
        return IntStream.range(0, many).mapToObj(any -> value).collect(Collectors.joining(between));
    }

    private static FileRead read(String text) {
        return FileRead.of(text.getBytes(StandardCharsets.UTF_8));
    }

    private static Sample only(FileRead read) {
        assertEquals(List.of(), read.troubles());
        assertEquals(1, read.samples().size(), read.samples().toString());
        return read.samples().get(0);
    }

    private static final String CGATS = """
            CGATS.17
            # made up
            ORIGINATOR "a table"
            INSTRUMENTATION "an instrument"
            MEASUREMENT_SOURCE "Illumination=D50 ObserverAngle=2 WhiteBase=Abs Filter=no"
            SAMPLE_BACKING "white"
            NUMBER_OF_FIELDS %d
            BEGIN_DATA_FORMAT
            SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B %s
            END_DATA_FORMAT
            NUMBER_OF_SETS 1
            BEGIN_DATA
            1 "tint, ""thin"" # 1" 62.5 -10.25 -31 %s
            END_DATA
            """;

    @Test
    void text_of_iso_28178() {
        Sample sample = only(
                read(CGATS.formatted(41, waves("SPECTRAL_NM", "", 380, 730, 10, " "), values(36, "0.1250", "\t"))));
        assertEquals("tint, \"thin\" # 1", sample.name());
        assertEquals(13, sample.line());
        assertEquals(380, sample.spectrum().orElseThrow().startNm());
        assertEquals(10, sample.spectrum().orElseThrow().stepNm());
        assertEquals(36, sample.spectrum().orElseThrow().values().size());
        assertEquals(
                new BigDecimal("0.1250"),
                sample.spectrum().orElseThrow().values().get(35),
                "no digit is lost");
        assertEquals(
                new Lab(new BigDecimal("62.5"), new BigDecimal("-10.25"), new BigDecimal("-31")),
                sample.lab().orElseThrow());
        assertEquals(new Sample.Conditions("an instrument", "", "D50", "2°", "white"), sample.how());
    }

    /** Percentages or parts: no heading says so reliably, the values of the whole file do. */
    @Test
    void percentages_are_told_by_a_value_above_two() {
        String heading = "name;" + waves("", " nm", 400, 700, 10, ";") + "\n";
        FileRead read = read(heading + "paper;" + values(31, "85,5", ";") + "\nblack;" + values(31, "1,5", ";") + "\n");
        assertEquals(List.of(), read.troubles());
        assertEquals(
                new BigDecimal("0.855"),
                read.samples().get(0).spectrum().orElseThrow().values().get(0));
        assertEquals(
                new BigDecimal("0.015"),
                read.samples().get(1).spectrum().orElseThrow().values().get(0));
        assertTrue(read.remarks().toString().contains("percentages"));
        assertTrue(read(heading + "black;" + values(31, "0,015", ";"))
                .remarks()
                .toString()
                .contains("parts"));
    }

    @Test
    void xml_of_iso_17972() {
        String xml = """
                <?xml version="1.0" encoding="UTF-8"?>
                <cc:CxF xmlns:cc="http://colorexchangeformat.com/CxF3-core">
                <cc:Resources><cc:ObjectCollection>
                <cc:Object ObjectType="Target" Name="no reading" Id="0"/>
                <cc:Object ObjectType="Standard" Name="blau &amp; dünn" Id="1"><cc:ColorValues>
                <cc:ReflectanceSpectrum ColorSpecification="CS1" StartWL="400">%s</cc:ReflectanceSpectrum>
                <cc:ColorCIELab ColorSpecification="CS2"><cc:L>62.5</cc:L><cc:A>-10</cc:A><cc:B>-31</cc:B></cc:ColorCIELab>
                </cc:ColorValues></cc:Object>
                </cc:ObjectCollection><cc:ColorSpecificationCollection>
                <cc:ColorSpecification Id="CS1"><cc:MeasurementSpec>
                <cc:GeometryChoice><cc:SingleAngle><cc:IlluminationAngle>45</cc:IlluminationAngle>
                <cc:MeasurementAngle>0</cc:MeasurementAngle></cc:SingleAngle></cc:GeometryChoice>
                <cc:WavelengthRange StartWL="400" Increment="20"/><cc:Device><cc:Model>one</cc:Model></cc:Device>
                </cc:MeasurementSpec></cc:ColorSpecification>
                <cc:ColorSpecification Id="CS2"><cc:TristimulusSpec><cc:Illuminant>D65</cc:Illuminant>
                <cc:Observer>10_Degree</cc:Observer></cc:TristimulusSpec></cc:ColorSpecification>
                </cc:ColorSpecificationCollection></cc:Resources></cc:CxF>
                """.formatted(values(16, "0.25", " "));
        FileRead read = read(xml);
        assertEquals(List.of(), read.troubles());
        assertEquals(2, read.samples().size());
        Sample spectrum = read.samples().get(0);
        assertEquals("blau & dünn", spectrum.name());
        assertEquals(20, spectrum.spectrum().orElseThrow().stepNm());
        assertEquals("45/0", spectrum.how().geometry());
        assertEquals("one", spectrum.how().instrument());
        Sample lab = read.samples().get(1);
        assertEquals("D65", lab.how().illuminant());
        assertEquals("10°", lab.how().observer());
        // L*a*b* of another light is not proposed; its spectrum is.
        Answer answer = ask(xml, "of", "blue");
        assertEquals(1, entries(answer).size());
        assertTrue(answer.blocks().toString().contains("set it to D50 and 2°"), answer.toString());
    }

    /** Nothing outside the file is read, and no bomb of entities goes off. */
    @Test
    void xml_with_a_document_type_is_refused() {
        FileRead read = read("<!DOCTYPE x [<!ENTITY e SYSTEM \"file:///etc/passwd\">]><CxF><Object Name=\"a\">"
                + "<ColorCIELab><L>&e;</L></ColorCIELab></Object></CxF>");
        assertEquals(List.of(), read.samples());
        assertFalse(read.troubles().isEmpty());
        assertEquals(List.of(), read("<a>".repeat(5000)).samples());
        assertFalse(read("<CxF><Object Name='x'><Refl").troubles().isEmpty());
    }

    @Test
    void tables_in_odd_letters_and_languages() {
        String german = "Farbe;L*;a*;b*\nGrün;50,25;−30,5;12\n";
        for (Charset letters : List.of(StandardCharsets.UTF_8, StandardCharsets.UTF_16LE, StandardCharsets.UTF_16BE)) {
            Sample sample = only(FileRead.of(("\ufeff" + german).getBytes(letters)));
            assertEquals("Grün", sample.name());
            assertEquals(new BigDecimal("-30.5"), sample.lab().orElseThrow().a());
        }
        Sample western = only(FileRead.of(german.replace('−', '-').getBytes(Charset.forName("windows-1252"))));
        assertEquals("Grün", western.name());
        assertEquals(
                new BigDecimal("50.25"),
                only(read("name,L,a,b\r\n\"a, \"\"b\"\"\",50.25,1,2\r\n"))
                        .lab()
                        .get()
                        .l());
        Locale before = Locale.getDefault();
        Locale.setDefault(Locale.forLanguageTag("ar-EG"));
        try {
            assertEquals(
                    new BigDecimal("50.25"),
                    only(read(german)).lab().orElseThrow().l());
        } finally {
            Locale.setDefault(before);
        }
    }

    @Test
    void a_table_with_wavelengths_down_its_side() {
        StringBuilder text = new StringBuilder("nm\tone\ttwo\n");
        for (int nm = 380; nm <= 730; nm += 5) {
            text.append(nm).append("\t0.5\t0.25\n");
        }
        FileRead read = read(text.toString());
        assertEquals(List.of(), read.troubles());
        assertEquals(
                List.of("one", "two"), read.samples().stream().map(Sample::name).toList());
        assertEquals(5, read.samples().get(1).spectrum().orElseThrow().stepNm());
        assertEquals(71, read.samples().get(1).spectrum().orElseThrow().values().size());
    }

    /** Each fault is told with its line and what to do, and leaves the other lines as they are. */
    @Test
    void faults_by_line() {
        String heading = "name;" + waves("R", "", 400, 700, 20, ";") + "\n";
        String good = "good;" + values(16, "0.5", ";") + "\n";
        Map<String, String> faults = new LinkedHashMap<>();
        faults.put("bad;" + values(15, "0.5", ";") + ";NaN\n", "is \"NaN\"");
        faults.put("bad;" + values(15, "0.5", ";") + ";\n", "is \"\"");
        faults.put("bad;" + values(15, "0.5", ";") + ";-0.2\n", "calibrate");
        faults.put("bad;" + values(15, "0.5", ";") + "\n", "give one value for each heading");
        faults.put("bad;" + values(15, "0.5", ";") + ";1e99\n", "no surface does");
        faults.put("bad;" + values(15, "0.5", ";") + ";5.0\n", "no surface does");
        for (var fault : faults.entrySet()) {
            FileRead read = read(heading + good + fault.getKey() + good);
            assertEquals(2, read.samples().size(), fault.getKey());
            assertEquals(1, read.troubles().size(), fault.getKey());
            assertEquals(3, read.troubles().get(0).line(), fault.getKey());
            assertTrue(
                    read.troubles().get(0).words().contains(fault.getValue()),
                    read.troubles().toString());
        }
        assertTrue(read("name;400;420;440;470;490\nx;1;1;1;1;1\n")
                .troubles()
                .toString()
                .contains("between 440 and 470"));
        assertTrue(read("name;" + waves("", "", 500, 700, 10, ";") + "\nx;" + values(21, "0.5", ";"))
                .troubles()
                .toString()
                .contains("420 to 680"));
        assertTrue(read("name;L*;a*;b*\nx;150;0;0\n").troubles().toString().contains("between 0 and 100"));
        assertTrue(read("hello").troubles().toString().contains("no heading"));
        assertTrue(read("").troubles().toString().contains("no heading"));
        String cut = CGATS.formatted(41, waves("SPECTRAL_NM", "", 380, 730, 10, " "), values(36, "0.1", " "));
        assertTrue(
                read(cut.substring(0, cut.length() - 60)).troubles().toString().contains("cut off"));
        assertEquals(
                List.of(BigDecimal.ZERO),
                read(heading + "noise;" + values(16, "-0.002", ";")).samples().get(0).spectrum().get().values().stream()
                        .distinct()
                        .toList());
        assertTrue(read("name;" + waves("", "", 380, 730, 10, ";") + "\npaper;" + values(36, "1.2", ";"))
                .remarks()
                .toString()
                .contains("brightener"));
    }

    /** The light that stands in a heading or a keyword counts, not that of the instrument's lamp. */
    @Test
    void light_and_observer_of_l_a_b() {
        assertEquals(
                "D65",
                only(read("name;L*(D65/10°);a*(D65/10°);b*(D65/10°)\nx;50;1;2\n"))
                        .how()
                        .illuminant());
        assertEquals(
                "10°",
                only(read("name;L*(D65/10°);a*(D65/10°);b*(D65/10°)\nx;50;1;2\n"))
                        .how()
                        .observer());
        FileRead twice = read("name;L*(D50);a*(D50);b*(D50);L*(D65);a*(D65);b*(D65)\nx;50;1;2;51;1;2\n");
        assertEquals(List.of(), twice.samples());
        assertTrue(
                twice.troubles().toString().contains("another light"),
                twice.troubles().toString());
        String text = CGATS.formatted(41, waves("SPECTRAL_NM", "", 380, 730, 10, " "), values(36, "0.1", " "));
        String weighted = text.replace(
                "SAMPLE_BACKING",
                "WEIGHTING_FUNCTION \"ILLUMINANT, D65\"\nWEIGHTING_FUNCTION"
                        + " \"OBSERVER, CIE 1964 10 degree\"\nSAMPLE_BACKING");
        assertEquals(
                new Sample.Conditions("an instrument", "", "D65", "10°", "white"),
                only(read(weighted)).how());
        assertTrue(ask("name;L*(10°);a*;b*\nblue;50;1;2\n").toString().contains("under D50, 10°"));
    }

    /** Files that are made to take for ever, or all memory. */
    @Test
    void hostile_files_end_soon() {
        assertFalse(read("\n".repeat(200_000) + "x").troubles().isEmpty());
        assertFalse(read("BEGIN_DATA\n\"" + "x".repeat(200_000) + "\"\nEND_DATA")
                .troubles()
                .isEmpty());
        assertFalse(read("\"" + "a\"".repeat(100_000)).troubles().isEmpty());
        assertFalse(
                read("_".repeat(200_000) + ";" + "(".repeat(200_000)).troubles().isEmpty());
        assertFalse(
                read("<CxF><Object><IlluminationAngle>" + "/".repeat(200_000) + "</IlluminationAngle></Object></CxF>")
                        .troubles()
                        .isEmpty());
        FileRead rows = read("name;L;a;b\n" + "x\n".repeat(500_000));
        assertTrue(rows.troubles().size() <= 202, String.valueOf(rows.troubles().size()));
        FileRead many = read("name;L;a;b\n" + "x;50;1;2\n".repeat(100_000));
        assertTrue(many.samples().size() <= 10_000 && many.troubles().toString().contains("not read"));
        String chart = "name;" + waves("", "", 400, 700, 10, ";") + "\n"
                + ("p;" + values(31, "0.5", ";") + "\n").repeat(1_000);
        assertTrue(read(chart).remarks().size() <= 2, read(chart).remarks().toString());
        assertEquals(
                new BigDecimal("0.30000000000000004"),
                only(read("name;density\nx;0.30000000000000004\n")).density().orElseThrow());
        assertEquals(
                "x",
                only(read("Readings of a day, in two lights\nname;L;a;b\nx;50;1,5;2\n"))
                        .name());
    }

    @Test
    void what_is_proposed_is_what_was_read() {
        String table = "name;L*;a*;b*;backing\nblue;50.25;-30;12;black\nunknown;40;0;0;\n";
        Answer byName = ask(table, "dry", "48", "film", "2.5");
        assertEquals(1, entries(byName).size(), "only what is in the studio");
        Answer.Proposal entry = entries(byName).get(0);
        assertEquals("test.colour-read", entry.type());
        assertEquals("blue", entry.fields().at("of").text());
        assertEquals("50.25", entry.fields().at("lab").at("l").text());
        assertEquals("black", entry.fields().at("backing").text());
        assertEquals("48.00", entry.fields().at("hoursDry").text());
        assertEquals("2500", entry.fields().at("filmMgPerM2").text());
        assertTrue(byName.blocks().toString().contains("is called unknown"));
        Answer one = ask(table, "of", "blue", "only", "UNKNOWN", "backing", "white");
        assertEquals(1, entries(one).size());
        assertEquals("white", entries(one).get(0).fields().at("backing").text());
        assertTrue(entries(one).get(0).fields().at("over").items().isEmpty());
        Answer bar = ask(table, "of", "blue", "only", "blue", "under", "blue", "between", "blue");
        assertEquals(2, entries(bar).get(0).fields().at("over").items().size());
        assertTrue(one.blocks().toString().contains("Nobody said how long it had dried"));
    }

    private static Answer ask(String file, String... replies) {
        Calculator calculator = new ReadingsFile();
        Map<String, String> given = new LinkedHashMap<>();
        given.put(
                "file",
                Upload.of("r.txt", "text/plain", file.getBytes(StandardCharsets.UTF_8))
                        .toString());
        for (int i = 0; i < replies.length; i += 2) {
            given.put(replies[i], replies[i + 1]);
        }
        return calculator.answer(Replies.read(calculator.questions(), given), new MadeUpStudio().with(BLUE));
    }

    private static List<Answer.Proposal> entries(Answer answer) {
        return answer.blocks().stream()
                .filter(Answer.Proposed.class::isInstance)
                .flatMap(block -> ((Answer.Proposed) block).entries().stream())
                .toList();
    }

    @Nested
    class AsAPlugin extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new ReadingsFile();
        }

        @Override
        protected StudioView studio() {
            return new MadeUpStudio().with(BLUE);
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of(
                    "file",
                    Upload.of("r.csv", "text/csv", "name,L,a,b\nblue,50,1,2\n".getBytes(StandardCharsets.UTF_8))
                            .toString());
        }
    }
}
