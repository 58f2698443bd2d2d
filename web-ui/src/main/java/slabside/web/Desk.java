package slabside.web;

import java.net.URLEncoder;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import slabside.edition.Edition;
import slabside.edition.Register;
import slabside.edition.Stone;
import slabside.event.Actor;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.InkEvent;
import slabside.event.LogEvent;
import slabside.event.StoneEvent;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.host.Answers;
import slabside.measure.BadInput;
import slabside.plugin.Answer;
import slabside.studio.Studio;
import slabside.views.Role;
import slabside.views.Sentence;
import slabside.views.StoryKey;
import slabside.views.Thing;
import slabside.views.Told;

/** What all pages share: the studio, and events told in sentences with links. */
final class Desk {
    static final Actor HERE = new Actor(Studio.SOMEBODY, "this");
    private static final Pattern LINK = Pattern.compile("\u0001([^\u0002]*)\u0002([^\u0003]*)\u0003");
    private static final DateTimeFormatter DAY = DateTimeFormatter.ofPattern("EEEE, d MMMM uuuu", Locale.ENGLISH);
    private static final DateTimeFormatter MINUTE = DateTimeFormatter.ofPattern("HH:mm", Locale.ENGLISH);

    private static final int MOST_CHOICES = 100;
    private static final int LONG_CELL = 28;
    private static final int PHONE_WIDE = 42;

    final Studio studio;
    final ZoneId zone;
    final Answers answers;
    final Devices devices;
    /** Who asks for the page that this thread is making; empty for a device that is not paired. */
    private final ThreadLocal<Optional<Visitor>> asking = ThreadLocal.withInitial(Optional::empty);

    Desk(Studio studio) {
        this.studio = studio;
        this.zone = studio.log().clock().getZone();
        this.devices = new Devices(studio.config(), studio.log().clock());
        this.answers = new Answers(studio.views(), studio.runs(), studio.shelf(), studio::name, zone);
    }

    /** What stands around a page made now. */
    Frame frame(String title, String section) {
        Optional<Visitor> visitor = asking.get();
        return new Frame(
                title,
                section,
                studio.log().clock().millis(),
                !visitor.map(Visitor::writes).orElse(false),
                visitor.map(Visitor::host).orElse(false),
                visitor.map(Visitor::person)
                        .filter(person -> !person.equals(Studio.SOMEBODY))
                        .map(studio::name)
                        .orElse(""),
                visitor.isEmpty());
    }

    /** Where an event or thing of the log is shown. */
    static String about(String id) {
        return (EventId.isUuid(id) ? "/event/" : "/thing/") + id;
    }

    /** Where a calculator answers with some replies. */
    static String ask(Answer.Ask ask) {
        return "/calculators/" + ask.calculator() + "?"
                + new TreeMap<>(ask.replies())
                        .entrySet().stream()
                                .map(each -> URLEncoder.encode(each.getKey(), StandardCharsets.UTF_8) + "="
                                        + URLEncoder.encode(each.getValue(), StandardCharsets.UTF_8))
                                .collect(Collectors.joining("&"));
    }

    /** Whether a table is too wide for a phone and has words in it, so that a phone sets its cells one below the other. */
    static boolean stacks(Answer.Table table, boolean[] numeric) {
        int wide = 0;
        boolean words = false;
        for (int i = 0; i < table.headings().size(); i++) {
            int column = i;
            wide += Math.max(
                    table.headings().get(i).length(),
                    table.rows().stream()
                            .mapToInt(row -> row.get(column).length())
                            .max()
                            .orElse(0));
            words |= i > 0 && !numeric[i];
        }
        return words && wide > PHONE_WIDE;
    }

    /** How a cell of a table is set: numbers flush right, sentences in lines. */
    static @Nullable String cell(boolean numeric, String text) {
        return numeric ? "n" : text.length() > LONG_CELL ? "words" : null;
    }

