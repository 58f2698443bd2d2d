package slabside.host;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.StringWriter;
import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.TreeMap;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVPrinter;
import slabside.measure.BadInput;
import slabside.plugin.Answer;

/** An Answer as plain text, JSON and CSV. */
public final class Drawn {
    /** In which an answer can be had. */
    public static final List<String> FORMATS = List.of("pdf", "csv", "json", "text");

    private static final ObjectMapper JSON = slabside.helper.Wire.json();
    private static final Pattern NUMBER = Pattern.compile("[-+]?[0-9.,]*( ± [0-9.,]+)?( %| g)?");
    private static final int LINE = 100;

    private static final int BAR = 40;

    private Drawn() {}

    /** In one of the formats text, json and csv. */
    public static String as(String format, Answer answer) {
        return switch (format) {
            case "text" -> text(answer);
            case "json" -> json(answer);
            case "csv" -> csv(answer);
            default -> throw new BadInput("format", format, "use text, json or csv");
        };
    }

    /** A number with its uncertainty (k = 2), rounded to the first digit of the uncertainty, or two when that is a 1. */
    public static String number(double value, double u) {
        if (!(u > 0)) {
            BigDecimal exact = BigDecimal.valueOf(value).stripTrailingZeros();
            // Four digits, but never a digit less than stand before the point.
            int digits = Math.max(4, exact.precision() - exact.scale());
            BigDecimal shown = exact.scale() <= 0
                    ? exact
                    : exact.round(new MathContext(digits)).stripTrailingZeros();
            return shown.toPlainString();
        }
        double magnitude = StrictMath.floor(StrictMath.log10(2 * u));
        boolean leadingOne = 2 * u < 2 * StrictMath.pow(10, magnitude);
        int decimals = Math.max(0, Math.min(6, (leadingOne ? 1 : 0) - (int) magnitude));
        return fixed(value, decimals) + " ± " + fixed(2 * u, decimals);
    }

    /** A number with all its digits, for other programs to read. */
    static String plain(double value) {
        BigDecimal exact = new BigDecimal(Double.toString(value)).stripTrailingZeros();
        return (exact.scale() < 0 ? exact.setScale(0) : exact).toPlainString();
    }

    /** A number with a fixed count of decimals, the same in every country. */
    public static String fixed(double value, int decimals) {
        return new BigDecimal(Double.toString(value))
                .setScale(decimals, RoundingMode.HALF_EVEN)
                .toPlainString();
    }

    /** A number with so many significant digits. */
    public static double rounded(double value, int digits) {
        return new BigDecimal(Double.toString(value))
                .round(new MathContext(digits))
                .doubleValue();
    }

    public static String text(Answer answer) {
        StringBuilder out = new StringBuilder();
        out.append(answer.title())
                .append('\n')
                .append("=".repeat(answer.title().length()))
                .append('\n');
        text(out, answer.blocks());
        return out.toString().replaceAll("[ \\t]+\\r?\\n", "\n");
    }

