package slabside.log;

import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** A connection that keeps each statement it has prepared. For use by one thread at a time. */
public final class Prepared implements AutoCloseable {
    private static volatile @Nullable Watch watch;

    private final Connection connection;
    private final Map<String, PreparedStatement> statements = new HashMap<>();

    public Prepared(Connection connection) {
        this.connection = connection;
    }

    public Connection connection() {
        return connection;
    }

    /** Is told of every statement. */
    public interface Watch {
        void took(String sql, long nanos);
    }

    /** Has every statement of this process timed, or none; for looking for slow ones. */
    public static void watch(@Nullable Watch with) {
        watch = with;
    }

    /** Reads one row of a result. */
    public interface Row<R> {
        R of(ResultSet row) throws SQLException;
    }

    /** All rows of a query. */
    public <R> List<R> rows(String sql, Row<R> row, @Nullable Object... values) throws SQLException {
        List<R> found = new ArrayList<>();
        long start = System.nanoTime();
        try (ResultSet rows = statement(sql, values).executeQuery()) {
            while (rows.next()) {
                found.add(row.of(rows));
            }
        }
        took(sql, start);
        return found;
    }

    /** First column of every row, as a whole number. */
    public List<Long> numbers(String sql, @Nullable Object... values) throws SQLException {
        return rows(sql, row -> row.getLong(1), values);
    }

    /** First column of the first row; 0 when there is none. */
    public long number(String sql, @Nullable Object... values) throws SQLException {
        List<Long> found = numbers(sql, values);
        return found.isEmpty() ? 0 : found.get(0);
    }

    public void update(String sql, @Nullable Object... values) throws SQLException {
        long start = System.nanoTime();
        statement(sql, values).executeUpdate();
        took(sql, start);
    }

    /** The same for many rows of values. */
    public void updateAll(String sql, List<@Nullable Object[]> rows) throws SQLException {
        if (rows.size() == 1) {
            update(sql, rows.get(0));
            return;
        }
        long start = System.nanoTime();
        PreparedStatement statement = prepared(sql);
        for (@Nullable Object[] values : rows) {
            bind(statement, values);
            statement.addBatch();
        }
        statement.executeBatch();
        took(sql, start);
    }

    private static void took(String sql, long start) {
        Watch told = watch;
        if (told != null) {
            told.took(sql, System.nanoTime() - start);
        }
    }

    private PreparedStatement statement(String sql, @Nullable Object... values) throws SQLException {
        PreparedStatement statement = prepared(sql);
        bind(statement, values);
        return statement;
    }

    /** A statement that stays prepared, for what the other methods cannot do. */
    PreparedStatement prepared(String sql) throws SQLException {
        PreparedStatement statement = statements.get(sql);
        if (statement == null) {
            statement = connection.prepareStatement(sql);
            statements.put(sql, statement);
        }
        return statement;
    }

    static void bind(PreparedStatement statement, @Nullable Object... values) throws SQLException {
        for (int i = 0; i < values.length; i++) {
            Object value = values[i];
            if (value instanceof String text) {
                statement.setString(i + 1, text);
            } else if (value instanceof Long number) {
                statement.setLong(i + 1, number);
            } else if (value instanceof Integer number) {
                statement.setInt(i + 1, number);
            } else if (value instanceof byte[] bytes) {
                statement.setBytes(i + 1, bytes);
            } else {
                statement.setObject(i + 1, value);
            }
        }
    }

    @Override
    public void close() throws SQLException {
        for (PreparedStatement statement : statements.values()) {
            statement.close();
        }
        connection.close();
    }
}
