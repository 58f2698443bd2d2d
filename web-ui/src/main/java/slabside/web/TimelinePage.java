package slabside.web;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.net.URLEncoder;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.LogEvent;
import slabside.event.PluginEvent;
import slabside.event.RawBody;
import slabside.event.ThingId;
import slabside.event.UnknownEvent;
import slabside.log.Stored;
import slabside.measure.BadInput;
import slabside.views.Sentence;
import slabside.views.Timeline;
import slabside.views.Told;

/** Everything that happened, newest first; and one event with its raw line. */
final class TimelinePage {
    static final List<String> GROUPS =
            List.of("shelf", "ink", "test", "stone", "paper", "edition", "press", "log", "plugin");
    private static final int PAGE = 50;
    private static final ObjectMapper JSON = new ObjectMapper();

    private final Desk desk;

    TimelinePage(Desk desk) {
        this.desk = desk;
    }

    /**
     * @param asked what the form shows again
     * @param older link to the next page, or an empty text
     * @param people by id
     */
    public record Listed(
            Frame frame,
            Asked asked,
            List<Desk.Line> lines,
            String older,
            String about,
            Map<String, String> people,
            List<String> groups) {
        boolean narrowed() {
            return !(asked.kind + asked.thing + asked.person + asked.from + asked.to + asked.view + asked.known)
                    .isEmpty();
        }
    }

    Listed list(Map<String, List<String>> query) {
        desk.studio.views().catchUp();
        Asked asked = Asked.of(query);
        String view = asked.view();
        if (!List.of("", "recorded", "difference").contains(view)) {
            throw new BadInput("view", view, "use recorded or difference, or leave it out");
        }
        Timeline.Page page = desk.studio
                .views()
                .timeline(new Timeline.Filter(
                        asked.kind(),
                        thing(asked.thing()),
                        Optional.of(asked.person()).filter(p -> !p.isEmpty()).map(ThingId::new),
                        asked.q(),
                        asked.before(),
                        desk.startOfDay("from", asked.from(), 0),
                        desk.moment("to", asked.to(), Long.MAX_VALUE - 1),
                        desk.moment("known", asked.known(), Long.MAX_VALUE),
                        view.equals("difference"),
                        PAGE));
        List<Desk.Line> lines = page.events().stream()
                .map(told -> desk.line(told, view.equals("recorded"), view.equals("difference")))
                .toList();
        String about = asked.thing().isEmpty() ? "" : desk.studio.name(new ThingId(asked.thing()));
        return new Listed(
                desk.frame(about.isEmpty() ? "Timeline" : "Timeline of " + about, "timeline"),
                asked,
                lines,
                page.next().map(next -> asked.link(next)).orElse(""),
                about,
                desk.studio.people().all(),
                GROUPS);
    }

    private static Optional<ThingId> thing(String id) {
        return id.isEmpty() ? Optional.empty() : Optional.of(new ThingId(id));
    }

    /** What the form asks for; empty texts where nothing was chosen. */
    record Asked(
            String q,
            String kind,
            String thing,
            String person,
            String from,
            String to,
            String view,
            String known,
            String before) {
        static Asked of(Map<String, List<String>> query) {
            return new Asked(
                    Desk.first(query, "q"),
                    Desk.first(query, "kind"),
                    Desk.first(query, "thing"),
                    Desk.first(query, "person"),
                    Desk.first(query, "from"),
                    Desk.first(query, "to"),
                    Desk.first(query, "view"),
                    Desk.first(query, "known"),
                    Desk.first(query, "before"));
        }

        String link(String next) {
            StringBuilder link = new StringBuilder("/timeline?before=").append(next);
            Map<String, String> others = new LinkedHashMap<>();
            others.put("q", q);
            others.put("kind", kind);
            others.put("thing", thing);
            others.put("person", person);
            others.put("from", from);
            others.put("to", to);
            others.put("view", view);
            others.put("known", known);
            others.forEach((name, value) -> {
                if (!value.isEmpty()) {
                    link.append('&').append(name).append('=').append(URLEncoder.encode(value, StandardCharsets.UTF_8));
                }
            });
            return link.toString();
        }
    }

    /**
     * @param raw the stored line, laid out for reading
     * @param corrections of this event
     * @param kept the whole text of an answer that was kept, or an empty text
     * @param readings how it reads by each of several amendments that nobody has settled yet
     * @param others lines of the same entry in other chains
     */
    public record One(
            Frame frame,
            Desk.Line line,
            Desk.Line recorded,
            String raw,
            String stored,
            String hash,
            String recordedAt,
            List<Desk.Line> corrections,
            boolean mayBePutRight,
            String id,
            String about,
            String kept,
            List<Reading> readings,
            List<Desk.Piece> others) {}

