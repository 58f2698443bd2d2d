package slabside.swatch;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Text of ISO 28178, once ANSI CGATS.17: words, then a list of headings, then rows; one table after the other. */
final class CgatsFile {
    private static final Pattern WORD = Pattern.compile("\"((?:[^\"]|\"\")*)\"|(\\S+)");
    private static final Pattern ILLUMINANT = Pattern.compile("\\b(A|C|D50|D55|D65|F2|F7|F11)\\b");
    private static final Pattern ANGLE = Pattern.compile("(?i)observer[^0-9]*(10|2)\\b");

    private final FileRead read;
    private final List<String> headings = new ArrayList<>();
    private Sample.Conditions how = Sample.Conditions.UNKNOWN;

    CgatsFile(FileRead read) {
        this.read = read;
    }

    static boolean isOne(String text) {
        return Pattern.compile("(?m)^\\s*BEGIN_DATA(_FORMAT)?\\b").matcher(text).find();
    }

    void read(String text) {
        String[] lines = text.split("\\R", -1);
        boolean inHeadings = false;
        boolean inRows = false;
        // A row may go on over several lines.
        List<String> cells = new ArrayList<>();
        int began = 0;
        for (int i = 0; i < lines.length; i++) {
            List<String> words = words(lines[i]);
            if (words.isEmpty()) {
                continue;
            }
            switch (words.get(0).toUpperCase(Locale.ROOT)) {
                case "BEGIN_DATA_FORMAT" -> {
                    inHeadings = true;
                    headings.clear();
                    headings.addAll(words.subList(1, words.size()));
                }
                case "END_DATA_FORMAT" -> inHeadings = false;
                case "BEGIN_DATA" -> inRows = true;
                case "END_DATA" -> {
                    left(cells, began);
                    inRows = false;
                }
                default -> {
                    if (inHeadings) {
                        headings.addAll(words);
                    } else if (inRows) {
                        began = cells.isEmpty() ? i + 1 : began;
                        cells.addAll(words);
                        if (cells.size() >= headings.size()) {
                            read.row(new FileRead.Row(began, List.copyOf(headings), List.copyOf(cells), how));
                            cells.clear();
                        }
                    } else {
                        keyword(words);
                    }
                }
            }
        }
        if (inRows) {
            left(cells, began);
            read.trouble(lines.length, "the file ends before END_DATA; it was cut off, save it again");
        }
    }

    private void left(List<String> cells, int line) {
        if (!cells.isEmpty()) {
            read.row(new FileRead.Row(line, List.copyOf(headings), List.copyOf(cells), how));
            cells.clear();
        }
    }

    private void keyword(List<String> words) {
        String value = String.join(" ", words.subList(1, words.size())).strip();
        Sample.Conditions said = switch (words.get(0).toUpperCase(Locale.ROOT)) {
            case "INSTRUMENTATION", "INSTRUMENT" -> new Sample.Conditions(value, "", "", "", "");
            case "MEASUREMENT_GEOMETRY", "GEOMETRY" -> new Sample.Conditions("", value, "", "", "");
            case "ILLUMINATION_NAME", "ILLUMINANT" -> new Sample.Conditions("", "", value, "", "");
            case "OBSERVER_ANGLE", "OBSERVER" -> new Sample.Conditions("", "", "", FileRead.observer(value), "");
            case "SAMPLE_BACKING", "BACKING" -> new Sample.Conditions("", "", "", "", value);
            case "WEIGHTING_FUNCTION", "MEASUREMENT_SOURCE" -> weighting(value);
            default -> Sample.Conditions.UNKNOWN;
        };
        // A later table may say it anew.
        how = said.or(how);
    }

    private static Sample.Conditions weighting(String value) {
        Matcher angle = ANGLE.matcher(value);
        Matcher light = ILLUMINANT.matcher(value.toUpperCase(Locale.ROOT).contains("ILLUM") ? value : "");
        return new Sample.Conditions(
                "", "", light.find() ? light.group(1) : "", angle.find() ? angle.group(1) + "°" : "", "");
    }

    /** Words of a line up to a #, with what stands in quotes as one. */
    private static List<String> words(String line) {
        List<String> words = new ArrayList<>();
        Matcher word = WORD.matcher(line);
        while (word.find()) {
            if (word.group(2) != null && word.group(2).startsWith("#")) {
                break;
            }
            words.add(word.group(1) != null ? word.group(1).replace("\"\"", "\"") : word.group(2));
        }
        return words;
    }
}
