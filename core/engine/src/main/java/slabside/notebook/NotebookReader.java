package slabside.notebook;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.CodingErrorAction;
import java.nio.charset.StandardCharsets;
import java.time.DateTimeException;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVParser;
import org.apache.commons.csv.CSVRecord;
import org.jspecify.annotations.Nullable;
import slabside.event.Actor;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.InkEvent;
import slabside.event.LogEvent;
import slabside.event.MaterialRole;
import slabside.event.ShelfEvent;
import slabside.event.StudioEvent;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.log.Draft;
import slabside.measure.Amount;
import slabside.measure.BadInput;
import slabside.measure.Typed;
import slabside.views.Thing;
import slabside.views.Told;
import slabside.views.Views;

/**
 * Reads a notebook kept as a table: columns by heading, in any order: date, time, mix, action, material, can, amount, unit,
 * note. The same file read twice gives the same event ids, so that importing it again adds nothing.
 */
public final class NotebookReader {
    private static final List<String> COLUMNS =
            List.of("date", "time", "mix", "action", "material", "can", "amount", "unit", "note");
    private static final Set<String> NEEDED = Set.of("mix", "material", "amount");
    private static final DateTimeFormatter CLOCK = DateTimeFormatter.ofPattern("H[:][.]mm");
    private static final Pattern SIGN = Pattern.compile("\\d*[.,]\\d+");
    private static final Pattern THOUSANDS = Pattern.compile("[1-9]\\d{0,2},\\d{3}");
    private static final int LONGEST_CELL = 2_000;

    private static final Map<String, Why> ACTIONS = new LinkedHashMap<>();

    static {
        ACTIONS.put("added", Why.ADDED);
        ACTIONS.put("folded in", Why.FOLDED_IN);
        ACTIONS.put("taken out", Why.TAKEN_OUT);
        ACTIONS.put("set aside", Why.SET_ASIDE);
        ACTIONS.put("wrapped", Why.WRAPPED);
        ACTIONS.put("tested", Why.TESTED);
        ACTIONS.put("thrown away", Why.THROWN_AWAY);
        ACTIONS.put("used elsewhere", Why.USED_ELSEWHERE);
    }

    private static final List<String> OTHER_ACTIONS = List.of("received", "agreed", "note");

    /**
     * @param decimalSign '.' or ','; empty to tell it from the file
     * @param newCans whether a can that nothing was said of before may be taken as new
     */
    public record Settings(ZoneId zone, Actor actor, Optional<Character> decimalSign, boolean newCans, long now) {}

    private final Views views;
    private final Settings settings;
    private final List<Draft> drafts = new ArrayList<>();
    private final List<Notebook.Problem> problems = new ArrayList<>();
    private final Set<String> remarks = new LinkedHashSet<>();
    private final Map<String, ThingId> materials = new LinkedHashMap<>();
    private final Map<String, ThingId> cans = new LinkedHashMap<>();
    private final Map<String, LocalDate> firstDays = new LinkedHashMap<>();
    private final Map<String, Page> pages = new LinkedHashMap<>();
    private final byte[] file;
    private Earlier earlier;
    private int fresh;
    /** As stated, or as the file shows it; empty when neither tells. */
    private Optional<Character> sign = Optional.empty();

    /** One mix as the notebook goes on about it. */
    private static final class Page {
        private final ThingId mix;
        private @Nullable EventId anchor;
        private long anchorAt;
        private boolean gone;
        private @Nullable LocalDate day;

        Page(ThingId mix) {
            this.mix = mix;
        }
    }

    private NotebookReader(Views views, Settings settings, byte[] file) {
        this.views = views;
        this.settings = settings;
        this.file = file;
        this.earlier = new Earlier(file);
    }

    /** Reads a file; never writes. */
    public static Notebook read(byte[] file, Views views, Settings settings) {
        return new NotebookReader(views, settings, file).read(text(file));
    }

    private static String text(byte[] file) {
        try {
            String text = StandardCharsets.UTF_8
                    .newDecoder()
                    .onMalformedInput(CodingErrorAction.REPORT)
                    .onUnmappableCharacter(CodingErrorAction.REPORT)
                    .decode(ByteBuffer.wrap(file))
                    .toString();
            return text.startsWith("\uFEFF") ? text.substring(1) : text;
        } catch (CharacterCodingException wrong) {
            throw new BadInput(
                    "encoding of the file", "not UTF-8", "save the table again as \"CSV UTF-8\"; nothing was imported");
        }
    }

