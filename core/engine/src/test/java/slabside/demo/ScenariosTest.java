package slabside.demo;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import slabside.edition.Run;
import slabside.event.PressGrade;
import slabside.event.ThingId;
import slabside.ink.Contents;
import slabside.ink.Ledger;
import slabside.ink.Rebuild;
import slabside.measure.Mass;
import slabside.measure.Uncertain;
import slabside.studio.Studio;
import slabside.views.Thing;

/** The invented scenarios come out of the log with the numbers they were made from. */
class ScenariosTest {
    @TempDir
    static Path folder;

    static Studio studio;

    @BeforeAll
    static void write() {
        LocalDate today = LocalDate.of(2026, 6, 15);
        Demo.write(folder.resolve("data"), folder.resolve("config"), today, ZoneOffset.UTC);
        Clock clock = Clock.fixed(today.atTime(9, 0).toInstant(ZoneOffset.UTC), ZoneOffset.UTC);
        studio = Studio.open(folder.resolve("data"), folder.resolve("config"), clock);
        studio.views().catchUp();
    }

    @AfterAll
    static void close() {
        studio.close();
    }

    static ThingId named(String kind, String name) {
        return studio.views().named(kind, name).id();
    }

    static Map<String, Uncertain> shares(Contents contents) {
        Map<String, Uncertain> shares = new HashMap<>();
        contents.byMaterial(studio.ledger()::material)
                .forEach(part -> shares.put(studio.name(part.id()), part.share()));
        return shares;
    }

    static Run run(String edition, int order) {
        return studio.runs().runOf(named("edition", edition), order);
    }

    @ParameterizedTest
    @CsvSource({
        "transparent base, 72.892",
        "opaque white, 20.410",
        "process blue, 2.187",
        "black, 1.458",
        "ochre, 1.093",
        "rubine, 0.535",
        "tack reducer, 0.802",
        "magnesium carbonate, 0.624"
    })
    void heron_grey_has_its_true_shares_because_what_was_set_aside_took_no_rubine(String material, double percent) {
        Contents grey = studio.ledger().at(named("mix", "Heron grey HG-2"), agreed());
        assertEquals(percent, shares(grey).get(material).value() * 100, 0.0005);
    }

    private static slabside.views.StoryKey agreed() {
        return Rebuild.agreed(studio.views(), named("mix", "Heron grey HG-2")).orElseThrow();
    }

    private static Rebuild ninetyGrams() {
        Contents grey = studio.ledger().at(named("mix", "Heron grey HG-2"), agreed());
        return Rebuild.of(studio.views(), studio.ledger(), studio.shelf(), grey, Mass.ofGrams("90"), new Mass(100));
    }

    @ParameterizedTest
    @CsvSource({
        "transparent base, 65.60, 65.73", "opaque white, 18.37, 18.37", "process blue, 1.97, 1.76", "black, 1.31, 1.40",
        "ochre, 0.98, 0.98", "rubine, 0.48, 0.48", "tack reducer, 0.72, 0.72", "magnesium carbonate, 0.56, 0.56"
    })
    void ninety_grams_of_heron_grey_as_it_was_and_with_the_new_lots(String material, double before, double now) {
        Rebuild.Line line = ninetyGrams().lines().stream()
                .filter(l -> l.material().name().equals(material))
                .findFirst()
                .orElseThrow();
        assertEquals(before, line.asBefore(), 0.005);
        assertEquals(now, line.grams(), 0.005);
    }

    @Test
    void the_rebuild_says_what_has_changed_since() {
        Rebuild rebuild = ninetyGrams();
        String changes = String.join("\n", rebuild.changes());
        assertTrue(changes.contains("TB-1907 of transparent base is gone (slightly amber"), changes);
        assertTrue(changes.contains("ochre can YO-0391 has a skin"), changes);
        assertTrue(changes.contains("process blue: the new lot is 112 % as strong"), changes);
        assertTrue(changes.contains("black: the new lot is 94 % as strong"), changes);
        assertEquals(1, rebuild.packets().size(), "the packet set aside is used up, the other is kept");
        assertEquals(19.0, rebuild.packets().get(0).left().grams().orElseThrow().value(), 0.05);
        assertEquals("transparent base", rebuild.lines().get(0).material().name());
    }

    @Test
    void the_batch_weighed_on_the_scale_is_ninety_grams_within_a_step_for_each_line() {
        Rebuild rebuild = ninetyGrams();
        double exact = rebuild.lines().stream().mapToDouble(Rebuild.Line::grams).sum();
        assertEquals(90, exact, 1e-9);
        for (Rebuild.Line line : rebuild.lines()) {
            assertEquals(0, line.roundingError(), 0.05 + 1e-9);
            assertEquals(
                    line.weighed().milligrams(),
                    line.portions().stream().mapToLong(Mass::milligrams).sum());
        }
    }

