package slabside.views;

import java.sql.SQLException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import slabside.event.Envelope;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.log.EventLog;
import slabside.log.LogTrouble;
import slabside.log.Prepared;
import slabside.log.Stored;

/** Puts events into the tables of the views; used by the one follower, on its thread. */
final class Indexer {
    private static final int THINGS_KEPT = 50_000;

    private final Prepared views;
    private final EventLog log;
    private final Set<ThingId> renamed = new HashSet<>();
    private boolean movedOthers;
    private final Map<ThingId, String> names = new LinkedHashMap<>(64, 0.75f, true) {
        private static final long serialVersionUID = 1L;

        @Override
        protected boolean removeEldestEntry(Map.Entry<ThingId, String> eldest) {
            return size() > THINGS_KEPT;
        }
    };
    /** Events of the batch at hand, which a look-up by id finds first. */
    private final Map<EventId, Stored> batch = new HashMap<>();

    private final Teller teller;

    Indexer(Prepared views, EventLog log) {
        this.views = views;
        this.log = log;
        this.teller = new Teller(
                new Teller.Source() {
                    @Override
                    public Optional<Stored> find(EventId id) {
                        Stored fresh = batch.get(id);
                        return fresh != null ? Optional.of(fresh) : log.find(id);
                    }

                    @Override
                    public List<Stored> corrections(EventId id) {
                        return correctionsOf(id);
                    }
                },
                Long.MAX_VALUE);
    }

    /** Things whose name may have changed since the last call. */
    Set<ThingId> renamed() {
        Set<ThingId> since = Set.copyOf(renamed);
        renamed.clear();
        return since;
    }

    /** Whether events that were in already got another place since the last call, as what they follow came after them. */
    boolean movedOthers() {
        boolean since = movedOthers;
        movedOthers = false;
        return since;
    }

    void index(List<Stored> fresh) throws SQLException {
        Set<EventId> twice = log.twice();
        fresh.stream()
                .filter(stored -> !twice.contains(stored.envelope().id()))
                .forEach(stored -> batch.put(stored.envelope().id(), stored));
        for (Stored stored : fresh) {
            put(stored, twice);
        }
        reached(fresh.get(fresh.size() - 1));
        batch.clear();
    }

    void reached(Stored last) throws SQLException {
        update("UPDATE state SET pos = ?, hash = ?", last.pos(), last.hash());
    }

    /** Puts down an event that says nothing of another one, but for its edges; for {@link MadeAnew}. */
    void putPlainly(MadeAnew.Plain plain, ManyRows items, ManyRows search) throws SQLException {
        items.add(item(plain.told(), plain.key(), 0));
        for (ThingId thing : plain.defines()) {
            definePlainly(thing, plain.told(), plain.key());
        }
        search.add(plain.told().pos(), words(plain.told()));
    }

    /** A first definition is all there is to say; of further ones the story is read at the end. */
    private void definePlainly(ThingId id, Told told, byte[] key) throws SQLException {
        Optional<Thing> now = Thing.fold(ViewTables.thing(views, id), id, told.event());
        if (now.isPresent()) {
            define(now.get(), key);
        }
    }

    /** Describes things that more than one event defines, and puts in what was put off; for {@link MadeAnew}. */
    void putInLater(List<Long> later) throws SQLException {
        for (ThingId thing : ViewTables.definedAgain(views)) {
            describe(thing);
        }
        Set<EventId> twice = log.twice();
        for (long pos : later) {
            put(stored(pos), twice);
        }
    }

    private void put(Stored stored, Set<EventId> twice) throws SQLException {
        if (twice.contains(stored.envelope().id()) && !counts(stored)) {
            return;
        }
        Optional<EventId> target = MemoryStories.target(stored.event());
        if (target.isPresent()) {
            update(
                    "INSERT OR IGNORE INTO correction VALUES (?, ?)",
                    target.get().text(),
                    stored.pos());
        }
        place(stored, true);
        if (target.isPresent()) {
            putRight(target.get(), new HashSet<>());
        }
    }