    private Notebook read(String text) {
        String heading = text.lines().findFirst().orElse("");
        CSVFormat format = CSVFormat.RFC4180
                .builder()
                .setDelimiter(delimiter(heading))
                .setHeader()
                .setSkipHeaderRecord(true)
                .setIgnoreHeaderCase(true)
                .setIgnoreSurroundingSpaces(true)
                .setIgnoreEmptyLines(true)
                .setTrim(true)
                .get();
        int rows = 0;
        try (CSVParser parser = CSVParser.parse(text, format)) {
            List<String> headings = parser.getHeaderNames().stream()
                    .map(h -> h.toLowerCase(Locale.ROOT))
                    .toList();
            headings(headings);
            List<Row> table = new ArrayList<>();
            for (CSVRecord record : parser) {
                Row next = Row.of(record, parser.getCurrentLineNumber());
                if (!next.isBlank()) {
                    table.add(next);
                }
            }
            if (problems.isEmpty()) {
                sign = settings.decimalSign.or(() -> signOf(table));
                earlier = new Earlier(
                        file,
                        table.stream()
                                .map(row -> new Earlier.Place(row.number(), row.end()))
                                .toList(),
                        id -> views.told(id).isPresent());
                if (earlier.lastLine() > 0) {
                    remarks.add("what stands down to line " + earlier.lastLine()
                            + " was imported before and stays as it is in the log");
                }
                table.forEach(this::firstDay);
                table.forEach(this::row);
                rows = table.size();
            }
        } catch (IOException | java.io.UncheckedIOException | IllegalArgumentException broken) {
            problems.add(new Notebook.Problem(
                    1, "", "", "this is not a readable table (" + broken.getMessage() + "); save it again as CSV"));
        }
        if (rows == 0 && problems.isEmpty()) {
            problems.add(new Notebook.Problem(1, "", "", "the file has a heading but no rows"));
        }
        return new Notebook(problems.isEmpty() ? drafts : List.of(), rows, fresh, problems, List.copyOf(remarks));
    }

    private static char delimiter(String heading) {
        return heading.contains("\t") ? '\t' : heading.contains(";") ? ';' : ',';
    }

    private void headings(List<String> headings) {
        for (String needed : NEEDED) {
            if (!headings.contains(needed)) {
                problems.add(new Notebook.Problem(
                        1,
                        needed,
                        "",
                        "this column is missing; the first line must name the columns: " + String.join(", ", COLUMNS)));
            }
        }
        for (String heading : headings) {
            if (!COLUMNS.contains(heading)) {
                problems.add(new Notebook.Problem(
                        1, heading, heading, "there is no such column; use " + String.join(", ", COLUMNS)));
            }
        }
    }

    /**
     * The sign of the first amount that shows it; a later amount with the other is then a problem of its row. A comma before
     * three digits could be a thousands mark and shows nothing.
     */
    private static Optional<Character> signOf(List<Row> rows) {
        for (Row row : rows) {
            Matcher shown = SIGN.matcher(row.cell("amount"));
            while (shown.find()) {
                if (!THOUSANDS.matcher(shown.group()).matches()) {
                    return Optional.of(shown.group().indexOf(',') >= 0 ? ',' : '.');
                }
            }
        }
        return Optional.empty();
    }

    /** One row with its cells by heading. */
    private record Row(CSVRecord record, long line, long end) {
        /**
         * @param end line of the file on which the record ends; a cell with line breaks began earlier
         */
        static Row of(CSVRecord record, long end) {
            long breaks = record.stream()
                    .mapToLong(cell -> cell.chars().filter(c -> c == '\n').count())
                    .sum();
            return new Row(record, end - breaks, end);
        }

        String cell(String column) {
            return record.isMapped(column) && record.isSet(column)
                    ? record.get(column).strip()
                    : "";
        }

        boolean isBlank() {
            return record.stream().allMatch(String::isBlank);
        }

        /** Place among the records, which blank lines do not change. */
        long number() {
            return record.getRecordNumber();
        }
    }

    private void row(Row row) {
        try {
            for (String column : COLUMNS) {
                if (row.cell(column).length() > LONGEST_CELL) {
                    throw new Bad(
                            column,
                            row.cell(column).substring(0, 40) + "…",
                            "a cell holds at most " + LONGEST_CELL + " characters");
                }
            }
            if (!isThere(row)) {
                fresh++;
                enter(row);
            }
        } catch (Bad bad) {
            problems.add(new Notebook.Problem(row.line(), bad.column, bad.value, bad.remedy));
        }
    }

    /** A cell that cannot be taken. */
    private static final class Bad extends Exception {
        private static final long serialVersionUID = 1L;
        private final String column;
        private final String value;
        private final String remedy;