    @ParameterizedTest
    @CsvSource({"22, 0.469", "23, 1.678", "28, 2.530", "33, 3.129"})
    void the_tack_reducer_on_the_load_of_the_weir_rises_with_every_charge_of_the_second_batch(
            int pull, double percent) {
        Run run = run("Weir, Slack Water", 1);
        Contents load = studio.runs().loadsAt(run.pull(pull)).get(0);
        assertEquals(percent, shares(load).get("tack reducer").value() * 100, 0.0015);
    }

    @ParameterizedTest
    @CsvSource({"23, 20.0, 26.0", "28, 19.9, 31.3", "33, 19.7, 36.3"})
    void the_load_of_the_weir_grows_only_where_it_was_over_charged(int pull, double asItWas, double overCharged) {
        Run run = run("Weir, Slack Water", 1);
        Run other = run("Weir, Slack Water (over-charged instead)", 1);
        assertEquals(
                asItWas, studio.runs().loadsAt(run.pull(pull)).get(0).grams().value(), 0.05);
        assertEquals(
                overCharged,
                studio.runs().loadsAt(other.pull(pull)).get(0).grams().value(),
                0.05);
    }

    @ParameterizedTest
    @CsvSource({
        "1, 0.421, 60, 59, 3, 26.5, 22.0, 3.0, 38.5",
        "2, 0.142, 59, 57, 4, 9.0, 18.0, 4.0, 29.0",
        "3, 0.274, 57, 53, 6, 17.3, 28.7, 4.0, 40.0",
        "4, 0.082, 53, 52, 3, 4.6, 16.0, 2.5, 26.9",
        "5, 0.067, 52, 50, 3, 3.7, 15.0, 2.0, 24.3"
    })
    void every_balance_of_tidewrack_closes(
            int order,
            double perPull,
            int in,
            int good,
            int before,
            double paper,
            double washUp,
            double tests,
            double left) {
        Run run = run("Tidewrack, Four Fathoms", order);
        assertEquals(in, run.printed());
        assertEquals(good, run.graded(PressGrade.GOOD));
        assertEquals(before, run.beforeTheEdition());
        assertEquals(
                perPull, studio.ledger().perPull(run.id()).orElseThrow().grams().value(), 0.001);
        List<ThingId> mixes = studio.views().things("mix", "", 100).stream()
                .filter(thing -> thing.of().equals(run.id().text()))
                .map(Thing::id)
                .toList();
        Map<ThingId, Uncertain> fromMixes = studio.ledger().balance(mixes);
        Map<ThingId, Uncertain> fromLoads = studio.ledger().balance(run.loads());
        assertEquals(tests, fromMixes.get(ThingId.TEST).value(), 1e-9);
        assertEquals(paper, fromLoads.get(ThingId.paperOf(run.id())).value(), 1e-6);
        assertEquals(washUp, fromLoads.get(ThingId.WASH_UP).value(), 1e-6);
        double wrapped = fromMixes.entrySet().stream()
                .filter(e -> e.getKey().text().startsWith("packet-"))
                .mapToDouble(e -> e.getValue().value())
                .sum();
        assertEquals(left, wrapped, 1e-6);
    }

    @Test
    void tidewrack_used_231_8_grams_of_base() {
        ThingId base = named("can", "TB-2408");
        double used = 0;
        for (Ledger.Step step : studio.ledger().steps(base)) {
            String to = studio.views().thing(step.to()).map(Thing::name).orElse("");
            if (step.from().equals(base) && !to.startsWith("Slack water")) {
                used += step.grams().orElseThrow().value();
            }
        }
        assertEquals(231.8, used, 1e-9);
    }

    @Test
    void the_ink_of_the_ok_proof_in_run_4_can_be_asked_for() {
        ThingId edition = named("edition", "Tidewrack, Four Fathoms");
        Run run = studio.runs().runOf(edition, 4);
        Contents load = studio.runs().loadsAt(studio.runs().okPull(edition, 4)).get(0);
        assertEquals(0.92, shares(load).get("transparent base").value(), 1e-9);
    }

    @Test
    void a_trace_of_the_second_batch_names_just_the_pulls_after_lunch() {
        Ledger.Trace trace = studio.ledger().trace(named("mix", "Slack water B2"));
        assertEquals(14, trace.pulls().size());
        assertEquals(0.3, trace.pulls().get(0).share(), 1e-3);
    }

    @Test
    void the_log_of_the_demo_verifies() {
        assertTrue(
                studio.log().verify().wrong().isEmpty(),
                () -> studio.log().verify().wrong().toString());
        assertFalse(studio.log().heads().isEmpty());
    }
}