    private static void text(StringBuilder out, List<Answer.Block> blocks) {
        for (Answer.Block block : blocks) {
            out.append('\n');
            if (block instanceof Answer.Heading heading) {
                out.append(heading.text())
                        .append('\n')
                        .append("-".repeat(heading.text().length()))
                        .append('\n');
            } else if (block instanceof Answer.Text text) {
                out.append(wrapped(text.text(), "")).append('\n');
            } else if (block instanceof Answer.Quantity q) {
                out.append(q.label())
                        .append(": ")
                        .append(number(q.value(), q.u()))
                        .append(q.unit().isEmpty() ? "" : " " + q.unit());
                out.append(q.working().isEmpty() ? "" : "   (" + q.working() + ")")
                        .append('\n');
            } else if (block instanceof Answer.Table table) {
                table(out, table);
            } else if (block instanceof Answer.Steps steps) {
                int number = 1;
                for (Answer.Step step : steps.steps()) {
                    out.append(String.format(Locale.ROOT, "[ ] %2d. %s%n", number++, wrapped(step.text(), "        ")));
                    if (!step.reading().isEmpty()) {
                        out.append("        scale then reads ")
                                .append(step.reading())
                                .append('\n');
                    }
                }
            } else if (block instanceof Answer.Strip strip) {
                out.append(strip.caption()).append('\n');
                strip.parts()
                        .forEach(part -> out.append(String.format(
                                Locale.ROOT,
                                "  %6.3f %%  %-28s %s%n",
                                part.share() * 100,
                                part.label(),
                                "#".repeat((int) Math.round(part.share() * 40)))));
            } else if (block instanceof Answer.Chart chart) {
                chart(out, chart);
            } else if (block instanceof Answer.Assumption assumption) {
                out.append(wrapped("Taken for granted: " + assumption.text() + " (" + assumption.origin() + ").", "  "))
                        .append('\n');
            } else if (block instanceof Answer.Caution caution) {
                out.append(wrapped("! " + caution.text(), "  ")).append('\n');
            } else if (block instanceof Answer.Link link) {
                out.append(wrapped(link.text(), ""))
                        .append("  [")
                        .append(link.id())
                        .append("]\n");
            } else if (block instanceof Answer.Ask ask) {
                out.append(ask.text()).append(": slabside calculate ").append(ask.calculator());
                new TreeMap<>(ask.replies())
                        .forEach((question, reply) ->
                                out.append(' ').append(question).append('=').append(quoted(reply)));
                out.append('\n');
            } else if (block instanceof Answer.Swatches swatches) {
                out.append(swatches.caption()).append('\n');
                swatches.swatches()
                        .forEach(each -> out.append(String.format(
                                Locale.ROOT,
                                "  %-8s %-28s %s%s%n",
                                each.screen(),
                                each.label(),
                                each.measured() ? "measured; " : "",
                                each.words())));
            } else if (block instanceof Answer.Picture picture) {
                out.append("(picture: ").append(picture.caption()).append(")\n");
            } else if (block instanceof Answer.Fields fields) {
                if (!fields.caption().isEmpty()) {
                    out.append(fields.caption()).append('\n');
                }
                fields.fields()
                        .forEach(field -> out.append(wrapped(
                                        field.label() + ": "
                                                + (field.value().isEmpty()
                                                        ? "________________"
                                                                + (field.note().isEmpty()
                                                                        ? ""
                                                                        : " (" + field.note() + ")")
                                                        : field.value()),
                                        "    "))
                                .append('\n'));
            } else if (block instanceof Answer.Boxes boxes) {
                out.append(boxes.caption()).append('\n');
                boxes.labels()
                        .forEach(label ->
                                out.append("  [        ] ").append(label).append('\n'));
            } else if (block instanceof Answer.Labels labels) {
                out.append(labels.caption()).append('\n');
                labels.labels()
                        .forEach(label -> out.append(wrapped(
                                        "  " + label.large() + "  " + label.name() + "; "
                                                + String.join("; ", label.lines()),
                                        "        "))
                                .append('\n'));
            } else if (block instanceof Answer.Code code) {
                out.append(code.caption()).append("  [").append(code.id()).append("]\n");
            } else if (block instanceof Answer.Timer timer) {
                out.append(timer.label()).append(": ").append(timer.seconds()).append(" s\n");
            } else if (block instanceof Answer.Proposed proposed) {
                out.append(proposed.caption()).append('\n');
                proposed.entries()
                        .forEach(each -> out.append("  to write down: ")
                                .append(each.words().isEmpty() ? each.type() : each.words())
                                .append('\n'));
            } else if (block instanceof Answer.Deeper deeper) {
                out.append(deeper.title())
                        .append('\n')
                        .append("-".repeat(deeper.title().length()))
                        .append('\n');
                text(out, deeper.blocks());
            }
        }
    }

    /** A reply as it is typed behind a command. */
    private static String quoted(String reply) {
        return reply.matches("[\\w.,:+-]+") ? reply : '"' + reply.replace("\"", "\\\"") + '"';
    }