        Bad(String column, String value, String remedy) {
            super(remedy, null, false, false);
            this.column = column;
            this.value = value;
            this.remedy = remedy;
        }
    }

    private void enter(Row row) throws Bad {
        String action =
                row.cell("action").isEmpty() ? "added" : row.cell("action").toLowerCase(Locale.ROOT);
        if (!ACTIONS.containsKey(action) && !OTHER_ACTIONS.contains(action)) {
            throw new Bad(
                    "action",
                    row.cell("action"),
                    "use one of " + String.join(", ", ACTIONS.keySet()) + ", " + String.join(", ", OTHER_ACTIONS));
        }
        if (action.equals("received")) {
            received(row);
            return;
        }
        if (row.cell("mix").isEmpty()) {
            throw new Bad("mix", "", "say which mix this belongs to");
        }
        Page page = page(row);
        Happened happened = happened(row, page);
        String note = row.cell("note");
        if (action.equals("note")) {
            put(row, 0, page, happened, new LogEvent.Annotated(null, page.mix, note));
        } else if (action.equals("agreed")) {
            put(
                    row,
                    0,
                    page,
                    happened,
                    new TestEvent.ColourAgreed(
                            page.mix, null, null, null, null, null, null, note.isEmpty() ? null : note));
        } else {
            move(
                    row,
                    page,
                    happened,
                    java.util.Objects.requireNonNull(ACTIONS.get(action)),
                    note.isEmpty() ? null : note);
        }
    }

    /** What an earlier import made of a row is read from the log, however things are called there by now. */
    private boolean isThere(Row row) throws Bad {
        if (!earlier.holds(row.number())) {
            return false;
        }
        boolean found = false;
        // As they were put there: what is named first comes first.
        for (int part : new int[] {4, 3, 2, 1, 0}) {
            Optional<Told> told = views.told(earlier.id(row.number(), part));
            if (told.isPresent()) {
                found = true;
                goOnFrom(row, told.get());
            }
        }
        return found;
    }

    private void goOnFrom(Row row, Told told) throws Bad {
        String mix = row.cell("mix").toLowerCase(Locale.ROOT);
        StudioEvent written = views.line(told.pos()).event();
        if (written instanceof ShelfEvent.MaterialListed listed) {
            materials.put(row.cell("material").toLowerCase(Locale.ROOT), views.canonical(listed.material()));
            return;
        }
        if (written instanceof ShelfEvent.CanReceived received) {
            if (!told.voided()) {
                remember(row, received.material(), received.can());
            }
            return;
        }
        if (written instanceof InkEvent.MixStarted started) {
            Page page = new Page(started.mix());
            page.gone = told.voided();
            page.day = firstDays.get(mix);
            pages.put(mix, page);
        }
        if (written instanceof InkEvent.Moved moved && moved.why() == Why.ADDED) {
            views.thing(moved.from())
                    .filter(can -> !can.of().isEmpty())
                    .ifPresent(can -> remember(row, new ThingId(can.of()), moved.from()));
        }
        Page page = pages.get(mix);
        if (page == null || told.voided()) {
            return;
        }
        if (page.anchor == null || told.key().millis() >= page.anchorAt) {
            page.anchor = told.id();
            page.anchorAt = told.key().millis();
        }
        page.day = row.cell("date").isEmpty() ? page.day : day(row.cell("date"));
    }

    private void remember(Row row, ThingId of, ThingId can) {
        ThingId material =
                materials.computeIfAbsent(row.cell("material").toLowerCase(Locale.ROOT), any -> views.canonical(of));
        cans.putIfAbsent(material + " " + row.cell("can").toLowerCase(Locale.ROOT), can);
    }

    private void received(Row row) throws Bad {
        ThingId material = material(row);
        String lot = row.cell("can");
        if (lot.isEmpty()) {
            throw new Bad("can", "", "say which can or lot was received");
        }
        ThingId can = id(row, "can", material + " " + lot);
        if (views.thingsOf("can", material, 1_000).stream().anyMatch(other -> lot.equalsIgnoreCase(other.name()))) {
            remarks.add("a can " + lot + " of " + row.cell("material") + " is in the log already; this is another one");
        }
        cans.put(material + " " + lot.toLowerCase(Locale.ROOT), can);
        Page none = new Page(can);
        put(
                row,
                1,
                none,
                happened(row, none),
                new ShelfEvent.CanReceived(can, material, lot, null, amount(row), null, null, null));
    }

