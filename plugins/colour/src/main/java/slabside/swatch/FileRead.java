package slabside.swatch;

import java.math.BigDecimal;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.Charset;
import java.nio.charset.CodingErrorAction;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import slabside.colour.Bands;
import slabside.colour.Observer;
import slabside.measure.BadInput;
import slabside.measure.Lab;
import slabside.measure.Spectrum;

/**
 * What a file of readings holds, and what of it cannot be read, by line. Not thread-safe.
 *
 * <p>Three kinds of files: text of ISO 28178 (ANSI CGATS.17), XML of ISO 17972-1 (CxF), and tables with a heading.
 */
final class FileRead {
    /** Something that cannot be read, with what to do. */
    record Trouble(int line, String words) {}

    /**
     * A row as the file has it.
     *
     * @param cells by the heading of their column
     */
    record Row(int line, List<String> headings, List<String> cells, Sample.Conditions how) {}

    private static final Pattern NUMBER =
            Pattern.compile("[-+]?(\\d{1,9}(\\.\\d{0,20})?|\\.\\d{1,20})([eE][-+]?\\d{1,2})?");
    private static final Pattern WAVELENGTH = Pattern.compile(
            "(?:SPECTRAL|SPEC|SPECTRUM|REFLECTANCE|REFL|R|NM)?[ _]*(?:NM|PCT|DEC)?[ _(]*(\\d{3})(?:\\.0+)?[ _]*(?:NM)?\\)?");
    /** A heading of more letters names nothing that is known here. */
    private static final int LONGEST_HEADING = 60;

    private static final Pattern BRACKETS = Pattern.compile("[(\\[]([^()\\[\\]]*)[)\\]]");
    private static final Pattern LIGHT = Pattern.compile("\\b(A|C|D50|D55|D65|D75|E|F2|F7|F11)\\b");
    /** More rows than any chart has are no readings. */
    private static final int MOST_ROWS = 10_000;

    private static final int MOST_TROUBLES = 200;
    private static final int SHORTEST_WAVE = 300;
    private static final int LONGEST_WAVE = 900;
    private static final BigDecimal PERCENT_FROM = BigDecimal.valueOf(2);
    /** Noise about zero that instruments give for black; further below it is a fault. */
    private static final BigDecimal NOISE = new BigDecimal("-0.01");

    private final List<Sample> samples = new ArrayList<>();
    private final List<Trouble> troubles = new ArrayList<>();
    /** What was taken for granted, and of how many readings. */
    private final Map<String, Integer> remarks = new LinkedHashMap<>();

    private int rows;
    /** Spectra wait for the whole file: only all of them tell whether it has parts or percentages. */
    private final List<Waiting> waiting = new ArrayList<>();

    private record Waiting(
            int line,
            String name,
            TreeMap<Integer, BigDecimal> spectrum,
            Optional<Lab> lab,
            Optional<BigDecimal> density,
            Sample.Conditions how) {}

    private FileRead() {}

    static FileRead of(byte[] bytes) {
        FileRead read = new FileRead();
        String text = text(bytes);
        if (text.stripLeading().startsWith("<")) {
            new CxfFile(read).read(text);
        } else if (CgatsFile.isOne(text)) {
            new CgatsFile(read).read(text);
        } else {
            new TableFile(read).read(text);
        }
        read.finish();
        return read;
    }

    /** Readings in the order of the file. */
    List<Sample> samples() {
        return List.copyOf(samples);
    }

    List<Trouble> troubles() {
        return troubles.stream().sorted(Comparator.comparingInt(Trouble::line)).toList();
    }

    /** What was taken for granted, in words. */
    List<String> remarks() {
        return remarks.entrySet().stream()
                .map(each ->
                        each.getValue() == 1 ? each.getKey() : each.getKey() + " (" + each.getValue() + " readings)")
                .toList();
    }

    /** Whether more of the file is worth reading. */
    boolean goesOn() {
        return rows < MOST_ROWS && troubles.size() < MOST_TROUBLES;
    }

    void trouble(int line, String words) {
        if (troubles.size() < MOST_TROUBLES) {
            troubles.add(new Trouble(line, words));
        } else if (troubles.size() == MOST_TROUBLES) {
            troubles.add(new Trouble(line, "and more; the rest of the file was not read"));
        }
    }