    /** A bar for each value, with what happened before it on a line of its own. */
    private static void chart(StringBuilder out, Answer.Chart chart) {
        out.append(chart.caption()).append('\n');
        double low = chart.points().stream().mapToDouble(Answer.Point::y).min().orElse(0);
        double high = chart.points().stream().mapToDouble(Answer.Point::y).max().orElse(1);
        List<Answer.Mark> left = new ArrayList<>(chart.marks());
        for (Answer.Point point : chart.points()) {
            while (!left.isEmpty() && left.get(0).x() <= point.x()) {
                Answer.Mark mark = left.remove(0);
                out.append(mark.strong() ? "  >>> " : "  ... ")
                        .append(mark.label())
                        .append('\n');
            }
            int bar = high > low ? (int) Math.round((point.y() - low) / (high - low) * BAR) : 0;
            out.append(String.format(
                    Locale.ROOT, "  %6s %9s |%s%n", number(point.x(), 0), number(point.y(), 0), "#".repeat(bar)));
        }
        left.forEach(mark -> out.append(mark.strong() ? "  >>> " : "  ... ")
                .append(mark.label())
                .append('\n'));
    }

    private static String wrapped(String text, String indent) {
        StringBuilder out = new StringBuilder();
        int column = 0;
        for (String word : text.split(" ")) {
            if (column > 0 && column + word.length() + 1 > LINE - indent.length()) {
                out.append('\n').append(indent);
                column = 0;
            } else if (column > 0) {
                out.append(' ');
                column++;
            }
            out.append(word);
            column += word.length();
        }
        return out.toString();
    }

    private static void table(StringBuilder out, Answer.Table table) {
        if (!table.caption().isEmpty()) {
            out.append(table.caption()).append('\n');
        }
        int columns = table.headings().size();
        int[] widths = new int[columns];
        List<List<String>> all = new ArrayList<>();
        all.add(table.headings());
        all.addAll(table.rows());
        for (List<String> row : all) {
            for (int i = 0; i < columns; i++) {
                widths[i] = Math.max(widths[i], row.get(i).length());
            }
        }
        boolean[] numeric = numeric(table);
        for (List<String> row : all) {
            StringBuilder line = new StringBuilder("  ");
            for (int i = 0; i < columns; i++) {
                String cell = row.get(i);
                String space = " ".repeat(widths[i] - cell.length());
                line.append(numeric[i] ? space + cell : cell + space).append("  ");
            }
            out.append(line.toString().stripTrailing()).append('\n');
        }
    }

    /** Which columns hold numbers only. */
    public static boolean[] numeric(Answer.Table table) {
        boolean[] numeric = new boolean[table.headings().size()];
        for (int i = 0; i < numeric.length; i++) {
            numeric[i] = isNumeric(table, i);
        }
        return numeric;
    }

    /** Whether a column holds numbers only, and so is set flush right. */
    public static boolean isNumeric(Answer.Table table, int column) {
        return table.rows().stream().anyMatch(row -> !row.get(column).isEmpty())
                && table.rows().stream()
                        .map(row -> row.get(column))
                        .allMatch(cell -> NUMBER.matcher(cell).matches());
    }

    public static String json(Answer answer) {
        ObjectNode root = JSON.createObjectNode();
        root.put("title", answer.title());
        json(root.putArray("blocks"), answer.blocks());
        return root.toPrettyString() + "\n";
    }

    private static void json(ArrayNode into, List<Answer.Block> blocks) {
        for (Answer.Block block : blocks) {
            ObjectNode node = into.addObject();
            node.put("kind", block.getClass().getSimpleName().toLowerCase(Locale.ROOT));
            if (block instanceof Answer.Deeper deeper) {
                node.put("title", deeper.title());
                json(node.putArray("blocks"), deeper.blocks());
            } else {
                ObjectNode fields = JSON.valueToTree(block);
                fields.remove("block");
                node.setAll(fields);
            }
        }
    }

    /** With what is one step deeper among the rest. */
    private static List<Answer.Block> flat(List<Answer.Block> blocks) {
        return blocks.stream()
                .flatMap(block ->
                        block instanceof Answer.Deeper deeper ? flat(deeper.blocks()).stream() : Stream.of(block))
                .toList();
    }

