package slabside.audit;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** Numbers as the audit says them. */
final class Words {
    private Words() {}

    static String percent(double chance) {
        return chance > 0.995
                ? "over 99 %"
                : chance < 0.005 ? "under 1 %" : String.format(Locale.ROOT, "%.0f %%", chance * 100);
    }

    static String chance(double p) {
        return p < 0.001 ? "under 0.001" : String.format(Locale.ROOT, "%.3f", p);
    }

    static String shown(double value) {
        return String.format(Locale.ROOT, Math.abs(value) < 10 ? "%.2f" : "%.1f", value);
    }

    /** How many times as well, from the logarithm of a factor. */
    static String times(double log) {
        double factor = StrictMath.exp(Math.min(log, 50));
        return factor > 1e6 ? "more than a million" : String.format(Locale.ROOT, "%.0f", factor);
    }

    /** Whether a text names something, and not only something whose name begins with it. */
    static boolean names(String text, String name) {
        for (int at = text.indexOf(name); at >= 0; at = text.indexOf(name, at + 1)) {
            int end = at + name.length();
            boolean begins = at == 0 || !Character.isLetterOrDigit(text.charAt(at - 1));
            if (begins && (end == text.length() || !Character.isLetterOrDigit(text.charAt(end)))) {
                return true;
            }
        }
        return false;
    }

    static String capital(String text) {
        return text.isEmpty() ? text : Character.toUpperCase(text.charAt(0)) + text.substring(1);
    }

    /** Numbers of pulls in order, neighbours drawn together: "1–3, 31". */
    static String pulls(List<Integer> pulls) {
        List<String> parts = new ArrayList<>();
        for (int i = 0; i < pulls.size(); ) {
            int end = i;
            while (end + 1 < pulls.size() && pulls.get(end + 1) == pulls.get(end) + 1) {
                end++;
            }
            parts.add(pulls.get(i) + (end > i ? (end > i + 1 ? "–" : ", ") + pulls.get(end) : ""));
            i = end + 1;
        }
        return String.join(", ", parts);
    }

    static String plural(int count, String one, String more) {
        return count + " " + (count == 1 ? one : more);
    }
}