    private void remark(String words) {
        remarks.merge(words, 1, Integer::sum);
    }

    /** By the mark at its beginning; else UTF-8 if it is that, else the letters of Western Europe (windows-1252). */
    static String text(byte[] bytes) {
        if (starts(bytes, 0xef, 0xbb, 0xbf)) {
            return new String(bytes, 3, bytes.length - 3, StandardCharsets.UTF_8);
        }
        if (starts(bytes, 0xff, 0xfe)) {
            return new String(bytes, 2, bytes.length - 2, StandardCharsets.UTF_16LE);
        }
        if (starts(bytes, 0xfe, 0xff)) {
            return new String(bytes, 2, bytes.length - 2, StandardCharsets.UTF_16BE);
        }
        try {
            return StandardCharsets.UTF_8
                    .newDecoder()
                    .onMalformedInput(CodingErrorAction.REPORT)
                    .decode(ByteBuffer.wrap(bytes))
                    .toString();
        } catch (CharacterCodingException notUtf8) {
            return new String(bytes, Charset.forName("windows-1252"));
        }
    }

    private static boolean starts(byte[] bytes, int... mark) {
        for (int i = 0; i < mark.length; i++) {
            if (bytes.length <= i || (bytes[i] & 0xff) != mark[i]) {
                return false;
            }
        }
        return true;
    }

    /** A row of a table whose headings say what is in it. */
    void row(Row row) {
        if (!goesOn()) {
            return;
        }
        rows++;
        if (rows == MOST_ROWS) {
            trouble(row.line(), "more than " + MOST_ROWS + " rows; the rest of the file was not read");
            return;
        }
        if (row.cells().size() != row.headings().size()) {
            trouble(
                    row.line(),
                    row.cells().size() + " values under " + row.headings().size()
                            + " headings; give one value for each heading");
            return;
        }
        TreeMap<Integer, BigDecimal> spectrum = new TreeMap<>();
        BigDecimal[] lab = new BigDecimal[3];
        Optional<BigDecimal> density = Optional.empty();
        String name = "";
        String id = "";
        Sample.Conditions how = Sample.Conditions.UNKNOWN;
        String light = "";
        for (int i = 0; i < row.cells().size(); i++) {
            String heading = row.headings().get(i).strip();
            String cell = row.cells().get(i).strip();
            OptionalInt wave = wavelength(heading);
            int part = labPart(heading);
            if (wave.isPresent() || part >= 0 || isDensity(heading)) {
                Optional<BigDecimal> number = number(row.line(), heading, cell);
                if (number.isEmpty()) {
                    return;
                }
                boolean twice = wave.isPresent()
                        ? spectrum.put(wave.getAsInt(), number.get()) != null
                        : part >= 0 && lab[part] != null;
                String own = part >= 0 ? brackets(heading) : "";
                if (twice || !own.isEmpty() && !light.isEmpty() && !own.equals(light)) {
                    trouble(
                            row.line(),
                            heading + " comes twice or with another light; leave one set of columns, best of spectra");
                    return;
                }
                if (part >= 0) {
                    light = own.isEmpty() ? light : own;
                    lab[part] = number.get();
                } else if (wave.isEmpty()) {
                    density = number;
                }
            } else {
                switch (heading.toUpperCase(Locale.ROOT).replace(' ', '_')) {
                    case "SAMPLE_NAME", "NAME", "SAMPLE" -> name = cell;
                    case "SAMPLE_ID", "SAMPLEID", "ID" -> id = cell;
                    case "INSTRUMENT" -> how = how.or(new Sample.Conditions(cell, "", "", "", ""));
                    case "GEOMETRY" -> how = how.or(new Sample.Conditions("", cell, "", "", ""));
                    case "ILLUMINANT", "LIGHT" -> how = how.or(new Sample.Conditions("", "", cell, "", ""));
                    case "OBSERVER" -> how = how.or(new Sample.Conditions("", "", "", observer(cell), ""));
                    case "BACKING", "SAMPLE_BACKING" -> how = how.or(new Sample.Conditions("", "", "", "", cell));
                    default -> {
                        // The first column of words names a row of a table that has no heading for names.
                        if (i == 0 && name.isEmpty()) {
                            name = cell;
                        }
                    }
                }
            }
        }
        Optional<Lab> colour = lab[0] != null && lab[1] != null && lab[2] != null
                ? Optional.of(new Lab(lab[0], lab[1], lab[2]))
                : Optional.empty();
        reading(
                row.line(),
                name.isEmpty() ? id : name,
                spectrum,
                colour,
                density,
                how.or(light(light)).or(row.how()));
    }

