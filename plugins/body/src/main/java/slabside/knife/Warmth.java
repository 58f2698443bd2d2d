package slabside.knife;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import slabside.plugin.Answer;
import slabside.plugin.StudioView;

/**
 * By how much an ink is softer for each °C, in natural logarithms: assumed, until unchanged inks were read in the cold and in the
 * warm.
 *
 * @param pairs inks that were
 */
record Warmth(double perKelvin, double u, int pairs) {
    static final double REFERENCE = 20;
    /** No published value for hand inks was found. */
    private static final Warmth ASSUMED = new Warmth(0.07, 0.03, 0);
    /** Readings closer than this tell nothing, K². */
    private static final double LEAST = 4;

    /** As the log tells it. */
    static Warmth of(List<SpreadRead> read, StudioView studio) {
        Map<String, List<SpreadRead>> unchanged = new LinkedHashMap<>();
        Map<String, List<Long>> into = new HashMap<>();
        for (SpreadRead each : read) {
            if (each.celsius().isPresent()) {
                long changed = into
                        .computeIfAbsent(
                                each.vessel(),
                                vessel -> studio.into(vessel).stream()
                                        .map(StudioView.Path::millis)
                                        .toList())
                        .stream()
                        .mapToLong(millis -> millis)
                        .filter(millis -> millis <= each.millis())
                        .max()
                        .orElse(0);
                unchanged
                        .computeIfAbsent(each.vessel() + " " + changed, any -> new ArrayList<>())
                        .add(each);
            }
        }
        double precision = 1 / (ASSUMED.u * ASSUMED.u);
        double weighted = ASSUMED.perKelvin * precision;
        int pairs = 0;
        for (List<SpreadRead> same : unchanged.values()) {
            double meanX = same.stream()
                    .mapToDouble(each -> each.celsius().orElse(REFERENCE))
                    .average()
                    .orElse(0);
            double sxx = 0;
            double sxy = 0;
            for (SpreadRead each : same) {
                double off = each.celsius().orElse(REFERENCE) - meanX;
                sxx += off * off;
                sxy -= off * StrictMath.log(each.yield());
            }
            if (sxx >= LEAST) {
                precision += sxx / (SpreadLog.SCATTER * SpreadLog.SCATTER);
                weighted += sxy / (SpreadLog.SCATTER * SpreadLog.SCATTER);
                pairs++;
            }
        }
        return new Warmth(weighted / precision, 1 / StrictMath.sqrt(precision), pairs);
    }

    Answer told(Answer answer) {
        String words = String.format(
                java.util.Locale.ROOT, "An ink is softer by %.0f ± %.0f %% for each °C", perKelvin * 100, u * 100);
        return pairs == 0
                ? answer.assumption(words, "assumption; no published value for hand inks was found")
                : answer.assumption(
                        words,
                        "measured here, on " + pairs + (pairs == 1 ? " ink" : " inks")
                                + " read in the cold and in the warm, with what was assumed before");
    }
}
