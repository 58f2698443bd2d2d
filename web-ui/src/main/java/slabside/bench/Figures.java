package slabside.bench;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import slabside.host.Drawn;
import slabside.plugin.Answer;

/** What was measured, row by row, beside floors and limits. */
final class Figures {
    private final List<List<String>> rows = new ArrayList<>();

    /** @param limit what it is compared with, or empty */
    void row(String what, double measured, String unit, String limit) {
        rows.add(List.of(what, shown(measured), unit, "", limit));
    }

    /**
     * A row beside its floor in the same run.
     *
     * @param limit of the ratio or of what the floor is, or empty
     */
    void compared(String what, double measured, double floor, String unit, double ratio, String limit) {
        rows.add(List.of(
                what,
                shown(measured),
                unit,
                shown(floor),
                String.format(Locale.ROOT, "%.2f", ratio) + (limit.isEmpty() ? "" : " (" + limit + ")")));
    }

    /** Single entries, each acknowledged before the next. */
    void singles(SinglesTimed times, String limitOfSlowest) {
        for (int percent : new int[] {50, 99}) {
            compared(
                    "one event acknowledged, p" + percent,
                    times.millis(percent),
                    times.floorMillis(percent),
                    "ms",
                    times.ratio(percent),
                    percent == 50 ? "at most 1.5" : limitOfSlowest);
        }
    }

    Answer.Table table() {
        return new Answer.Table("", List.of("what", "measured", "unit", "floor", "ratio or limit"), rows);
    }

    private static String shown(double value) {
        return Drawn.fixed(value, value >= 1000 ? 0 : value >= 10 ? 1 : 3);
    }
}
