package slabside.views;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import slabside.event.EventId;
import slabside.event.PluginEvent;
import slabside.event.ThingId;
import slabside.log.Prepared;

/** The tables of the views and the queries on them. Change {@link #NUMBER} with any change here: the file is then made anew. */
final class ViewTables {
    static final int NUMBER = 7;
    /** Stands in place of the number while the tables are made; a file that was left so is thrown away. */
    static final int UNFINISHED = 0;

    private static final List<String> TABLES = List.of(
            "CREATE TABLE state (number INTEGER NOT NULL, pos INTEGER NOT NULL, hash TEXT NOT NULL) STRICT",
            "INSERT INTO state VALUES (" + NUMBER + ", 0, '')",
            // One row an event: where it stands in the story now.
            "CREATE TABLE item (pos INTEGER PRIMARY KEY, key BLOB NOT NULL, type TEXT NOT NULL,"
                    + " person TEXT NOT NULL, state INTEGER NOT NULL, anchor TEXT, recorded INTEGER NOT NULL) STRICT",
            "CREATE INDEX item_anchor ON item (anchor) WHERE anchor IS NOT NULL",
            // The story of a thing.
            "CREATE TABLE mention (thing TEXT NOT NULL, key BLOB NOT NULL, pos INTEGER NOT NULL,"
                    + " PRIMARY KEY (thing, key, pos)) STRICT, WITHOUT ROWID",
            // The edges that folds walk.
            "CREATE TABLE part (thing TEXT NOT NULL, role INTEGER NOT NULL, key BLOB NOT NULL, pos INTEGER NOT NULL,"
                    + " PRIMARY KEY (thing, role, key, pos)) STRICT, WITHOUT ROWID",
            // What an amended event once concerned, for past knowledge.
            "CREATE TABLE once (thing TEXT NOT NULL, pos INTEGER NOT NULL, PRIMARY KEY (thing, pos)) STRICT, WITHOUT ROWID",
            "CREATE TABLE correction (target TEXT NOT NULL, pos INTEGER NOT NULL, PRIMARY KEY (target, pos)) STRICT, WITHOUT ROWID",
            "CREATE TABLE thing (id TEXT PRIMARY KEY, kind TEXT NOT NULL, name TEXT NOT NULL, label TEXT NOT NULL,"
                    + " of TEXT NOT NULL, key BLOB NOT NULL) STRICT",
            "CREATE VIRTUAL TABLE search USING fts5 (text, content = '', contentless_delete = 1, detail = none,"
                    + " tokenize = \"unicode61 remove_diacritics 2\")");

    /** Sheets are many and known by codes, loads by their runs; all others are looked for by any part of their names. */
    private static final String NAMED = "kind <> 'sheet' AND kind <> 'load'";

    /** So many of the newest things are looked through for a part of their names. */
    private static final int SEARCHED = 20_000;

    /** Indexes that pages need and the follower does not; made at once they take a fraction of the time. */
    private static final List<String> INDEXES = List.of(
            // With all that the timeline reads of a row, also where it looks for what was known at a moment.
            "CREATE INDEX IF NOT EXISTS item_story ON item (key, state, recorded)",
            "CREATE INDEX IF NOT EXISTS item_recorded ON item (recorded)",
            "CREATE INDEX IF NOT EXISTS item_follows ON item (key) WHERE anchor IS NOT NULL",
            "CREATE INDEX IF NOT EXISTS item_type ON item (type, key)",
            "CREATE INDEX IF NOT EXISTS item_person ON item (person, key)",
            "CREATE INDEX IF NOT EXISTS item_changed ON item (key) WHERE state <> 0",
            "CREATE INDEX IF NOT EXISTS thing_kind ON thing (kind, key)",
            "CREATE INDEX IF NOT EXISTS thing_of ON thing (of, kind, key) WHERE of <> ''",
            "CREATE INDEX IF NOT EXISTS thing_name ON thing (name COLLATE NOCASE)",
            "CREATE INDEX IF NOT EXISTS thing_label ON thing (label) WHERE label <> ''",
            "CREATE INDEX IF NOT EXISTS thing_named ON thing (key) WHERE " + NAMED);

    private static final List<String> SORTED_IN = List.of(
            "INSERT OR IGNORE INTO mention SELECT thing, key, pos FROM heap.mention ORDER BY thing, key, pos",
            "INSERT OR IGNORE INTO part SELECT thing, role, key, pos FROM heap.part ORDER BY thing, role, key, pos");

    static final String PLAYED =
            "SELECT part.pos, part.key, item.state FROM part CROSS JOIN item ON item.pos = part.pos"
                    + " WHERE part.thing = ?1 AND part.role = ?2 AND part.key <= ?3 ORDER BY part.key";

    private ViewTables() {}

    static void create(Prepared views) throws SQLException {
        for (String table : TABLES) {
            views.update(table);
        }
    }

