package slabside.host;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import slabside.edition.Run;
import slabside.edition.Runs;
import slabside.event.Margin;
import slabside.event.Match;
import slabside.event.PressEvent;
import slabside.event.PressGrade;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.statistics.Individuals;
import slabside.views.Role;
import slabside.views.StoryKey;
import slabside.views.Told;
import slabside.views.Views;

/**
 * Whether the last pulls of a run left the band of its approved opening: three standard deviations around what was read of the
 * OK proof, else around the opening's mean; or were judged the same way off twice in a row.
 */
public final class LastPulls {
    private static final String PASSES = "passes";
    /** As if passes were counted so coarsely that one more or fewer stays within the band: assumption. */
    private static final double ONE_PASS = 1.5;

    private final Map<String, TreeMap<Integer, Double>> read = new LinkedHashMap<>();
    private final Map<String, Double> standard = new HashMap<>();
    private final Map<Integer, Boolean> approved = new HashMap<>();
    private final List<String> said = new ArrayList<>();

    private LastPulls() {}

    /** What left its band with the last value, in words; empty when all is as it should be or there is too little to say. */
    public static List<String> outOfBand(Views views, Runs runs, Run run) {
        LastPulls last = new LastPulls();
        last.gather(views, runs, run);
        last.read.forEach(last::hold);
        return List.copyOf(last.said);
    }

    private void gather(Views views, Runs runs, Run run) {
        Map<ThingId, Integer> pulls = new HashMap<>();
        for (Run.Pull pull : run.pulls()) {
            if (pull.number() == 0 || pull.countedBefore()) {
                continue;
            }
            if (pull.sheet() != null) {
                pulls.put(pull.sheet(), pull.number());
            }
            approved.put(pull.number(), pull.event().grade() == PressGrade.GOOD);
            if (pull.event().passes() != null) {
                put(PASSES, pull.number(), pull.event().passes());
            }
        }
        Optional<ThingId> ok = run.edition().flatMap(runs::okSheet);
        TreeMap<Integer, Match> matches = new TreeMap<>();
        TreeMap<Integer, Margin> margins = new TreeMap<>();
        for (Told told : views.of(run.id(), Set.of(Role.NOTED), StoryKey.LAST)) {
            if (told.event() instanceof PressEvent.Measured measured && measured.sheet() != null) {
                read(
                        RunStory.called(measured),
                        measured.sheet(),
                        measured.value().doubleValue(),
                        pulls,
                        ok);
            } else if (told.event() instanceof TestEvent.ColourRead colour
                    && colour.sheet() != null
                    && colour.over() == null
                    && colour.density() != null) {
                read("density", colour.sheet(), colour.density().doubleValue(), pulls, ok);
            } else if (told.event() instanceof PressEvent.Matched matched && matched.sheet() != null) {
                Integer pull = pulls.get(matched.sheet());
                if (pull != null && matched.match() != null) {
                    matches.put(pull, matched.match());
                }
                if (pull != null && matched.margin() != null) {
                    margins.put(pull, matched.margin());
                }
            }
        }
        twice(matches, Match.MATCH, "beside the OK proof");
        twice(margins, Margin.CLEAN, "the open areas");
    }

    private void read(String quantity, ThingId sheet, double value, Map<ThingId, Integer> pulls, Optional<ThingId> ok) {
        Integer pull = pulls.get(sheet);
        if (pull != null) {
            put(quantity, pull, value);
        }
        if (ok.equals(Optional.of(sheet))) {
            standard.put(quantity, value);
        }
    }

    private void put(String quantity, int pull, double value) {
        read.computeIfAbsent(quantity, any -> new TreeMap<>()).put(pull, value);
    }

    private <E extends Enum<E>> void twice(TreeMap<Integer, E> looks, E asItShould, String what) {
        if (looks.size() < 2) {
            return;
        }
        var last = looks.lastEntry();
        var before = looks.lowerEntry(last.getKey());
        if (last.getValue() != asItShould && before != null && before.getValue() == last.getValue()) {
            said.add(what + ": " + slabside.event.EventCodec.word(last.getValue()) + " twice in a row, at pulls "
                    + before.getKey() + " and " + last.getKey());
        }
    }

    private void hold(String quantity, TreeMap<Integer, Double> values) {
        double[] series = values.values().stream().mapToDouble(each -> each).toArray();
        boolean[] good = new boolean[series.length];
        int i = 0;
        for (int pull : values.keySet()) {
            good[i++] = approved.getOrDefault(pull, false);
        }
        OptionalDouble centre = standard.containsKey(quantity)
                ? OptionalDouble.of(standard.getOrDefault(quantity, 0.0))
                : OptionalDouble.empty();
        double step = quantity.equals(PASSES) ? ONE_PASS : Individuals.stepOf(series);
        Individuals.ofOpening(series, good, step)
                .map(limits -> centre.isPresent() ? limits.around(centre.getAsDouble()) : limits)
                .filter(limits -> !limits.outside(series[series.length - 1]).isEmpty())
                .ifPresent(limits -> said.add(String.format(
                        Locale.ROOT,
                        "%s %s at pull %d, the band is %s to %s",
                        quantity,
                        shown(series[series.length - 1]),
                        values.lastKey(),
                        shown(limits.lower()),
                        shown(limits.upper()))));
    }

    private static String shown(double value) {
        return Drawn.fixed(value, Math.abs(value) < 10 ? 2 : 1);
    }
}
