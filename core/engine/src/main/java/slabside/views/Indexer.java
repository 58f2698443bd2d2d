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

    void index(List<Stored> fresh) throws SQLException {
        Set<EventId> twice = log.twice();
        fresh.stream()
                .filter(stored -> !twice.contains(stored.envelope().id()))
                .forEach(stored -> batch.put(stored.envelope().id(), stored));
        for (Stored stored : fresh) {
            if (twice.contains(stored.envelope().id()) && !counts(stored)) {
                continue;
            }
            StudioEvent event = stored.event();
            Optional<EventId> target = MemoryStories.target(event);
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
        Stored last = fresh.get(fresh.size() - 1);
        update("UPDATE state SET pos = ?, hash = ?", last.pos(), last.hash());
        batch.clear();
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
        update(
                "INSERT INTO item VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
                stored.pos(),
                told.id().text(),
                key,
                told.envelope().type(),
                told.envelope().actor().person().text(),
                state,
                told.after() == null ? null : told.after().text(),
                told.envelope().recorded());
        for (ThingId thing : EventCodec.about(told.event())) {
            update("INSERT OR IGNORE INTO mention VALUES (?, ?, ?)", thing.text(), key, stored.pos());
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
            describe(thing);
        }
        update("INSERT INTO search (rowid, text) VALUES (?, ?)", stored.pos(), words(told));
        if (first || !java.util.Arrays.equals(before, key)) {
            followers(told.id(), new HashSet<>());
        }
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
            }
        }
    }

    /** Takes an event out of the tables; returns the things that it had defined. */
    private Set<ThingId> forget(Stored stored, byte[] key) throws SQLException {
        Set<ThingId> defined = new LinkedHashSet<>();
        update("DELETE FROM item WHERE pos = ?", stored.pos());
        update("DELETE FROM search WHERE rowid = ?", stored.pos());
        // What it may have concerned: the original and every amendment of it.
        Stream.concat(Stream.of(stored.event()), versions(stored.envelope()))
                .forEach(version -> forgetVersion(stored, key, version, defined));
        return defined;
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
                update("INSERT OR IGNORE INTO once VALUES (?, ?)", part.thing().text(), stored.pos());
                if (part.role() == Role.DEFINES) {
                    defined.add(part.thing());
                }
            }
        } catch (SQLException failed) {
            throw new LogTrouble("The lists cannot be written: " + failed.getMessage(), failed);
        }
    }

    private Stream<StudioEvent> versions(Envelope original) {
        return correctionsOf(original.id()).stream()
                .map(each -> each.envelope().event())
                .flatMap(event -> event instanceof slabside.event.LogEvent.Amended amended && amended.body() != null
                        ? Stream.of(EventCodec.read(
                                original.type(),
                                original.version(),
                                EventCodec.tree(amended.body().json())))
                        : Stream.empty());
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
        update("DELETE FROM thing WHERE id = ?", id.text());
        if (thing.isPresent() && first != null) {
            Thing now = thing.get();
            update(
                    "INSERT INTO thing VALUES (?, ?, ?, ?, ?, ?)",
                    id.text(),
                    now.kind(),
                    now.name(),
                    now.label(),
                    now.of(),
                    first);
            names.put(id, now.shown() + " " + now.label());
        } else {
            names.remove(id);
        }
        renamed.add(id);
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
