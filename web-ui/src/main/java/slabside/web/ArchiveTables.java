package slabside.web;

import java.io.BufferedWriter;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVPrinter;
import org.jspecify.annotations.Nullable;
import slabside.edition.Edition;
import slabside.edition.Register;
import slabside.edition.Run;
import slabside.event.Catalogue;
import slabside.event.EventCodec;
import slabside.event.InkEvent;
import slabside.event.LogEvent;
import slabside.event.PressEvent;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.ink.Ledger;
import slabside.studio.Studio;
import slabside.views.Sentence;
import slabside.views.Thing;
import slabside.views.Timeline;
import slabside.views.Told;

/** The main tables of a studio as CSV, with a dictionary of every column; people by their ids. */
final class ArchiveTables {
    private static final int AT_ONCE = 2_000;
    private static final int MOST_THINGS = 1_000_000;

    private final Studio studio;
    private final Path folder;
    private final List<Object[]> dictionary = new ArrayList<>();

    ArchiveTables(Studio studio, Path folder) {
        this.studio = studio;
        this.folder = folder;
    }

    /** A column with what it means. */
    private record Column(String name, String meaning) {}

    private static Column column(String name, String meaning) {
        return new Column(name, meaning);
    }

    private interface Rows {
        void into(CSVPrinter csv) throws IOException;
    }

    private void table(String name, List<Column> columns, Rows rows) throws IOException {
        columns.forEach(column -> dictionary.add(new Object[] {name, column.name, column.meaning}));
        write(name, columns.stream().map(Column::name).toArray(), rows);
    }

    private void write(String name, Object[] heads, Rows rows) throws IOException {
        try (BufferedWriter out = Files.newBufferedWriter(folder.resolve(name));
                CSVPrinter csv = new CSVPrinter(out, CSVFormat.RFC4180)) {
            csv.printRecord(heads);
            rows.into(csv);
        }
    }

    void write() throws IOException {
        events();
        things();
        moves();
        pulls();
        impressions();
        readings();
        attached();
        write("dictionary.csv", new Object[] {"table", "column", "meaning"}, csv -> {
            for (Object[] row : dictionary) {
                csv.printRecord(row);
            }
        });
    }

    private static String when(Told told) {
        ZoneId zone = ZoneId.of(told.happened().zone());
        Instant instant = Instant.ofEpochMilli(told.key().millis());
        return switch (told.happened().precision()) {
            case EXACT ->
                DateTimeFormatter.ISO_OFFSET_DATE_TIME.format(
                        instant.atZone(zone).toOffsetDateTime());
            case MINUTE ->
                instant.atZone(zone)
                        .toOffsetDateTime()
                        .truncatedTo(ChronoUnit.MINUTES)
                        .toString();
            case DAY -> DateTimeFormatter.ISO_LOCAL_DATE.format(instant.atZone(zone));
            case UNKNOWN -> "";
        };
    }

    private String sentence(Told told) {
        // People by their ids: their names stand in people.txt alone.
        return Sentence.of(
                told.event(),
                id -> id.text().startsWith("person-")
                        ? id.text()
                        : studio.views().name(id));
    }

    private static String ids(Iterable<ThingId> ids) {
        List<String> texts = new ArrayList<>();
        ids.forEach(id -> texts.add(id.text()));
        return String.join(" ", texts);
    }

    private interface OfEach {
        void take(Told told) throws IOException;
    }

    /** Every event of a type, or of all, newest first. */
    private void each(String type, OfEach taken) throws IOException {
        Timeline.Filter filter = Timeline.Filter.newest(AT_ONCE).ofType(type);
        Timeline.Page page;
        do {
            page = studio.views().timeline(filter);
            for (Told told : page.events()) {
                taken.take(told);
            }
            filter = filter.goingOn(page.next().orElse(""));
        } while (page.next().isPresent());
    }

    private void events() throws IOException {
        table(
                "events.csv",
                List.of(
                        column("id", "of the event, as in log.jsonl"),
                        column(
                                "happened",
                                "day, or day and time with its distance from UTC, as exactly as it is known"),
                        column("recorded", "when it was written down, UTC"),
                        column("person", "id of who wrote it down; people.txt has names"),
                        column("type", "group and kind of the event"),
                        column("words", "the event as a sentence, as it reads after all corrections"),
                        column("about", "ids of the things it concerns"),
                        column("taken back", "yes when it was voided, else empty"),
                        column("put right", "yes when it was amended, else empty")),
                csv -> each(
                        "",
                        told -> csv.printRecord(
                                told.id().text(),
                                when(told),
                                Instant.ofEpochMilli(told.envelope().recorded()),
                                told.envelope().actor().person().text(),
                                Catalogue.type(told.event()),
                                sentence(told),
                                ids(EventCodec.about(told.event())),
                                told.voided() ? "yes" : "",
                                told.amended() ? "yes" : "")));
    }

