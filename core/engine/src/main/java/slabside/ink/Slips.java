package slabside.ink;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import slabside.statistics.Propagated;
import slabside.statistics.Readings;
import slabside.statistics.Reconciliation;

/** Looks for the one slip of the pen that would explain a reading that does not fit. */
final class Slips {
    private Slips() {}

    /** The slip whose undoing makes every balance close, if there is one; the one that closes them best of several. */
    static Optional<Ledger.Slip> find(Readings readings, List<Propagated> residuals, Reconciliation.Adjusted suspect) {
        Map<String, Double> candidates = new LinkedHashMap<>();
        candidates.put("the decimal point", suspect.measured() / 10);
        candidates.put("the decimal point, the other way", suspect.measured() * 10);
        swapped(suspect.measured()).forEach((text, value) -> candidates.put(text, value));
        Ledger.Slip best = null;
        double bestP = 0.05;
        for (var candidate : candidates.entrySet()) {
            double change = candidate.getValue() - suspect.measured();
            List<Propagated> mended = residuals.stream()
                    .map(r -> r.plus(Propagated.exact(r.slope(suspect.key()) * change)))
                    .toList();
            double p =
                    Reconciliation.of(readings, mended).map(Reconciliation::p).orElse(0.0);
            if (p > bestP) {
                bestP = p;
                best = new Ledger.Slip(candidate.getKey(), candidate.getValue());
            }
        }
        return Optional.ofNullable(best);
    }

    /** Two neighbouring digits swapped, or one digit written for another. */
    private static Map<String, Double> swapped(double measured) {
        String digits = Long.toString(Math.round(measured * 1000));
        Map<String, Double> found = new LinkedHashMap<>();
        for (int i = 0; i + 1 < digits.length(); i++) {
            char[] text = digits.toCharArray();
            char kept = text[i];
            text[i] = text[i + 1];
            text[i + 1] = kept;
            found.put("digits " + (i + 1) + " and " + (i + 2) + " swapped", Long.parseLong(new String(text)) / 1000.0);
        }
        for (int i = 0; i < digits.length(); i++) {
            for (char digit = '0'; digit <= '9'; digit++) {
                char[] text = digits.toCharArray();
                text[i] = digit;
                found.put("digit " + (i + 1) + " written for a " + digit, Long.parseLong(new String(text)) / 1000.0);
            }
        }
        return found;
    }
}