    private void move(Row row, Page page, Happened happened, Why why, @Nullable String note) throws Bad {
        Amount amount = amount(row);
        ThingId from = page.mix;
        ThingId to = page.mix;
        switch (why) {
            case ADDED -> from = can(row);
            case FOLDED_IN -> from = otherMix(row);
            case SET_ASIDE, WRAPPED -> {
                to = id(row, "packet", page.mix + " record " + row.number());
                put(row, 1, page, happened, new InkEvent.Wrapped(to, null, null, note));
            }
            case TESTED -> to = ThingId.TEST;
            case USED_ELSEWHERE -> to = ThingId.ELSEWHERE;
            default -> to = ThingId.WASTE;
        }
        put(row, 0, page, happened, new InkEvent.Moved(from, to, amount, why, note));
    }

    private ThingId otherMix(Row row) throws Bad {
        String name = row.cell("material");
        Page other = pages.get(name.toLowerCase(Locale.ROOT));
        if (other != null && !other.gone) {
            return other.mix;
        }
        List<Thing> known = views.exactly("", name).stream()
                .filter(t -> t.kind().equals("mix") || t.kind().equals("packet"))
                .toList();
        if (known.size() != 1) {
            throw new Bad(
                    "material",
                    name,
                    "to fold in a leftover, name its mix as written further up or as this log knows it");
        }
        return known.get(0).id();
    }

    private Page page(Row row) throws Bad {
        String name = row.cell("mix");
        Page known = pages.get(name.toLowerCase(Locale.ROOT));
        if (known != null && known.gone) {
            throw new Bad(
                    "mix",
                    name,
                    "this mix was taken out of the log after it was imported; give it another name from this row on");
        }
        if (known != null) {
            return known;
        }
        Page page = new Page(id(row, "mix", name));
        if (!views.exactly("mix", name).isEmpty()) {
            remarks.add("a mix called " + name
                    + " is in the log already, and these rows are of another one. If this file was"
                    + " imported before, it is not as it was then: do not write it, or all its rows are there twice; put"
                    + " single entries right on the page of the mix");
        }
        page.day = firstDays.get(name.toLowerCase(Locale.ROOT));
        pages.put(name.toLowerCase(Locale.ROOT), page);
        put(row, 2, page, happened(row, page), new InkEvent.MixStarted(page.mix, name, null, null, null, null));
        return page;
    }

    private ThingId can(Row row) throws Bad {
        ThingId material = material(row);
        String lot = row.cell("can");
        String key = material + " " + lot.toLowerCase(Locale.ROOT);
        ThingId known = cans.get(key);
        if (known != null) {
            return known;
        }
        Optional<Thing> inLog = views.thingsOf("can", material, 1_000).stream()
                .filter(can -> lot.equalsIgnoreCase(can.name())
                        || lot.equalsIgnoreCase(can.label())
                        || lot.equals(can.id().text()))
                .findFirst();
        ThingId can = inLog.map(Thing::id).orElse(null);
        if (can == null) {
            if (!lot.isEmpty() && !settings.newCans) {
                throw new Bad(
                        "can",
                        lot,
                        "no such can of " + row.cell("material")
                                + " is known; put in a row with the action \"received\" before it, or allow new cans");
            }
            can = id(row, "can", material + " " + lot);
            Page none = new Page(can);
            put(
                    row,
                    3,
                    none,
                    Happened.unknown(settings.zone),
                    new ShelfEvent.CanReceived(
                            can, material, lot.isEmpty() ? null : lot, null, new Amount.Unknown(""), null, null, null));
            remarks.add(
                    lot.isEmpty()
                            ? "which can of " + row.cell("material")
                                    + " was used is not written down; one without a lot was taken"
                            : "the can " + lot + " of " + row.cell("material")
                                    + " is new; how much it held is not known");
        }
        cans.put(key, can);
        return can;
    }

    private ThingId material(Row row) throws Bad {
        String name = row.cell("material");
        if (name.isEmpty()) {
            throw new Bad("material", "", "say which material it was");
        }
        ThingId known = materials.get(name.toLowerCase(Locale.ROOT));
        if (known == null) {
            known = views.exactly("material", name).stream()
                    .findFirst()
                    .map(Thing::id)
                    .orElse(null);
            if (known == null) {
                known = id(row, "material", name);
                MaterialRole role = guessed(name);
                remarks.add("the material " + name + " is new and taken for: "
                        + EventCodec.word(role).replace('-', ' '));
                put(
                        row,
                        4,
                        new Page(known),
                        Happened.unknown(settings.zone),
                        new ShelfEvent.MaterialListed(known, name, role, null, null, null, null));
            }
            materials.put(name.toLowerCase(Locale.ROOT), known);
        }
        return known;
    }

