package slabside.studio;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Stream;
import slabside.edition.Runs;
import slabside.event.Actor;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.LogEvent;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.host.Host;
import slabside.ink.Ledger;
import slabside.ink.Shelf;
import slabside.log.Decision;
import slabside.log.Draft;
import slabside.log.LogTrouble;
import slabside.log.PostgresAddress;
import slabside.log.Receipt;
import slabside.log.SqlEventLog;
import slabside.log.StudioLock;
import slabside.measure.BadInput;
import slabside.views.Told;
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

    private final SqlEventLog log;
    private final Views views;
    private final Runs runs;
    private final Shelf shelf;
    private final People people;
    private final Host host;
    private final Ids ids;
    private final Attachments attachments;
    private final Path data;
    private final Path config;
    private final Optional<Path> passing;

    private Studio(SqlEventLog log, Views views, Path data, Path config, Optional<Path> passing) {
        this.attachments = Attachments.in(data);
        this.data = data;
        this.config = config;
        this.passing = passing;
        this.log = log;
        this.views = views;
        this.runs = new Runs(views);
        this.shelf = new Shelf(views, runs.ledger());
        this.people = new People(data, log::now);
        this.ids = new Ids(views);
        this.host = new Host(views, runs, shelf, this::name, data.resolve("plugins"), config);
    }

    /**
     * Opens a studio for reading and writing, making it if there is none.
     *
     * @throws slabside.log.LogTrouble when it cannot be, with what to do
     */
    public static Studio open(Path data, Path config, Clock clock) {
        return open(SqlEventLog.open(data, config, clock, EventId.chance()), data, config);
    }

    /**
     * The same with the log in a database, which other machines may write too.
     *
     * @param data folder for lists, photos and names of this machine
     */
    public static Studio open(PostgresAddress database, Path data, Path config, Clock clock) {
        return open(SqlEventLog.open(database, data, config, clock, EventId.chance()), data, config);
    }

    private static Studio open(SqlEventLog log, Path data, Path config) {
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
        boolean written = StudioLock.isHeld(data);
        return openToRead(SqlEventLog.openToRead(data, config, clock), data, config, written);
    }

    /** The same with the log in a database. */
    public static Studio openToRead(PostgresAddress database, Path data, Path config, Clock clock) {
        boolean written = StudioLock.isHeld(data);
        return openToRead(SqlEventLog.openToRead(database, data, config, clock), data, config, written);
    }

    private static Studio openToRead(SqlEventLog log, Path data, Path config, boolean written) {
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

    private static Studio with(SqlEventLog log, Path data, Path config, Optional<Path> passing, Opening opening) {
        try {
            return new Studio(log, opening.in(passing.orElse(data)), data, config, passing);
        } catch (RuntimeException failed) {
            log.close();
            throw failed;
        }
    }

    /** Folder in which the log lies. */
    public Path folder() {
        return data;
    }

    /** Folder in which this machine keeps what concerns it alone. */
    public Path config() {
        return config;
    }

    public SqlEventLog log() {
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
        return people.name(id)
                .or(() -> people.name(views.canonical(id)))
                .orElseGet(() -> id.equals(SOMEBODY)
                        ? "somebody"
                        : id.text().startsWith("person-") && isForgotten(id)
                                ? "somebody whose name was taken out"
                                : views.name(id));
    }

    private boolean isForgotten(ThingId person) {
        return forgotten().anyMatch(told -> person.equals(((LogEvent.Forgotten) told.event()).person()));
    }

    private Stream<Told> forgotten() {
        return views.everOfType("log.forgotten").stream().filter(told -> told.event() instanceof LogEvent.Forgotten);
    }

    /** Takes the name of a person, or a photo or memo, out for good: here now, on other devices once they get to know of it. */
    public Receipt forget(Actor actor, LogEvent.Forgotten what) {
        if ((what.person() == null) == (what.sha256() == null)) {
            throw new BadInput("what to forget", what, "name one person, or one photo or memo");
        }
        People.Named known =
                what.person() == null ? null : people.named().get(what.person().text());
        Receipt receipt = write(
                actor,
                List.of(new LogEvent.Forgotten(
                        what.person(), what.sha256(), known == null ? null : known.since(), what.reason())));
        List<String> troubles = takeOutForgotten();
        if (!troubles.isEmpty()) {
            throw new LogTrouble(String.join(" ", troubles));
        }
        return receipt;
    }

    /** Files that were taken out for good and not attached again since, by their SHA-256. */
    public Set<String> forgottenFiles() {
        Map<String, Long> gone = new HashMap<>();
        forgotten().forEach(told -> {
            String sha = ((LogEvent.Forgotten) told.event()).sha256();
            // What is no name of a file names none, whoever wrote it.
            if (sha != null && Attachments.isName(sha)) {
                gone.merge(sha, told.envelope().hlc().millis(), Math::max);
            }
        });
        if (!gone.isEmpty()) {
            attached().forEach((sha, seen) -> gone.computeIfPresent(sha, (any, when) -> seen > when ? null : when));
        }
        return Set.copyOf(gone.keySet());
    }

    /** Every file that the log names, taken back or not, by its SHA-256, with when that was last said. */
    public Map<String, Long> attached() {
        Map<String, Long> named = new TreeMap<>();
        views.everOfType("log.attached").forEach(told -> {
            if (told.event() instanceof LogEvent.Attached attached && Attachments.isName(attached.sha256())) {
                named.merge(attached.sha256(), told.envelope().hlc().millis(), Math::max);
            }
        });
        return named;
    }

    /**
     * Takes out what the log says was forgotten, wherever that was said.
     *
     * @return what could not be taken out, in sentences
     */
    public List<String> takeOutForgotten() {
        views.catchUp();
        people.keepOnly(this::isStillNamed);
        List<String> troubles = new ArrayList<>();
        for (String sha : forgottenFiles()) {
            try {
                attachments.drop(sha);
            } catch (LogTrouble stays) {
                troubles.add(String.valueOf(stays.getMessage()));
            }
        }
        return troubles;
    }

    /** Whether a name was not taken out since it was given; one of a person that was joined with another goes with it. */
    public boolean isStillNamed(ThingId person, People.Named named) {
        return forgotten()
                .noneMatch(told -> told.event() instanceof LogEvent.Forgotten gone
                        && gone.person() != null
                        && views.canonical(gone.person()).equals(views.canonical(person))
                        && named.since()
                                <= Math.max(
                                        told.envelope().hlc().millis(),
                                        gone.until() == null ? Long.MIN_VALUE : gone.until()));
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
        try {
            WholeFolder.delete(folder);
        } catch (IOException failed) {
            throw new LogTrouble(
                    "The temporary folder " + folder + " could not be taken away: " + failed.getMessage(), failed);
        }
    }
}