    /**
     * How an entry reads by one of several amendments.
     *
     * @param amendment id of it
     * @param said what it reads like
     * @param when it happened, by this amendment
     * @param by who made the amendment, and when
     * @param counts whether it is the one that counts until it is settled
     */
    public record Reading(String amendment, String said, String when, String by, String why, boolean counts) {}

    /**
     * @param which its position, or its id
     */
    One event(String which) {
        desk.studio.views().catchUp();
        Stored stored = which.matches("\\d{1,18}")
                ? desk.studio.views().line(Long.parseLong(which))
                : desk.studio
                        .log()
                        .find(new EventId(which))
                        .orElseThrow(() -> new BadInput("event", which, "there is no event with this id in the log"));
        long pos = stored.pos();
        Told told = desk.studio.views().told(stored.envelope().id()).orElseThrow();
        return new One(
                desk.frame("Event " + pos, "timeline"),
                desk.line(told, false, false),
                desk.line(told, true, false),
                laidOut(stored.line()),
                stored.line(),
                stored.hash(),
                desk.answers.when(told.envelope().recorded()),
                desk.studio.views().corrections(told.id()).stream()
                        .map(t -> desk.line(t, false, false))
                        .toList(),
                !(told.event() instanceof LogEvent
                        || told.event() instanceof PluginEvent
                        || told.event() instanceof UnknownEvent),
                told.id().text(),
                told.event() instanceof LogEvent.Attached attached && attached.thing() != null
                        ? attached.thing().text()
                        : "",
                told.event() instanceof LogEvent.AnswerKept kept ? kept.text() : "",
                told.disputed() ? readings(told) : List.of(),
                desk.studio.log().lines(told.id()).stream()
                        .filter(line -> line.pos() != pos)
                        .map(line -> new Desk.Piece(
                                line.pos() == told.pos()
                                        ? "Another line of this entry, event " + line.pos()
                                                + ", was written first and counts"
                                        : "This entry came by another chain too, as event " + line.pos()
                                                + "; this line was written first and counts",
                                "/event/" + line.pos()))
                        .toList());
    }

    private List<Reading> readings(Told told) {
        List<Told.Reading> all = desk.studio.views().sideBySide(told.id());
        List<Reading> shown = new ArrayList<>();
        for (int i = 0; i < all.size(); i++) {
            Told.Reading each = all.get(i);
            String why = ((LogEvent.Amended) each.amendment().event()).reason();
            shown.add(new Reading(
                    each.amendment().id().text(),
                    Sentence.of(each.event(), desk.studio::name),
                    desk.answers.when(each.happened().instant(told.envelope().recorded()))
                            + (each.after() == null ? "" : ", directly after another entry"),
                    desk.studio.name(each.amendment().actor().person()) + ", "
                            + desk.answers.when(each.amendment().recorded()),
                    why == null ? "" : why,
                    i == all.size() - 1));
        }
        return shown;
    }

    /** Of several amendments one is kept, and the others are settled by that. */
    Taps.Meant settle(String pos, Tap tap) {
        Told told = desk.studio.views().told(stored(pos).envelope().id()).orElseThrow();
        String which = tap.form().need("amendment", "choose one of those on the page");
        Told.Reading kept = desk.studio.views().sideBySide(told.id()).stream()
                .filter(each -> each.amendment().id().text().equals(which))
                .findFirst()
                .orElseThrow(() -> new BadInput(
                        "amendment", which, "it does not stand any more; load the page again and choose one of those"));
        return Taps.Meant.of(
                "Settled",
                "/event/" + told.pos(),
                new LogEvent.Amended(
                        told.id(),
                        told.versions(),
                        new RawBody(EventCodec.body(kept.event()).toString()),
                        kept.happened(),
                        kept.after() == null ? told.id() : kept.after(),
                        "one of several corrections was kept"));
    }

    private Stored stored(String pos) {
        if (!pos.matches("\\d{1,18}")) {
            throw new BadInput("event", pos, "give the number of the event, as the timeline shows it");
        }
        return desk.studio.views().line(Long.parseLong(pos));
    }

    /** Takes an event back, and whatever the same tap wrote. */
    Taps.Meant takeBack(String pos, Tap tap, Taps taps) {
        Told told = desk.studio.views().told(stored(pos).envelope().id()).orElseThrow();
        if (told.voided()) {
            throw new BadInput("event", pos, "it was taken back already");
        }
        return taps.undo(told.id(), tap.form().words("reason"), "Taken back", "/event/" + pos);
    }

    private static String laidOut(String line) {
        try {
            return JSON.writerWithDefaultPrettyPrinter().writeValueAsString(JSON.readTree(line));
        } catch (JsonProcessingException unreadable) {
            return line;
        }
    }
}
