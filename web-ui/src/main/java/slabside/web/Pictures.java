package slabside.web;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.function.Function;
import slabside.event.ThingId;
import slabside.host.Drawn;
import slabside.ink.Ledger;
import slabside.plugin.Answer;

/** Small drawings as SVG, with titles for those who cannot see them and no style of their own. */
final class Pictures {
    private static final int WIDE = 600;
    private static final int STRIP_HEIGHT = 96;
    private static final String PAPER = "#f7f5ee";

    private Pictures() {}

    private static String escaped(String text) {
        return text.replace("&", "&amp;")
                .replace("<", "&lt;")
                .replace(">", "&gt;")
                .replace("\"", "&quot;");
    }

    private static String number(double value) {
        return Drawn.fixed(value, 1);
    }

    /**
     * A strip of paper crossing a black bar, each ink as wide as its share. Over the bar a transparent ink shows black, an
     * opaque one its own colour.
     */
    static String strip(Answer.Strip strip) {
        StringBuilder svg = new StringBuilder();
        svg.append(String.format(
                Locale.ROOT,
                "<svg class=\"strip\" viewBox=\"0 0 %d %d\" role=\"img\" preserveAspectRatio=\"none\"><title>%s</title>",
                WIDE,
                STRIP_HEIGHT,
                escaped(strip.caption() + ": "
                        + String.join(
                                ", ",
                                strip.parts().stream()
                                        .map(p -> p.label() + " " + Drawn.fixed(p.share() * 100, 1) + " %")
                                        .toList()))));
        svg.append(rect(0, 0, WIDE, STRIP_HEIGHT, PAPER, 1));
        svg.append(rect(0, STRIP_HEIGHT * 0.62, WIDE, STRIP_HEIGHT * 0.2, "#111111", 1));
        double x = 0;
        for (Answer.Part part : strip.parts()) {
            double width = part.share() * WIDE;
            boolean colourKnown = !part.screen().isEmpty();
            boolean pale = part.label().contains("base")
                    || part.label().contains("oil")
                    || part.label().contains("reducer");
            boolean opaque = part.label().contains("white") || part.label().contains("carbonate");
            svg.append(rect(
                    x, STRIP_HEIGHT * 0.16, width, STRIP_HEIGHT * 0.84, colourKnown ? part.screen() : "#8a8a88", 1));
            if (!opaque) {
                svg.append(rect(x, STRIP_HEIGHT * 0.62, width, STRIP_HEIGHT * 0.2, "#111111", pale ? 0.94 : 0.82));
            }
            x += width;
        }
        for (double at = 0, i = 0; i < strip.parts().size(); i++) {
            at += strip.parts().get((int) i).share() * WIDE;
            svg.append(String.format(
                    Locale.ROOT,
                    "<path d=\"M%s %s V%d\" stroke=\"#2b2b2b\" stroke-width=\"0.6\"/>",
                    number(at),
                    number(STRIP_HEIGHT * 0.16),
                    STRIP_HEIGHT));
        }
        return svg.append("</svg>").toString();
    }

    private static String rect(double x, double y, double width, double height, String fill, double opacity) {
        return "<rect x=\"" + number(x) + "\" y=\"" + number(y) + "\" width=\"" + number(Math.max(0, width))
                + "\" height=\"" + number(height) + "\" fill=\"" + escaped(fill) + "\" fill-opacity=\""
                + Drawn.fixed(opacity, 2) + "\"/>";
    }

