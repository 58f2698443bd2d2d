package slabside.audit;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Random;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.Test;
import slabside.kit.MadeUpStudio;
import slabside.kit.PluginCheck;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.plugin.Calculator;
import slabside.plugin.Replies;
import slabside.plugin.StudioView;

/** What the audit says of runs made by hand: several runs, two inks, odd ones, and what failures have in common. */
class StoryTest {
    private final Map<String, StudioView.RunRecord> runs = new LinkedHashMap<>();
    private final Map<String, StudioView.Facts> facts = new LinkedHashMap<>();

    /** A studio that holds these runs and facts, and nothing else. */
    private StudioView studio() {
        MadeUpStudio studio = new MadeUpStudio();
        runs.values().forEach(studio::with);
        facts.values().forEach(studio::with);
        return studio;
    }

    private Answer ask(Calculator calculator, Map<String, String> given) {
        return calculator.answer(Replies.read(calculator.questions(), given), studio());
    }

    private Answer audit(String what) {
        return ask(new WhatWentWrong(), Map.of("run", what));
    }

    private static String texts(Answer answer) {
        return answer.blocks().stream()
                .map(block -> block instanceof Answer.Text t
                        ? t.text()
                        : block instanceof Answer.Caution c ? "! " + c.text() : "")
                .collect(Collectors.joining("\n"));
    }

    private static StudioView.PullRow pull(
            int n, Map<String, Double> readings, String looked, StudioView.OnLoad... on) {
        return new StudioView.PullRow(
                "p" + n,
                n,
                n,
                String.format(Locale.ROOT, "S-%02d", n),
                "good",
                false,
                OptionalInt.of(6),
                List.of(),
                readings,
                "",
                "",
                List.of(on),
                "",
                looked.isEmpty()
                        ? Optional.empty()
                        : Optional.of(
                                new StudioView.Looked(looked, looked.equals("good") ? List.of() : List.of("scum"))));
    }

    private static StudioView.Happening happening(String type, int before, String text, String from, int load) {
        return new StudioView.Happening(
                "event " + text, before * 1000L, type, before, text, from, load, Map.of("g", 5.0));
    }

    private void run(String id, List<StudioView.PullRow> pulls, StudioView.Happening... happenings) {
        runs.put(
                id,
                new StudioView.RunRecord(
                        id, id, "edition", "flat", false, Map.of(), List.of(), pulls, List.of(happenings), List.of()));
    }

    /** What was found of the finished sheets is laid to the run in whose order it makes sense. */
    @Test
    void sheets_that_were_not_good_are_laid_to_the_run_whose_event_fits() {
        Random random = new Random(5);
        List<Integer> order = new ArrayList<>();
        for (int i = 1; i <= 40; i++) {
            order.add(i);
        }
        java.util.Collections.shuffle(order, random);
        List<StudioView.PullRow> first = new ArrayList<>();
        List<StudioView.PullRow> second = new ArrayList<>();
        for (int n = 1; n <= 40; n++) {
            // Sheet S goes through the second run at pull S, and through the first wherever the pile had it.
            second.add(pull(n, Map.of(), n > 24 ? "second" : "good"));
            int sheet = order.get(n - 1);
            StudioView.PullRow row = pull(sheet, Map.of(), sheet > 24 ? "second" : "good");
            first.add(new StudioView.PullRow(
                    "q" + n,
                    n,
                    n,
                    row.sheet(),
                    "good",
                    false,
                    OptionalInt.of(6),
                    List.of(),
                    Map.of(),
                    "",
                    "",
                    List.of(),
                    "",
                    row.looked()));
        }
        run("run one", first, happening("press.water", 25, "the water was changed", "", -1));
        run("run two", second, happening("stone.treated", 25, "etched again", "", -1));
        String told = texts(audit("edition"));
        assertTrue(
                told.contains("Of the finished sheets: Not good at looking through: pulls 25–40 of 40."
                        + " Consistent with run two: etched again"),
                told);
        assertFalse(told.contains("Consistent with run one"), told);
        Answer.Table sheets = audit("edition").blocks().stream()
                .filter(block ->
                        block instanceof Answer.Table table && table.caption().equals("Sheets to take from the drawer"))
                .map(Answer.Table.class::cast)
                .findFirst()
                .orElseThrow();
        assertEquals(16, sheets.rows().size());
        assertTrue(
                sheets.rows().get(0).get(3).contains("run one: pull "),
                sheets.rows().get(0).toString());
    }

