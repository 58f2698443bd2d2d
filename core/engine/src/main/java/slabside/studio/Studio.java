package slabside.studio;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import slabside.edition.Runs;
import slabside.event.Actor;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.host.Host;
import slabside.ink.Ledger;
import slabside.ink.Shelf;
import slabside.log.Decision;
import slabside.log.Draft;
import slabside.log.LogTrouble;
import slabside.log.Receipt;
import slabside.log.SqliteEventLog;
import slabside.views.Views;

/**
 * An open studio: the log and all that is read from it.
 *
 * <pre>{@code
 * try (Studio studio = Studio.open(data, config, Clock.systemDefaultZone())) {
 *     studio.write(new InkEvent.MixStarted(...));
 *     studio.ledger().now(mix);
 * }
 * }</pre>
 */
public final class Studio implements AutoCloseable {
    /** Whoever uses the machine that the studio is on, as long as nobody says who. */
    public static final ThingId SOMEBODY = new ThingId("person-here");

    private final SqliteEventLog log;
    private final Views views;
    private final Runs runs;
    private final Shelf shelf;
    private final People people;
    private final Host host;
    private final Ids ids;
    private final Attachments attachments;
    private final Path config;
    private final Optional<Path> passing;

    private Studio(SqliteEventLog log, Views views, Path data, Path config, Optional<Path> passing) {
        this.attachments = Attachments.in(data);
        this.config = config;
        this.passing = passing;
        this.log = log;
        this.views = views;
        this.runs = new Runs(views);
        this.shelf = new Shelf(views, runs.ledger());
        this.people = new People(data);
        this.ids = new Ids(views);
        this.host = new Host(views, runs, shelf, this::name, data.resolve("plugins"), config);
    }

    /**
     * Opens a studio for reading and writing, making it if there is none.
     *
     * @throws slabside.log.LogTrouble when it cannot be, with what to do
     */
    public static Studio open(Path data, Path config, Clock clock) {
        SqliteEventLog log = SqliteEventLog.open(data, config, clock, EventId.chance());
        return with(
                log,
                data,
                config,
                log.isReadOnly() ? Optional.of(passing()) : Optional.empty(),
                folder -> Views.following(log, folder));
    }

    /**
     * Opens a studio for reading: with the lists of the process that writes it, or with lists of its own when nobody does.
     *
     * @throws slabside.log.LogTrouble when there is none, or it cannot be read
     */
    public static Studio openToRead(Path data, Path config, Clock clock) {
        boolean written = SqliteEventLog.isBeingWritten(data);
        SqliteEventLog log = SqliteEventLog.openToRead(data, config, clock);
        return with(
                log,
                data,
                config,
                written ? Optional.empty() : Optional.of(passing()),
                folder -> written ? Views.keptByAnother(log, folder) : Views.following(log, folder));
    }

    /** A folder for lists that are not kept. */
    private static Path passing() {
        try {
            return Files.createTempDirectory("slabside-lists-");
        } catch (IOException failed) {
            throw new LogTrouble("No temporary folder can be made: " + failed.getMessage(), failed);
        }
    }

    private interface Opening {
        Views in(Path folder);
    }

    private static Studio with(SqliteEventLog log, Path data, Path config, Optional<Path> passing, Opening opening) {
        try {
            return new Studio(log, opening.in(passing.orElse(data)), data, config, passing);
        } catch (RuntimeException failed) {
            log.close();
            throw failed;
        }
    }

    /** Folder in which this machine keeps what concerns it alone. */
    public Path config() {
        return config;
    }

    public SqliteEventLog log() {
        return log;
    }

    public Views views() {
        return views;
    }

    public Runs runs() {
        return runs;
    }

    public Ledger ledger() {
        return runs.ledger();
    }

    public Shelf shelf() {
        return shelf;
    }

    public People people() {
        return people;
    }

    public Attachments attachments() {
        return attachments;
    }

    public Host host() {
        return host;
    }

    public Ids ids() {
        return ids;
    }

    /** What to call a thing or person. */
    public String name(ThingId id) {
        return people.name(id).orElseGet(() -> id.equals(SOMEBODY) ? "at this machine" : views.name(id));
    }

    /** Writes down events that happen now, together or not at all, and waits until they can be seen. */
    public Receipt write(Actor actor, List<StudioEvent> events) {
        long now = log.clock().millis();
        return append(Decision.of(events.stream()
                .map(event -> new Draft(
                        EventId.at(now, ids.chance()),
                        Happened.exactly(now, log.clock().getZone()),
                        null,
                        actor,
                        event))
                .toList()));
    }

    /** Appends what a decision says and waits until it can be seen. */
    public Receipt append(Decision decision) {
        Receipt receipt = log.append(decision);
        views.await(receipt.pos());
        return receipt;
    }

    @Override
    public void close() {
        try {
            host.close();
            views.close();
            passing.ifPresent(Studio::forget);
        } finally {
            log.close();
        }
    }

    private static void forget(Path folder) {
        try (var files = Files.walk(folder)) {
            for (Path file : files.sorted(Comparator.reverseOrder()).toList()) {
                Files.delete(file);
            }
        } catch (IOException failed) {
            throw new LogTrouble(
                    "The temporary folder " + folder + " could not be taken away: " + failed.getMessage(), failed);
        }
    }
}