    public static String csv(Answer answer) {
        StringWriter out = new StringWriter();
        try (CSVPrinter csv = new CSVPrinter(out, CSVFormat.RFC4180)) {
            csv.printRecord("block", "label", "value", "uncertainty (k = 2)", "unit", "note");
            List<Answer.Block> blocks = flat(answer.blocks());
            for (Answer.Block block : blocks) {
                if (block instanceof Answer.Quantity q) {
                    csv.printRecord(
                            "quantity",
                            q.label(),
                            plain(q.value()),
                            q.u() > 0 ? plain(2 * q.u()) : "",
                            q.unit(),
                            q.working());
                } else if (block instanceof Answer.Strip strip) {
                    for (Answer.Part part : strip.parts()) {
                        csv.printRecord("share", part.label(), fixed(part.share() * 100, 4), "", "%", strip.caption());
                    }
                } else if (block instanceof Answer.Chart chart) {
                    for (Answer.Point point : chart.points()) {
                        csv.printRecord(
                                "point",
                                chart.across() + " " + number(point.x(), 0),
                                plain(point.y()),
                                "",
                                chart.up(),
                                chart.caption());
                    }
                    for (Answer.Band band : chart.bands()) {
                        csv.printRecord(
                                "band", band.label() + ", low", number(band.low(), 0), "", chart.up(), chart.caption());
                        csv.printRecord(
                                "band",
                                band.label() + ", high",
                                number(band.high(), 0),
                                "",
                                chart.up(),
                                chart.caption());
                    }
                    for (Answer.Mark mark : chart.marks()) {
                        csv.printRecord("mark", mark.label(), number(mark.x(), 0), "", chart.across(), chart.caption());
                    }
                } else if (block instanceof Answer.Swatches swatches) {
                    for (Answer.Swatch each : swatches.swatches()) {
                        csv.printRecord(
                                "swatch",
                                each.label(),
                                each.screen(),
                                each.measured() ? "measured" : "",
                                "",
                                each.words());
                    }
                } else if (block instanceof Answer.Fields fields) {
                    for (Answer.Field field : fields.fields()) {
                        csv.printRecord(
                                "field",
                                field.label(),
                                field.value(),
                                "",
                                "",
                                field.value().isEmpty() ? field.note() : "");
                    }
                } else if (block instanceof Answer.Labels labels) {
                    for (Answer.Label label : labels.labels()) {
                        csv.printRecord("label", label.large(), label.name(), "", "", String.join("; ", label.lines()));
                    }
                } else if (block instanceof Answer.Code code) {
                    csv.printRecord("code", code.caption(), code.id(), "", "", "");
                } else if (block instanceof Answer.Timer timer) {
                    csv.printRecord("timer", timer.label(), timer.seconds(), "", "s", "");
                } else if (block instanceof Answer.Proposed proposed) {
                    for (Answer.Proposal each : proposed.entries()) {
                        csv.printRecord("proposed entry", each.words(), each.type(), "", "", proposed.caption());
                    }
                } else if (block instanceof Answer.Assumption a) {
                    csv.printRecord("assumption", a.text(), "", "", "", a.origin());
                } else if (block instanceof Answer.Text t) {
                    csv.printRecord("text", t.text(), "", "", "", "");
                } else if (block instanceof Answer.Link l) {
                    csv.printRecord("link", l.text(), l.id(), "", "", "");
                } else if (block instanceof Answer.Caution c) {
                    csv.printRecord("caution", c.text(), "", "", "", "");
                } else if (block instanceof Answer.Steps s) {
                    for (Answer.Step step : s.steps()) {
                        csv.printRecord("step", step.text(), step.reading(), "", "", "");
                    }
                }
            }
            for (Answer.Block block : blocks) {
                if (block instanceof Answer.Table table) {
                    csv.println();
                    csv.printRecord(List.of(table.caption()));
                    csv.printRecord(table.headings());
                    csv.printRecords(table.rows());
                }
            }
        } catch (IOException unreachable) {
            throw new IllegalStateException(unreachable);
        }
        return out.toString();
    }
}
