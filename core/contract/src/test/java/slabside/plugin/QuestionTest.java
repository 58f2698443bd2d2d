package slabside.plugin;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;
import slabside.measure.Area;
import slabside.measure.BadInput;
import slabside.measure.Lab;
import slabside.measure.Length;
import slabside.measure.Mass;
import slabside.measure.Spectrum;
import slabside.measure.Temperature;

/** Every kind of question with what it takes, and what it refuses by its label and a remedy. */
class QuestionTest {
    private static final Question<Mass> MASS = Question.mass("mass", "Mass");
    private static final Question<Length> LENGTH = Question.length("length", "Length");
    private static final Question<Area> AREA = Question.area("area", "Area");
    private static final Question<Double> PERCENT = Question.percent("percent", "Percent", 0, 40);
    private static final Question<Temperature> TEMPERATURE = Question.temperature("temperature", "Temperature");
    private static final Question<Double> NUMBER = Question.number("number", "Number", "Pa", -2, 2.5);
    private static final Question<Integer> COUNT = Question.count("count", "Count", 1, 12);
    private static final Question<String> CHOICE = Question.choice("choice", "Choice", "flat", "blend");
    private static final Question<LocalDate> DATE = Question.date("date", "Date");
    private static final Question<List<List<String>>> ROWS = Question.rows("rows", "Rows", "pull", "density");
    private static final Question<Spectrum> SPECTRUM = Question.spectrum("spectrum", "Spectrum");
    private static final Question<Lab> LAB = Question.lab("lab", "Lab");
    private static final Question<String> COLOUR = Question.screenColour("colour", "Colour");
    private static final Question<Upload> FILE = Question.file("file", "File", ".csv");

    static Stream<Arguments> taken() {
        return Stream.of(
                Arguments.of(MASS, "12,5 g", new Mass(12_500)),
                Arguments.of(LENGTH, "420", new Length(420_000)),
                Arguments.of(LENGTH, "42 cm", new Length(420_000)),
                // An inch is 25.4 mm exactly (international yard and pound agreement, 1959).
                Arguments.of(LENGTH, "10 in", new Length(254_000)),
                Arguments.of(LENGTH, "12 µm", new Length(12)),
                Arguments.of(AREA, "30 x 40 cm", new Area(1_200)),
                Arguments.of(AREA, "300 mm × 40 cm", new Area(1_200)),
                Arguments.of(AREA, "1200", new Area(1_200)),
                Arguments.of(AREA, "0.12 m2", new Area(1_200)),
                Arguments.of(AREA, "10 in²", new Area(64.516)),
                Arguments.of(PERCENT, "12.5 %", 12.5),
                Arguments.of(TEMPERATURE, "21", new Temperature(21)),
                Arguments.of(TEMPERATURE, "68 °F", new Temperature(20)),
                Arguments.of(TEMPERATURE, "-5 °C", new Temperature(-5)),
                Arguments.of(NUMBER, "2,5", 2.5),
                Arguments.of(COUNT, "12", 12),
                Arguments.of(CHOICE, "Blend", "blend"),
                Arguments.of(DATE, "2026-02-28", LocalDate.of(2026, 2, 28)),
                Arguments.of(ROWS, "1; 1.42\n\n 2;1,40 ", List.of(List.of("1", "1.42"), List.of("2", "1,40"))),
                Arguments.of(
                        SPECTRUM,
                        "400 0.12\n410\t0,13\n420; 0.14",
                        new Spectrum(
                                400,
                                10,
                                List.of(new BigDecimal("0.12"), new BigDecimal("0.13"), new BigDecimal("0.14")))),
                Arguments.of(
                        LAB,
                        "52.1 18.4 −3",
                        new Lab(new BigDecimal("52.1"), new BigDecimal("18.4"), new BigDecimal("-3"))),
                Arguments.of(COLOUR, "#7A6A58", "#7a6a58"));
    }

    @ParameterizedTest
    @MethodSource("taken")
    void is_taken_as_it_was_typed(Question<?> question, String typed, Object value) {
        assertEquals(value, question.read(typed));
    }

    static Stream<Arguments> refused() {
        return Stream.of(
                Arguments.of(MASS, "0", "above zero"),
                Arguments.of(MASS, "-1", "cannot be negative"),
                Arguments.of(LENGTH, "0 mm", "above zero"),
                Arguments.of(LENGTH, "101 m", "from 0 to 100 m"),
                Arguments.of(LENGTH, "12 furlongs", "plain number"),
                Arguments.of(AREA, "30 x", "plain number"),
                Arguments.of(AREA, "1001 m²", "from 0 to 100 m²"),
                Arguments.of(PERCENT, "41", "from 0 to 40 %"),
                Arguments.of(TEMPERATURE, "300", "from -40 to 120 °C"),
                Arguments.of(NUMBER, "2.51", "from -2 to 2.5 Pa"),
                Arguments.of(NUMBER, "1e400", "plain number"),
                Arguments.of(COUNT, "1.5", "whole number from 1 to 12"),
                Arguments.of(COUNT, "13", "whole number from 1 to 12"),
                Arguments.of(COUNT, "999999999999", "whole number from 1 to 12"),
                Arguments.of(CHOICE, "wash", "choose one of flat, blend"),
                Arguments.of(DATE, "28.2.2026", "2026-05-31"),
                Arguments.of(DATE, "2026-02-30", "2026-05-31"),
                Arguments.of(ROWS, "1; 2; 3", "line 1 has 3 cells; write pull; density"),
                Arguments.of(SPECTRUM, "400 0.1", "at least two wavelengths"),
                Arguments.of(SPECTRUM, "400 0.1\n410 0.1\n421 0.1", "even steps"),
                Arguments.of(SPECTRUM, "410 0.1\n400 0.1", "even steps"),
                Arguments.of(LAB, "52 18", "write L*, a* and b*"),
                Arguments.of(LAB, "101 0 0", "from 0 to 100"),
                Arguments.of(COLOUR, "red", "#7a6a58"),
                Arguments.of(FILE, "readings.csv", "choose a file"));
    }

