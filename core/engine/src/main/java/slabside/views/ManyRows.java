package slabside.views;

import java.sql.SQLException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import org.jspecify.annotations.Nullable;
import slabside.log.Prepared;

/** Puts rows into a table many at a time, for each call into SQLite costs as much as its row. */
final class ManyRows {
    private static final int AT_ONCE = 25;

    private final Prepared connection;
    private final String table;
    private final String places;
    private final String many;
    private final List<@Nullable Object> waiting = new ArrayList<>();
    private final int columns;

    ManyRows(Prepared connection, String table, int columns) {
        this.connection = connection;
        this.table = table;
        this.columns = columns;
        this.places = "(" + String.join(", ", Collections.nCopies(columns, "?")) + ")";
        this.many = insert(AT_ONCE);
    }

    private String insert(int rows) {
        return "INSERT INTO " + table + " VALUES " + String.join(", ", Collections.nCopies(rows, places));
    }

    void add(@Nullable Object... row) throws SQLException {
        waiting.addAll(Arrays.asList(row));
        if (waiting.size() == AT_ONCE * columns) {
            connection.update(many, waiting.toArray());
            waiting.clear();
        }
    }

    /** Puts in the rest. */
    void flush() throws SQLException {
        if (!waiting.isEmpty()) {
            connection.update(insert(waiting.size() / columns), waiting.toArray());
            waiting.clear();
        }
    }
}