    /** Remembers who asks, until the next question that this thread answers. */
    void askedBy(Optional<Visitor> visitor) {
        asking.set(visitor);
    }

    /** Who asks now. */
    Visitor visitor() {
        return asking.get().orElseThrow(() -> new IllegalStateException("nobody asks"));
    }

    /**
     * Part of a sentence.
     *
     * @param href where it leads, or an empty text
     */
    public record Piece(String text, String href) {}

    /**
     * One event as lists show it.
     *
     * @param marks such as "put right"
     * @param before how it was first recorded, where that differs and is asked for
     * @param media "image" or "audio" where a file was attached, else empty
     * @param file where that file is
     */
    public record Line(
            long pos,
            String day,
            String time,
            List<Piece> sentence,
            String who,
            List<String> marks,
            List<Piece> before,
            String media,
            String file) {}

    Line line(Told told, boolean asRecorded, boolean withBefore) {
        StudioEvent event = asRecorded ? told.envelope().event() : told.event();
        var happened = asRecorded ? told.envelope().happened() : told.happened();
        Instant at = Instant.ofEpochMilli(happened.instant(told.envelope().recorded()));
        List<String> marks = new ArrayList<>();
        if (!asRecorded) {
            if (told.voided()) {
                marks.add("taken back");
            }
            if (told.disputed()) {
                marks.add("disputed");
            } else if (told.amended()) {
                marks.add("put right");
            }
            if (told.adrift()) {
                marks.add("its place in the order is lost");
            }
        }
        String time = switch (happened.precision()) {
            case EXACT, MINUTE -> MINUTE.format(at.atZone(zone));
            case DAY -> "that day";
            case UNKNOWN -> "time not known";
        };
        return new Line(
                told.pos(),
                DAY.format(at.atZone(zone)),
                time,
                pieces(event),
                studio.name(told.envelope().actor().person()),
                marks,
                withBefore ? pieces(told.envelope().event()) : List.of(),
                event instanceof LogEvent.Attached a ? a.mediaType().replaceAll("/.*", "") : "",
                event instanceof LogEvent.Attached a ? "/attached/" + a.sha256() : "");
    }

    private List<Piece> pieces(StudioEvent event) {
        String marked = Sentence.of(
                event,
                id -> id.isOutside() || id.text().startsWith("person-")
                        ? studio.name(id)
                        : "\u0001" + id.text() + "\u0002" + studio.name(id) + "\u0003");
        List<Piece> pieces = new ArrayList<>();
        Matcher links = LINK.matcher(marked);
        int end = 0;
        while (links.find()) {
            pieces.add(new Piece(marked.substring(end, links.start()), ""));
            pieces.add(new Piece(links.group(2), "/thing/" + links.group(1)));
            end = links.end();
        }
        pieces.add(new Piece(marked.substring(end), ""));
        return pieces.stream().filter(piece -> !piece.text().isEmpty()).toList();
    }

    /** Something to choose in a form. */
    public record Choice(String id, String text) {}

    Choice choice(ThingId id) {
        return new Choice(id.text(), studio.name(id));
    }

    /** Everybody who has a name. */
    List<Choice> people() {
        return studio.people().all().entrySet().stream()
                .map(person -> new Choice(person.getKey(), person.getValue()))
                .toList();
    }

    /** The newest things of a kind. */
    List<Choice> choices(String kind) {
        return studio.views().things(kind, "", MOST_CHOICES).stream()
                .map(thing -> choice(thing.id()))
                .toList();
    }

    /** Size, grade and place of a stone or plate. */
    String facts(StoneEvent.Listed listed) {
        List<String> facts = new ArrayList<>();
        Long width = listed.widthUm();
        Long height = listed.heightUm();
        if (width != null && height != null) {
            facts.add(width / 10_000 + " × " + height / 10_000 + " cm");
        }
        if (listed.grade() != null) {
            facts.add(listed.grade());
        }
        if (listed.place() != null) {
            facts.add(listed.place());
        }
        return String.join(", ", facts);
    }

