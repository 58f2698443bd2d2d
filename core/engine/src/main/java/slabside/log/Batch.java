package slabside.log;

import static java.util.Objects.requireNonNull;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.charset.StandardCharsets;
import java.sql.SQLException;
import java.time.Clock;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;
import slabside.event.Actor;
import slabside.event.Catalogue;
import slabside.event.Envelope;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.Hlc;
import slabside.event.LogEvent;
import slabside.event.ThingId;
import slabside.measure.BadInput;

/** The rows of one commit, kept in memory until they are stored together, so that a refusal costs nothing. */
final class Batch implements LogState {
    private static final int LONGEST_BODY = 64 * 1024;
    /** Half of what can be read back, so that no line is ever written that cannot be read. */
    private static final int DEEPEST_BODY = 24;
    /** How far a device's clock may run ahead before an event counts as one of the future. */
    private static final long AHEAD = TimeUnit.MINUTES.toMillis(5);

    private static final ThingId PROGRAM = new ThingId("slabside");
    /**
     * Where the log stands before and after.
     *
     * @param last position that is given out
     * @param own end of the chain that this installation writes; null when the next event begins one
     * @param hlc newest clock that was seen
     * @param whyBegin what the first event of a new chain says of its reason
     */
    record State(long last, String hash, @Nullable Head own, Hlc hlc, String whyBegin) {
        State leaving(String why) {
            return new State(last, hash, null, hlc, why);
        }

        State owning(@Nullable Head head) {
            return new State(last, hash, head, hlc, whyBegin);
        }

        State because(String why) {
            return new State(last, hash, own, hlc, why);
        }

        /** Behind an event that this process does not know yet: another's, or one of its own that it could not see committed. */
        State behind(Stored stored) {
            Envelope envelope = stored.envelope();
            State now = new State(stored.pos(), stored.hash(), own, hlc.later(envelope.hlc()), whyBegin);
            if (own == null || !own.origin().equals(envelope.origin())) {
                return now;
            }
            return follows(own, stored)
                    ? now.owning(new Head(envelope.origin(), envelope.oseq(), stored.hash()))
                    : now.leaving("the same chain was written on in two places");
        }

        private static boolean follows(Head head, Stored stored) {
            byte[] hash = new Chain()
                    .hash(Chain.HEX.parseHex(head.hash()), stored.line().getBytes(StandardCharsets.UTF_8));
            return stored.envelope().oseq() == head.oseq() + 1
                    && Chain.HEX.formatHex(hash).equals(stored.hash());
        }
    }

    /** What the rows are made with. */
    record Means(Prepared file, Map<EventId, List<Stored>> known, Clock clock, Random random, Chain chain) {}

    record Mark(int rows, State state) {}

    private record Row(long pos, Head head, EventId id, String text, byte[] hash, boolean again) {
        Stored stored() {
            return new Stored(pos, head.hash(), text);
        }
    }

    private final Means means;
    private final List<Row> rows = new ArrayList<>();
    private final Map<EventId, List<Row>> added = new HashMap<>();
    private State state;

    Batch(Means means, State before) {
        this.means = means;
        this.state = before;
    }

    State state() {
        return state;
    }

    Mark mark() {
        return new Mark(rows.size(), state);
    }

    void backTo(Mark mark) {
        List<Row> dropped = rows.subList(mark.rows, rows.size());
        dropped.forEach(row -> added.computeIfPresent(row.id, (id, lines) -> {
            lines.remove(row);
            return lines.isEmpty() ? null : lines;
        }));
        dropped.clear();
        state = mark.state;
    }

    boolean hasAdded() {
        return !rows.isEmpty();
    }

    List<Head> heads() {
        return rows.stream().map(Row::head).toList();
    }

    @Override
    public long last() {
        return state.last;
    }

    @Override
    public Optional<Stored> find(EventId id) {
        List<Stored> here = new ArrayList<>(
                added.getOrDefault(id, List.of()).stream().map(Row::stored).toList());
        try {
            List<Stored> known = means.known.get(id);
            here.addAll(known == null ? EventTable.allOf(means.file, id) : known);
        } catch (SQLException failed) {
            throw new LogTrouble("The log cannot be read: " + failed.getMessage(), failed);
        }
        return here.stream().min(Stored.KNOWN_ORDER);
    }

