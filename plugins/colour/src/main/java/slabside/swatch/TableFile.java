package slabside.swatch;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalInt;

/**
 * A table with a heading, its values parted by semicolons, tabs or commas (RFC 4180 with quotes). One reading in a row, or one in
 * a column with the wavelengths down the first.
 */
final class TableFile {
    private static final int NONE = -1;
    private static final int PREFACE = 40;
    /** Lines and cells of a line beyond which nothing is kept. */
    private static final int MOST_LINES = 20_000;

    private static final int MOST_CELLS = 2_000;

    private final FileRead read;

    TableFile(FileRead read) {
        this.read = read;
    }

    /** Cells of one line of the table, which may go on over several lines of the file inside quotes. */
    private record Line(int number, List<String> cells) {}

    void read(String text) {
        List<Line> lines = List.of();
        int heading = NONE;
        for (char between : new char[] {';', '\t', ','}) {
            List<Line> parted = lines(text, between);
            int found = heading(parted);
            boolean turned = parted.size() > 3
                    && wave(parted.get(1)).isPresent()
                    && parted.get(1).cells().size() > 1;
            if (found != NONE || turned) {
                lines = parted;
                heading = found;
                break;
            }
        }
        if (heading != NONE) {
            List<String> headings = lines.get(heading).cells();
            for (Line line : lines.subList(heading + 1, lines.size())) {
                if (!read.goesOn()) {
                    return;
                }
                read.row(new FileRead.Row(
                        line.number(), headings, filled(line.cells(), headings), Sample.Conditions.UNKNOWN));
            }
        } else if (lines.size() > 3 && wave(lines.get(1)).isPresent()) {
            turned(lines);
        } else {
            read.trouble(
                    1,
                    "no heading says what the values are; name the columns 380, 390 … 730 for a spectrum, or L*, a*, b*, or"
                            + " density");
        }
    }

    /** Programs leave out empty cells at the end of a line. */
    private static List<String> filled(List<String> cells, List<String> headings) {
        List<String> all = new ArrayList<>(cells);
        while (all.size() > headings.size() && all.get(all.size() - 1).isBlank()) {
            all.remove(all.size() - 1);
        }
        return all;
    }

    /** One reading in each column. */
    private void turned(List<Line> lines) {
        List<String> names = lines.get(0).cells();
        List<String> headings = new ArrayList<>(List.of("name"));
        for (Line line : lines.subList(1, lines.size())) {
            if (wave(line).isEmpty()) {
                read.trouble(
                        line.number(),
                        "\"" + FileRead.shortened(line.cells().get(0)) + "\" is no wavelength; give 300 to 900 nm");
                return;
            }
            headings.add(line.cells().get(0));
        }
        for (int column = 1; column < names.size() && read.goesOn(); column++) {
            List<String> cells = new ArrayList<>(List.of(names.get(column)));
            for (Line line : lines.subList(1, lines.size())) {
                if (line.cells().size() <= column) {
                    read.trouble(line.number(), "no value for " + names.get(column) + "; give one for each reading");
                    return;
                }
                cells.add(line.cells().get(column));
            }
            read.row(new FileRead.Row(lines.get(0).number(), headings, cells, Sample.Conditions.UNKNOWN));
        }
    }

    private static OptionalInt wave(Line line) {
        return line.cells().isEmpty()
                ? OptionalInt.empty()
                : FileRead.wavelength(line.cells().get(0));
    }

    private static boolean isHeading(List<String> cells) {
        long waves = cells.stream()
                .filter(cell -> FileRead.wavelength(cell).isPresent())
                .count();
        long lab = cells.stream()
                .filter(cell -> FileRead.labPart(cell.strip()) >= 0)
                .count();
        boolean density = cells.stream().anyMatch(cell -> cell.strip().equalsIgnoreCase("density"));
        return waves >= 4 || lab >= 3 || density;
    }

    /** A title may stand before the heading, but no long preface. */
    private static int heading(List<Line> lines) {
        for (int i = 0; i < Math.min(PREFACE, lines.size()); i++) {
            if (isHeading(lines.get(i).cells())) {
                return i;
            }
        }
        return NONE;
    }

    private static List<Line> lines(String text, char between) {
        List<Line> lines = new ArrayList<>();
        List<String> cells = new ArrayList<>();
        StringBuilder cell = new StringBuilder();
        boolean quoted = false;
        int number = 1;
        int began = 1;
        for (int i = 0; i < text.length() && lines.size() < MOST_LINES; i++) {
            char c = text.charAt(i);
            if (quoted) {
                if (c == '"' && i + 1 < text.length() && text.charAt(i + 1) == '"') {
                    cell.append('"');
                    i++;
                } else if (c == '"') {
                    quoted = false;
                } else {
                    cell.append(c);
                }
            } else if (c == '"' && blank(cell)) {
                quoted = true;
            } else if (c == between) {
                if (cells.size() < MOST_CELLS) {
                    cells.add(cell.toString());
                }
                cell.setLength(0);
            } else if (c == '\n') {
                add(lines, began, cells, cell);
                began = number + 1;
            } else if (c != '\r') {
                cell.append(c);
            }
            number += c == '\n' ? 1 : 0;
        }
        add(lines, began, cells, cell);
        return lines;
    }

    private static boolean blank(StringBuilder cell) {
        return cell.length() < 20 && cell.toString().isBlank();
    }

    private static void add(List<Line> lines, int number, List<String> cells, StringBuilder cell) {
        cells.add(cell.toString());
        cell.setLength(0);
        if (cells.stream().anyMatch(each -> !each.isBlank())) {
            lines.add(new Line(number, List.copyOf(cells)));
        }
        cells.clear();
    }
}
