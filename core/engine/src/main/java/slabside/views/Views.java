package slabside.views;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import slabside.event.EventId;
import slabside.event.InkEvent;
import slabside.event.ThingId;
import slabside.log.EventLog;
import slabside.log.LogAway;
import slabside.log.LogTrouble;
import slabside.log.Prepared;
import slabside.log.Stored;
import slabside.measure.BadInput;

/**
 * Lists, timeline, search and edges of moves, in a second file that can be thrown away at any time and is brought up to date
 * after each commit of the log. Stores edges, never compositions, so that an event, late or not, touches a
 * bounded number of rows.
 */
public final class Views implements Stories, AutoCloseable {
    private static final int AT_A_TIME = 5_000;
    private static final int NAMES_KEPT = 20_000;
    private static final int EVENTS_KEPT = 5_000;
    private static final int TOUCHED_ONE_BY_ONE = 300;
    private static final int TOUCHED_KEPT = 100_000;
    private static final Set<String> UPSETTING =
            Set.of("log.amended", "log.voided", "log.same-thing", "ink.named", "shelf.material-listed");
    private static final long LONGEST_WAIT_MS = 30_000;

    private final EventLog log;
    private final ViewsFile file;
    private final int few;
    private final Prepared reading;
    /** Null where another process keeps the views up to date. */
    private final @Nullable Follower follower;

    private final Map<ThingId, Optional<Thing>> names = new LinkedHashMap<>(64, 0.75f, true) {
        private static final long serialVersionUID = 1L;

        @Override
        protected boolean removeEldestEntry(Map.Entry<ThingId, Optional<Thing>> eldest) {
            return size() > NAMES_KEPT;
        }
    };

    private final Map<Long, Stored> lately = new LinkedHashMap<>(64, 0.75f, true) {
        private static final long serialVersionUID = 1L;

        @Override
        protected boolean removeEldestEntry(Map.Entry<Long, Stored> eldest) {
            return size() > EVENTS_KEPT;
        }
    };

    /** Where things were last written of, since this was opened; by canonical or other id, as the events name them. */
    private final Map<ThingId, Long> touched = new ConcurrentHashMap<>();
    /** Where something was last written that may change more than the things it names. */
    private volatile long upset;

    private Joined joined = Joined.NONE;
    private long joinedAt = -1;

    private Views(EventLog log, ViewsFile file, boolean follows, int atATime, int few)
            throws SQLException, IOException {
        this.few = few;
        this.log = log;
        this.file = file;
        if (follows) {
            file.prepare(log);
            this.follower = new Follower(log, file, atATime, this::seen);
            this.reading = file.connect();
            follower.start();
            return;
        }
        if (!Files.exists(file.path())) {
            throw new LogTrouble(
                    "The lists beside the log are not there yet; stop the other process and run this again.");
        }
        this.follower = null;
        this.reading = file.connect();
        boolean whole = false;
        try {
            whole = ViewTables.state(reading).isWhole();
        } finally {
            if (!whole) {
                reading.close();
            }
        }
        if (!whole) {
            throw new LogTrouble(
                    "The lists beside the log are being made, or were made by another version of this program; wait until they are done, or stop the other process and run this again.");
        }
    }

    /** Opens the views beside a log that this process writes, and follows it. */
    public static Views following(EventLog log, Path dataFolder) {
        return following(log, dataFolder, AT_A_TIME, Timeline.FEW);
    }

    /**
     * The same in small pieces.
     *
     * @param atATime lines that are read at once
     * @param few events that a timeline of the past looks through one by one
     */
    static Views following(EventLog log, Path dataFolder, int atATime, int few) {
        return opened(log, ViewsFile.in(dataFolder), true, atATime, few);
    }

    /** Opens the views that another process keeps up to date. */
    public static Views keptByAnother(EventLog log, Path dataFolder) {
        return opened(log, ViewsFile.in(dataFolder), false, AT_A_TIME, Timeline.FEW);
    }

    private static Views opened(EventLog log, ViewsFile file, boolean follows, int atATime, int few) {
        try {
            return new Views(log, file, follows, atATime, few);
        } catch (SQLException | IOException failed) {
            throw file.trouble(failed);
        }
    }

    /** Waits until everything up to a position of the log can be seen here. */
    public void await(long position) {
        long deadline = System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(LONGEST_WAIT_MS + position / 5);
        if (follower != null) {
            follower.await(position, deadline);
            return;
        }
        for (long pos = at(); pos < position && !Thread.currentThread().isInterrupted(); pos = at()) {
            if (System.nanoTime() > deadline) {
                throw Follower.behind(pos, position);
            }
            LockSupport.parkNanos(TimeUnit.MILLISECONDS.toNanos(20));
        }
    }

