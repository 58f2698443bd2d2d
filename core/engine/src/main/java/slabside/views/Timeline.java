package slabside.views;

import java.sql.SQLException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import slabside.event.PluginEvent;
import slabside.event.ThingId;
import slabside.log.Prepared;

/** Pages of events, newest first, each going on where the last one ended. */
public final class Timeline {
    /** Long before any press; days before 1970 have negative times. */
    private static final long EARLIEST = Long.MIN_VALUE / 2;

    /** Longer than a day and whatever clocks differ by. */
    private static final long SLACK = TimeUnit.DAYS.toMillis(3);

    /** Events that are looked through faster than a long timeline is. */
    static final int FEW = 5_000;

    private Timeline() {}

    /**
     * @param type a stored name ("ink.moved") or a group ("ink"); empty for all
     * @param search words that must all occur; empty for all
     * @param before where to go on, as {@link Page#next} said; empty for the newest
     * @param from earliest instant in ms
     * @param to last instant in ms
     * @param knownUntil events and corrections recorded later are left out
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
                    EARLIEST,
                    Long.MAX_VALUE - 1,
                    Long.MAX_VALUE,
                    false,
                    limit);
        }

        public Filter about(ThingId id) {
            return new Filter(type, Optional.of(id), person, search, before, from, to, knownUntil, changedOnly, limit);
        }

        /** From one moment on until before another, in ms. */
        public Filter between(long first, long until) {
            return new Filter(type, thing, person, search, before, first, until - 1, knownUntil, changedOnly, limit);
        }

        public Filter ofType(String nameOrGroup) {
            return new Filter(nameOrGroup, thing, person, search, before, from, to, knownUntil, changedOnly, limit);
        }

        public Filter searching(String words) {
            return new Filter(type, thing, person, words, before, from, to, knownUntil, changedOnly, limit);
        }

        /** As it was known at the end of a moment of recording, in ms. */
        public Filter asKnown(long until) {
            return new Filter(type, thing, person, search, before, from, to, until, changedOnly, limit);
        }