    /** Of several lines of one event one counts; another that was taken for it before goes out again. */
    private boolean counts(Stored stored) throws SQLException {
        List<Stored> lines = log.lines(stored.envelope().id());
        if (lines.get(0).pos() != stored.pos()) {
            return false;
        }
        for (Stored other : lines) {
            byte[] key = keyOf(other.pos());
            if (other.pos() != stored.pos() && key != null) {
                for (ThingId defined : forget(other, key)) {
                    describe(defined);
                }
                // It never was an entry of its own, then neither.
                update("DELETE FROM once WHERE pos = ?", other.pos());
                Optional<EventId> target = MemoryStories.target(other.event());
                if (target.isPresent()) {
                    update(
                            "DELETE FROM correction WHERE target = ? AND pos = ?",
                            target.get().text(),
                            other.pos());
                }
            }
        }
        return true;
    }

    /** A correction changes its target, and through a void of a void that one's target in turn. */
    private void putRight(EventId target, Set<EventId> done) throws SQLException {
        Stored stored = indexed(target);
        if (stored == null || !done.add(target)) {
            return;
        }
        place(stored, false);
        Optional<EventId> next = MemoryStories.target(stored.event());
        if (next.isPresent()) {
            putRight(next.get(), done);
        }
    }

    private @Nullable Stored indexed(EventId id) throws SQLException {
        Stored stored =
                Optional.ofNullable(batch.get(id)).or(() -> log.find(id)).orElse(null);
        return stored != null && keyOf(stored.pos()) != null ? stored : null;
    }

    private void place(Stored stored, boolean first) throws SQLException {
        Told told = teller.tell(stored);
        byte[] before = first ? null : keyOf(stored.pos());
        Set<ThingId> concerned = new LinkedHashSet<>();
        if (before != null) {
            concerned.addAll(forget(stored, before));
        }
        byte[] key = told.key().bytes();
        int state = (told.voided() ? 1 : 0)
                | (told.amended() ? 2 : 0)
                | (told.disputed() ? 4 : 0)
                | (told.adrift() ? 8 : 0);
        update("INSERT INTO item VALUES (?, ?, ?, ?, ?, ?, ?)", item(told, key, state));
        for (ThingId thing : EventCodec.about(told.event())) {
            update("INSERT OR IGNORE INTO mention VALUES (?, ?, ?)", thing.text(), key, stored.pos());
        }
        if (state != 0 || !first || !correctionsOf(told.id()).isEmpty()) {
            remember(stored);
        }
        if (!told.voided()) {
            for (Role.Part part : Role.parts(told.event())) {
                update(
                        "INSERT OR IGNORE INTO part VALUES (?, ?, ?, ?)",
                        part.thing().text(),
                        part.role().ordinal(),
                        key,
                        stored.pos());
                if (part.role() == Role.DEFINES) {
                    concerned.add(part.thing());
                }
            }
        }
        for (ThingId thing : concerned) {
            if (!first || !defineFirst(thing, told, key)) {
                describe(thing);
            }
        }
        update("INSERT INTO search (rowid, text) VALUES (?, ?)", stored.pos(), words(told));
        if (first || !java.util.Arrays.equals(before, key)) {
            followers(told.id(), new HashSet<>());
        }
    }

    private static @Nullable Object[] item(Told told, byte[] key, int state) {
        return new @Nullable Object[] {
            told.pos(),
            key,
            told.envelope().type(),
            told.envelope().actor().person().text(),
            state,
            told.after() == null ? null : told.after().text(),
            told.envelope().recorded()
        };
    }

    /** Events that directly follow one that was placed move with it. */
    private void followers(EventId id, Set<EventId> done) throws SQLException {
        if (!done.add(id)) {
            return;
        }
        for (long pos : positions("SELECT pos FROM item WHERE anchor = ?", id.text())) {
            Stored follower = stored(pos);
            byte[] now = teller.tell(follower).key().bytes();
            if (!java.util.Arrays.equals(now, keyOf(pos))) {
                place(follower, false);
                movedOthers = true;
            }
        }
    }

    /** Takes an event out of the tables; returns the things that it had defined. */
    private Set<ThingId> forget(Stored stored, byte[] key) throws SQLException {
        Set<ThingId> defined = new LinkedHashSet<>();
        update("DELETE FROM item WHERE pos = ?", stored.pos());
        update("DELETE FROM search WHERE rowid = ?", stored.pos());
        versions(stored).forEach(version -> forgetVersion(stored, key, version, defined));
        return defined;
    }

    /** What a corrected event ever concerned, in whatever order it and its corrections came. */
    private void remember(Stored stored) throws SQLException {
        for (StudioEvent version : versions(stored).toList()) {
            for (Role.Part part : Role.parts(version)) {
                update("INSERT OR IGNORE INTO once VALUES (?, ?)", part.thing().text(), stored.pos());
            }
        }
    }