    /** The second ink of a blend got another mix; the first did not. */
    @Test
    void another_ink_on_one_side_of_a_blend_is_found_there() {
        Random random = new Random(6);
        List<StudioView.PullRow> pulls = new ArrayList<>();
        for (int n = 1; n <= 40; n++) {
            double share = n < 21 ? 0.005 : 0.04;
            pulls.add(pull(
                    n,
                    Map.of("density, right", 1 + random.nextGaussian() * 0.02 + (n < 21 ? 0 : 0.1)),
                    "",
                    new StudioView.OnLoad(8, Map.of("base", 0.9, "green", 0.1), Map.of("T1", 0.9, "T7", 0.1)),
                    new StudioView.OnLoad(8, Map.of("base", 1 - share, "oil", share), Map.of("T1", 1.0))));
        }
        run(
                "run",
                pulls,
                happening("ink.charged", 1, "charged left", "left", 0),
                happening("ink.charged", 1, "charged right", "right", 1),
                happening("ink.charged", 21, "charged left again", "left", 0),
                happening("ink.charged", 21, "charged another right", "other right", 1));
        String told = texts(audit("run"));
        assertTrue(
                told.contains(
                        "Consistent with: other right came onto the slab, ink 2 of the roller, with more oil in it"),
                told);
        assertTrue(told.contains("Oil on the load, ink 2 of the roller: 0.50 % at pull 20, 4.00 % at pull 21"), told);
    }

    /** The recipe is the same, a can is not. */
    @Test
    void ink_of_another_can_is_found_by_its_lot() {
        Random random = new Random(7);
        List<StudioView.PullRow> pulls = new ArrayList<>();
        for (int n = 1; n <= 40; n++) {
            Map<String, Double> lots =
                    n < 21 ? Map.of("T1", 0.9, "T6", 0.1) : Map.of("T1", 0.9, "T6", 0.02, "T9", 0.08);
            pulls.add(pull(
                    n,
                    Map.of("density", 1 + random.nextGaussian() * 0.02 - (n < 21 ? 0 : 0.08)),
                    "",
                    new StudioView.OnLoad(15, Map.of("base", 0.9, "blue", 0.1), lots)));
        }
        run(
                "run",
                pulls,
                happening("ink.charged", 1, "charged B1", "B1", 0),
                happening("ink.charged", 21, "charged B2", "B2", 0));
        assertTrue(
                texts(audit("run")).contains("Consistent with: B2 came onto the slab, with ink of T9 in it"),
                texts(audit("run")));
    }

    /** The same mix, to which something was added between two charges. */
    @Test
    void what_was_added_to_the_cup_in_the_middle_is_found() {
        Random random = new Random(8);
        List<StudioView.PullRow> pulls = new ArrayList<>();
        for (int n = 1; n <= 40; n++) {
            double oil = n < 21 ? 0 : 0.03;
            pulls.add(pull(
                    n,
                    Map.of("density", 1 + random.nextGaussian() * 0.02 + (n < 21 ? 0 : 0.09)),
                    "",
                    new StudioView.OnLoad(15, Map.of("base", 1 - oil, "plate oil", oil), Map.of("T1", 1.0))));
        }
        run(
                "run",
                pulls,
                happening("ink.charged", 1, "charged B1", "B1", 0),
                happening("ink.added", 20, "added 2 g of plate oil", "B1", -1),
                happening("ink.charged", 21, "charged B1 again", "B1", 0));
        Answer answer = audit("run");
        assertTrue(
                texts(answer)
                        .contains(
                                "B1, to which something had been added, came onto the slab, with more plate oil in it"),
                texts(answer));
        assertTrue(
                answer.blocks().stream()
                        .anyMatch(block ->
                                block instanceof Answer.Link link && link.id().equals("event added 2 g of plate oil")),
                "the addition itself is linked");
    }