        public Filter goingOn(String next) {
            return new Filter(type, thing, person, search, next, from, to, knownUntil, changedOnly, limit);
        }
    }

    /**
     * @param next give this as {@code before} for the page behind; empty on the last
     */
    public record Page(List<Told> events, Optional<String> next) {}

    record Found(List<ViewTables.Item> items, Optional<String> next) {}

    /** Which events a query without words and things goes through. */
    private enum Rows {
        ALL(" WHERE 1"),
        /** Of those put right the place may be later than it was known to be. */
        PUT_RIGHT(" INDEXED BY item_changed WHERE item.state <> 0"),
        /** The same of those that follow one that was put right. */
        FOLLOWING(" INDEXED BY item_follows WHERE item.anchor IS NOT NULL AND item.state = 0"),
        /** Few were known at the moment asked for, so that these are looked through. */
        FEW_KNOWN(" INDEXED BY item_recorded WHERE 1");

        private final String sql;

        Rows(String sql) {
            this.sql = sql;
        }
    }

    /** A query with its values, put together from the conditions of a filter. */
    private record Ask(String sql, List<Object> values) {
        /**
         * @param member of the thing asked for, or null
         * @param words of the search, or an empty text
         */
        static Ask of(Filter filter, @Nullable ThingId member, String words, byte[] upper, byte[] lower, String type) {
            return of(filter, member, words, upper, lower, type, Rows.ALL);
        }

        static Ask of(
                Filter filter,
                @Nullable ThingId member,
                String words,
                byte[] upper,
                byte[] lower,
                String type,
                Rows which) {
            StringBuilder sql = new StringBuilder("SELECT item.pos, item.key, item.state FROM ");
            List<Object> values = new ArrayList<>();
            String key = "item.key";
            if (!words.isEmpty()) {
                sql.append(
                        "search CROSS JOIN item ON item.pos = search.rowid WHERE search MATCH ? AND search.rowid < ?");
                values.add(words);
                values.add(filter.before.isEmpty() ? Long.MAX_VALUE : Long.parseLong(filter.before));
            } else if (member != null) {
                sql.append("mention CROSS JOIN item ON item.pos = mention.pos WHERE mention.thing = ?");
                values.add(member.text());
                key = "mention.key";
            } else {
                sql.append("item").append(which.sql);
            }
            sql.append(" AND ").append(key).append(" < ? AND ").append(key).append(" >= ?");
            values.add(upper);
            values.add(lower);
            if (!words.isEmpty() && member != null) {
                sql.append(
                        " AND EXISTS (SELECT 1 FROM mention WHERE mention.thing = ? AND mention.key = item.key AND mention.pos = item.pos)");
                values.add(member.text());
            }
            if (filter.person.isPresent()) {
                sql.append(" AND item.person = ?");
                values.add(filter.person.get().text());
            }
            if (filter.changedOnly) {
                sql.append(" AND item.state <> 0");
            }
            if (type.contains(".")) {
                sql.append(" AND item.type = ?");
                values.add(type);
            } else if (!type.isEmpty()) {
                sql.append(" AND item.type >= ? AND item.type < ?");
                values.add(type + ".");
                values.add(type + "/");
            }
            if (filter.knownUntil != Long.MAX_VALUE) {
                sql.append(" AND item.recorded <= ?");
                values.add(filter.knownUntil);
            }
            sql.append(" ORDER BY ")
                    .append(words.isEmpty() ? key : "search.rowid")
                    .append(" DESC LIMIT ?");
            values.add(filter.limit + 1);
            return new Ask(sql.toString(), values);
        }

        List<ViewTables.Item> rows(Prepared views) throws SQLException {
            return views.rows(sql, ViewTables.Item::of, values.toArray());
        }
    }

    /** The queries that pages wait for most, by name; for looking at their plans. */
    static Map<String, String> queries() {
        Filter newest = Filter.newest(50);
        byte[] any = StoryKey.LAST.bytes();
        ThingId thing = new ThingId("any");
        Map<String, String> queries = new LinkedHashMap<>();
        queries.put("timeline", Ask.of(newest, null, "", any, any, "").sql);
        queries.put("timeline of one type", Ask.of(newest, null, "", any, any, "ink.moved").sql);
        queries.put("story of a thing", Ask.of(newest, thing, "", any, any, "").sql);
        queries.put("search", Ask.of(newest, null, "word", any, any, "").sql);
        Filter person = new Filter(
                "", Optional.empty(), Optional.of(thing), "", "", 0, Long.MAX_VALUE - 1, Long.MAX_VALUE, false, 50);
        queries.put("timeline of a person", Ask.of(person, null, "", any, any, "").sql);
        Filter past = newest.asKnown(Long.MAX_VALUE - 1);
        Filter changed = new Filter(
                "", Optional.empty(), Optional.empty(), "", "", 0, Long.MAX_VALUE - 1, Long.MAX_VALUE, true, 50);
        queries.put("timeline as known when little was", Ask.of(past, null, "", any, any, "", Rows.FEW_KNOWN).sql);
        queries.put("timeline as known, put right since", Ask.of(past, null, "", any, any, "", Rows.PUT_RIGHT).sql);
        queries.put("timeline as known, following", Ask.of(past, null, "", any, any, "", Rows.FOLLOWING).sql);
        queries.put("timeline as known at a moment", Ask.of(past, null, "", any, any, "").sql);
        queries.put("timeline of corrections", Ask.of(changed, null, "", any, any, "").sql);
        return queries;
    }

    /**
     * @param members every record of the thing asked for; empty when none is
     * @param few events that are looked through one by one where no more were known
     */
    static Found find(Prepared views, Filter filter, List<ThingId> members, int few) throws SQLException {
        String words = words(filter.search);
        boolean searching = !words.isEmpty();
        byte[] upper = filter.to >= Long.MAX_VALUE - 1
                ? StoryKey.LAST.bytes()
                : StoryKey.endOf(filter.to).bytes();
        if (!searching && !filter.before.isEmpty()) {
            byte[] before = HexFormat.of().parseHex(filter.before);
            upper = Arrays.compareUnsigned(before, upper) < 0 ? before : upper;
        }
        byte[] lower = StoryKey.endOf(filter.from - 1).bytes();
        List<ViewTables.Item> rows = new ArrayList<>();
        for (ThingId member : members) {
            rows.addAll(ofMember(views, filter, member, words, upper, lower));
        }
        if (members.isEmpty()) {
            byte[] known = knownBefore(filter);
            if (words.isEmpty()
                    && filter.knownUntil != Long.MAX_VALUE
                    && ViewTables.fewKnown(views, filter.knownUntil, few)) {
                rows.addAll(Ask.of(filter, null, words, upper, lower, filter.type, Rows.FEW_KNOWN)
                        .rows(views));
            } else if (words.isEmpty() && Arrays.compareUnsigned(known, upper) < 0) {
                rows.addAll(ofMember(views, filter, null, words, known, lower));
                byte[] from = Arrays.compareUnsigned(known, lower) < 0 ? lower : known;
                for (Rows which : List.of(Rows.PUT_RIGHT, Rows.FOLLOWING)) {
                    rows.addAll(Ask.of(filter, null, words, upper, from, filter.type, which)
                            .rows(views));
                }
            } else {
                rows.addAll(ofMember(views, filter, null, words, upper, lower));
            }
        }
        rows.sort(
                searching
                        ? Comparator.comparingLong(ViewTables.Item::pos).reversed()
                        : Comparator.comparing(ViewTables.Item::key).reversed());
        boolean more = rows.size() > filter.limit;
        List<ViewTables.Item> page = more ? rows.subList(0, filter.limit) : rows;
        ViewTables.Item last = page.isEmpty() ? null : page.get(page.size() - 1);
        return new Found(
                List.copyOf(page),
                more && last != null
                        ? Optional.of(
                                searching
                                        ? Long.toString(last.pos())
                                        : hex(last.key().bytes()))
                        : Optional.empty());
    }

    /** Nothing that was written down until a moment happened much later, but for days, which stand at their end. */
    private static byte[] knownBefore(Filter filter) {
        return filter.knownUntil >= Long.MAX_VALUE - SLACK
                ? StoryKey.LAST.bytes()
                : StoryKey.endOf(filter.knownUntil + SLACK).bytes();
    }

    private static List<ViewTables.Item> ofMember(
            Prepared views, Filter filter, @Nullable ThingId member, String words, byte[] upper, byte[] lower)
            throws SQLException {
        boolean groupAlone = !filter.type.isEmpty()
                && !filter.type.contains(".")
                && words.isEmpty()
                && member == null
                && filter.person.isEmpty()
                && !filter.changedOnly;
        if (groupAlone) {
            return group(views, filter, upper, lower);
        }
        List<ViewTables.Item> exact =
                Ask.of(filter, member, words, upper, lower, filter.type).rows(views);
        // A beginning must gather all its words before the newest can be told, so it comes second.
        return words.isEmpty() || exact.size() > filter.limit
                ? exact
                : Ask.of(filter, member, words + "*", upper, lower, filter.type).rows(views);
    }

    /** All types of a group: the newest of each, merged, so that the index of types serves in order. */
    private static List<ViewTables.Item> group(Prepared views, Filter filter, byte[] upper, byte[] lower)
            throws SQLException {
        List<ViewTables.Item> rows = new ArrayList<>();
        List<String> types = new ArrayList<>();
        if ((filter.type + ".").equals(PluginEvent.PREFIX)) {
            types.addAll(ViewTables.pluginTypes(views));
        }
        for (var entry : slabside.event.Catalogue.all()) {
            if (entry.type().startsWith(filter.type + ".")) {
                types.add(entry.type());
            }
        }
        for (String type : types) {
            rows.addAll(Ask.of(filter, null, "", upper, lower, type).rows(views));
        }
        return rows;
    }

    private static String hex(byte[] key) {
        return HexFormat.of().formatHex(key);
    }

    /** Every word as typed, all of which must occur. */
    static String words(String typed) {
        return Arrays.stream(typed.toLowerCase(Locale.ROOT).split("[^\\p{L}\\p{N}]+"))
                .filter(word -> !word.isEmpty())
                .map(word -> "\"" + word + "\"")
                .collect(Collectors.joining(" AND "));
    }
}
