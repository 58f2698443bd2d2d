package slabside.log;

import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.Method;
import java.lang.reflect.Proxy;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.util.Set;

/** Lets the n-th write or commit of a log fail, before it is done or after. */
final class FailingDriver implements SqliteFile.Driver {
    private static final Set<String> WRITES = Set.of("executeUpdate", "addBatch", "executeBatch", "commit");

    private final int nth;
    private final boolean after;
    private int writes;
    private boolean failed;

    FailingDriver(int nth, boolean after) {
        this.nth = nth;
        this.after = after;
    }

    boolean hasFailed() {
        return failed;
    }

    @Override
    public Connection through(Connection connection) {
        return proxy(Connection.class, connection);
    }

    private <T> T proxy(Class<T> type, T real) {
        return type.cast(Proxy.newProxyInstance(
                FailingDriver.class.getClassLoader(), new Class<?>[] {type}, (self, method, arguments) -> {
                    boolean write = WRITES.contains(method.getName());
                    boolean fail = write && ++writes == nth;
                    if (fail && !after) {
                        failed = true;
                        throw new SQLException("a made-up fault before " + method.getName() + " number " + nth);
                    }
                    Object result = call(real, method, arguments);
                    if (fail) {
                        failed = true;
                        throw new SQLException("a made-up fault after " + method.getName() + " number " + nth);
                    }
                    return result instanceof PreparedStatement statement
                            ? proxy(PreparedStatement.class, statement)
                            : result;
                }));
    }

    private static Object call(Object real, Method method, Object[] arguments) throws Throwable {
        try {
            return method.invoke(real, arguments);
        } catch (InvocationTargetException thrown) {
            throw thrown.getCause();
        }
    }
}
