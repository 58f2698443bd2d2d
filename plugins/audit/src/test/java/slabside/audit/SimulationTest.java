package slabside.audit;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Random;
import org.junit.jupiter.api.Test;
import slabside.plugin.StudioView;

/**
 * Made-up editions of 60 pulls with eight events at least four pulls apart, one of which may shift a reading. Fixed seeds;
 * the shares that must be reached are those the audit promises.
 */
class SimulationTest {
    private static final int PULLS = 60;
    private static final int EVENTS = 8;
    private static final int EDITIONS = 400;

    private record Made(StudioView.RunRecord run, int culprit) {}

    /** Shift in standard deviations at one of the events; none for a clean edition. */
    private static Made made(Random random, double shift) {
        // Sorted places, each moved on by four more than the one before, so that none is nearer than that.
        int[] loose = random.ints(EVENTS, 0, 45 - 4 * (EVENTS - 1)).sorted().toArray();
        List<Integer> places = new ArrayList<>();
        for (int i = 0; i < EVENTS; i++) {
            places.add(8 + loose[i] + 4 * i);
        }
        int culprit = places.get(random.nextInt(EVENTS));
        List<StudioView.Happening> happenings = new ArrayList<>();
        for (int place : places) {
            happenings.add(new StudioView.Happening(
                    "e" + place, place, "press.lay-set", place, "event before pull " + place, "", -1, Map.of()));
        }
        happenings.sort(Comparator.comparingInt(StudioView.Happening::before));
        List<StudioView.PullRow> pulls = new ArrayList<>();
        for (int n = 1; n <= PULLS; n++) {
            double value = 1 + 0.02 * (random.nextGaussian() + (n >= culprit ? shift : 0));
            pulls.add(pull(n, "good", Map.of("solid density", Math.round(value * 1000) / 1000.0), ""));
        }
        return new Made(record("made up", pulls, happenings), culprit);
    }

    private static StudioView.RunRecord record(
            String name, List<StudioView.PullRow> pulls, List<StudioView.Happening> happenings) {
        return new StudioView.RunRecord("run", name, "", "flat", false, Map.of(), pulls, happenings, List.of());
    }

    private static StudioView.PullRow pull(int n, String grade, Map<String, Double> readings, String match) {
        return new StudioView.PullRow(
                "p" + n,
                n,
                n,
                "S-" + n,
                grade,
                false,
                OptionalInt.of(6),
                List.of(),
                readings,
                match,
                "",
                List.of(),
                "",
                Optional.empty());
    }

    private static Ranking ranked(Made made) {
        List<Series> series = Series.of(made.run());
        assertEquals(1, series.size(), "passes never change, nothing is spoiled");
        return Ranking.of(made.run(), series.get(0), Suspects.of(made.run()));
    }

    @Test
    void clean_editions_are_hardly_ever_accused() {
        Random random = new Random(1);
        int accused = 0;
        for (int i = 0; i < EDITIONS; i++) {
            accused += ranked(made(random, 0)).causes().get(0).chance() > 0.5 ? 1 : 0;
        }
        assertTrue(accused <= EDITIONS * 0.05, accused + " of " + EDITIONS + " clean editions were accused");
    }

    @Test
    void a_shift_that_can_be_seen_is_laid_to_the_event_that_made_it() {
        Random random = new Random(2);
        int first = 0;
        for (int i = 0; i < EDITIONS; i++) {
            double size = 1.5 + random.nextDouble() * 2.5;
            Made made = made(random, random.nextBoolean() ? size : -size);
            first += ranked(made).causes().get(0).suspect().first() == made.culprit() ? 1 : 0;
        }
        assertTrue(first >= EDITIONS * 0.85, first + " of " + EDITIONS + " shifts were laid to their event");
    }

    /** Of those said to be 80 to 90 % likely, three quarters to nineteen in twenty are right. */
    @Test
    void chances_mean_what_they_say() {
        Random random = new Random(3);
        int said = 0;
        int right = 0;
        for (int i = 0; i < 4_000; i++) {
            // Steady as often as the priors have it, an effect as they have it; a cause not in the log is left out
            // here.
            double shift = random.nextDouble() < 0.5 / 0.9 ? 0 : random.nextGaussian() * 2;
            Made made = made(random, shift);
            Ranking ranking = ranked(made);
            double best = ranking.causes().get(0).chance();
            if (ranking.noChange() >= 0.8 && ranking.noChange() < 0.9) {
                said++;
                right += shift == 0 ? 1 : 0;
            } else if (best >= 0.8 && best < 0.9) {
                said++;
                right += shift != 0 && ranking.causes().get(0).suspect().first() == made.culprit() ? 1 : 0;
            }
        }
        assertTrue(said > 100, said + " were said to be 80 to 90 % likely");
        double share = (double) right / said;
        assertTrue(share >= 0.75 && share <= 0.95, right + " of " + said + " were right");
    }

    /** Short, long, tied, all spoiled, none: an answer each time, and an honest one. */
    @Test
    void odd_runs_get_an_answer() {
        for (int pulls : new int[] {0, 1, 3, 6, 500}) {
            for (String grade : List.of("good", "spoiled")) {
                for (double step : new double[] {0, 0.1, 5}) {
                    List<StudioView.PullRow> rows = new ArrayList<>();
                    for (int n = 1; n <= pulls; n++) {
                        rows.add(pull(
                                n,
                                grade,
                                Map.of("density", Math.round(n % 7 / 3.0) * step),
                                n % 5 == 0 ? "darker" : ""));
                    }
                    StudioView.RunRecord run = record(
                            "odd",
                            rows,
                            List.of(new StudioView.Happening("e", 1, "press.paused", 2, "a pause", "", -1, Map.of())));
                    for (Series series : Series.of(run)) {
                        Ranking ranking = Ranking.of(run, series, Suspects.of(run));
                        double sum = ranking.noChange() + ranking.notInTheLog();
                        for (Ranking.Cause cause : ranking.causes()) {
                            sum += cause.chance();
                        }
                        assertEquals(1, sum, 1e-9);
                        ranking.change();
                    }
                }
            }
        }
    }

    /** Looks beside the OK proof every fifth pull, no instrument at all. */
    @Test
    void marks_in_words_alone_point_to_the_event() {
        List<StudioView.PullRow> rows = new ArrayList<>();
        for (int n = 1; n <= PULLS; n++) {
            rows.add(pull(n, "good", Map.of(), n % 5 == 0 ? (n < 33 ? "match" : "darker") : ""));
        }
        List<StudioView.Happening> happenings = List.of(
                new StudioView.Happening("a", 1, "press.lay-set", 14, "the lay was set", "", -1, Map.of()),
                new StudioView.Happening("b", 2, "stone.treated", 33, "etched again", "", -1, Map.of()),
                new StudioView.Happening("c", 3, "press.lay-set", 50, "the lay was set again", "", -1, Map.of()));
        StudioView.RunRecord run = record("words", rows, happenings);
        Ranking ranking = Ranking.of(run, Series.of(run).get(0), Suspects.of(run));
        assertEquals("etched again", ranking.causes().get(0).suspect().label());
        assertTrue(ranking.causes().get(0).chance() > 0.5, ranking.toString());
        assertTrue(ranking.noChange() < 0.1);
    }
}
