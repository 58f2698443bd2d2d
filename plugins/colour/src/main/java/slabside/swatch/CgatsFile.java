package slabside.swatch;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Text of ISO 28178, once ANSI CGATS.17: words, then a list of headings, then rows; one table after the other. */
final class CgatsFile {
    private static final Pattern WORD = Pattern.compile("\"([^\"]*+(?:\"\"[^\"]*+)*+)\"|(\\S+)");

    private final FileRead read;
    private final List<String> headings = new ArrayList<>();
    private Sample.Conditions how = Sample.Conditions.UNKNOWN;
    /** By which light and observer L*a*b* was computed; it goes before the lamp of the instrument. */
    private Sample.Conditions weighting = Sample.Conditions.UNKNOWN;

    CgatsFile(FileRead read) {
        this.read = read;
    }

    static boolean isOne(String text) {
        return Pattern.compile("(?m)^[ \\t]*BEGIN_DATA(_FORMAT)?\\b")
                .matcher(text)
                .find();
    }

    void read(String text) {
        String[] lines = text.split("\\R", -1);
        boolean inHeadings = false;
        boolean inRows = false;
        // A row may go on over several lines.
        List<String> cells = new ArrayList<>();
        int began = 0;
        for (int i = 0; i < lines.length && read.goesOn(); i++) {
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
                            read.row(new FileRead.Row(
                                    began, List.copyOf(headings), List.copyOf(cells), weighting.or(how)));
                            cells.clear();
                        }
                    } else {
                        keyword(words);
                    }
                }
            }
        }
        if (inRows && read.goesOn()) {
            left(cells, began);
            read.trouble(lines.length, "the file ends before END_DATA; it was cut off, save it again");
        }
    }

    private void left(List<String> cells, int line) {
        if (!cells.isEmpty()) {
            read.row(new FileRead.Row(line, List.copyOf(headings), List.copyOf(cells), weighting.or(how)));
            cells.clear();
        }
    }

    private void keyword(List<String> words) {
        if (words.get(0).equalsIgnoreCase("WEIGHTING_FUNCTION")) {
            weighting = FileRead.light(String.join(" ", words.subList(1, words.size())))
                    .or(weighting);
            return;
        }
        String value = String.join(" ", words.subList(1, words.size())).strip();
        Sample.Conditions said = switch (words.get(0).toUpperCase(Locale.ROOT)) {
            case "INSTRUMENTATION", "INSTRUMENT" -> new Sample.Conditions(value, "", "", "", "");
            case "MEASUREMENT_GEOMETRY", "GEOMETRY" -> new Sample.Conditions("", value, "", "", "");
            case "ILLUMINATION_NAME", "ILLUMINANT" -> new Sample.Conditions("", "", value, "", "");
            case "OBSERVER_ANGLE", "OBSERVER" -> new Sample.Conditions("", "", "", FileRead.observer(value), "");
            case "SAMPLE_BACKING", "BACKING" -> new Sample.Conditions("", "", "", "", value);
            case "MEASUREMENT_SOURCE" -> FileRead.light(value.replace('=', ' '));
            default -> Sample.Conditions.UNKNOWN;
        };
        // A later table may say it anew.
        how = said.or(how);
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