    /** A reading whose spectrum, if any, is as the file has it: parts or percentages. */
    void reading(
            int line,
            String name,
            TreeMap<Integer, BigDecimal> spectrum,
            Optional<Lab> lab,
            Optional<BigDecimal> density,
            Sample.Conditions how) {
        if (spectrum.isEmpty() && lab.isEmpty() && density.isEmpty()) {
            trouble(line, "neither a spectrum nor L*, a*, b* nor a density; let the instrument save one of them");
            return;
        }
        if (lab.isPresent() && !isLab(lab.get())) {
            trouble(line, "L* a* b* is " + words(lab.get()) + "; L* lies between 0 and 100, a* and b* within 200");
            return;
        }
        if (density.isPresent()
                && (density.get().compareTo(new BigDecimal("-0.5")) < 0
                        || density.get().compareTo(BigDecimal.TEN) > 0)) {
            trouble(line, "the density is " + density.get().toPlainString() + "; densities lie between 0 and 6");
            return;
        }
        waiting.add(new Waiting(line, name, spectrum, lab, density, how));
    }

    private static String words(Lab lab) {
        return lab.l().toPlainString() + " " + lab.a().toPlainString() + " "
                + lab.b().toPlainString();
    }

    private static boolean isLab(Lab lab) {
        return lab.l().signum() >= 0
                && lab.l().compareTo(BigDecimal.valueOf(110)) <= 0
                && lab.a().abs().compareTo(BigDecimal.valueOf(200)) <= 0
                && lab.b().abs().compareTo(BigDecimal.valueOf(200)) <= 0;
    }

    private void finish() {
        // By the middle of a spectrum: a single slip of the decimal does not make a file one of percentages.
        boolean percent = waiting.stream()
                .filter(each -> !each.spectrum().isEmpty())
                .anyMatch(each -> each.spectrum().values().stream()
                                .sorted()
                                .skip(each.spectrum().size() / 2)
                                .findFirst()
                                .orElseThrow()
                                .compareTo(PERCENT_FROM)
                        > 0);
        boolean spectra = waiting.stream().anyMatch(each -> !each.spectrum().isEmpty());
        if (spectra) {
            remark(
                    percent
                            ? "Spectra are taken as percentages, because half of one lies above 2"
                            : "Spectra are taken as parts of a perfect white, because none lies above 2");
        }
        for (Waiting each : waiting) {
            Optional<Spectrum> spectrum = Optional.empty();
            if (!each.spectrum().isEmpty()) {
                spectrum = spectrum(each, percent);
                if (spectrum.isEmpty()) {
                    continue;
                }
            }
            samples.add(new Sample(each.line(), each.name(), spectrum, each.lab(), each.density(), each.how()));
        }
    }