    @Test
    void a_room_that_warms_or_cools_is_found_when_the_readings_follow_it() {
        for (int sign : new int[] {1, -1}) {
            Random random = new Random(9);
            List<StudioView.PullRow> pulls = new ArrayList<>();
            for (int n = 1; n <= 60; n++) {
                double over = 0.12 * Math.max(0, n - 30) / 30;
                pulls.add(pull(n, Map.of("density", 1 + random.nextGaussian() * 0.015 + over), ""));
            }
            List<StudioView.Happening> read = new ArrayList<>();
            for (int[] each : new int[][] {{1, 0}, {30, 0}, {45, 25}, {60, 50}}) {
                read.add(new StudioView.Happening(
                        "t" + each[0],
                        each[0],
                        "press.read",
                        each[0],
                        "read",
                        "",
                        -1,
                        Map.of("°C", 22.5 + sign * (each[1] - 25) / 10.0)));
            }
            run("run", pulls, read.toArray(new StudioView.Happening[0]));
            String told = texts(audit("run"));
            assertTrue(told.contains("the room moved between 20.0 and 25.0 °C"), told);
            assertTrue(told.contains("Density follows the room and rises by about 0.12"), told);
        }
    }

    /** Another ink that was washed up again is found for the pulls that it was on the slab. */
    @Test
    void ink_that_was_taken_off_again_is_found() {
        Random random = new Random(10);
        List<StudioView.PullRow> pulls = new ArrayList<>();
        for (int n = 1; n <= 60; n++) {
            boolean other = n > 20 && n <= 40;
            double oil = other ? 0.04 : 0;
            pulls.add(pull(
                    n,
                    Map.of("density", 1 + random.nextGaussian() * 0.02 + (other ? 0.12 : 0)),
                    "",
                    new StudioView.OnLoad(15, Map.of("base", 1 - oil, "oil", oil), Map.of("T1", 1.0))));
        }
        run(
                "run",
                pulls,
                happening("ink.charged", 1, "charged A", "A", 0),
                happening("ink.charged", 21, "charged B", "B", 0),
                happening("ink.washed-up", 41, "washed up", "", 0),
                happening("ink.charged", 41, "charged A again", "A", 0));
        String told = texts(audit("run"));
        assertTrue(told.contains("Consistent with: B came onto the slab, with more oil in it"), told);
        assertTrue(told.contains("Oil on the load: 0.00 % at pull 20, 4.00 % at pull 21, 0.00 % at the end"), told);
    }

    /** Both runs printed the sheets in one order: what was found of them is said once, and no run is said to have changed. */
    @Test
    void what_was_found_of_finished_sheets_is_told_once() {
        List<StudioView.PullRow> pulls = new ArrayList<>();
        for (int n = 1; n <= 40; n++) {
            pulls.add(pull(n, Map.of(), n > 24 ? "second" : "good"));
        }
        run("run one", pulls, happening("stone.treated", 25, "etched again", "", -1));
        run("run two", pulls);
        String told = texts(audit("edition"));
        assertTrue(told.startsWith("In none of the 2 runs does anything point to a change"), told);
        assertEquals(2, told.split("etched again", -1).length - 1, "once for the grade, once for its reason: " + told);
    }