    /** Where ink came from and went, left to right; lines as thick as the grams they carry. */
    static String flow(List<Ledger.Arrow> arrows, ThingId centre, Function<ThingId, String> names) {
        Map<ThingId, Integer> columns = columns(arrows, centre);
        int least = columns.values().stream().mapToInt(Integer::intValue).min().orElse(0);
        int most = columns.values().stream().mapToInt(Integer::intValue).max().orElse(0);
        Map<Integer, List<ThingId>> rows = new HashMap<>();
        columns.forEach((id, column) ->
                rows.computeIfAbsent(column, c -> new ArrayList<>()).add(id));
        Map<ThingId, Double> carried = new HashMap<>();
        arrows.forEach(a -> {
            carried.merge(a.from(), a.grams(), Math::max);
            carried.merge(a.to(), a.grams(), Math::max);
        });
        rows.values().forEach(column -> column.sort(Comparator.comparingDouble(id -> -carried.getOrDefault(id, 0.0))));
        int tallest = rows.values().stream().mapToInt(List::size).max().orElse(1);
        int box = 176;
        int gap = 96;
        int step = 40;
        int width = (most - least + 1) * box + (most - least) * gap + 4;
        int height = tallest * step + 8;
        Map<ThingId, double[]> places = new LinkedHashMap<>();
        rows.forEach((column, ids) -> {
            double top = (height - ids.size() * step) / 2.0;
            for (int i = 0; i < ids.size(); i++) {
                places.put(ids.get(i), new double[] {2 + (column - least) * (box + gap), top + i * step + 4});
            }
        });
        StringBuilder svg = new StringBuilder(String.format(
                Locale.ROOT,
                "<svg class=\"flow\" viewBox=\"0 0 %d %d\" width=\"%d\" height=\"%d\" role=\"img\"><title>Where the ink came from and went</title>",
                width,
                height,
                width,
                height));
        double heaviest = arrows.stream().mapToDouble(Ledger.Arrow::grams).max().orElse(1);
        for (Ledger.Arrow arrow : arrows) {
            double[] from = places.get(arrow.from());
            double[] to = places.get(arrow.to());
            if (from != null && to != null) {
                svg.append(line(arrow, from, to, box, heaviest));
            }
        }
        places.forEach((id, place) -> svg.append(box(id, place, box, id.equals(centre), names.apply(id))));
        return svg.append("</svg>").toString();
    }

    private static String line(Ledger.Arrow arrow, double[] from, double[] to, int box, double heaviest) {
        double x1 = from[0] + box;
        double y1 = from[1] + 15;
        double x2 = to[0];
        double y2 = to[1] + 15;
        double thick = 1 + 9 * Math.sqrt(arrow.grams() / heaviest);
        return String.format(
                Locale.ROOT,
                "<path d=\"M%s %s C%s %s %s %s %s %s\" fill=\"none\" stroke=\"#9a9a97\" stroke-width=\"%s\"/>"
                        + "<text x=\"%s\" y=\"%s\" font-size=\"12\" text-anchor=\"end\" fill=\"#1c1c1c\">%s g</text>",
                number(x1),
                number(y1),
                number(x1 + 40),
                number(y1),
                number(x2 - 40),
                number(y2),
                number(x2),
                number(y2),
                number(thick),
                number(arrow.to().isOutside() || from[0] + box + 96 < x2 ? x2 - 4 : x2 - 4),
                number(y2 - 4 + spread(from, to)),
                Drawn.fixed(arrow.grams(), 2));
    }

    /** Labels of lines that end in one box stand apart by where the lines come from. */
    private static double spread(double[] from, double[] to) {
        return Math.max(-30, Math.min(30, (from[1] - to[1]) * 0.28));
    }

    private static String box(ThingId id, double[] place, int width, boolean centre, String name) {
        String shown = name.length() > 26 ? name.substring(0, 25) + "…" : name;
        String text = String.format(
                Locale.ROOT,
                "<rect x=\"%s\" y=\"%s\" width=\"%d\" height=\"30\" fill=\"%s\" stroke=\"#1c1c1c\" stroke-width=\"%s\"/>"
                        + "<text x=\"%s\" y=\"%s\" font-size=\"13\" fill=\"#1c1c1c\">%s<title>%s</title></text>",
                number(place[0]),
                number(place[1]),
                width,
                centre ? "#ffffff" : PAPER,
                centre ? "2.5" : "0.8",
                number(place[0] + 8),
                number(place[1] + 20),
                escaped(shown),
                escaped(name));
        return id.isOutside() || id.equals(centre)
                ? text
                : "<a href=\"/thing/" + escaped(id.text()) + "\">" + text + "</a>";
    }

    /** Origins stand to the left by their longest way to the centre, destinations to the right. */
    private static Map<ThingId, Integer> columns(List<Ledger.Arrow> arrows, ThingId centre) {
        Map<ThingId, Integer> columns = new LinkedHashMap<>();
        columns.put(centre, 0);
        for (int pass = 0; pass < 12; pass++) {
            for (Ledger.Arrow arrow : arrows) {
                if (arrow.from().equals(centre)) {
                    columns.putIfAbsent(arrow.to(), 1);
                } else if (columns.containsKey(arrow.to())) {
                    columns.merge(arrow.from(), columns.get(arrow.to()) - 1, Math::min);
                }
            }
        }
        return columns;
    }
}
