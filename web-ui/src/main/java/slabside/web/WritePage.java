package slabside.web;

import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.format.DateTimeParseException;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import slabside.colour.Bands;
import slabside.edition.Register;
import slabside.event.Catalogue;
import slabside.event.EditionEvent;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.LogEvent;
import slabside.event.PluginEvent;
import slabside.event.Precision;
import slabside.event.RawBody;
import slabside.event.StoneEvent;
import slabside.event.StudioEvent;
import slabside.event.TestEvent;
import slabside.event.ThingId;
import slabside.event.UnknownEvent;
import slabside.host.Cautions;
import slabside.log.Stored;
import slabside.measure.BadInput;
import slabside.views.Sentence;
import slabside.views.Told;
import slabside.warning.Guards;
import slabside.warning.Warning;

/** Writes any event down, and puts any event right, by a form drawn from its record. */
final class WritePage {
    private static final Map<String, String> GROUPS = new LinkedHashMap<>();

    static {
        GROUPS.put("shelf", "Shelf");
        GROUPS.put("ink", "Ink");
        GROUPS.put("test", "Tests");
        GROUPS.put("stone", "Stones and plates");
        GROUPS.put("paper", "Paper");
        GROUPS.put("edition", "Editions");
        GROUPS.put("press", "Press");
        GROUPS.put("log", "The log itself");
    }

    private final Desk desk;
    private final EventForm form;

    private final Guards guards;

    WritePage(Desk desk, Guards guards) {
        this.desk = desk;
        this.guards = guards;
        this.form = new EventForm(desk.studio);
    }

    /** Kinds of events that belong together. */
    public record Group(String name, List<Desk.Piece> links) {}

    /** Everything that can be written down. */
    public record Listed(Frame frame, List<Group> groups) {}

    /**
     * A form.
     *
     * @param said what the event reads like now, when it is put right
     * @param seen ids of the versions that are put right; empty for a new event
     * @param day of the event as it stands, such as 2024-05-31
     * @param time of the event as it stands, or an empty text
     * @param cautions usual reminders for this work
     */
    public record Shown(
            Frame frame,
            String action,
            String back,
            List<EventForm.Field> fields,
            String said,
            String seen,
            String day,
            String time,
            List<String> cautions) {
        public boolean amends() {
            return !seen.isEmpty();
        }
    }

    Listed list() {
        Map<String, List<Desk.Piece>> links = FormWords.written().stream()
                .collect(Collectors.groupingBy(
                        entry -> entry.type().substring(0, entry.type().indexOf('.')),
                        LinkedHashMap::new,
                        Collectors.mapping(
                                entry -> new Desk.Piece(FormWords.title(entry), "/write/" + entry.type()),
                                Collectors.toList())));
        List<Group> groups = new ArrayList<>();
        GROUPS.forEach((group, name) -> groups.add(new Group(name, links.getOrDefault(group, List.of()))));
        return new Listed(desk.frame("Write down", "today"), groups);
    }

    private static Catalogue.Entry entry(String type) {
        return FormWords.written().stream()
                .filter(entry -> entry.type().equals(type))
                .findFirst()
                .orElseThrow(() -> new BadInput("kind of event", type, "choose one of those on the page Write down"));
    }

    Shown page(String type, Map<String, List<String>> given) {
        desk.studio.views().catchUp();
        Catalogue.Entry entry = entry(type);
        return new Shown(
                desk.frame(FormWords.title(entry), "today"),
                "/write/" + type,
                "/write/" + type,
                form.fields(entry.event(), given),
                "",
                "",
                "",
                "",
                Cautions.working(type));
    }

    Taps.Meant write(String type, Tap tap) {
        Catalogue.Entry entry = entry(type);
        List<StudioEvent> events = form.read(entry.event(), tap.form(), tap);
        numbersFit(events);
        readingsFit(events);
        List<ThingId> about = EventCodec.about(events.get(0));
        String where = tap.form().has("another")
                ? "/write/" + type + sticky(tap.form())
                : about.isEmpty() ? "/timeline" : "/thing/" + about.get(0);
        String said = events.size() == 1
                ? "Written down: "
                        + Sentence.of(
                                events.get(0),
                                id -> desk.studio.views().thing(id).isPresent() || id.isOutside()
                                        ? desk.studio.name(id)
                                        : id.text().replaceFirst("-.*", ""))
                : events.size() + " written down";
        return new Taps.Meant(events, guarded(events), said, where);
    }

    /** A spectrum is one of reflectance factors, and a film weighs something. */
    private static void readingsFit(List<StudioEvent> events) {
        for (StudioEvent event : events) {
            if (event instanceof TestEvent.ColourRead read) {
                if (read.spectrum() != null) {
                    Bands.of(read.spectrum());
                }
                if (read.filmMgPerM2() != null && read.filmMgPerM2() <= 0) {
                    throw new BadInput(
                            "weight of the film", read.filmMgPerM2() + " mg/m²", "give one above 0, or none");
                }
            }
        }
    }

    /** No number is issued twice, and none above what was declared. */
    private void numbersFit(List<StudioEvent> events) {
        Map<ThingId, Register> registers = new HashMap<>();
        for (StudioEvent event : events) {
            if (event instanceof EditionEvent.Numbered numbered) {
                Register before = registers.computeIfAbsent(numbered.edition(), desk.studio.runs()::register);
                before.check(numbered, desk.studio.views());
                registers.put(numbered.edition(), before.with(numbered));
            }
        }
    }