    private long at() {
        return follower == null ? ask(ViewTables::state).pos() : follower.pos();
    }

    /** Waits until everything now in the log can be seen here. */
    public void catchUp() {
        await(log.last());
    }

    @Override
    public long version() {
        return at();
    }

    @Override
    public long version(ThingId thing) {
        if (follower == null) {
            return version();
        }
        // First: what becomes visible meanwhile must make another answer than what is asked now.
        long now = at();
        long last = upset;
        for (ThingId member : joined().members(thing)) {
            last = Math.max(last, touched.getOrDefault(member, 0L));
        }
        return Math.min(last, now);
    }

    /** Forgets what was renamed and remembers what fresh events are about, before the position shows that they are here. */
    private void seen(List<Stored> fresh, Set<ThingId> renamed, boolean movedOthers) {
        synchronized (names) {
            renamed.forEach(names::remove);
        }
        long last = fresh.get(fresh.size() - 1).pos();
        if (movedOthers || fresh.size() > TOUCHED_ONE_BY_ONE || touched.size() > TOUCHED_KEPT) {
            upset = last;
            touched.clear();
            return;
        }
        try {
            for (Stored stored : fresh) {
                if (upsets(stored)) {
                    upset = stored.pos();
                }
                stored.envelope().about().forEach(thing -> touched.put(thing, stored.pos()));
            }
        } catch (LogAway away) {
            // What they are about cannot be looked up now, so anything may have changed.
            upset = last;
        }
    }

    /** Corrections and names change how other things read; ink that goes back into a can makes it a mixture. */
    private boolean upsets(Stored stored) {
        if (stored.event() instanceof InkEvent.Moved moved) {
            return thing(moved.to()).filter(to -> to.kind().equals("can")).isPresent();
        }
        return UPSETTING.contains(stored.envelope().type());
    }

    private interface Query<R> {
        R on(Prepared views) throws SQLException;
    }

    private <R> R ask(Query<R> query) {
        synchronized (reading) {
            try {
                return query.on(reading);
            } catch (SQLException failed) {
                throw file.trouble(failed);
            }
        }
    }

    private Teller teller(long knownUntil) {
        return new Teller(
                new Teller.Source() {
                    @Override
                    public Optional<Stored> find(EventId id) {
                        return log.find(id);
                    }

                    @Override
                    public List<Stored> corrections(EventId id) {
                        return ask(connection -> ViewTables.corrections(connection, id)).stream()
                                .map(Views.this::stored)
                                .toList();
                    }
                },
                knownUntil);
    }

    /** Rows of the log never change, so those read lately are kept, with what their lines say. */
    private Stored stored(long position) {
        synchronized (lately) {
            Stored known = lately.get(position);
            if (known != null) {
                return known;
            }
        }
        Stored stored = log.at(position).orElseThrow();
        synchronized (lately) {
            lately.put(position, stored);
        }
        return stored;
    }

    private Joined joined() {
        long now = at();
        synchronized (names) {
            if (joinedAt != now) {
                List<Long> joins =
                        ask(views -> views.numbers("SELECT pos FROM item WHERE type = 'log.same-thing' ORDER BY key"));
                joined = joins.isEmpty()
                        ? Joined.NONE
                        : Joined.of(
                                joins.stream().map(p -> told(p, Long.MAX_VALUE)).toList());
                joinedAt = now;
            }
            return joined;
        }
    }

    private Told told(long position, long knownUntil) {
        return teller(knownUntil).tell(stored(position));
    }

    @Override
    public List<Told> of(ThingId thing, Collection<Role> roles, StoryKey until) {
        Teller teller = teller(Long.MAX_VALUE);
        List<ViewTables.Item> items = new ArrayList<>();
        for (ThingId member : joined().members(thing)) {
            for (Role role : roles) {
                items.addAll(ask(views -> ViewTables.played(views, member, role, until)));
            }
        }
        return items.stream()
                .distinct()
                .map(item -> told(item, teller))
                .filter(told -> !told.voided())
                .sorted(Comparator.comparing(Told::key))
                .toList();
    }

    @Override
    public boolean isMixed(ThingId vessel) {
        for (ThingId member : joined().members(vessel)) {
            if (ask(views -> ViewTables.isMixed(views, member))) {
                return true;
            }
        }
        return false;
    }

    private Told told(ViewTables.Item item, Teller teller) {
        Stored stored = stored(item.pos());
        return item.state() == 0 ? Teller.plain(stored, item.key()) : teller.tell(stored);
    }