    /**
     * How far the views have come.
     *
     * @param number of the form they have
     * @param pos of the last event that is in them; 0 when there is none
     * @param hash of that event
     */
    record State(int number, long pos, String hash) {
        boolean isWhole() {
            return number == NUMBER;
        }
    }

    static State state(Prepared views) throws SQLException {
        return views
                .rows(
                        "SELECT number, pos, hash FROM state",
                        row -> new State(row.getInt(1), row.getLong(2), row.getString(3)))
                .stream()
                .findFirst()
                .orElse(new State(UNFINISHED, 0, ""));
    }

    static void number(Prepared views, int number) throws SQLException {
        views.update("UPDATE state SET number = ?", number);
    }

    /** Puts the edges of the heap where they belong, in their order. */
    static void sortIn(Prepared views) throws SQLException {
        for (String each : SORTED_IN) {
            views.update(each);
        }
    }

    /** Things that more than one event defines. */
    static List<ThingId> definedAgain(Prepared views) throws SQLException {
        return views.rows(
                "SELECT thing FROM part WHERE role = ? GROUP BY thing HAVING count(*) > 1",
                row -> new ThingId(row.getString(1)),
                Role.DEFINES.ordinal());
    }

    /** Makes what pages need beside the tables, where it is not there yet. */
    static void index(Prepared views) throws SQLException {
        for (String index : INDEXES) {
            views.update(index);
        }
    }

    /** Where an event stands; {@code state} is 0 when nothing ever put it right. */
    record Item(long pos, StoryKey key, int state) {
        static Item of(ResultSet row) throws SQLException {
            return new Item(row.getLong(1), StoryKey.ofBytes(row.getBytes(2)), row.getInt(3));
        }
    }

    static Optional<Item> item(Prepared views, long pos) throws SQLException {
        return views.rows("SELECT pos, key, state FROM item WHERE pos = ?", Item::of, pos).stream()
                .findFirst();
    }

    static List<Item> played(Prepared views, ThingId thing, Role role, StoryKey until) throws SQLException {
        return views.rows(PLAYED, Item::of, thing.text(), role.ordinal(), until.bytes());
    }

    static boolean isMixed(Prepared views, ThingId vessel) throws SQLException {
        return views.number(
                        "SELECT EXISTS (SELECT 1 FROM part CROSS JOIN item ON item.pos = part.pos"
                                + " WHERE part.thing = ? AND part.role = ? AND item.type <> 'shelf.can-received')",
                        vessel.text(),
                        Role.IN.ordinal())
                == 1;
    }

    static List<Long> corrections(Prepared views, EventId id) throws SQLException {
        return views.numbers("SELECT pos FROM correction WHERE target = ? ORDER BY pos", id.text());
    }

    static List<Long> ever(Prepared views, ThingId thing) throws SQLException {
        return views.numbers(
                "SELECT pos FROM part WHERE thing = ?1 UNION SELECT pos FROM once WHERE thing = ?1 ORDER BY pos",
                thing.text());
    }

    static List<Item> ofType(Prepared views, String type, int limit) throws SQLException {
        return views.rows(
                "SELECT pos, key, state FROM item WHERE type = ? ORDER BY key DESC LIMIT ?", Item::of, type, limit);
    }

    private static final String FEW_KNOWN = "SELECT count(*) FROM (SELECT 1 FROM item WHERE recorded <= ? LIMIT ?)";

    private static final String THING = "SELECT id, kind, name, label, of FROM thing ";

    /** Among the newest by any part of a name, among all of them by its beginning. */
    private static final String NAMES = "SELECT id, kind, name, label, of FROM (SELECT * FROM"
            + " (SELECT * FROM thing INDEXED BY thing_named WHERE " + NAMED + " ORDER BY key DESC LIMIT " + SEARCHED
            + ")"
            + " WHERE name LIKE ?2 ESCAPE '\\' OR label LIKE ?2 ESCAPE '\\' OR id LIKE ?2 ESCAPE '\\'"
            + " UNION SELECT * FROM thing WHERE name >= ?4 COLLATE NOCASE AND name < ?5 COLLATE NOCASE AND " + NAMED
            + ")"
            + " WHERE ?1 = '' OR kind = ?1 ORDER BY key DESC LIMIT ?3";

    /** Sheets by the beginning of their codes. */
    private static final String CODES = THING
            + "INDEXED BY thing_name WHERE kind = 'sheet' AND name >= ?1 COLLATE NOCASE AND name < ?2 COLLATE NOCASE ORDER BY name COLLATE NOCASE LIMIT ?3";

    private static Thing thing(ResultSet row) throws SQLException {
        return new Thing(
                new ThingId(row.getString(1)), row.getString(2), row.getString(3), row.getString(4), row.getString(5));
    }

    static Optional<Thing> thing(Prepared views, ThingId id) throws SQLException {
        return views.rows(THING + "WHERE id = ?", ViewTables::thing, id.text()).stream()
                .findFirst();
    }