    /** What should be looked at once more before it is done. */
    private List<Warning> guarded(List<StudioEvent> events) {
        if (events.get(0) instanceof EditionEvent.Numbered) {
            return guards.numbering(
                    events.stream().map(EditionEvent.Numbered.class::cast).toList());
        } else if (events.get(0) instanceof StoneEvent.Disposed disposed) {
            return guards.ending(disposed);
        } else if (events.get(0) instanceof StoneEvent.Treated treated) {
            return guards.treating(treated);
        } else if (events.get(0) instanceof EditionEvent.Released released) {
            desk.studio.runs().register(released.edition()).check(released, desk.studio.views());
            return guards.releasing(released);
        }
        if (events.get(0) instanceof EditionEvent.Returned returned) {
            desk.studio.runs().register(returned.edition()).check(returned, desk.studio.views());
        }
        return events.get(0) instanceof EditionEvent.Closed closed ? guards.closing(closed) : List.of();
    }

    /** What is likely the same for the next one: which edition, which paper, what kind. */
    private static String sticky(Form form) {
        List<String> kept = new ArrayList<>();
        for (String field :
                List.of("edition", "run", "kind", "grade", "treatment", "lot", "stone", "by", "currency", "role")) {
            if (form.has(field)) {
                kept.add(field + "="
                        + java.net.URLEncoder.encode(form.text(field), java.nio.charset.StandardCharsets.UTF_8));
            }
        }
        return kept.isEmpty() ? "" : "?" + String.join("&", kept);
    }

    private Told told(String pos) {
        if (!pos.matches("\\d{1,18}")) {
            throw new BadInput("event", pos, "give the number of the event, as the timeline shows it");
        }
        Stored stored = desk.studio.views().line(Long.parseLong(pos));
        Told told = desk.studio.views().told(stored.envelope().id()).orElseThrow();
        if (told.voided()) {
            throw new BadInput("event", pos, "it was taken back; write it down anew instead");
        }
        if (told.event() instanceof LogEvent
                || told.event() instanceof PluginEvent
                || told.event() instanceof UnknownEvent) {
            throw new BadInput(
                    "event", pos, "a remark, a correction or an event of a plugin is taken back, not put right");
        }
        return told;
    }

    Shown amending(String pos) {
        desk.studio.views().catchUp();
        Told told = told(pos);
        return new Shown(
                desk.frame("Put right", "timeline"),
                "/event/" + told.pos() + "/put-right",
                "/event/" + told.pos(),
                form.fields(told.event()),
                Sentence.of(told.event(), desk.studio::name),
                String.join(",", versions(told)),
                day(told),
                time(told),
                List.of());
    }

    private static List<String> versions(Told told) {
        return told.amended()
                ? told.versions().stream().map(EventId::text).toList()
                : List.of(told.id().text());
    }

    private String day(Told told) {
        Long from = told.happened().from();
        return from == null
                ? ""
                : Instant.ofEpochMilli(from).atZone(desk.zone).toLocalDate().toString();
    }

    private String time(Told told) {
        Long from = told.happened().from();
        return from == null || told.happened().precision() == Precision.DAY
                ? ""
                : Instant.ofEpochMilli(from)
                        .atZone(desk.zone)
                        .toLocalTime()
                        .truncatedTo(ChronoUnit.MINUTES)
                        .toString();
    }

    Taps.Meant amend(String pos, Tap tap) {
        Told told = told(pos);
        Form typed = tap.form();
        StudioEvent fresh = form.read(told.event().getClass(), told.event(), typed, tap);
        if (fresh instanceof EditionEvent.Numbered numbered && told.event() instanceof EditionEvent.Numbered before) {
            desk.studio
                    .runs()
                    .register(numbered.edition())
                    .without(before.sheet())
                    .check(numbered, desk.studio.views());
        }
        if (!fresh.equals(told.event())) {
            readingsFit(List.of(fresh));
        }
        @Nullable Happened happened = happened(told, typed);
        RawBody body = fresh.equals(told.event())
                ? null
                : new RawBody(EventCodec.body(fresh).toString());
        if (body == null && happened == null && !told.disputed()) {
            throw new BadInput("form", "unchanged", "change what was wrong; or go back, nothing was written");
        }
        List<EventId> seen = List.of(typed.need("seen", "load the page again").split(",")).stream()
                .map(EventId::new)
                .toList();
        return Taps.Meant.of(
                "Put right",
                "/event/" + pos,
                new LogEvent.Amended(
                        told.id(),
                        seen,
                        body == null && told.disputed()
                                ? new RawBody(EventCodec.body(fresh).toString())
                                : body,
                        happened,
                        // A time that was put right is where it stands, whatever it was said to follow.
                        happened != null && told.after() != null ? told.id() : null,
                        typed.words("reason")));
    }

    /** When it happened, where that was changed. */
    private @Nullable Happened happened(Told told, Form typed) {
        String day = typed.text("was-day");
        String time = typed.text("was-time");
        if (day.equals(day(told)) && time.equals(time(told))) {
            return null;
        }
        if (day.isEmpty()) {
            return Happened.unknown(desk.zone);
        }
        try {
            LocalDate date = LocalDate.parse(day);
            Happened happened = time.isEmpty()
                    ? Happened.day(date, desk.zone)
                    : Happened.minute(
                            date.atTime(LocalTime.parse(time)).atZone(desk.zone).toInstant(), desk.zone);
            if (happened.from() != null
                    && happened.from() > desk.studio.log().clock().millis() + 60_000) {
                throw new BadInput("day", day + " " + time, "that is still to come");
            }
            return happened;
        } catch (DateTimeParseException wrong) {
            throw new BadInput("day", day + " " + time, "write a day as 2024-05-31 and a time as 10:40");
        }
    }
}