    /** As it reads now or, for past knowledge, told from its corrections. */
    private Told told(long position, Teller teller, long knownUntil) {
        Optional<ViewTables.Item> item =
                knownUntil == Long.MAX_VALUE ? ask(views -> ViewTables.item(views, position)) : Optional.empty();
        return item.map(known -> told(known, teller)).orElseGet(() -> teller.tell(stored(position)));
    }

    @Override
    public Optional<Told> told(EventId id) {
        return log.find(id).map(teller(Long.MAX_VALUE)::tell);
    }

    @Override
    public ThingId canonical(ThingId thing) {
        return joined().canonical(thing);
    }

    @Override
    public Optional<Thing> thing(ThingId id) {
        ThingId thing = canonical(id);
        synchronized (names) {
            Optional<Thing> known = names.get(thing);
            if (known == null) {
                known = ask(connection -> ViewTables.thing(connection, thing));
                names.put(thing, known);
            }
            return known;
        }
    }

    /** What to call a thing in a sentence. */
    public String name(ThingId id) {
        return switch (id.text()) {
            case "supply" -> "the supply";
            case "test" -> "a test";
            case "wash-up" -> "the wash-up";
            case "waste" -> "the waste";
            case "elsewhere" -> "another job";
            default -> thing(id).map(this::name).orElse(id.text());
        };
    }

    private String name(Thing thing) {
        if (thing.kind().equals("can") && !thing.of().isEmpty()) {
            String material = name(new ThingId(thing.of()));
            return material + (thing.name().isEmpty() ? "" : " " + thing.name());
        }
        if (thing.kind().equals("load") && !thing.of().isEmpty()) {
            return "the " + thing.name() + " of " + name(new ThingId(thing.of()));
        }
        if (thing.kind().equals("run") && !thing.of().isEmpty()) {
            return name(new ThingId(thing.of())) + ", " + thing.shown();
        }
        return thing.shown();
    }

    /** Stories as they were known at the end of a moment of recording, told from the events about each thing. */
    public Stories asKnown(long knownUntil) {
        return knownUntil >= Long.MAX_VALUE ? this : new PastStories(this, knownUntil);
    }

    /** Any event that ever played a part for a thing, whatever corrections say now. */
    List<Told> ever(ThingId thing, long knownUntil) {
        Teller teller = teller(knownUntil);
        return joined().members(thing).stream()
                .flatMap(member -> ask(connection -> ViewTables.ever(connection, member)).stream())
                .distinct()
                .map(this::stored)
                .filter(stored -> stored.envelope().recorded() <= knownUntil)
                .map(teller::tell)
                .toList();
    }

    Optional<Told> told(EventId id, long knownUntil) {
        return log.find(id)
                .filter(stored -> stored.envelope().recorded() <= knownUntil)
                .map(teller(knownUntil)::tell);
    }

    /**
     * Things of a kind (or of any, when empty), newest first; with a text those that it is a part of the name, label or id of, and
     * of sheets those whose codes begin with it. Among very many the older ones are found by the beginning of their names alone.
     */
    public List<Thing> things(String kind, String containing, int limit) {
        List<Thing> found = ask(connection -> ViewTables.things(connection, kind, containing, limit));
        return found.stream()
                .filter(thing -> canonical(thing.id()).equals(thing.id()))
                .toList();
    }

    /** Things of a kind that belong to another, such as the cans of a material; newest first. */
    public List<Thing> thingsOf(String kind, ThingId of, int limit) {
        return joined().members(of).stream()
                .flatMap(member -> ask(connection -> ViewTables.thingsOf(connection, kind, member, limit)).stream())
                .filter(thing -> canonical(thing.id()).equals(thing.id()))
                .toList();
    }

    /** Every thing of a kind (or of any, when empty) with exactly this id, label or name; newest first. */
    public List<Thing> exactly(String kind, String idOrName) {
        return ask(connection -> ViewTables.exactly(connection, kind, idOrName.strip())).stream()
                .filter(thing -> canonical(thing.id()).equals(thing.id()))
                .toList();
    }

    /**
     * The one thing of a kind with this id, label or name.
     *
     * @throws BadInput when there is none, or several with that name
     */
    public Thing named(String kind, String idOrName) {
        List<Thing> exact = called(kind, idOrName);
        if (exact.size() == 1) {
            return exact.get(0);
        }
        String what = kind.isEmpty() ? "thing" : kind;
        if (exact.size() > 1) {
            throw new BadInput(
                    what,
                    idOrName,
                    "there are " + exact.size() + " of that name; give the short id or the id of one: "
                            + String.join(
                                    ", ",
                                    exact.stream()
                                            .map(t -> t.label().isEmpty() ? t.id().text() : t.label())
                                            .limit(8)
                                            .toList()));
        }
        List<String> near =
                things(kind, idOrName.strip(), 5).stream().map(Thing::shown).toList();
        throw new BadInput(
                what,
                idOrName,
                near.isEmpty()
                        ? "there is no " + what + " of that name, short id or id in this log"
                        : "there is no " + what + " of exactly that name; did you mean " + String.join(", ", near)
                                + "?");
    }