    @ParameterizedTest
    @MethodSource("refused")
    void is_refused_by_its_label_and_with_a_remedy(Question<?> question, String typed, String remedy) {
        BadInput refused = assertThrows(BadInput.class, () -> question.read(typed));
        assertEquals(question.label(), refused.field());
        assertTrue(refused.remedy().contains(remedy), refused.remedy());
    }

    @Test
    void a_file_goes_through_text_and_back() {
        byte[] bytes = "a;b\n1;2 é".getBytes(StandardCharsets.UTF_8);
        Upload upload = Upload.of("/tmp/my readings; é.csv", "text/csv", bytes);
        Upload read = FILE.read(upload.toString());
        assertEquals("my readings; é.csv", read.name());
        assertEquals("text/csv", read.mediaType());
        assertArrayEquals(bytes, read.bytes());
        Upload large = Upload.of("large", "", new byte[Upload.LARGEST + 3]);
        assertTrue(assertThrows(BadInput.class, () -> FILE.read(large.toString()))
                .remedy()
                .contains("larger than 8 MB"));
    }

    @Test
    void one_made_again_from_what_it_declares_reads_the_same() {
        taken().forEach(each -> {
            Question<?> question = (Question<?>) each.get()[0];
            assertEquals(each.get()[2], Question.of(question.declared()).read((String) each.get()[1]));
        });
    }

    @Test
    void a_default_says_where_it_comes_from_and_is_named_when_taken() {
        Question<Double> reserve = PERCENT.preset("15", Question.Origin.COMMON_PRACTICE);
        Replies taken = Replies.read(List.of(reserve, COUNT.optional()), Map.of("percent", " "));
        assertEquals(15, taken.to(reserve));
        assertEquals(Map.of("Percent: 15 %", "common practice, no source"), taken.assumed());
        assertEquals(Map.of(), taken.typed());
        Replies given = Replies.read(List.of(reserve), Map.of("percent", "20"));
        assertEquals(20, given.to(reserve));
        assertEquals(Map.of(), given.assumed());
        assertEquals(Map.of("percent", "20"), given.typed());
        assertTrue(assertThrows(BadInput.class, () -> Replies.read(List.of(COUNT), Map.of()))
                .remedy()
                .contains("give it as count"));
        assertThrows(BadInput.class, () -> Replies.read(List.of(COUNT), Map.of("count", "1", "nonsense", "2")));
    }

    @Test
    void one_that_cannot_be_asked_is_refused_when_it_is_made() {
        assertThrows(BadInput.class, () -> Question.text("Not An Id", "Label"));
        assertThrows(BadInput.class, () -> Question.text("id", " "));
        assertThrows(BadInput.class, () -> Question.choice("id", "Label"));
        assertThrows(BadInput.class, () -> Question.rows("id", "Label"));
        assertThrows(BadInput.class, () -> Question.pick("id", "Label"));
    }

    @Test
    void what_cannot_be_shown_is_refused_where_it_is_made() {
        assertThrows(BadInput.class, () -> Answer.titled("t").quantity("q", Double.NaN, "g", ""));
        assertThrows(BadInput.class, () -> new Answer.Quantity("q", 1, -1, "g", ""));
        assertThrows(BadInput.class, () -> new Answer.Point(1, Double.POSITIVE_INFINITY));
        assertThrows(BadInput.class, () -> Answer.titled("t").table("t", List.of("a", "b"), List.of(List.of("1"))));
        assertThrows(BadInput.class, () -> new Answer.Part("p", 1.2, ""));
        assertThrows(BadInput.class, () -> new Answer.Timer("t", 0));
        byte[] drawing = "<svg/>".getBytes(StandardCharsets.UTF_8);
        assertThrows(BadInput.class, () -> new Answer.Picture("p", Upload.of("p.svg", "image/svg+xml", drawing)));
    }

    @Test
    void json_gives_what_is_there_and_nothing_else() {
        Json body = Json.fields()
                .with("grams", new BigDecimal("1.50"))
                .with("exact", "2.25")
                .with("words", "two")
                .with("list", new Json.Items(List.of(new Json.Truth(true))));
        assertEquals(1.5, body.at("grams").number().orElseThrow());
        assertEquals(2.25, body.at("exact").number().orElseThrow(), "exact decimals are kept as text");
        assertTrue(body.at("words").number().isEmpty());
        assertEquals("1.50", body.at("grams").text());
        assertEquals("true", body.at("list").items().get(0).text());
        assertEquals("", body.at("no").at("such").text());
        assertEquals(List.of(), body.at("words").items());
        assertEquals(
                List.of("grams", "exact", "words", "list"),
                List.copyOf(((Json.Fields) body).values().keySet()));
    }

    @Test
    void a_type_of_an_own_event_has_a_prefix() {
        assertEquals("plugin.paper-store.read", OwnEvent.stored("paper-store.read"));
        for (String bad : List.of("read", "a.b.c", "Paper.read", ".read", "plugin")) {
            assertThrows(BadInput.class, () -> OwnEvent.stored(bad), bad);
        }
    }
}