    private void things() throws IOException {
        table(
                "things.csv",
                List.of(
                        column("id", "of the thing"),
                        column(
                                "kind",
                                "can, material, mix, packet, load (slab, roller and stone of a run), run, edition, sheet"
                                        + " and so on"),
                        column("name", "as last given"),
                        column("short id", "written on it"),
                        column(
                                "belongs to",
                                "the material of a can, the edition of a run or sheet, the run of a load or mix"),
                        column(
                                "left",
                                "grams left in a can, mix or packet, counted from its last weighing; empty when not known"),
                        column("left ±", "grams, expanded uncertainty (k = 2)")),
                csv -> {
                    for (Thing thing : studio.views().things("", "", MOST_THINGS)) {
                        Optional<slabside.measure.Uncertain> left =
                                holds(thing) ? studio.ledger().left(thing.id()).grams() : Optional.empty();
                        csv.printRecord(
                                thing.id().text(),
                                thing.kind(),
                                thing.name(),
                                thing.label(),
                                thing.of(),
                                left.map(grams -> grams(grams.value())).orElse(""),
                                left.map(grams -> grams(grams.expanded())).orElse(""));
                    }
                });
    }

    private static boolean holds(Thing thing) {
        return List.of("can", "mix", "packet", "load").contains(thing.kind());
    }

    private static String grams(double grams) {
        return String.format(Locale.ROOT, "%.3f", grams);
    }

    private void moves() throws IOException {
        table(
                "moves.csv",
                List.of(
                        column("event", "id of the event"),
                        column("happened", "as in events.csv"),
                        column("why", "added, charged, wrapped and so on; received for what came in"),
                        column("from", "id of the vessel the ink came from; supply for what was bought"),
                        column("from name", "its name"),
                        column(
                                "into",
                                "id of the vessel it went into; wash-up, waste, test or elsewhere for what left the studio"),
                        column("into name", "its name"),
                        column("grams", "as they follow from everything written down; empty when they cannot be known"),
                        column("grams ±", "expanded uncertainty (k = 2)"),
                        column("entered", "the amount as it was typed")),
                csv -> {
                    for (Thing thing : studio.views().things("", "", MOST_THINGS)) {
                        if (!holds(thing)) {
                            continue;
                        }
                        for (Ledger.Step step : studio.ledger().steps(thing.id())) {
                            // Each move once: at the vessel it went into, or at its source when it left the studio.
                            if (step.to().equals(thing.id()) || step.to().isOutside()) {
                                move(csv, step);
                            }
                        }
                    }
                });
    }

    private void move(CSVPrinter csv, Ledger.Step step) throws IOException {
        boolean moved = step.told().event() instanceof InkEvent.Moved;
        csv.printRecord(
                step.told().id().text(),
                when(step.told()),
                step.told().event() instanceof InkEvent.Moved move ? EventCodec.word(move.why()) : "received",
                step.from().text(),
                studio.views().name(step.from()),
                step.to().text(),
                studio.views().name(step.to()),
                step.grams().map(grams -> grams(grams.value())).orElse(""),
                step.grams().map(grams -> grams(grams.expanded())).orElse(""),
                moved ? ((InkEvent.Moved) step.told().event()).amount().entered() : "");
    }

    private void pulls() throws IOException {
        table(
                "pulls.csv",
                List.of(
                        column("event", "id of the event"),
                        column("happened", "as in events.csv"),
                        column("run", "id"),
                        column("run name", "its name"),
                        column("edition", "id, where it belongs to one"),
                        column("for", "newsprint, proof, edition or cancellation"),
                        column("number", "place among the edition pulls of the run; empty for the others"),
                        column("second hit", "yes when the sheet went through once more, else empty"),
                        column("sheet", "code written on the sheet"),
                        column("passes", "of the scraper or roller, where it was said"),
                        column("grade", "good, query or spoiled, at the press"),
                        column("faults", "as they were ticked"),
                        column("grams", "of ink that a pull of this run took, from its balance or the studio's past")),
                csv -> {
                    for (Thing thing : studio.views().things("run", "", MOST_THINGS)) {
                        Optional<Run> run = studio.runs().run(thing.id());
                        if (run.isPresent()) {
                            pulls(csv, run.get());
                        }
                    }
                });
    }

    private void pulls(CSVPrinter csv, Run run) throws IOException {
        String perPull = studio.ledger()
                .perPull(run.id())
                .map(rate -> grams(rate.grams().value()))
                .orElse("");
        for (Run.Pull pull : run.pulls()) {
            if (!pull.countedBefore()) {
                PressEvent.Pulled event = pull.event();
                csv.printRecord(
                        pull.told().id().text(),
                        when(pull.told()),
                        run.id().text(),
                        studio.views().name(run.id()),
                        run.edition().map(ThingId::text).orElse(""),
                        EventCodec.word(event.mode()),
                        pull.number() == 0 ? "" : pull.number(),
                        Boolean.TRUE.equals(event.secondHit()) ? "yes" : "",
                        name(pull.sheet()),
                        event.passes(),
                        EventCodec.word(event.grade()),
                        String.join("; ", event.faults()),
                        perPull);
            }
        }
    }