    private Optional<Spectrum> spectrum(Waiting reading, boolean percent) {
        List<Integer> waves = List.copyOf(reading.spectrum().keySet());
        int step = waves.size() > 1 ? waves.get(1) - waves.get(0) : 0;
        for (int i = 1; i < waves.size(); i++) {
            if (waves.get(i) - waves.get(i - 1) != step) {
                trouble(
                        reading.line(),
                        "bands are missing between " + waves.get(i - 1) + " and " + waves.get(i)
                                + " nm; save the spectrum in even steps");
                return Optional.empty();
            }
        }
        List<BigDecimal> values = new ArrayList<>();
        for (var band : reading.spectrum().entrySet()) {
            BigDecimal value = percent ? band.getValue().movePointLeft(2) : band.getValue();
            if (value.compareTo(NOISE) < 0 || value.compareTo(PERCENT_FROM) > 0) {
                trouble(
                        reading.line(),
                        "at " + band.getKey() + " nm it gives back "
                                + band.getValue().toPlainString() + (percent ? " %" : "")
                                + ", which no surface does; calibrate the instrument on its white and read again");
                return Optional.empty();
            }
            if (value.signum() < 0) {
                remark("Values a little below 0 are noise of the instrument and are taken as 0");
                value = BigDecimal.ZERO;
            }
            values.add(value);
        }
        if (values.size() < 4) {
            trouble(reading.line(), values.size() + " bands; a spectrum covers 420 to 680 nm at least");
            return Optional.empty();
        }
        Spectrum spectrum = new Spectrum(waves.get(0), step, values);
        try {
            Bands.of(spectrum).remarks().stream()
                    // What most instruments read, from 400 to 700 nm, is enough.
                    .filter(words -> !words.contains(" 400 nm") && !words.contains(" 700 nm"))
                    .forEach(this::remark);
        } catch (BadInput refused) {
            trouble(reading.line(), String.valueOf(refused.getMessage()));
            return Optional.empty();
        }
        return Optional.of(spectrum);
    }

    /** The wavelength that a heading names, such as SPECTRAL_NM380, NM_380, R 380 or 380 nm. */
    static OptionalInt wavelength(String heading) {
        if (heading.length() > LONGEST_HEADING) {
            return OptionalInt.empty();
        }
        Matcher wave = WAVELENGTH.matcher(heading.strip().toUpperCase(Locale.ROOT));
        if (!wave.matches()) {
            return OptionalInt.empty();
        }
        int nm = Integer.parseInt(wave.group(1));
        return nm >= SHORTEST_WAVE && nm <= LONGEST_WAVE ? OptionalInt.of(nm) : OptionalInt.empty();
    }

    /** What stands in brackets in a heading, such as "D65/10°". */
    private static String brackets(String heading) {
        Matcher inside = BRACKETS.matcher(heading);
        return inside.find() ? inside.group(1).strip() : "";
    }

    /** Illuminant and observer as they are written together. */
    static Sample.Conditions light(String text) {
        Matcher light = LIGHT.matcher(text.toUpperCase(Locale.ROOT));
        String observer = Observer.named(text)
                .map(which -> which == Observer.TEN_DEGREES ? "10°" : "2°")
                .orElse("");
        return new Sample.Conditions("", "", light.find() ? light.group(1) : "", observer, "");
    }

    /** Which of L*, a*, b* a heading names, 0 to 2; −1 for none. */
    static int labPart(String heading) {
        if (heading.length() > LONGEST_HEADING) {
            return -1;
        }
        String bare = BRACKETS.matcher(heading).replaceAll("");
        return switch (bare.toUpperCase(Locale.ROOT).replaceAll("[ *_]", "").replaceFirst("^CIE", "")) {
            case "LABL", "L" -> 0;
            case "LABA", "A" -> 1;
            case "LABB", "B" -> 2;
            default -> -1;
        };
    }

    private static boolean isDensity(String heading) {
        return switch (heading.toUpperCase(Locale.ROOT).replace(' ', '_')) {
            case "D", "DENSITY", "D_VIS", "DENSITY_V", "VISUAL_DENSITY" -> true;
            default -> false;
        };
    }

    /** A number with a point or comma; what is none is told, and the row left out. */
    Optional<BigDecimal> number(int line, String heading, String cell) {
        String plain = cell.replace('\u2212', '-');
        if (plain.indexOf('.') < 0) {
            plain = plain.replace(',', '.');
        }
        if (!NUMBER.matcher(plain).matches()) {
            trouble(line, heading + " is \"" + shortened(cell) + "\"; give a number such as 0.53");
            return Optional.empty();
        }
        return Optional.of(new BigDecimal(plain));
    }

    static String shortened(String text) {
        return text.length() > 30 ? text.substring(0, 30) + "…" : text;
    }

    /** "2°" or "10°", however it was written. */
    static String observer(String text) {
        String known = light(text).observer();
        return known.isEmpty() ? text.strip() : known;
    }
}
