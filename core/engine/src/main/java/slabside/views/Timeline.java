package slabside.views;

import java.sql.SQLException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import slabside.event.ThingId;
import slabside.log.Prepared;

/** Pages of events, newest first, each going on where the last one ended. */
public final class Timeline {
    private static final String STORY =
            "SELECT pos, key FROM item WHERE key < ?1 AND key >= ?2 ORDER BY key DESC LIMIT ?3";
    private static final String OF_ONE_TYPE =
            "SELECT pos, key FROM item WHERE type = ?4 AND key < ?1 AND key >= ?2 ORDER BY key DESC LIMIT ?3";
    private static final String CHANGED =
            "SELECT pos, key FROM item WHERE state <> 0 AND key < ?1 AND key >= ?2 ORDER BY key DESC LIMIT ?3";
    private static final String OF_PERSON =
            "SELECT pos, key FROM item WHERE person = ?4 AND key < ?1 AND key >= ?2 ORDER BY key DESC LIMIT ?3";
    private static final String OF_THING =
            "SELECT pos, key FROM mention WHERE thing = ?4 AND key < ?1 AND key >= ?2 ORDER BY key DESC LIMIT ?3";
    private static final String SEARCH =
            "SELECT search.rowid, item.key FROM search CROSS JOIN item ON item.pos = search.rowid"
                    + " WHERE search MATCH ?4 AND search.rowid < ?5 AND item.key >= ?2 AND item.key < ?1 ORDER BY search.rowid DESC LIMIT ?3";

    private Timeline() {}

    /**
     * @param type a stored name ("ink.moved") or a group ("ink"); empty for all
     * @param search words that must all occur; empty for all
     * @param before where to go on, as {@link Page#next} said; empty for the newest
     * @param from earliest instant in ms
     * @param to last instant in ms
     * @param knownUntil corrections recorded later are not applied
     * @param changedOnly only events that were amended, voided or set adrift
     */
    public record Filter(
            String type,
            Optional<ThingId> thing,
            Optional<ThingId> person,
            String search,
            String before,
            long from,
            long to,
            long knownUntil,
            boolean changedOnly,
            int limit) {
        public static Filter newest(int limit) {
            return new Filter(
                    "",
                    Optional.empty(),
                    Optional.empty(),
                    "",
                    "",
                    0,
                    Long.MAX_VALUE - 1,
                    Long.MAX_VALUE,
                    false,
                    limit);
        }

        public Filter about(ThingId id) {
            return new Filter(type, Optional.of(id), person, search, before, from, to, knownUntil, changedOnly, limit);
        }

        public Filter searching(String words) {
            return new Filter(type, thing, person, words, before, from, to, knownUntil, changedOnly, limit);
        }

        public Filter goingOn(String next) {
            return new Filter(type, thing, person, search, next, from, to, knownUntil, changedOnly, limit);
        }
    }

    /**
     * @param next give this as {@code before} for the page behind; empty on the last
     */
    public record Page(List<Told> events, Optional<String> next) {}

    record Found(List<Long> positions, Optional<String> next) {}

    private record Row(long pos, byte[] key) {}

    static Map<String, String> queries() {
        Map<String, String> queries = new LinkedHashMap<>();
        queries.put("timeline", STORY);
        queries.put("timeline of one type", OF_ONE_TYPE);
        queries.put("timeline of corrections", CHANGED);
        queries.put("timeline of a person", OF_PERSON);
        queries.put("story of a thing", OF_THING);
        queries.put("search", SEARCH);
        return queries;
    }

