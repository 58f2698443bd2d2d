package slabside.edition;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import slabside.measure.BadInput;

/**
 * Codes of sheets as a printer writes them: "TD-01…TD-60", "TD-01…60", "TD-01 to TD-05, TD-09". A code keeps its leading
 * zeros. Refuses a range that runs backwards, changes its letters or holds more than {@value #MOST} sheets, and a code
 * that comes twice.
 */
public final class SheetCodes {
    private static final int MOST = 2_000;
    private static final Pattern RANGE = Pattern.compile("(\\S+?)\\s*(?:…|\\.\\.\\.?|–|\\bto\\b)\\s*(\\S+)");
    private static final Pattern NUMBERED = Pattern.compile("(.*?)(\\d{1,9})");

    private SheetCodes() {}

    /** Every code that a text names, in its order. */
    public static List<String> read(String field, String text) {
        Set<String> codes = new LinkedHashSet<>();
        for (String part : text.split("[,;\\n]")) {
            String item = part.strip();
            if (item.isEmpty()) {
                continue;
            }
            Matcher range = RANGE.matcher(item);
            for (String code : range.matches() ? between(field, item, range.group(1), range.group(2)) : List.of(item)) {
                if (!codes.add(code)) {
                    throw new BadInput(field, code, "this sheet is named twice; leave it out once");
                }
            }
        }
        if (codes.size() > MOST) {
            throw new BadInput(field, text, "at most " + MOST + " sheets at once");
        }
        return List.copyOf(codes);
    }

    private static List<String> between(String field, String item, String first, String last) {
        Matcher from = NUMBERED.matcher(first);
        Matcher to = NUMBERED.matcher(last);
        if (!from.matches()
                || !to.matches()
                || !to.group(1).isEmpty() && !to.group(1).equals(from.group(1))) {
            throw new BadInput(field, item, "write a range as TD-01…TD-60, with the same letters at both ends");
        }
        int low = Integer.parseInt(from.group(2));
        int high = Integer.parseInt(to.group(2));
        if (low > high || high - low >= MOST) {
            throw new BadInput(field, item, "a range runs from the lower number to the higher, over at most " + MOST);
        }
        int digits = from.group(2).length();
        List<String> codes = new ArrayList<>();
        for (int i = low; i <= high; i++) {
            codes.add(from.group(1) + String.format(Locale.ROOT, "%0" + digits + "d", i));
        }
        return codes;
    }

    /** Codes as short as they can be written: neighbours become a range. */
    public static String shown(List<String> codes) {
        List<String> parts = new ArrayList<>();
        int i = 0;
        while (i < codes.size()) {
            int end = i;
            while (end + 1 < codes.size() && follows(codes.get(end), codes.get(end + 1))) {
                end++;
            }
            if (end - i >= 2) {
                parts.add(codes.get(i) + "…" + codes.get(end));
            } else {
                parts.addAll(codes.subList(i, end + 1));
            }
            i = end + 1;
        }
        return String.join(", ", parts);
    }

    private static boolean follows(String code, String next) {
        Matcher one = NUMBERED.matcher(code);
        Matcher two = NUMBERED.matcher(next);
        return one.matches()
                && two.matches()
                && one.group(1).equals(two.group(1))
                && one.group(2).length() == two.group(2).length()
                && Integer.parseInt(two.group(2)) == Integer.parseInt(one.group(2)) + 1;
    }
}