    /** Several series of a steady run, some of them counts, hardly ever make a headline. */
    @Test
    void steady_runs_with_many_series_are_left_in_peace() {
        Random random = new Random(11);
        int changed = 0;
        int accused = 0;
        for (int i = 0; i < 200; i++) {
            List<StudioView.PullRow> pulls = new ArrayList<>();
            for (int n = 1; n <= 60; n++) {
                List<String> faults = new ArrayList<>();
                for (String fault : List.of("scum", "hickey", "lap line")) {
                    if (random.nextInt(20) == 0) {
                        faults.add(fault);
                    }
                }
                pulls.add(new StudioView.PullRow(
                        "p" + n,
                        n,
                        n,
                        "S-" + n,
                        random.nextInt(20) == 0 ? "spoiled" : "good",
                        false,
                        OptionalInt.of(6 + random.nextInt(2)),
                        faults,
                        Map.of(
                                "density",
                                1 + random.nextGaussian() * 0.02,
                                "register, mm",
                                random.nextGaussian() * 0.3),
                        n % 5 == 0 ? (random.nextInt(8) == 0 ? "darker" : "match") : "",
                        "",
                        List.of(),
                        "",
                        Optional.of(new StudioView.Looked(random.nextInt(15) == 0 ? "second" : "good", List.of()))));
            }
            List<StudioView.Happening> happenings = new ArrayList<>();
            for (int place = 8; place < 56; place += 6) {
                happenings.add(happening("press.lay-set", place, "the lay was set " + place, "", -1));
            }
            runs.clear();
            run("run", pulls, happenings.toArray(new StudioView.Happening[0]));
            String told = texts(audit("run"));
            changed += told.startsWith("Nothing points to a change") ? 0 : 1;
            accused += told.contains("Consistent with: ") ? 1 : 0;
        }
        assertTrue(changed <= 20, changed + " of 200 steady runs of nine series made a headline");
        assertTrue(accused <= 10, accused + " of 200 had something accused");
    }

    /** Tied, rounded, missing, unmeasured; 3 pulls, 500 pulls, all spoiled, none spoiled: an answer each time. */
    @Test
    void odd_runs_get_a_story() {
        for (int pulls : new int[] {0, 1, 3, 6, 60, 500}) {
            for (String grade : List.of("good", "spoiled", "query")) {
                for (double step : new double[] {0, 0.1, 5}) {
                    List<StudioView.PullRow> rows = new ArrayList<>();
                    for (int n = 1; n <= pulls; n++) {
                        boolean read = n % 3 != 0;
                        rows.add(new StudioView.PullRow(
                                "p" + n,
                                n,
                                n,
                                n % 4 == 0 ? "" : "S-" + n,
                                grade,
                                false,
                                n % 2 == 0 ? OptionalInt.empty() : OptionalInt.of(5 + n % 2),
                                n % 9 == 0 ? List.of("scum", "never heard of") : List.of(),
                                read ? Map.of("density", Math.round(n % 7 / 3.0) * step) : Map.of(),
                                n % 5 == 0 ? (n > pulls / 2 ? "darker" : "match") : "",
                                n % 5 == 0 ? "clean" : "",
                                List.of(),
                                "",
                                n % 2 == 0
                                        ? Optional.of(
                                                new StudioView.Looked(n > pulls / 2 ? "second" : "good", List.of()))
                                        : Optional.empty()));
                    }
                    runs.clear();
                    run(
                            "run",
                            rows,
                            happening("press.paused", 2, "a pause", "", -1),
                            happening("ink.charged", 4, "charged", "", 0),
                            happening("unheard.of", 5, "of a later version", "", -1));
                    Answer answer = audit("run");
                    assertFalse(answer.blocks().isEmpty());
                    assertFalse(texts(answer).contains("NaN"), texts(answer));
                    run("run two", rows);
                    if (pulls > 0) {
                        assertFalse(texts(audit("edition")).contains("NaN"));
                    } else {
                        assertThrows(BadInput.class, () -> audit("edition"));
                    }
                }
            }
        }
        assertThrows(BadInput.class, () -> audit("no such run"));
    }

    private void fact(int n, boolean wrong, String roller, double oil) {
        Map<String, Double> numbers = new HashMap<>(
                Map.of("sheets", 50.0, "spoiled at the press, %", wrong ? 40.0 : 2.0, "queries at the press, %", 0.0));
        numbers.put("varnish, %", oil);
        facts.put(
                "run " + n,
                new StudioView.Facts(
                        "run " + n,
                        "run",
                        "run " + n,
                        Map.of("roller", List.of(roller), "fault", List.of(wrong ? "scum" : "none")),
                        numbers));
    }