    /** What a material is, from its name; said as a remark, to be put right by listing it. */
    static MaterialRole guessed(String name) {
        String words = name.toLowerCase(Locale.ROOT);
        Map<String, MaterialRole> signs = new LinkedHashMap<>();
        signs.put("tack reducer", MaterialRole.TACK_REDUCER);
        signs.put("extender", MaterialRole.BASE);
        signs.put("transparent", MaterialRole.BASE);
        signs.put("base", MaterialRole.BASE);
        signs.put("white", MaterialRole.OPAQUE_WHITE);
        signs.put("carbonate", MaterialRole.POWDER);
        signs.put("powder", MaterialRole.POWDER);
        signs.put("mag", MaterialRole.POWDER);
        signs.put("varnish", MaterialRole.VARNISH);
        signs.put("oil", MaterialRole.VARNISH);
        signs.put("drier", MaterialRole.DRIER);
        signs.put("retarder", MaterialRole.RETARDER);
        for (var sign : signs.entrySet()) {
            if (Pattern.compile("\\b" + sign.getKey() + "\\b").matcher(words).find()) {
                return sign.getValue();
            }
        }
        return MaterialRole.INK;
    }

    private Amount amount(Row row) throws Bad {
        String typed = row.cell("amount");
        String entered = (typed + " " + row.cell("unit")).strip();
        try {
            Amount amount = typed.isEmpty()
                    ? new Amount.Unknown(entered)
                    : Typed.amount("amount", entered, row.cell("mix"), sign);
            if (amount instanceof Amount.Unknown) {
                remarks.add("line " + row.line() + ": the amount is not written down and stays a gap");
            }
            return amount;
        } catch (BadInput bad) {
            throw new Bad(bad.field().equals("unit") ? "unit" : "amount", bad.value(), bad.remedy());
        }
    }

    private Happened happened(Row row, Page page) throws Bad {
        LocalDate day = row.cell("date").isEmpty() ? page.day : day(row.cell("date"));
        if (day == null) {
            if (!row.cell("time").isEmpty()) {
                throw new Bad(
                        "time", row.cell("time"), "a time needs a date on this row or one before it of the same mix");
            }
            return Happened.unknown(settings.zone);
        }
        Happened happened = row.cell("time").isEmpty()
                ? Happened.day(day, settings.zone)
                : Happened.minute(
                        day.atTime(time(row.cell("time"))).atZone(settings.zone).toInstant(), settings.zone);
        if (happened.from() != null && happened.from() > settings.now) {
            throw new Bad("date", row.cell("date"), "this lies in the future; check the year");
        }
        page.day = day;
        return happened;
    }

    /** Rows before the first date of a mix count as of that day. */
    private void firstDay(Row row) {
        String mix = row.cell("mix").toLowerCase(Locale.ROOT);
        if (!row.cell("date").isEmpty() && !firstDays.containsKey(mix)) {
            try {
                firstDays.put(mix, day(row.cell("date")));
            } catch (Bad saidWithItsRow) {
                firstDays.remove(mix);
            }
        }
    }

    private static LocalDate day(String typed) throws Bad {
        for (String pattern : List.of("uuuu-MM-dd", "d.M.uuuu", "d MMM uuuu")) {
            try {
                return LocalDate.parse(
                        typed,
                        DateTimeFormatter.ofPattern(pattern, Locale.ENGLISH)
                                .withResolverStyle(java.time.format.ResolverStyle.STRICT));
            } catch (DateTimeException other) {
                continue;
            }
        }
        throw new Bad("date", typed, "write a date as 2024-05-31, 31.5.2024 or 31 May 2024");
    }

    private static LocalTime time(String typed) throws Bad {
        try {
            return LocalTime.parse(typed, CLOCK);
        } catch (DateTimeException wrong) {
            throw new Bad("time", typed, "write a time as 14:05");
        }
    }

    /**
     * Rows of one mix keep the order of the notebook: one that is not later than the row it hangs on, by the clock or the
     * day, comes directly after that one.
     */
    private void put(Row row, int part, Page page, Happened happened, StudioEvent event) {
        EventId id = earlier.id(row.number(), part);
        long instant = happened.instant(settings.now);
        boolean later = page.anchor == null || instant > page.anchorAt;
        drafts.add(new Draft(id, happened, later ? null : page.anchor, settings.actor, event));
        if (later) {
            page.anchor = id;
            page.anchorAt = instant;
        }
    }

    private ThingId id(Row row, String kind, String name) {
        return earlier.thing(row.number(), kind, name);
    }
}