    /** Things of a kind with exactly this id, short id, name or name in full; of every kind when it is empty. */
    public List<Thing> called(String kind, String idOrName) {
        List<Thing> exact = exactly(kind, idOrName);
        return exact.isEmpty() ? inFull(kind, idOrName.strip()) : exact;
    }

    /** Things whose name in full, with what they belong to, this is; and the runs of an edition of this title. */
    private List<Thing> inFull(String kind, String name) {
        List<Thing> found = new ArrayList<>();
        for (int comma = name.indexOf(", "); comma >= 0; comma = name.indexOf(", ", comma + 1)) {
            exactly(kind, name.substring(comma + 2)).stream()
                    .filter(thing -> name(thing).equals(name))
                    .forEach(found::add);
        }
        if (found.isEmpty() && kind.equals("run")) {
            exactly("edition", name).forEach(edition -> found.addAll(thingsOf("run", edition.id(), 50)));
        }
        return found.stream().distinct().toList();
    }

    /** One page of the timeline, newest first. */
    public Timeline.Page timeline(Timeline.Filter filter) {
        // Before asking: both take a lock, always in this order.
        List<ThingId> members =
                filter.thing().map(thing -> joined().members(thing)).orElse(List.of());
        Timeline.Found found = ask(connection -> Timeline.find(connection, filter, members, few));
        Teller teller = teller(filter.knownUntil());
        List<Told> told = found.items().stream()
                .map(item ->
                        filter.knownUntil() == Long.MAX_VALUE ? told(item, teller) : teller.tell(stored(item.pos())))
                .toList();
        return new Timeline.Page(told, found.next());
    }

    /** An event at a position, as known at a moment. */
    public Optional<Told> at(long position, long knownUntil) {
        return log.at(position).map(teller(knownUntil)::tell);
    }

    /** Corrections of an event, in order of arrival. */
    public List<Told> corrections(EventId id) {
        return ask(connection -> ViewTables.corrections(connection, id)).stream()
                .map(p -> told(p, Long.MAX_VALUE))
                .toList();
    }

    /** How an event reads by each amendment that stands, the one that counts last. */
    public List<Told.Reading> sideBySide(EventId id) {
        return log.find(id).map(teller(Long.MAX_VALUE)::sideBySide).orElse(List.of());
    }

    /** The event at a position, as stored. */
    public Stored line(long position) {
        return log.at(position)
                .orElseThrow(() -> new BadInput(
                        "event", position, "there is no event at this position; the newest is " + log.last()));
    }

    /** The newest events of one type, newest first; voided ones are left out. */
    public List<Told> ofType(String type, int limit) {
        return ever(type, limit).filter(told -> !told.voided()).toList();
    }

    /** All events of one type, voided or not, newest first. */
    public List<Told> everOfType(String type) {
        return ever(type, Integer.MAX_VALUE).toList();
    }

    private Stream<Told> ever(String type, int limit) {
        Teller teller = teller(Long.MAX_VALUE);
        return ask(views -> ViewTables.ofType(views, type, limit)).stream().map(item -> told(item, teller));
    }

    /** Two records that may be of one thing, the older first. */
    public record Pair(Thing first, Thing second) {}

    /** Records that bear one short id, and materials, people's tools and papers of one name; none that are joined already. */
    public List<Pair> alike(int limit) {
        return ask(ViewTables::alike).stream()
                .filter(pair -> !canonical(pair.first().id())
                        .equals(canonical(pair.second().id())))
                .limit(limit)
                .toList();
    }

    /** The thing that bears a short label, if any. */
    public Optional<Thing> labelled(String label) {
        return ask(connection -> ViewTables.labelled(connection, label));
    }

    /** Query plan of every query that a page waits for, by its name. */
    public Map<String, List<String>> plans() {
        return ask(ViewTables::plans);
    }

    @Override
    public void close() {
        try {
            if (follower != null) {
                follower.close();
            }
            synchronized (reading) {
                reading.close();
            }
        } catch (SQLException failed) {
            throw new LogTrouble("The lists could not be closed: " + failed.getMessage(), failed);
        }
    }
}
