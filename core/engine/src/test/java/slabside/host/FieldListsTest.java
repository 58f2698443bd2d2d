package slabside.host;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.io.TempDir;
import slabside.demo.Demo;
import slabside.edition.Run;
import slabside.event.Actor;
import slabside.event.Catalogue;
import slabside.event.EditionEvent;
import slabside.event.Envelope;
import slabside.event.StatedFact;
import slabside.event.ThingId;
import slabside.ink.Contents;
import slabside.studio.Studio;

/** Every field that the papers of the trade ask for is answered from the log, or said to be unknown. */
class FieldListsTest {
    @TempDir
    static Path folder;

    static Studio studio;
    static ThingId edition;

    @BeforeAll
    static void write() {
        Demo.write(folder.resolve("data"), folder.resolve("config"), LocalDate.of(2026, 6, 15), ZoneOffset.UTC);
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC());
        studio.views().catchUp();
        edition = studio.views().named("edition", "Tidewrack, Four Fathoms").id();
    }

    @AfterAll
    static void close() {
        studio.close();
    }

    private static Map<String, EditionFacts.Fact> facts() {
        Map<String, EditionFacts.Fact> facts = new LinkedHashMap<>();
        new EditionFacts(studio.views(), studio.runs(), studio::name)
                .of(edition)
                .forEach(group -> group.facts().forEach(fact -> facts.put(group.heading() + "/" + fact.field(), fact)));
        return facts;
    }

    @TestFactory
    List<DynamicTest> every_field_has_its_answer() throws IOException {
        Map<String, EditionFacts.Fact> facts = facts();
        try (InputStream in = FieldListsTest.class.getResourceAsStream("field-lists.csv")) {
            List<String[]> rows = new String(in.readAllBytes(), StandardCharsets.UTF_8)
                    .lines()
                    .filter(line -> !line.startsWith("#"))
                    .map(line -> line.split("\\|", -1))
                    .toList();
            assertTrue(rows.size() > 100, "only " + rows.size() + " fields");
            return rows.stream()
                    .map(row -> DynamicTest.dynamicTest(row[0] + ": " + row[1], () -> answered(row[2], facts)))
                    .toList();
        }
    }

    private static void answered(String answer, Map<String, EditionFacts.Fact> facts) {
        String what = answer.substring(answer.indexOf(' ') + 1);
        switch (answer.substring(0, answer.indexOf(' '))) {
            case "fact" -> {
                EditionFacts.Fact fact = facts.get(what);
                assertNotNull(fact, what);
                assertFalse(fact.value().filter(String::isBlank).isPresent(), "unknown is empty, never blank");
                assertTrue(
                        fact.state().matches("/event/\\d+/put-right")
                                || Catalogue.of(fact.state().replaceAll("/write/|\\?.*", ""))
                                        .isPresent(),
                        "says where to write it down: " + fact.state());
            }
            case "event" -> {
                String type = what.substring(0, what.lastIndexOf('.'));
                String component = what.substring(what.lastIndexOf('.') + 1);
                assertTrue(
                        Arrays.stream(Catalogue.of(type).orElseThrow().event().getRecordComponents())
                                .anyMatch(each -> each.getName().equals(component)),
                        what);
            }
            case "envelope" ->
                assertTrue(Arrays.stream(Envelope.class.getRecordComponents())
                        .anyMatch(each -> each.getName().equals(what)));
            case "fold" -> folded(what);
            default -> assertTrue(answer.startsWith("unknown "), answer);
        }
    }

    private static void folded(String what) {
        ThingId mix = studio.views().named("mix", "Crayon slate").id();
        Run run = studio.runs().runOf(edition, 4);
        switch (what) {
            case "composition" -> {
                Contents packet = studio.runs().loadsAt(run.pull(1)).get(0);
                assertEquals(
                        1,
                        packet.byMaterial(studio.ledger()::material).stream()
                                .mapToDouble(part -> part.share().value())
                                .sum(),
                        1e-9);
            }
            case "what is left" -> assertTrue(studio.ledger().left(mix).grams().isPresent());
            case "pull number" -> assertEquals(53, run.pull(53).number());
            default -> throw new AssertionError("no such fold: " + what);
        }
    }

    @Test
    void tidewrack_answers_with_the_numbers_it_was_made_from() {
        Map<String, EditionFacts.Fact> facts = facts();
        assertEquals(
                Optional.of("Orla Fenwether"), facts.get("The edition/Artist").value());
        assertEquals(
                Optional.of("38 × 52 cm"), facts.get("The edition/Image size").value());
        assertEquals(
                Optional.of("50 × 65 cm"), facts.get("The edition/Sheet size").value());
        assertTrue(
                facts.get("Impressions/Numbered impressions").value().orElse("").startsWith("40 ("));
        assertTrue(facts.get("Impressions/Artist's proofs").value().orElse("").startsWith("4 ("));
        assertEquals(Optional.of("none"), facts.get("Impressions/Hors commerce").value());
        assertEquals(
                Optional.of("1"),
                facts.get("Impressions/Cancellation impressions").value());
        // 48 impressions, the OK proof, three colour trial proofs, the cancellation impression.
        assertEquals(
                Optional.of("53"), facts.get("Impressions/Impressions in all").value());
        assertTrue(facts.get("Impressions/Destroyed").value().orElse("").startsWith("2 ("));
        assertEquals(
                Optional.of("pencil"), facts.get("Signature and chop/Medium").value());
        for (int run = 1; run <= 5; run++) {
            assertTrue(
                    facts.get("Run " + run + "/Ink lots, lightfastness as the maker states it")
                            .value()
                            .orElse("")
                            .contains("lightfastness"),
                    "the lots of run " + run);
        }
        assertEquals(
                Optional.of("AP 1/4, AP 2/4, AP 3/4, AP 4/4: at the workshop"),
                facts.get("Proofs and copies, in whose hands/Artist's proofs").value());
        for (String run : List.of("1, plate 1", "3, plate 3", "5, stone 15")) {
            assertTrue(facts.get("What became of stones and plates/Run " + run)
                    .value()
                    .orElse("")
                    .startsWith("defaced"));
        }
        for (String run : List.of("2, stone 12", "4, stone 14")) {
            assertTrue(facts.get("What became of stones and plates/Run " + run)
                    .value()
                    .orElse("")
                    .startsWith("ground off"));
        }
        assertTrue(facts.get("What became of stones and plates/Run 5, stone 15")
                .value()
                .orElse("")
                .contains("cancellation impression pulled"));
    }

    /** What nobody said is unknown item by item, until it is stated. */
    @Test
    void what_nobody_stated_is_unknown_until_it_is() {
        assertEquals(
                Optional.empty(),
                facts().get("Earlier and later/Posthumous or restrike").value());
        assertEquals(Optional.empty(), facts().get("The edition/Publisher").value());
        studio.write(
                new Actor(Studio.SOMEBODY, "this"),
                List.of(new EditionEvent.Stated(edition, StatedFact.POSTHUMOUS, "no")));
        assertEquals(
                Optional.of("no"),
                facts().get("Earlier and later/Posthumous or restrike").value());
        Set<String> unknown = Set.of("The edition/Publisher", "Earlier and later/Reworked after an earlier edition");
        unknown.forEach(
                field -> assertEquals(Optional.empty(), facts().get(field).value()));
    }
}