    static Found find(Prepared views, Filter filter, List<ThingId> members) throws SQLException {
        boolean searching = !words(filter.search()).isEmpty();
        byte[] upper = filter.to() >= Long.MAX_VALUE - 1
                ? StoryKey.LAST.bytes()
                : StoryKey.endOf(filter.to()).bytes();
        if (!searching && !filter.before().isEmpty()) {
            byte[] before = java.util.HexFormat.of().parseHex(filter.before());
            upper = Arrays.compareUnsigned(before, upper) < 0 ? before : upper;
        }
        byte[] lower = StoryKey.endOf(filter.from() - 1).bytes();
        List<Row> rows = new ArrayList<>();
        if (searching) {
            long below = filter.before().isEmpty() ? Long.MAX_VALUE : Long.parseLong(filter.before());
            rows.addAll(search(views, filter, upper, lower, below));
        } else if (filter.thing().isPresent()) {
            for (ThingId member : members) {
                rows.addAll(rows(views, OF_THING, upper, lower, filter.limit() + 1, member.text()));
            }
            rows.sort((a, b) -> Arrays.compareUnsigned(b.key, a.key));
        } else if (filter.person().isPresent()) {
            rows.addAll(rows(
                    views,
                    OF_PERSON,
                    upper,
                    lower,
                    filter.limit() + 1,
                    filter.person().get().text()));
        } else if (filter.changedOnly()) {
            rows.addAll(rows(views, CHANGED, upper, lower, filter.limit() + 1));
        } else if (filter.type().isEmpty()) {
            rows.addAll(rows(views, STORY, upper, lower, filter.limit() + 1));
        } else if (filter.type().contains(".")) {
            rows.addAll(rows(views, OF_ONE_TYPE, upper, lower, filter.limit() + 1, filter.type()));
        } else {
            rows.addAll(group(views, filter, upper, lower));
        }
        boolean more = rows.size() > filter.limit();
        List<Row> page = more ? rows.subList(0, filter.limit()) : rows;
        return new Found(
                page.stream().map(Row::pos).toList(),
                more
                        ? Optional.of(
                                searching
                                        ? Long.toString(page.get(page.size() - 1).pos)
                                        : hex(page.get(page.size() - 1).key))
                        : Optional.empty());
    }

    /** All types of a group: the newest of each, merged, so that the index of types serves in order. */
    private static List<Row> group(Prepared views, Filter filter, byte[] upper, byte[] lower) throws SQLException {
        List<Row> rows = new ArrayList<>();
        for (var entry : slabside.event.Catalogue.all()) {
            if (entry.type().startsWith(filter.type() + ".")) {
                rows.addAll(rows(views, OF_ONE_TYPE, upper, lower, filter.limit() + 1, entry.type()));
            }
        }
        rows.sort(Comparator.comparing(Row::key, Arrays::compareUnsigned).reversed());
        return rows;
    }

    private static String hex(byte[] key) {
        return java.util.HexFormat.of().formatHex(key);
    }

    /**
     * Events with every word as typed; where those do not fill a page, with the last word as a beginning too. A beginning
     * must gather all its words before the newest can be told, so it comes second.
     */
    private static List<Row> search(Prepared views, Filter filter, byte[] upper, byte[] lower, long below)
            throws SQLException {
        String words = words(filter.search());
        List<Row> exact = rows(views, SEARCH, upper, lower, filter.limit() + 1, words, below);
        return exact.size() > filter.limit()
                ? exact
                : rows(views, SEARCH, upper, lower, filter.limit() + 1, words + "*", below);
    }

    /** Every word as typed, all of which must occur. */
    static String words(String typed) {
        return Arrays.stream(typed.toLowerCase(Locale.ROOT).split("[^\\p{L}\\p{N}]+"))
                .filter(word -> !word.isEmpty())
                .map(word -> "\"" + word + "\"")
                .collect(Collectors.joining(" AND "));
    }

    private static List<Row> rows(
            Prepared views, String sql, byte[] upper, byte[] lower, int limit, @Nullable Object... more)
            throws SQLException {
        Object[] values = new Object[3 + more.length];
        values[0] = upper;
        values[1] = lower;
        values[2] = limit;
        System.arraycopy(more, 0, values, 3, more.length);
        return views.rows(sql, row -> new Row(row.getLong(1), row.getBytes(2)), values);
    }
}