    Stored add(Draft draft) {
        long wall = means.clock.millis();
        check(draft, wall);
        if (state.own == null) {
            begin();
        }
        Optional<Stored> before = find(draft.id());
        if (before.isPresent()) {
            return sameAsBefore(draft, before.get());
        }
        return append(draft, wall);
    }

    private static void check(Draft draft, long wall) {
        Long from = draft.happened().from();
        if (from != null && from > wall + AHEAD) {
            throw new BadInput(
                    "happened",
                    Instant.ofEpochMilli(from),
                    "this lies in the future; it is now " + Instant.ofEpochMilli(wall)
                            + ". Correct the date, or the clock of the device");
        }
    }

    private void begin() {
        Head before = state.last == 0 ? null : newest();
        long wall = means.clock.millis();
        byte[] origin = new byte[8];
        means.random.nextBytes(origin);
        state = state.owning(new Head(Chain.HEX.formatHex(origin), 0, Chain.HEX.formatHex(Chain.BEGINNING)));
        append(
                new Draft(
                        EventId.at(wall, means.random),
                        Happened.exactly(wall, means.clock.getZone()),
                        null,
                        new Actor(PROGRAM, "this"),
                        new LogEvent.EpochBegun(
                                before == null ? null : before.origin(),
                                before == null ? null : before.oseq(),
                                before == null ? null : before.hash(),
                                state.whyBegin)),
                wall);
    }

    /** The next event begins a new chain. */
    void leave(String why) {
        state = state.leaving(why);
    }

    private @Nullable Head newest() {
        try {
            return EventTable.heads(means.file).stream()
                    .max(Comparator.comparingLong(Head::oseq))
                    .orElse(null);
        } catch (SQLException failed) {
            throw new LogTrouble("The log cannot be read: " + failed.getMessage(), failed);
        }
    }

    private Stored sameAsBefore(Draft draft, Stored before) {
        if (before.envelope().sameContent(envelope(draft, 0, Hlc.START))) {
            return before;
        }
        throw new BadInput(
                "event id",
                draft.id(),
                "this id already stands for something else (event " + before.pos()
                        + "); make a new id for a new event");
    }

    private Envelope envelope(Draft draft, long wall, Hlc hlc) {
        Head at = requireNonNull(state.own);
        return new Envelope(
                at.origin(),
                at.oseq() + 1,
                draft.id(),
                draft.happened(),
                draft.after(),
                wall,
                hlc,
                draft.actor(),
                Catalogue.type(draft.event()),
                Catalogue.version(draft.event()),
                EventCodec.about(draft.event()),
                EventCodec.body(draft.event()));
    }

    private Stored append(Draft draft, long wall) {
        Hlc now = state.hlc.next(wall);
        Envelope envelope = envelope(draft, wall, now);
        String text = EventCodec.line(envelope);
        if (depth(envelope.body()) > DEEPEST_BODY) {
            throw new BadInput(
                    "event",
                    envelope.type(),
                    "its values lie one in the other more than " + DEEPEST_BODY + " deep; lay them out flat");
        }
        // The body is a part of the line, and seldom needs to be written again by itself.
        if (text.length() > LONGEST_BODY && envelope.body().toString().length() > LONGEST_BODY) {
            throw tooLong(envelope);
        }
        byte[] hash = means.chain.hash(
                Chain.HEX.parseHex(requireNonNull(state.own).hash()), text.getBytes(StandardCharsets.UTF_8));
        Head head = new Head(envelope.origin(), envelope.oseq(), Chain.HEX.formatHex(hash));
        Row row = new Row(state.last + 1, head, draft.id(), text, hash, false);
        keep(row, head, now);
        return row.stored();
    }

    private static int depth(JsonNode node) {
        int deepest = 0;
        for (JsonNode inner : node) {
            deepest = Math.max(deepest, depth(inner));
        }
        return deepest + 1;
    }

    private static BadInput tooLong(Envelope envelope) {
        String longest = "";
        String field = "body";
        for (var each : envelope.body().properties()) {
            String text = each.getValue().isTextual()
                    ? each.getValue().asText()
                    : each.getValue().toString();
            if (text.length() > longest.length()) {
                longest = text;
                field = each.getKey();
            }
        }
        return new BadInput(field, longest, "an event holds at most 64 kB; shorten this, or attach it as a file");
    }