    private void forgetVersion(Stored stored, byte[] key, StudioEvent version, Set<ThingId> defined) {
        try {
            for (ThingId thing : EventCodec.about(version)) {
                update("DELETE FROM mention WHERE thing = ? AND key = ? AND pos = ?", thing.text(), key, stored.pos());
            }
            for (Role.Part part : Role.parts(version)) {
                update(
                        "DELETE FROM part WHERE thing = ? AND role = ? AND key = ? AND pos = ?",
                        part.thing().text(),
                        part.role().ordinal(),
                        key,
                        stored.pos());
                if (part.role() == Role.DEFINES) {
                    defined.add(part.thing());
                }
            }
        } catch (SQLException failed) {
            throw new LogTrouble("The lists cannot be written: " + failed.getMessage(), failed);
        }
    }

    /** An event as it was written, and by every amendment of it. */
    private Stream<StudioEvent> versions(Stored stored) {
        Envelope original = stored.envelope();
        Stream<StudioEvent> byAmendments = correctionsOf(original.id()).stream()
                .map(each -> each.envelope().event())
                .flatMap(event -> event instanceof slabside.event.LogEvent.Amended amended && amended.body() != null
                        ? Stream.of(EventCodec.read(
                                original.type(),
                                original.version(),
                                EventCodec.tree(amended.body().json())))
                        : Stream.empty());
        return Stream.concat(Stream.of(stored.event()), byAmendments);
    }

    private void describe(ThingId id) throws SQLException {
        Optional<Thing> thing = Optional.empty();
        byte[] first = null;
        for (long pos : positions(
                "SELECT pos FROM part WHERE thing = ? AND role = " + Role.DEFINES.ordinal() + " ORDER BY key",
                id.text())) {
            Told told = teller.tell(stored(pos));
            first = first == null ? told.key().bytes() : first;
            thing = Thing.fold(thing, id, told.event());
        }
        if (thing.isPresent() && first != null) {
            define(thing.get(), first);
        } else {
            update("DELETE FROM thing WHERE id = ?", id.text());
            names.remove(id);
        }
        renamed.add(id);
    }

    /** Describes a thing that nothing defined before; whether that is so. */
    private boolean defineFirst(ThingId id, Told told, byte[] key) throws SQLException {
        if (ViewTables.thing(views, id).isPresent()) {
            return false;
        }
        Optional<Thing> now = Thing.fold(Optional.empty(), id, told.event());
        if (now.isPresent()) {
            define(now.get(), key);
            renamed.add(id);
        }
        return now.isPresent();
    }

    private void define(Thing now, byte[] first) throws SQLException {
        update(
                "INSERT OR REPLACE INTO thing VALUES (?, ?, ?, ?, ?, ?)",
                now.id().text(),
                now.kind(),
                now.name(),
                now.label(),
                now.of(),
                first);
        names.put(now.id(), now.shown() + " " + now.label());
    }

    private String words(Told told) {
        return Sentence.of(told.event(), this::nameOf) + " " + told.envelope().type();
    }

    private String nameOf(ThingId thing) {
        String known = names.get(thing);
        if (known == null) {
            try {
                known = ViewTables.thing(views, thing)
                        .map(t -> t.shown() + " " + t.label())
                        .orElse(thing.text());
            } catch (SQLException failed) {
                throw new LogTrouble("The lists cannot be read: " + failed.getMessage(), failed);
            }
            names.put(thing, known);
        }
        return known;
    }

    private List<Stored> correctionsOf(EventId id) {
        try {
            List<Stored> found = new ArrayList<>();
            for (long pos : positions("SELECT pos FROM correction WHERE target = ? ORDER BY pos", id.text())) {
                found.add(stored(pos));
            }
            return found;
        } catch (SQLException failed) {
            throw new LogTrouble("The lists cannot be read: " + failed.getMessage(), failed);
        }
    }

    private Stored stored(long pos) {
        return log.at(pos).orElseThrow();
    }

    private byte @Nullable [] keyOf(long pos) throws SQLException {
        return ViewTables.item(views, pos).map(item -> item.key().bytes()).orElse(null);
    }

    private List<Long> positions(String sql, String value) throws SQLException {
        return views.numbers(sql, value);
    }

    private void update(String sql, @Nullable Object... values) throws SQLException {
        views.update(sql, values);
    }
}