    private String name(@Nullable ThingId thing) {
        return thing == null ? "" : studio.views().name(thing);
    }

    private void impressions() throws IOException {
        table(
                "impressions.csv",
                List.of(
                        column("edition", "id"),
                        column("edition name", "its title"),
                        column("impression", "as it stands under the print"),
                        column("kind", "numbered, artists-proof and so on"),
                        column("sheet", "code written on the sheet"),
                        column("is", "here, released, returned or destroyed"),
                        column("with", "id of who has it, where it was released to somebody"),
                        column("signed", "yes or empty"),
                        column("chopped", "yes or empty")),
                csv -> {
                    for (Thing thing : studio.views().things("edition", "", MOST_THINGS)) {
                        Edition edition = studio.runs().edition(thing.id());
                        for (Register.Impression each :
                                edition.register().impressions().values()) {
                            csv.printRecord(
                                    thing.id().text(),
                                    thing.name(),
                                    each.written(),
                                    EventCodec.word(each.kind()),
                                    edition.code(each.sheet()),
                                    EventCodec.word(each.where()),
                                    each.to().map(ThingId::text).orElse(""),
                                    each.signed() ? "yes" : "",
                                    each.chopped() ? "yes" : "");
                        }
                    }
                });
    }

    private void readings() throws IOException {
        table(
                "readings.csv",
                List.of(
                        column("event", "id of the event"),
                        column("happened", "as in events.csv"),
                        column("of", "id of what was read: a run, mix, can or drawdown"),
                        column("sheet", "code written on the sheet, where one was read"),
                        column(
                                "quantity",
                                "density, L*, a*, b* (CIE 1976), reflectance at a wavelength, or what was measured"),
                        column("value", "as it was written down"),
                        column("unit", "of the value; empty for a number without one"),
                        column(
                                "conditions",
                                "illuminant, observer, geometry, backing, hours dry, where they were said")),
                csv -> {
                    each("press.measured", told -> {
                        PressEvent.Measured e = (PressEvent.Measured) told.event();
                        if (!told.voided()) {
                            csv.printRecord(
                                    told.id().text(),
                                    when(told),
                                    e.run().text(),
                                    name(e.sheet()),
                                    e.quantity(),
                                    e.value().toPlainString(),
                                    e.unit(),
                                    "");
                        }
                    });
                    each("test.colour-read", told -> {
                        if (!told.voided()) {
                            colour(csv, told, (TestEvent.ColourRead) told.event());
                        }
                    });
                });
    }

    private void colour(CSVPrinter csv, Told told, TestEvent.ColourRead read) throws IOException {
        String conditions = java.util.stream.Stream.of(
                        read.illuminant(),
                        read.observer(),
                        read.geometry(),
                        read.backing() == null ? null : "over " + read.backing(),
                        read.hoursDry() == null ? null : read.hoursDry().toPlainString() + " h dry")
                .filter(word -> word != null && !word.isBlank())
                .collect(Collectors.joining(", "));
        if (read.density() != null) {
            colour(csv, told, read, "density", read.density().toPlainString(), conditions);
        }
        if (read.lab() != null) {
            colour(csv, told, read, "L*", "" + read.lab().l(), conditions);
            colour(csv, told, read, "a*", "" + read.lab().a(), conditions);
            colour(csv, told, read, "b*", "" + read.lab().b(), conditions);
        }
        if (read.spectrum() != null) {
            slabside.measure.Spectrum spectrum = read.spectrum();
            for (int i = 0; i < spectrum.values().size(); i++) {
                colour(
                        csv,
                        told,
                        read,
                        "reflectance at " + (spectrum.startNm() + i * spectrum.stepNm()) + " nm",
                        spectrum.values().get(i).toPlainString(),
                        conditions);
            }
        }
    }

    private void colour(
            CSVPrinter csv, Told told, TestEvent.ColourRead read, String quantity, String value, String conditions)
            throws IOException {
        csv.printRecord(
                told.id().text(), when(told), read.of().text(), name(read.sheet()), quantity, value, "", conditions);
    }

    private void attached() throws IOException {
        table(
                "attached.csv",
                List.of(
                        column("file", "SHA-256 of the content, which is its name in the folder attached"),
                        column("belongs to event", "id, where it belongs to one"),
                        column("belongs to thing", "id, where it belongs to one"),
                        column("name", "as it was called when it was kept"),
                        column("media type", "after IANA"),
                        column("bytes", "size"),
                        column("here", "yes when the file is in this archive, else no")),
                csv -> each("log.attached", told -> {
                    LogEvent.Attached e = (LogEvent.Attached) told.event();
                    csv.printRecord(
                            e.sha256(),
                            e.event() == null ? "" : e.event().text(),
                            e.thing() == null ? "" : e.thing().text(),
                            e.name(),
                            e.mediaType(),
                            e.size(),
                            studio.attachments().file(e.sha256()).isPresent() ? "yes" : "no");
                }));
    }
}