    private void keep(Row row, @Nullable Head own, Hlc hlc) {
        rows.add(row);
        added.computeIfAbsent(row.id, any -> new ArrayList<>()).add(row);
        state = new State(row.pos, row.head.hash(), own, hlc, state.whyBegin);
    }

    /**
     * Takes lines over as they stand. A line whose id is here already, in another chain, stands beside it, for its chain
     * needs it; see {@link EventLog#find}.
     */
    int adopt(List<ForeignLine> lines) throws SQLException {
        int before = rows.size();
        Map<String, Set<String>> known = new HashMap<>();
        for (ForeignLine foreign : lines) {
            adopt(foreign, known);
        }
        return rows.size() - before;
    }

    /** Takes over those lines that follow, each by itself; returns the others. */
    List<ForeignLine> adoptWhatFollows(List<ForeignLine> lines) throws SQLException {
        List<ForeignLine> others = new ArrayList<>();
        Map<String, Set<String>> known = new HashMap<>();
        for (ForeignLine foreign : lines) {
            try {
                adopt(foreign, known);
            } catch (BadInput unproven) {
                others.add(foreign);
            }
        }
        return others;
    }

    private void adopt(ForeignLine foreign, Map<String, Set<String>> known) throws SQLException {
        Envelope envelope = foreign.envelope();
        foreign.mustFollow(means.chain, predecessors(envelope, known));
        if (known.computeIfAbsent(place(envelope.origin(), envelope.oseq()), any -> new HashSet<>())
                        .add(foreign.hash())
                && !EventTable.hashesAt(means.file, envelope.origin(), envelope.oseq())
                        .contains(foreign.hash())) {
            adopt(foreign, envelope, foreign.claimed());
        }
    }

    private void adopt(ForeignLine foreign, Envelope envelope, byte[] hash) {
        Head head = new Head(envelope.origin(), envelope.oseq(), foreign.hash());
        boolean again = find(envelope.id()).isPresent();
        keep(
                new Row(state.last + 1, head, envelope.id(), foreign.line(), hash, again),
                state.own,
                state.hlc.later(envelope.hlc()));
        Head own = state.own;
        if (own != null && own.origin().equals(head.origin())) {
            boolean goesOn = head.oseq() == own.oseq() + 1
                    && Arrays.equals(
                            means.chain.hash(
                                    Chain.HEX.parseHex(own.hash()),
                                    foreign.line().getBytes(StandardCharsets.UTF_8)),
                            hash);
            // What this installation had written before and lost comes back; or somebody else wrote on in its name.
            state = goesOn ? state.owning(head) : state.leaving("the same chain was written on in two places");
        }
    }

    private static String place(String origin, long oseq) {
        return origin + " " + oseq;
    }

    private Set<String> predecessors(Envelope envelope, Map<String, Set<String>> known) throws SQLException {
        if (envelope.oseq() == 1) {
            return Set.of(Chain.HEX.formatHex(Chain.BEGINNING));
        }
        Set<String> hashes = known.getOrDefault(place(envelope.origin(), envelope.oseq() - 1), Set.of());
        if (hashes.size() == 1 && !known.containsKey(place(envelope.origin(), envelope.oseq()))) {
            return hashes;
        }
        Set<String> all = EventTable.hashesAt(means.file, envelope.origin(), envelope.oseq() - 1);
        all.addAll(hashes);
        return all;
    }

    /** Its rows, in the order of {@link EventTable#INSERT}. */
    List<Object[]> rows() {
        return rows.stream()
                .map(row -> new Object[] {
                    row.pos, row.head.origin(), row.head.oseq(), row.id.text(), row.text, row.hash, row.again
                })
                .toList();
    }

    /** Whether every row of another stands in the table, as a transaction leaves all or none. */
    boolean isOnDisk(Batch other) throws SQLException {
        for (Row row : other.rows) {
            if (!EventTable.at(means.file, row.pos).map(Stored::hash).equals(Optional.of(row.head.hash()))) {
                return false;
            }
        }
        return true;
    }
}
