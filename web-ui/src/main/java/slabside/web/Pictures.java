package slabside.web;

import com.google.zxing.BarcodeFormat;
import com.google.zxing.EncodeHintType;
import com.google.zxing.WriterException;
import com.google.zxing.common.BitMatrix;
import com.google.zxing.qrcode.QRCodeWriter;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.Function;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import slabside.event.ThingId;
import slabside.host.Drawn;
import slabside.ink.Ledger;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.studio.MediaFile;

/** Small drawings as SVG, with titles for those who cannot see them and no style of their own. */
final class Pictures {
    private static final int WIDE = 600;
    private static final int STRIP_HEIGHT = 96;
    private static final int MARGIN = 10;
    private static final double INK_TOP = 14;
    private static final double BAR_TOP = 58;
    private static final double BAR_HEIGHT = 20;
    private static final String BLACK = "#111111";
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
                escaped(strip.caption() + ": " + parts(strip))));
        // The bar lies on the table and is longer than the paper; inks cross it on the paper.
        svg.append(rect(0, BAR_TOP, WIDE, BAR_HEIGHT, BLACK, 1));
        svg.append(rect(MARGIN, 0, WIDE - 2 * MARGIN, STRIP_HEIGHT, "#ffffff", 1));
        svg.append(rect(MARGIN, BAR_TOP, WIDE - 2 * MARGIN, BAR_HEIGHT, BLACK, 1));
        double x = MARGIN;
        for (Answer.Part part : strip.parts()) {
            double width = part.share() * (WIDE - 2 * MARGIN);
            svg.append(rect(x, INK_TOP, width, STRIP_HEIGHT - INK_TOP, colour(part.screen()), 1));
            svg.append(rect(x, BAR_TOP, width, BAR_HEIGHT, BLACK, hiding(part.label())));
            x += width;
            svg.append("<path d=\"M" + number(x) + " " + number(INK_TOP) + " V" + STRIP_HEIGHT
                    + "\" stroke=\"#2b2b2b\" stroke-width=\"0.6\"/>");
        }
        return svg.append("</svg>").toString();
    }

    /** The inks of a strip in words. */
    static String parts(Answer.Strip strip) {
        return strip.parts().stream()
                .map(p -> p.label() + " " + Drawn.fixed(p.share() * 100, 1) + " %")
                .collect(Collectors.joining(", "));
    }

    /** A colour as a plugin gave it, or the grey of one that is not known. */
    static String colour(String screen) {
        return screen.matches("#[0-9a-fA-F]{6}") ? screen : "#8a8a88";
    }

    /** What was measured is a whole rectangle; what was not has a corner cut off. */
    static String swatch(Answer.Swatch swatch) {
        return "<svg class=\"swatch\" viewBox=\"0 0 60 40\" preserveAspectRatio=\"none\" role=\"img\"><title>"
                + escaped(swatch.label() + (swatch.measured() ? ", measured" : ", not measured")) + "</title>"
                + (swatch.measured()
                        ? rect(0, 0, 60, 40, colour(swatch.screen()), 1)
                        : "<path d=\"M0 0H48L60 14V40H0Z\" fill=\"" + colour(swatch.screen()) + "\"/>")
                + "</svg>";
    }

    /**
     * A picture as the address that holds it.
     *
     * @throws BadInput when it is neither PNG nor JPEG
     */
    static String source(Answer.Picture picture) {
        byte[] bytes = picture.image().bytes();
        String type = MediaFile.of(bytes).mediaType();
        if (!type.equals("image/png") && !type.equals("image/jpeg")) {
            throw new BadInput("picture", picture.caption(), "a plugin may show PNG and JPEG only");
        }
        return "data:" + type + ";base64," + picture.image().content();
    }

    /** A QR code (ISO/IEC 18004) as SVG. */
    static String code(String text) {
        try {
            BitMatrix bits =
                    new QRCodeWriter().encode(text, BarcodeFormat.QR_CODE, 0, 0, Map.of(EncodeHintType.MARGIN, 4));
            StringBuilder path = new StringBuilder();
            for (int y = 0; y < bits.getHeight(); y++) {
                for (int x = 0; x < bits.getWidth(); x++) {
                    if (bits.get(x, y)) {
                        path.append('M').append(x).append(' ').append(y).append("h1v1h-1z");
                    }
                }
            }
            return "<svg class=\"qr\" role=\"img\" aria-label=\"A code that leads to " + escaped(text)
                    + "\" viewBox=\"0 0 "
                    + bits.getWidth() + " " + bits.getHeight()
                    + "\"><rect width=\"100%\" height=\"100%\" fill=\"#fff\"/><path shape-rendering=\"crispEdges\" d=\""
                    + path + "\"/></svg>";
        } catch (WriterException tooLong) {
            throw new IllegalStateException("an address too long for a picture", tooLong);
        }
    }

    private static final int MOST_TICKS = 12;
    /** Values that differ by less than this part of themselves are drawn as equal. */
    private static final double ALIKE = 1e-9;

    private static final int CHART_WIDE = 560;
    private static final int CHART_LEFT = 56;
    private static final int CHART_TOP = 46;
    private static final int CHART_HIGH = 220;
    private static final int CHART_FOOT = 30;
    /** Height of a chart by its width. */
    static final double CHART_SHAPE = (double) (CHART_TOP + CHART_HIGH + CHART_FOOT) / CHART_WIDE;

    /** By what a mark is known in the drawing and in the list beneath it. */
    static String letter(int i) {
        return i < 26 ? String.valueOf((char) ('A' + i)) : letter(i / 26 - 1) + letter(i % 26);
    }

    /** Values as dots over a count; what happened just before one is a line with a letter, and told in a list beneath. */
    static String chart(Answer.Chart chart) {
        double x0 = Stream.concat(
                        chart.points().stream().map(Answer.Point::x),
                        chart.marks().stream().map(Answer.Mark::x))
                .mapToDouble(x -> x)
                .min()
                .orElse(0);
        double x1 = Stream.concat(
                        chart.points().stream().map(Answer.Point::x),
                        chart.marks().stream().map(Answer.Mark::x))
                .mapToDouble(x -> x)
                .max()
                .orElse(1);
        x1 = x1 - x0 > ALIKE * Math.max(Math.abs(x0), Math.abs(x1)) ? x1 : x0 + 1;
        double y0 = Stream.concat(
                        chart.points().stream().map(Answer.Point::y),
                        chart.bands().stream().map(Answer.Band::low))
                .mapToDouble(y -> y)
                .min()
                .orElse(0);
        double y1 = Stream.concat(
                        chart.points().stream().map(Answer.Point::y),
                        chart.bands().stream().map(Answer.Band::high))
                .mapToDouble(y -> y)
                .max()
                .orElse(1);
        if (!(y1 - y0 > ALIKE * Math.max(Math.abs(y0), Math.abs(y1)))) {
            double room = Math.max(0.5, Math.abs(y0) / 100);
            y0 -= room;
            y1 += room;
        }
        double bottom = CHART_TOP + CHART_HIGH;
        int high = CHART_TOP + CHART_HIGH + CHART_FOOT;
        StringBuilder svg = new StringBuilder(String.format(
                Locale.ROOT,
                "<svg class=\"chart\" viewBox=\"0 0 %d %d\" width=\"%d\" height=\"%d\" role=\"img\"><title>%s</title>",
                CHART_WIDE,
                high,
                CHART_WIDE,
                high,
                escaped(chart.caption())));
        for (Answer.Band band : chart.bands()) {
            double top = bottom - (band.high() - y0) / (y1 - y0) * (CHART_HIGH - 10) - 5;
            double low = bottom - (band.low() - y0) / (y1 - y0) * (CHART_HIGH - 10) - 5;
            double centre = bottom - (band.centre() - y0) / (y1 - y0) * (CHART_HIGH - 10) - 5;
            svg.append(rect(CHART_LEFT, top, CHART_WIDE - CHART_LEFT, low - top, "#e4e1d4", 1));
            svg.append(path(
                    "M" + CHART_LEFT + " " + number(centre) + " H" + CHART_WIDE,
                    "#55554f",
                    1,
                    " stroke-dasharray=\"8 4\""));
            svg.append(label(CHART_WIDE - 4, centre - 5, "end", band.label()));
        }
        svg.append(
                path("M" + CHART_LEFT + " " + CHART_TOP + " V" + number(bottom) + " H" + CHART_WIDE, "#55554f", 1, ""));
        if (!chart.up().equalsIgnoreCase(chart.caption())) {
            svg.append(label(0, 16, "start", chart.up()));
        }
        for (double y : ticks(y0, y1)) {
            double at = bottom - (y - y0) / (y1 - y0) * (CHART_HIGH - 10) - 5;
            svg.append(label(CHART_LEFT - 6, at + 5, "end", Drawn.number(Drawn.rounded(y, 4), 0)));
        }
        Map<Double, StringBuilder> letters = new TreeMap<>();
        for (int i = 0; i < chart.marks().size(); i++) {
            Answer.Mark mark = chart.marks().get(i);
            double at = across(mark.x() - 0.5, x0, x1);
            svg.append(path(
                    "M" + number(at) + " " + CHART_TOP + " V" + number(bottom),
                    mark.strong() ? BLACK : "#8d8d89",
                    mark.strong() ? 2.5 : 1,
                    mark.strong() ? "" : " stroke-dasharray=\"3 4\""));
            StringBuilder here = letters.computeIfAbsent(at, any -> new StringBuilder());
            here.append(here.isEmpty() ? "" : " ").append(letter(i));
        }
        letters.forEach((at, text) -> svg.append(label(at, CHART_TOP - 5, "middle", text.toString())));
        for (Answer.Point point : chart.points()) {
            double y = bottom - (point.y() - y0) / (y1 - y0) * (CHART_HIGH - 10) - 5;
            svg.append("<circle cx=\"" + number(across(point.x(), x0, x1)) + "\" cy=\"" + number(y)
                    + "\" r=\"4\" fill=\"" + BLACK + "\"/>");
        }
        svg.append(label(across(x0, x0, x1), bottom + 18, "middle", Drawn.number(x0, 0)));
        svg.append(label(across(x1, x0, x1), bottom + 18, "end", chart.across() + " " + Drawn.number(x1, 0)));
        return svg.append("</svg>").toString();
    }

    /** Round values between two, four or five of them. */
    private static List<Double> ticks(double low, double high) {
        double rough = (high - low) / 4;
        double power = StrictMath.pow(10, StrictMath.floor(StrictMath.log10(rough)));
        double step = Stream.of(1.0, 2.0, 5.0, 10.0)
                .map(each -> each * power)
                .filter(each -> each >= rough)
                .findFirst()
                .orElse(rough);
        double first = StrictMath.ceil(low / step);
        List<Double> ticks = new ArrayList<>();
        for (int i = 0; i < MOST_TICKS && (first + i) * step <= high + step * 1e-9; i++) {
            ticks.add((first + i) * step);
        }
        return ticks;
    }

    /** A drawing as it stands on paper, in the font of the paper. */
    static String onPaper(String svg) {
        return svg.replace("<svg ", "<svg xmlns=\"http://www.w3.org/2000/svg\" font-family=\"Text\" ");
    }

    private static double across(double x, double x0, double x1) {
        return CHART_LEFT + 10 + (x - x0) / (x1 - x0) * (CHART_WIDE - CHART_LEFT - 20);
    }

    private static String path(String d, String colour, double width, String more) {
        return "<path d=\"" + d + "\" fill=\"none\" stroke=\"" + colour + "\" stroke-width=\"" + number(width) + "\""
                + more + "/>";
    }

    private static String label(double x, double y, String anchor, String text) {
        return "<text x=\"" + number(x) + "\" y=\"" + number(y) + "\" text-anchor=\"" + anchor
                + "\" font-size=\"15\" fill=\"#1c1c1c\">" + escaped(text) + "</text>";
    }

    /** How black the bar shows through: hardly through an opaque white, nearly whole through base and oils. */
    private static double hiding(String label) {
        if (label.contains("white") || label.contains("carbonate")) {
            return 0;
        }
        return label.contains("base") || label.contains("oil") || label.contains("reducer") ? 0.94 : 0.82;
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
        int box = 200;
        int gap = 120;
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
                "<svg class=\"flow\" viewBox=\"0 0 %d %d\" width=\"%d\" height=\"%d\" role=\"group\" aria-label=\"Where the ink came from and went, in grams\"><title>Where the ink came from and went, in grams</title>",
                width,
                height,
                width,
                height));
        double heaviest = arrows.stream().mapToDouble(Ledger.Arrow::grams).max().orElse(1);
        for (Ledger.Arrow arrow : arrows) {
            double[] from = places.get(arrow.from());
            double[] to = places.get(arrow.to());
            if (from != null && to != null) {
                svg.append(line(arrow, from, to, box, heaviest, arrow.from().equals(centre)));
            }
        }
        places.forEach((id, place) -> svg.append(box(id, place, box, id.equals(centre), names.apply(id))));
        return svg.append("</svg>").toString();
    }

    /** The grams stand at the outer end of a line, where only one of them is. */
    private static String line(
            Ledger.Arrow arrow, double[] from, double[] to, int box, double heaviest, boolean outward) {
        double x1 = from[0] + box;
        double y1 = from[1] + 15;
        double x2 = to[0];
        double y2 = to[1] + 15;
        double thick = 1 + 9 * StrictMath.sqrt(heaviest > 0 ? Math.max(0, arrow.grams()) / heaviest : 0);
        return "<path d=\"M" + number(x1) + " " + number(y1) + " C" + number(x1 + 48) + " " + number(y1) + " "
                + number(x2 - 48) + " "
                + number(y2) + " " + number(x2) + " " + number(y2)
                + "\" fill=\"none\" stroke=\"#b3b1a8\" stroke-width=\"" + number(thick) + "\"/>"
                + "<text x=\"" + number(outward ? x2 - 6 : x1 + 6) + "\" y=\"" + number((outward ? y2 : y1) + 4)
                + "\" font-size=\"12\" text-anchor=\""
                + (outward ? "end" : "start")
                + "\" fill=\"#1c1c1c\" stroke=\"#f7f5ee\" stroke-width=\"4\" paint-order=\"stroke\">"
                + (arrow.grams() > 0 ? Drawn.fixed(arrow.grams(), 2) : "?") + "</text>";
    }

    private static String box(ThingId id, double[] place, int width, boolean centre, String name) {
        String shown = name.length() > 29 ? name.substring(0, 28) + "…" : name;
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
