package slabside.log;

import java.sql.SQLException;
import java.util.Locale;
import java.util.Map;
import java.util.Properties;
import javax.sql.DataSource;
import org.postgresql.ds.PGSimpleDataSource;
import slabside.measure.BadInput;

/**
 * Where a PostgreSQL database is and how to come in. Who asks, and with which password, is told as PostgreSQL's own programs are
 * told it: by the environment ({@code PGUSER}, {@code PGPASSWORD}) or the password file ({@code PGPASSFILE}, else {@code ~/.pgpass});
 * so are {@code PGSSLMODE}, {@code PGSSLROOTCERT}, {@code PGSSLCERT} and {@code PGSSLKEY}. The address itself bears no password, since
 * command lines can be read by others.
 */
public final class PostgresAddress {
    private static final String DRIVER = "jdbc:";
    private static final String SCHEME = "postgresql://";

    private static final Map<String, String> FROM_ENVIRONMENT = Map.of(
            "user", "PGUSER",
            "password", "PGPASSWORD",
            "sslmode", "PGSSLMODE",
            "sslrootcert", "PGSSLROOTCERT",
            "sslcert", "PGSSLCERT",
            "sslkey", "PGSSLKEY");

    private final String url;
    private final Map<String, String> environment;
    private final Properties properties = new Properties();

    private PostgresAddress(String url, Map<String, String> environment) {
        this.url = url;
        this.environment = Map.copyOf(environment);
        // A long answer comes in pieces; a line that is dead is found out.
        properties.setProperty("ApplicationName", "slabside");
        properties.setProperty("connectTimeout", "5");
        properties.setProperty("socketTimeout", "60");
        properties.setProperty("tcpKeepAlive", "true");
        properties.setProperty("reWriteBatchedInserts", "true");
        FROM_ENVIRONMENT.forEach((property, variable) -> {
            String value = environment.get(variable);
            if (value != null && !value.isEmpty()) {
                properties.setProperty(property, value);
            }
        });
    }

    /**
     * @param typed such as {@code jdbc:postgresql://server/studio}, with the driver's parameters behind {@code ?} if need be
     * @param environment of this process
     * @throws BadInput when this is no such address, or bears a password
     */
    public static PostgresAddress of(String typed, Map<String, String> environment) {
        String url = typed.startsWith(SCHEME) ? DRIVER + typed : typed;
        if (!url.startsWith(DRIVER + SCHEME)) {
            throw new BadInput(
                    "--log", hidden(typed), "write the address of a database, such as jdbc:postgresql://server/studio");
        }
        int parameters = url.indexOf('?');
        String server = parameters < 0 ? url : url.substring(0, parameters);
        boolean bearsPassword = parameters >= 0
                && url.substring(parameters).toLowerCase(Locale.ROOT).matches("(?s).*password=.*");
        if (server.contains("@") || bearsPassword) {
            throw new BadInput(
                    "--log",
                    hidden(typed),
                    "leave name and password out of the address, where others could read them; set PGUSER and PGPASSWORD, or write a password file and set PGPASSFILE");
        }
        return new PostgresAddress(url, environment);
    }

    /** Without anything that may be a secret. */
    private static String hidden(String typed) {
        return typed.replaceAll("//[^/]*@", "//…@").replaceAll("(?i)(password=)[^&]*", "$1…");
    }

    /** The same with everything in a schema of its own. */
    public PostgresAddress inSchema(String schema) {
        return new PostgresAddress(url + (url.contains("?") ? "&" : "?") + "currentSchema=" + schema, environment);
    }

    /** Gives connections. */
    public DataSource source() {
        PGSimpleDataSource source = new PGSimpleDataSource();
        source.setUrl(url);
        try {
            for (String name : properties.stringPropertyNames()) {
                source.setProperty(name, properties.getProperty(name));
            }
        } catch (SQLException unknown) {
            throw new IllegalStateException("The driver does not know its own properties", unknown);
        }
        return source;
    }

    /** Server and database in letters that every file system takes. */
    public String name() {
        return toString().substring(SCHEME.length()).replaceAll("[^A-Za-z0-9.-]+", "-");
    }

    /** Address without parameters. */
    @Override
    public String toString() {
        return url.replaceAll("\\?.*", "").substring(DRIVER.length());
    }
}