    /** In which state a stone or plate is. */
    String state(Stone stone) {
        return stone.ended()
                .map(told -> EventCodec.word(((StoneEvent.Disposed) told.event()).end())
                                .replace('-', ' ') + " " + answers.when(told))
                .or(() -> stone.gummed().map(told -> "under gum since " + answers.when(told)))
                .or(() -> stone.state().map(last -> EventCodec.word(last).replace('-', ' ')))
                .orElse("nothing written down yet");
    }

    /** The runs of a stone's image with the sheets that have not been through. */
    List<Piece> holds(Stone stone) {
        return stone.holds().stream()
                .map(holding -> new Piece(
                        studio.name(holding.run().id())
                                + (holding.closed()
                                        ? ", edition closed"
                                        : holding.pending() > 0
                                                ? ", " + holding.pending() + " not yet through"
                                                : ", all through"),
                        "/press/" + holding.run().id()))
                .toList();
    }

    /** What to call a packet: by its name, or else after the mix it came from. */
    String packet(Thing packet) {
        if (!packet.name().isEmpty()) {
            return packet.name();
        }
        return studio.views().of(packet.id(), Set.of(Role.IN), StoryKey.LAST).stream()
                .filter(told -> told.event() instanceof InkEvent.Moved)
                .map(told -> studio.name(((InkEvent.Moved) told.event()).from()))
                .distinct()
                .collect(Collectors.joining(" and "));
    }

    /** A moment near now as one says it: today, yesterday, tomorrow; else its day. */
    String lately(long millis) {
        LocalDate today = LocalDate.now(studio.log().clock());
        var at = Instant.ofEpochMilli(millis).atZone(zone);
        long days = today.until(at.toLocalDate(), java.time.temporal.ChronoUnit.DAYS);
        String time = MINUTE.format(at);
        return days == 0
                ? "today " + time
                : days == -1 ? "yesterday " + time : days == 1 ? "tomorrow " + time : answers.when(millis);
    }

    /** What was done to a stone, in one word. */
    String treatment(Told told) {
        return EventCodec.word(((StoneEvent.Treated) told.event()).treatment()).replace('-', ' ');
    }

    /** Where an impression is now, and since when. */
    String whereabouts(Register.Impression impression) {
        String when = impression.after().moved().map(answers::when).orElse("");
        return switch (impression.where()) {
            case HERE -> "here";
            case RELEASED ->
                "released " + when
                        + impression.to().map(to -> " to " + studio.name(to)).orElse("");
            case RETURNED -> "came back " + when;
            case DESTROYED -> "destroyed " + when;
        };
    }

    /** The edition with an id. */
    Edition edition(String id) {
        if (!thing(id).kind().equals("edition")) {
            throw new BadInput("edition", id, "this is something else; choose an edition");
        }
        return studio.runs().edition(new ThingId(id));
    }

    /** The thing with an id. */
    Thing thing(String id) {
        return studio.views()
                .thing(new ThingId(id))
                .orElseThrow(() -> new BadInput("thing", id, "nothing in this log has this id"));
    }

    static String first(Map<String, List<String>> values, String name) {
        List<String> given = values.getOrDefault(name, List.of());
        return given.isEmpty() ? "" : given.get(0).strip();
    }

    /** A moment typed as day or day and time; the end of it. */
    long moment(String field, String typed, long otherwise) {
        return typed.isEmpty() ? otherwise : Times.endOf(field, typed, zone);
    }

    long startOfDay(String field, String typed, long otherwise) {
        if (typed.isEmpty()) {
            return otherwise;
        }
        try {
            return LocalDate.parse(typed).atStartOfDay(zone).toInstant().toEpochMilli();
        } catch (DateTimeParseException wrong) {
            throw new BadInput(field, typed, "write a day as 2024-05-31");
        }
    }
}
