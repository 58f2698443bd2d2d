package slabside.views;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import slabside.event.EventId;
import slabside.event.ThingId;

/** The tables of the views and the queries on them. Change {@link #NUMBER} with any change here: the file is then made anew. */
final class ViewTables {
    static final int NUMBER = 1;

    private static final List<String> TABLES = List.of(
            "CREATE TABLE state (number INTEGER NOT NULL, pos INTEGER NOT NULL, hash TEXT NOT NULL) STRICT",
            "INSERT INTO state VALUES (" + NUMBER + ", 0, '')",
            // One row an event: where it stands in the story now.
            "CREATE TABLE item (pos INTEGER PRIMARY KEY, id TEXT NOT NULL, key BLOB NOT NULL, type TEXT NOT NULL,"
                    + " person TEXT NOT NULL, state INTEGER NOT NULL, anchor TEXT) STRICT",
            "CREATE INDEX item_story ON item (key)",
            "CREATE INDEX item_type ON item (type, key)",
            "CREATE INDEX item_person ON item (person, key)",
            "CREATE INDEX item_changed ON item (key) WHERE state <> 0",
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
            "CREATE INDEX thing_kind ON thing (kind, key)",
            "CREATE INDEX thing_of ON thing (of, kind, key) WHERE of <> ''",
            "CREATE INDEX thing_name ON thing (name COLLATE NOCASE)",
            "CREATE INDEX thing_label ON thing (label) WHERE label <> ''",
            "CREATE VIRTUAL TABLE search USING fts5 (text, content = '', contentless_delete = 1, detail = none,"
                    + " tokenize = \"unicode61 remove_diacritics 2\")");

    static final String PLAYED = "SELECT pos FROM part WHERE thing = ?1 AND role = ?2 AND key <= ?3 ORDER BY key";

    private ViewTables() {}

    static void create(Connection connection) throws SQLException {
        try (Statement statement = connection.createStatement()) {
            for (String table : TABLES) {
                statement.executeUpdate(table);
            }
        }
    }

    static List<Long> positions(Connection connection, String sql, Object... values) throws SQLException {
        try (PreparedStatement ask = connection.prepareStatement(sql)) {
            for (int i = 0; i < values.length; i++) {
                ask.setObject(i + 1, values[i]);
            }
            List<Long> found = new ArrayList<>();
            try (ResultSet rows = ask.executeQuery()) {
                while (rows.next()) {
                    found.add(rows.getLong(1));
                }
            }
            return found;
        }
    }

    static List<Long> played(Connection connection, ThingId thing, Role role, StoryKey until) throws SQLException {
        return positions(connection, PLAYED, thing.text(), role.ordinal(), until.bytes());
    }

    static List<Long> corrections(Connection connection, EventId id) throws SQLException {
        return positions(connection, "SELECT pos FROM correction WHERE target = ? ORDER BY pos", id.text());
    }

    static List<Long> ever(Connection connection, ThingId thing) throws SQLException {
        return positions(
                connection,
                "SELECT pos FROM part WHERE thing = ?1 UNION SELECT pos FROM once WHERE thing = ?1 ORDER BY pos",
                thing.text());
    }

    static List<Long> ofType(Connection connection, String type, int limit) throws SQLException {
        return positions(connection, "SELECT pos FROM item WHERE type = ? ORDER BY key DESC LIMIT ?", type, limit);
    }

    static Optional<Thing> thing(Connection connection, ThingId id) throws SQLException {
        return things(connection, "SELECT id, kind, name, label, of FROM thing WHERE id = ?", id.text()).stream()
                .findFirst();
    }

    static List<Thing> things(Connection connection, String kind, String containing, int limit) throws SQLException {
        String like = "%" + containing.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_") + "%";
        return things(
                connection,
                "SELECT id, kind, name, label, of FROM thing WHERE (?1 = '' OR kind = ?1)"
                        + " AND (?2 = '%%' OR name LIKE ?2 ESCAPE '\\' OR label LIKE ?2 ESCAPE '\\' OR id LIKE ?2 ESCAPE '\\')"
                        + " ORDER BY key DESC LIMIT ?3",
                kind,
                like,
                limit);
    }

    static List<Thing> thingsOf(Connection connection, String kind, ThingId of, int limit) throws SQLException {
        return things(
                connection,
                "SELECT id, kind, name, label, of FROM thing WHERE of = ? AND of <> '' AND kind = ? ORDER BY key DESC LIMIT ?",
                of.text(),
                kind,
                limit);
    }

    static Optional<Thing> labelled(Connection connection, String label) throws SQLException {
        return things(connection, "SELECT id, kind, name, label, of FROM thing WHERE label = ? AND label <> ''", label)
                .stream()
                .findFirst();
    }

    static List<Thing> exactly(Connection connection, String kind, String text) throws SQLException {
        return things(
                connection,
                "SELECT id, kind, name, label, of FROM thing WHERE (id = ?1 OR label = upper(?1) AND label <> ''"
                        + " OR name = ?1 COLLATE NOCASE) AND (?2 = '' OR kind = ?2) ORDER BY key DESC LIMIT 20",
                text,
                kind);
    }

    private static List<Thing> things(Connection connection, String sql, Object... values) throws SQLException {
        try (PreparedStatement ask = connection.prepareStatement(sql)) {
            for (int i = 0; i < values.length; i++) {
                ask.setObject(i + 1, values[i]);
            }
            List<Thing> found = new ArrayList<>();
            try (ResultSet rows = ask.executeQuery()) {
                while (rows.next()) {
                    found.add(new Thing(
                            new ThingId(rows.getString(1)),
                            rows.getString(2),
                            rows.getString(3),
                            rows.getString(4),
                            rows.getString(5)));
                }
            }
            return found;
        }
    }

    static Map<String, List<String>> plans(Connection connection) throws SQLException {
        Map<String, String> queries = new LinkedHashMap<>(Timeline.queries());
        queries.put("edges of a vessel", PLAYED);
        Map<String, List<String>> plans = new LinkedHashMap<>();
        for (var query : queries.entrySet()) {
            List<String> plan = new ArrayList<>();
            try (PreparedStatement ask = connection.prepareStatement("EXPLAIN QUERY PLAN " + query.getValue());
                    ResultSet rows = ask.executeQuery()) {
                while (rows.next()) {
                    plan.add(rows.getString(4));
                }
            }
            plans.put(query.getKey(), plan);
        }
        return plans;
    }
}