    static List<Thing> things(Prepared views, String kind, String containing, int limit) throws SQLException {
        if (containing.isEmpty()) {
            return kind.isEmpty()
                    ? views.rows(THING + "ORDER BY key DESC LIMIT ?", ViewTables::thing, limit)
                    : views.rows(THING + "WHERE kind = ? ORDER BY key DESC LIMIT ?", ViewTables::thing, kind, limit);
        }
        List<Thing> found = new ArrayList<>();
        String behind = containing + Character.toString(Character.MAX_CODE_POINT);
        if (kind.isEmpty() || kind.equals("sheet")) {
            found.addAll(views.rows(CODES, ViewTables::thing, containing, behind, limit));
        }
        if (!kind.equals("sheet")) {
            String like =
                    "%" + containing.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_") + "%";
            found.addAll(0, views.rows(NAMES, ViewTables::thing, kind, like, limit, containing, behind));
        }
        return found.size() > limit ? found.subList(0, limit) : found;
    }

    static List<Thing> thingsOf(Prepared views, String kind, ThingId of, int limit) throws SQLException {
        return views.rows(
                THING + "WHERE of = ? AND of <> '' AND kind = ? ORDER BY key DESC LIMIT ?",
                ViewTables::thing,
                of.text(),
                kind,
                limit);
    }

    static Optional<Thing> labelled(Prepared views, String label) throws SQLException {
        return views.rows(THING + "WHERE label = ? AND label <> ''", ViewTables::thing, label).stream()
                .findFirst();
    }

    /** One part for each index, since one condition for all of them reads the whole table. */
    private static final String EXACTLY = "SELECT id, kind, name, label, of FROM (SELECT * FROM thing WHERE id = ?1"
            + " UNION SELECT * FROM thing WHERE label = upper(?1) AND label <> ''"
            + " UNION SELECT * FROM thing WHERE name = ?1 COLLATE NOCASE AND ?1 <> '')"
            + " WHERE ?2 = '' OR kind = ?2 ORDER BY key DESC LIMIT 20";

    static List<Thing> exactly(Prepared views, String kind, String text) throws SQLException {
        return views.rows(EXACTLY, ViewTables::thing, text, kind);
    }

    /** Kinds of which a studio has one of a name. */
    private static final String ALIKE =
            "WITH pair AS (SELECT a.id AS first, b.id AS second FROM thing a INDEXED BY thing_label"
                    + " CROSS JOIN thing b INDEXED BY thing_label ON b.label = a.label AND b.label <> '' AND b.key > a.key"
                    + " WHERE a.label <> ''"
                    + " UNION SELECT a.id, b.id FROM thing a INDEXED BY thing_kind"
                    + " CROSS JOIN thing b INDEXED BY thing_name ON b.kind = a.kind AND b.key > a.key AND b.name = a.name COLLATE NOCASE"
                    + " WHERE a.kind = 'material' AND a.name <> '') SELECT first, second FROM pair LIMIT 2000";

    static List<Views.Pair> alike(Prepared views) throws SQLException {
        List<Views.Pair> pairs = new ArrayList<>();
        for (String[] ids : views.rows(ALIKE, row -> new String[] {row.getString(1), row.getString(2)})) {
            Optional<Thing> first = thing(views, new ThingId(ids[0]));
            Optional<Thing> second = thing(views, new ThingId(ids[1]));
            if (first.isPresent() && second.isPresent()) {
                pairs.add(new Views.Pair(first.get(), second.get()));
            }
        }
        return pairs;
    }

    /** Kinds of entries that plugins own, as far as any were written. */
    static List<String> pluginTypes(Prepared views) throws SQLException {
        List<String> types = new ArrayList<>();
        String last = PluginEvent.PREFIX;
        while (true) {
            List<String> next = views.rows(
                    "SELECT type FROM item WHERE type > ? AND type < ? ORDER BY type LIMIT 1",
                    row -> row.getString(1),
                    last,
                    PluginEvent.AFTER);
            if (next.isEmpty()) {
                return types;
            }
            last = next.get(0);
            types.add(last);
        }
    }

    /** Whether fewer events than so many were written down until a moment. */
    static boolean fewKnown(Prepared views, long knownUntil, int few) throws SQLException {
        return views.number(FEW_KNOWN, knownUntil, few) < few;
    }

    static Map<String, List<String>> plans(Prepared views) throws SQLException {
        Map<String, String> queries = new LinkedHashMap<>(Timeline.queries());
        queries.put("edges of a vessel", PLAYED);
        queries.put("things by a part of their names", NAMES);
        queries.put("sheets by their codes", CODES);
        queries.put("things of that name", EXACTLY);
        queries.put("things that may be one", ALIKE);
        queries.put("how many were known", FEW_KNOWN);
        Map<String, List<String>> plans = new LinkedHashMap<>();
        for (var query : queries.entrySet()) {
            plans.put(query.getKey(), views.rows("EXPLAIN QUERY PLAN " + query.getValue(), row -> row.getString(4)));
        }
        return plans;
    }
}