    @Test
    void what_failures_have_in_common_stands_out_only_beyond_what_was_looked_at() {
        for (int n = 0; n < 20; n++) {
            fact(n, n < 6, n < 6 || n == 19 ? "the old roller" : "the new roller", n % 5);
        }
        Answer answer = ask(new CommonFactors(), Map.of());
        assertTrue(
                texts(answer).startsWith("6 of 20 printed runs went wrong. More common among them")
                        && texts(answer).contains("roller: the old roller"),
                texts(answer));
        assertFalse(texts(answer).contains("varnish"), "it is the same in both: " + texts(answer));
        assertFalse(texts(answer).contains("fault"), "a fault is a result");
        facts.clear();
        for (int n = 0; n < 8; n++) {
            fact(n, n < 2, n < 2 ? "the old roller" : "the new roller", n);
        }
        assertTrue(
                texts(ask(new CommonFactors(), Map.of())).contains("none is more common among them than chance"),
                "two runs prove nothing");
        assertTrue(texts(ask(new CommonFactors(), Map.of("lost", "90"))).startsWith("0 runs of 8 printed went wrong"));
        assertThrows(BadInput.class, () -> ask(new CommonFactors(), Map.of("also", "nobody knows it")));
    }

    @Test
    void two_runs_side_by_side_name_what_is_unusual_here() {
        for (int n = 0; n < 10; n++) {
            fact(n, n == 9, n == 9 ? "the old roller" : "the new roller", n == 9 ? 4 : 1);
        }
        Answer answer = ask(new Compare(), Map.of("one", "run 3", "other", "run 9"));
        assertTrue(texts(answer).startsWith("They differ most unusually in: "), texts(answer));
        assertTrue(
                answer.blocks().stream()
                        .anyMatch(block -> block instanceof Answer.Table table
                                && table.rows().contains(List.of("varnish, %", "1", "4", "20 %"))),
                "nine of the 45 pairs differ as much: " + answer);
        assertEquals(
                "Nothing that is written down of them differs.",
                texts(ask(new Compare(), Map.of("one", "run 3", "other", "run 4")))
                        .strip());
        assertThrows(BadInput.class, () -> ask(new Compare(), Map.of("one", "run 3", "other", "run 3")));
        assertThrows(BadInput.class, () -> ask(new Compare(), Map.of("one", "run 3", "other", "nothing")));
    }

    @Nested
    class WhatWentWrongIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new WhatWentWrong();
        }

        @Override
        protected StudioView studio() {
            return printed();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("run", "run 3");
        }
    }

    @Nested
    class CompareIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new Compare();
        }

        @Override
        protected StudioView studio() {
            return printed();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("one", "run 3", "other", "run 9");
        }
    }

    @Nested
    class CommonFactorsIsChecked extends PluginCheck {
        @Override
        protected Calculator plugin() {
            return new CommonFactors();
        }

        @Override
        protected StudioView studio() {
            return printed();
        }

        @Override
        protected Map<String, String> replies() {
            return Map.of("lost", "20");
        }
    }

    /** Ten runs of which the last went wrong, each with pulls. */
    private StudioView printed() {
        for (int n = 0; n < 10; n++) {
            fact(n, n == 9, n == 9 ? "the old roller" : "the new roller", n == 9 ? 4 : 1);
            List<StudioView.PullRow> rows = new ArrayList<>();
            for (int pull = 1; pull <= 30; pull++) {
                rows.add(pull(pull, Map.of("density", 1.4 + 0.01 * (pull * 7 % 5) - (pull > 15 ? 0.2 : 0)), ""));
            }
            run("run " + n, rows, happening("press.paused", 16, "lunch", "", -1));
        }
        return studio();
    }
}
