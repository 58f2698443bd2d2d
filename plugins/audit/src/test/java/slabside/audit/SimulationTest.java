package slabside.audit;

import static java.util.Objects.requireNonNull;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
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
    private static final int DRAWN = 4_000;

    /** How an edition was looked at: read off an instrument at every pull, or judged beside the OK proof at every fifth. */
    private enum Looked {
        READINGS,
        MARKS
    }

    /** What made it: nothing, something nobody wrote down, or one of the suspects. */
    private record Made(StudioView.RunRecord run, boolean changed, Optional<String> culprit) {}

    private static final List<String> KINDS = List.of(
            "press.lay-set",
            "press.water",
            "stone.treated",
            "press.paused",
            "press.packing",
            "press.hands-changed",
            "press.noted",
            "press.pressure");

    /** Eight events of different kinds, none nearer than four pulls to another. */
    private static List<StudioView.Happening> happenings(Random random) {
        // Sorted places, each moved on by four more than the one before, so that none is nearer than that.
        int[] loose = random.ints(EVENTS, 0, 45 - 4 * (EVENTS - 1)).sorted().toArray();
        List<String> kinds = new ArrayList<>(KINDS);
        java.util.Collections.shuffle(kinds, random);
        List<StudioView.Happening> happenings = new ArrayList<>();
        for (int i = 0; i < EVENTS; i++) {
            int place = 8 + loose[i] + 4 * i;
            happenings.add(new StudioView.Happening(
                    "e" + place, place, kinds.get(i), place, "event before pull " + place, "", -1, Map.of()));
        }
        return happenings;
    }

    private static StudioView.RunRecord printed(
            Random random, Looked looked, List<StudioView.Happening> happenings, double[] effect) {
        double level = random.nextGaussian() * 0.5;
        List<StudioView.PullRow> pulls = new ArrayList<>();
        for (int n = 1; n <= PULLS; n++) {
            double z = random.nextGaussian() + effect[n - 1];
            double value = Math.round((1 + 0.02 * z) * 1000) / 1000.0;
            double beside = level + z;
            String mark = beside > Series.SEEN ? "darker" : beside < -Series.SEEN ? "lighter" : "match";
            pulls.add(pull(
                    n,
                    "good",
                    looked == Looked.READINGS ? Map.of("solid density", value) : Map.of(),
                    looked == Looked.MARKS && n % 5 == 0 ? mark : ""));
        }
        return record("made up", pulls, happenings);
    }

    /** A step of so many standard deviations at one of the events, at the pull that its lags give; none for a clean edition. */
    private static Made made(Random random, Looked looked, double shift) {
        List<StudioView.Happening> happenings = happenings(random);
        StudioView.Happening culprit = happenings.get(random.nextInt(EVENTS));
        int from = culprit.before() + lag(random, Causes.known(culprit.type()).lags());
        double[] effect = new double[PULLS];
        for (int n = from; n <= PULLS; n++) {
            effect[n - 1] = shift;
        }
        return new Made(
                printed(random, looked, happenings, effect),
                shift != 0,
                shift == 0 ? Optional.empty() : Optional.of(culprit.text()));
    }

    private static int lag(Random random, double[] lags) {
        double left = random.nextDouble();
        for (int lag = 0; lag < lags.length; lag++) {
            left -= lags[lag];
            if (left < 0) {
                return lag;
            }
        }
        return lags.length - 1;
    }

    /** As the stated priors have it: nothing, a cause nobody wrote down, or any of the suspects by the weight of its kind. */
    private static Made drawn(Random random, Looked looked) {
        List<StudioView.Happening> happenings = happenings(random);
        double size = random.nextGaussian() * 2;
        double[] effect = new double[PULLS];
        double what = random.nextDouble();
        if (what < Ranking.NO_CHANGE) {
            return new Made(printed(random, looked, happenings, effect), false, Optional.empty());
        }
        if (what < Ranking.NO_CHANGE + Ranking.NOT_IN_THE_LOG) {
            int from = 2 + random.nextInt(PULLS - 1);
            for (int n = from; n <= PULLS; n++) {
                effect[n - 1] = size;
            }
            return new Made(printed(random, looked, happenings, effect), true, Optional.empty());
        }
        List<Suspect> suspects = Suspects.of(printed(random, looked, happenings, effect));
        double left = random.nextDouble()
                * suspects.stream().mapToDouble(each -> each.kind().weight()).sum();
        Suspect culprit = suspects.get(0);
        for (Suspect each : suspects) {
            left -= each.kind().weight();
            culprit = each;
            if (left < 0) {
                break;
            }
        }
        int from = culprit.first() + lag(random, culprit.kind().lags());
        for (int n = 1; n <= PULLS; n++) {
            double shape = culprit.shape().isEmpty()
                    ? n >= from ? 1 : 0
                    : culprit.shape().getOrDefault(n, 0.0);
            effect[n - 1] = size * shape;
        }
        return new Made(printed(random, looked, happenings, effect), true, Optional.of(culprit.label()));
    }

    private static Optional<Ranking> ranked(Made made) {
        List<Series> series = Series.of(made.run());
        assertTrue(series.size() <= 1, "passes never change, nothing is spoiled");
        return series.stream().findFirst().map(each -> Ranking.of(made.run(), each, Suspects.of(made.run())));
    }

    private static boolean isFirst(Made made) {
        return ranked(made)
                .filter(ranking -> ranking.isInTheLog() && ranking.changed())
                .filter(ranking -> ranking.group().stream()
                        .anyMatch(each -> made.culprit()
                                .filter(each.suspect().label()::equals)
                                .isPresent()))
                .isPresent();
    }

    /** Clean editions of which something was accused with more than an even chance. */
    private static int accused(Looked looked, long seed, int editions) {
        Random random = new Random(seed);
        int accused = 0;
        for (int i = 0; i < editions; i++) {
            accused += ranked(made(random, looked, 0))
                            .filter(ranking -> ranking.first().chance() > 0.5)
                            .isPresent()
                    ? 1
                    : 0;
        }
        return accused;
    }

    /** Shifts of 1.5 to 4 standard deviations that were laid to their event or its group. */
    private static int found(Looked looked, long seed, int editions) {
        Random random = new Random(seed);
        int first = 0;
        for (int i = 0; i < editions; i++) {
            double size = 1.5 + random.nextDouble() * 2.5;
            first += isFirst(made(random, looked, random.nextBoolean() ? size : -size)) ? 1 : 0;
        }
        return first;
    }

    /** Of what was said with a chance within each tenth, how often it was said and how often it was so. */
    private static int[][] calibration(Looked looked, long seed, int editions) {
        Random random = new Random(seed);
        int[][] bins = new int[10][2];
        for (int i = 0; i < editions; i++) {
            Made made = drawn(random, looked);
            Optional<Ranking> ranking = ranked(made);
            if (ranking.isEmpty()) {
                continue;
            }
            say(bins, ranking.get().noChange(), !made.changed());
            say(
                    bins,
                    ranking.get().notInTheLog(),
                    made.changed() && made.culprit().isEmpty());
            Ranking.Cause best = ranking.get().first();
            say(
                    bins,
                    best.chance(),
                    made.culprit().filter(best.suspect().label()::equals).isPresent());
        }
        return bins;
    }

    private static void say(int[][] bins, double chance, boolean right) {
        int bin = Math.min(9, (int) (chance * 10));
        bins[bin][0]++;
        bins[bin][1] += right ? 1 : 0;
    }

    /** The table of the documentation, made anew from the same seeds. */
    private static String table(Map<Looked, int[][]> said) {
        StringBuilder out = new StringBuilder();
        out.append("| | readings at every pull | marks at every fifth |\n|---|---|---|\n");
        out.append(String.format(
                Locale.ROOT,
                "| clean editions in which something was accused with more than 50 %% | %d of %d | %d of %d |%n",
                accused(Looked.READINGS, 1, EDITIONS),
                EDITIONS,
                accused(Looked.MARKS, 1, EDITIONS),
                EDITIONS));
        out.append(String.format(
                Locale.ROOT,
                "| shifts of 1.5 to 4 σ laid to their event or its group | %d of %d | %d of %d |%n",
                found(Looked.READINGS, 2, EDITIONS),
                EDITIONS,
                found(Looked.MARKS, 2, EDITIONS),
                EDITIONS));
        int[][] readings = requireNonNull(said.get(Looked.READINGS));
        int[][] marks = requireNonNull(said.get(Looked.MARKS));
        for (int bin = 0; bin < 10; bin++) {
            out.append(String.format(
                    Locale.ROOT,
                    "| said to be %d to %d %%, was so | %s | %s |%n",
                    bin * 10,
                    bin * 10 + 10,
                    share(readings[bin]),
                    share(marks[bin])));
        }
        return out.toString();
    }

    private static String share(int[] bin) {
        return bin[0] == 0
                ? "never said"
                : String.format(Locale.ROOT, "%d of %d, %.0f %%", bin[1], bin[0], 100.0 * bin[1] / bin[0]);
    }

    private static StudioView.RunRecord record(
            String name, List<StudioView.PullRow> pulls, List<StudioView.Happening> happenings) {
        return new StudioView.RunRecord(
                "run", name, "", "flat", false, Map.of(), List.of(), pulls, happenings, List.of());
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

    /**
     * Clean editions are hardly ever accused, a shift that can be seen is laid to its event, and chances mean what they say; all
     * of it as the documentation has it.
     */
    @Test
    void the_audit_holds_what_it_promises() throws IOException {
        Map<Looked, int[][]> said = new EnumMap<>(Looked.class);
        for (Looked looked : Looked.values()) {
            int accused = accused(looked, 1, EDITIONS);
            assertTrue(
                    accused <= EDITIONS * 0.05,
                    accused + " of " + EDITIONS + " clean editions were accused, " + looked);
            int[][] bins = calibration(looked, 3, DRAWN);
            said.put(looked, bins);
            for (int bin = 0; bin < bins.length; bin++) {
                double share = (double) bins[bin][1] / Math.max(1, bins[bin][0]);
                boolean meant = share >= bin * 0.1 - 0.05 && share <= bin * 0.1 + 0.15;
                assertTrue(
                        bins[bin][0] < 100 || meant,
                        bins[bin][1] + " of " + bins[bin][0] + " that were said to be about " + bin * 10 + " to "
                                + (bin * 10 + 10) + " % were so, " + looked);
            }
        }
        int first = found(Looked.READINGS, 2, EDITIONS);
        assertTrue(first >= EDITIONS * 0.85, first + " of " + EDITIONS + " shifts were laid to their event");
        int[] likely = requireNonNull(said.get(Looked.READINGS))[8];
        assertTrue(likely[0] > 100, likely[0] + " were said to be 80 to 90 % likely");
        assertTrue(likely[1] >= 0.75 * likely[0] && likely[1] <= 0.95 * likely[0]);

        String table = table(said);
        Path made = Path.of("target", "calibration.md");
        Files.createDirectories(Path.of("target"));
        Files.writeString(made, table);
        String documentation = Files.readString(Path.of("..", "..", "DEVELOPERS.md"));
        assertTrue(
                documentation.contains(table.strip()), "put the table of " + made + " into DEVELOPERS.md:\n" + table);
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
