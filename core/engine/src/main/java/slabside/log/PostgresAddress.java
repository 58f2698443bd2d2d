package slabside.log;

import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Properties;
import javax.sql.DataSource;
import org.postgresql.Driver;
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

    private static final String DATABASE = "PGDBNAME";

    private static final Map<String, String> FROM_ENVIRONMENT = Map.of(
            "user", "PGUSER",
            "password", "PGPASSWORD",
            "sslmode", "PGSSLMODE",
            "sslrootcert", "PGSSLROOTCERT",
            "sslcert", "PGSSLCERT",
            "sslkey", "PGSSLKEY");

    private static final int USUAL_PORT = 5432;

    private final String url;
    private final Map<String, String> environment;
    private final Properties properties = new Properties();
    private final String place;

    private PostgresAddress(String url, Properties parsed, Map<String, String> environment) {
        this.url = url;
        this.environment = Map.copyOf(environment);
        this.place = place(parsed);
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
        // What the address itself says counts.
        parsed.stringPropertyNames().forEach(properties::remove);
    }

    /**
     * @param typed such as {@code jdbc:postgresql://server/studio}, with the driver's parameters behind {@code ?} if need be
     * @param environment of this process
     * @throws BadInput when this is no such address, or bears a password
     */
    public static PostgresAddress of(String typed, Map<String, String> environment) {
        String url = typed.startsWith(SCHEME) ? DRIVER + typed : typed;
        int parameters = url.indexOf('?');
        String server = parameters < 0 ? url : url.substring(0, parameters);
        boolean bearsPassword = parameters >= 0
                && url.substring(parameters).toLowerCase(Locale.ROOT).contains("password=");
        if (server.contains("@") || bearsPassword) {
            throw new BadInput(
                    "--log",
                    "an address with a name or password in it",
                    "leave them out, where others could read them; set PGUSER and PGPASSWORD, or write a password file and set PGPASSFILE");
        }
        Properties parsed = url.startsWith(DRIVER + SCHEME) ? Driver.parseURL(url, new Properties()) : null;
        if (parsed == null || parsed.getProperty(DATABASE, "").isEmpty()) {
            throw new BadInput(
                    "--log", typed, "write the address of a database, such as jdbc:postgresql://server/studio");
        }
        return new PostgresAddress(url, parsed, environment);
    }

    /** One spelling for each database, with the parameters left out. */
    private static String place(Properties parsed) {
        String[] hosts =
                parsed.getProperty("PGHOST", "").toLowerCase(Locale.ROOT).split(",");
        String[] ports = parsed.getProperty("PGPORT", "").split(",");
        List<String> servers = new ArrayList<>();
        for (int i = 0; i < hosts.length; i++) {
            String port = i < ports.length ? ports[i] : "";
            servers.add(port.isEmpty() || port.equals(String.valueOf(USUAL_PORT)) ? hosts[i] : hosts[i] + ":" + port);
        }
        return SCHEME + String.join(",", servers) + "/" + parsed.getProperty(DATABASE);
    }

    /** The same with everything in a schema of its own. */
    public PostgresAddress inSchema(String schema) {
        return of(url + (url.contains("?") ? "&" : "?") + "currentSchema=" + schema, environment);
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
        return place;
    }
}
