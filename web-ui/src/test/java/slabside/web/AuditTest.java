package slabside.web;

import static java.util.Objects.requireNonNull;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import slabside.demo.Demo;
import slabside.host.Answers;
import slabside.host.TradeRule;
import slabside.plugin.Answer;
import slabside.studio.Studio;

/** What the audit says of the invented runs, whose faults are known because they were made. */
class AuditTest {
    @TempDir
    static Path folder;

    static Studio studio;

    @BeforeAll
    static void open() {
        Demo.write(folder.resolve("data"), folder.resolve("config"), LocalDate.of(2026, 6, 15), ZoneOffset.UTC);
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), Clock.systemUTC());
        studio.views().catchUp();
    }

    @AfterAll
    static void close() {
        studio.close();
    }

    private static Answer of(String run) {
        return studio.host().ask(studio.host().calculator("what-went-wrong"), Map.of("run", run));
    }

    private static String texts(Answer answer) {
        return answer.blocks().stream()
                .map(block -> block instanceof Answer.Text t
                        ? t.text()
                        : block instanceof Answer.Caution c ? "! " + c.text() : "")
                .collect(Collectors.joining("\n"));
    }

    private static List<List<String>> table(Answer answer, String caption) {
        return answer.blocks().stream()
                .filter(block -> block instanceof Answer.Table t && t.caption().equals(caption))
                .map(block -> ((Answer.Table) block).rows())
                .findFirst()
                .orElse(List.of());
    }

    @Test
    void slack_water_failed_by_the_second_batch_and_its_reducer() {
        Answer answer = of("Weir, Slack Water");
        String told = texts(answer);
        assertTrue(told.contains("From pull 23 on"), told);
        assertTrue(told.contains("Consistent with: Slack water B2 came onto the slab"), told);
        assertTrue(
                told.contains("Tack reducer on the load: 0.47 % at pull 22, 1.68 % at pull 23, 3.13 % at the end"),
                told);
        assertTrue(told.contains("! At the same moment: paused this run, gummed up"), told);
        List<List<String>> causes = table(answer, "Causes");
        assertTrue(causes.get(0).get(2).startsWith("Slack water B2 came onto the slab"), causes.toString());
        assertTrue(causes.get(1).get(2).contains("gummed up"), "the lunch is second: " + causes);
        assertTrue(
                causes.stream()
                        .anyMatch(row -> row.get(2).contains("water changed")
                                && row.get(3).startsWith("against it: the change came 3 pulls later")),
                causes.toString());
        assertTrue(causes.stream().anyMatch(row -> row.get(2).equals("no change")));
        assertTrue(causes.stream().anyMatch(row -> row.get(2).equals("a cause not in the log")));
        List<List<String>> sheets = table(answer, "Sheets to take from the drawer");
        assertEquals("WS-23", sheets.get(0).get(0));
        assertEquals(14, sheets.size());
    }

    @Test
    void the_run_with_the_second_batch_made_right_failed_by_its_charges() {
        String told = texts(of("Weir, Slack Water (over-charged instead)"));
        assertTrue(told.contains("From pull 23 on"), told);
        assertTrue(told.contains("Consistent with: more was charged than goes out"), told);
        assertTrue(!told.contains("came onto the slab ("), "not the ink: " + told);
    }

    private static List<String> checks(Answer answer) {
        return answer.blocks().stream()
                .dropWhile(block -> !(block instanceof Answer.Heading heading
                        && heading.text().equals("What the trade would look at")))
                .filter(Answer.Link.class::isInstance)
                .map(block -> ((Answer.Link) block).text())
                .toList();
    }

    @Test
    void rules_of_the_trade_are_named_with_their_events() {
        Answer slackWater = of("Weir, Slack Water");
        assertTrue(
                texts(slackWater)
                        .contains("not as planned: tack reducer: 0.47 % in the recipe, from pull 23 on up to 3.13 %"),
                texts(slackWater));
        assertTrue(
                checks(slackWater)
                        .contains(
                                "factor of ten: tack reducer in Slack water B2: 3.0 g, 4.50 %, where the recipe asks 0.47 %"),
                checks(slackWater).toString());
        assertTrue(
                checks(slackWater).stream()
                        .anyMatch(
                                text -> text.startsWith(
                                        "shares changed between batches: tack reducer: 0.47 % in Slack water B1, 4.50 % in Slack water B2")),
                checks(slackWater).toString());
        assertEquals(
                List.of("gummed up: before pull 23, 67 minutes after the pull before"),
                checks(of("Weir, Slack Water (over-charged instead)")).stream()
                        .filter(text -> !text.startsWith("charged more than goes out"))
                        .toList());
        List<String> shallows = checks(of("Tidewrack, Four Fathoms, run 1, the shallows"));
        assertTrue(
                shallows.stream()
                        .anyMatch(text -> text.contains("turns once in 47.1 cm")
                                && text.contains(
                                        "the longer side of the image is 52.0 cm: a lap line is to be expected")),
                shallows.toString());
        for (String run : List.of("2, the wash", "3, the blend", "4, the crayon", "5, the key")) {
            assertEquals(List.of(), checks(of("Tidewrack, Four Fathoms, run " + run)), run);
        }
    }

    @Test
    void the_blend_of_tidewrack_drifts() {
        Answer answer = of("Tidewrack, Four Fathoms, run 3, the blend");
        String told = texts(answer);
        assertTrue(told.contains("Blend midpoint, mm rises pull by pull"), told);
        assertTrue(told.contains("begins anew at each reset"), told);
        assertTrue(
                told.contains(
                        "Spoiled: pulls 1–3, 31 of 57. Consistent with: the first pulls after the set-up or a reset"),
                told);
        assertTrue(
                answer.blocks().stream()
                        .anyMatch(block -> block instanceof Answer.Link link
                                && link.text().startsWith("Pull 31: the first after the reset")),
                "the hard edge is tied to its reset");
    }

    @ParameterizedTest
    @ValueSource(strings = {"1, the shallows", "2, the wash", "4, the crayon", "5, the key"})
    void nothing_else_in_tidewrack_is_accused(String run) {
        String told = texts(of("Tidewrack, Four Fathoms, run " + run));
        assertTrue(told.contains("Nothing points to a change that is more than chance"), told);
    }

    @Test
    void a_whole_edition_names_the_run_that_changed() {
        Answer answer = of("Tidewrack, Four Fathoms");
        String told = texts(answer);
        assertTrue(
                told.startsWith("1 run of 5 changed while printed: Tidewrack, Four Fathoms, run 3, the blend."), told);
        assertTrue(
                checks(answer).stream()
                        .anyMatch(text -> text.startsWith("Tidewrack, Four Fathoms, run 1, the shallows,"
                                + " circumference shorter than the image")),
                "run 1's lap line is explained by its roller");
        assertEquals(
                5,
                table(answer, "Spoiled at the press, each run against the others")
                        .size());
        assertTrue(
                answer.blocks().stream()
                        .anyMatch(block -> block instanceof Answer.Ask ask
                                && ask.calculator().equals("what-went-wrong")),
                "it leads to the run");
    }

    @Test
    void a_trace_is_a_list_to_act_on() {
        Answer answer = new Answers(studio.views(), studio.runs(), studio.shelf(), studio::name, ZoneOffset.UTC)
                .trace(studio.views().named("mix", "Slack water B2").id());
        assertEquals(List.of(List.of("Weir, Slack Water", "14", "0", "0")), table(answer, "Editions that carry it"));
        List<List<String>> sheets = table(answer, "Sheets that carry it, all of Weir, Slack Water, run 1, the water");
        assertEquals(14, sheets.size());
        assertEquals("WS-23", sheets.get(0).get(0));
        assertEquals("23", sheets.get(0).get(1));
        // 6.00 g of B2 on a load of 20.00 g (scenario B): 30 %.
        assertEquals(30.0, Double.parseDouble(sheets.get(0).get(2)), 0.1);
    }

    @Test
    void two_batches_of_one_recipe_side_by_side_show_the_slip() {
        Answer answer = studio.host()
                .ask(studio.host().calculator("compare"), Map.of("one", "Slack water B1", "other", "Slack water B2"));
        assertTrue(
                texts(answer).contains("They differ most unusually in: tack reducer, % (0.47 and 4.50)"),
                texts(answer));
    }

    @Test
    void what_the_two_failures_have_in_common_is_not_made_more_of_than_it_is() {
        String told = texts(studio.host().ask(studio.host().calculator("common-factors"), Map.of()));
        assertTrue(told.contains("2 of 8 printed runs went wrong"), told);
        assertTrue(told.contains("none is more common among them than chance would make one of so many"), told);
    }

    /** The table of signs and remedies knows what the pages offer, and names rules that there are. */
    @Test
    void signs_of_trouble_are_known_by_the_words_of_the_pages_and_their_rules_by_theirs() throws IOException {
        Set<String> rules = new TreeSet<>();
        for (TradeRule rule : TradeRule.values()) {
            rules.add(rule.words());
        }
        // Told as a warning, for the log does not show it by itself.
        rules.add("above the limit");
        Set<String> signs = new TreeSet<>();
        try (InputStream in = requireNonNull(getClass().getResourceAsStream("/slabside/audit/faults.csv"))) {
            new String(in.readAllBytes(), StandardCharsets.UTF_8)
                    .lines()
                    .filter(line -> !line.startsWith("#"))
                    .skip(1)
                    .map(line -> line.split("\\|", -1))
                    .forEach(cells -> {
                        signs.add(cells[0]);
                        for (String rule : cells[1].split(",")) {
                            assertTrue(
                                    rule.isBlank() || rules.contains(rule.strip()),
                                    cells[0] + " names a rule that there is not: " + rule);
                        }
                    });
        }
        for (String offered : PressPage.FAULTS) {
            assertTrue(signs.contains(offered), offered + ", offered at the press");
        }
        for (String offered : CuratingPage.REASONS) {
            assertTrue(signs.contains(offered), offered + ", offered at looking through");
        }
    }
}
