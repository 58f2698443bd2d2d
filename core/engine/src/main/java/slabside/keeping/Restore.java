package slabside.keeping;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.time.Clock;
import java.time.LocalDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Stream;
import slabside.event.EventId;
import slabside.log.LogCopy;
import slabside.log.LogTrouble;
import slabside.log.Salvage;
import slabside.log.Segment;
import slabside.log.SqliteEventLog;
import slabside.log.Transfer;
import slabside.log.Verification;
import slabside.measure.BadInput;
import slabside.share.Membership;
import slabside.studio.SafeFile;

/**
 * Puts a studio together again from the file as it lies there, from copies, exported logs and the shared folder: everything
 * that any of them holds and that proves itself by its chain. A rehearsal does all of it in a folder aside and says what would
 * come of it; nothing is ever deleted, the file that was there is kept beside the new one.
 */
public final class Restore {
    private static final DateTimeFormatter STAMP = DateTimeFormatter.ofPattern("uuuu-MM-dd-HHmmss", Locale.ROOT);

    private final Path data;
    private final Path config;
    private final Clock clock;

    /**
     * What a rehearsal, or the real thing, came to.
     *
     * @param sources where something was looked for, with what was the matter with it, in sentences
     * @param before events in the present file that can be read and stand whole; -1 when there is no file
     * @param after events in the file put together
     * @param gaps what is still missing, in sentences
     * @param unproven lines that were read but do not prove themselves
     * @param rest file with those lines; empty when there are none, or nothing was written
     * @param aside where the file that was there is now; empty in a rehearsal
     */
    public record Outcome(
            List<String> sources,
            long before,
            long after,
            List<String> gaps,
            long unproven,
            Optional<Path> rest,
            Optional<Path> aside) {
        public Outcome {
            sources = List.copyOf(sources);
            gaps = List.copyOf(gaps);
        }
    }

    public Restore(Path data, Path config, Clock clock) {
        this.data = data;
        this.config = config;
        this.clock = clock;
    }

    /**
     * @param given copies, exported logs or pieces to take from beside what is found by itself
     * @param write whether to put the result in place; else it is a rehearsal
     * @throws LogTrouble when another process is writing the log, or there is no room
     */
    public Outcome run(List<Path> given, boolean write) {
        if (SqliteEventLog.isBeingWritten(data)) {
            throw new LogTrouble(
                    "The studio in " + data + " is open. Stop the program that has it, then run this again.");
        }
        try {
            Files.createDirectories(data);
            Path aside = Files.createTempDirectory(data, "restoring-");
            try {
                return run(given, write, aside);
            } finally {
                delete(aside);
            }
        } catch (IOException failed) {
            throw new LogTrouble(
                    "The log could not be put together: " + failed.getMessage() + ". Make room on the disk of " + data
                            + "; what is there was not touched.",
                    failed);
        }
    }

    private Outcome run(List<Path> given, boolean write, Path aside) throws IOException {
        List<String> sources = new ArrayList<>();
        Path present = data.resolve("studio.db");
        long before = -1;
        Path fresh = aside.resolve("fresh");
        Path rest = aside.resolve("rest.jsonl");
        Salvage.Result result;
        try (Salvage salvage = new Salvage(aside)) {
            if (Files.exists(present)) {
                before = whole(present);
                look(salvage, present, sources);
            }
            for (Path each : given) {
                look(salvage, each, sources);
            }
            for (Backups.Copy copy : Backups.beside(data).all()) {
                look(salvage, copy.file(), sources);
            }
            Optional<Membership> shared = Membership.of(config, data);
            if (shared.isPresent()) {
                look(salvage, Path.of(shared.get().folder()).resolve("chains"), sources);
            }
            try (SqliteEventLog log = SqliteEventLog.open(fresh, aside.resolve("config"), clock, EventId.chance())) {
                result = salvage.into(log, rest);
                if (log.verify().wrong().isPresent()) {
                    throw new LogTrouble("The log that was put together is not whole ("
                            + log.verify().wrong().get().what() + "); nothing was changed.");
                }
            }
        }
        if (result.events() == 0) {
            throw new BadInput(
                    "copies",
                    given,
                    "nothing of a log was found in them; name a copy, an exported log or a damaged studio.db");
        }
        List<String> gaps = result.gaps().stream()
                .map(gap -> "events " + gap.from() + " to " + gap.to() + " of the chain " + gap.origin())
                .toList();
        if (!write) {
            return new Outcome(
                    sources, before, result.events(), gaps, result.unproven(), Optional.empty(), Optional.empty());
        }
        String stamp = STAMP.format(LocalDateTime.ofInstant(clock.instant(), clock.getZone()));
        Optional<Path> kept = Optional.empty();
        if (result.unproven() > 0) {
            kept = Optional.of(data.resolve("unproven-" + stamp + ".jsonl"));
            Files.move(rest, kept.get());
        }
        Optional<Path> old = putInPlace(fresh.resolve("studio.db"), present, stamp);
        peopleAndFiles(given);
        return new Outcome(sources, before, result.events(), gaps, result.unproven(), kept, old);
    }

    private static long whole(Path file) {
        try {
            Verification found = LogCopy.verify(file);
            return found.events();
        } catch (LogTrouble unreadable) {
            return 0;
        }
    }

    private static void look(Salvage salvage, Path source, List<String> sources) throws IOException {
        if (Files.isDirectory(source)) {
            try (Stream<Path> inside = Files.walk(source)) {
                List<Path> files = inside.filter(Files::isRegularFile).sorted().toList();
                int whole = 0;
                for (Path file : files) {
                    whole += piece(salvage, file) ? 1 : 0;
                }
                sources.add(source + ": " + whole + " whole pieces of " + files.size() + " files");
            }
            return;
        }
        if (!Files.isRegularFile(source)) {
            throw new BadInput("copy", source, "there is no such file");
        }
        if (piece(salvage, source)) {
            sources.add(source + ": a piece of a log");
        } else if (isExported(source)) {
            salvage.lines(Transfer.read(source));
            sources.add(source + ": an exported log");
        } else {
            Optional<String> hindered = salvage.file(source);
            sources.add(source + (hindered.isEmpty() ? ": whole" : ": damaged (" + hindered.get() + ")"));
        }
    }

    private static boolean piece(Salvage salvage, Path file) throws IOException {
        if (Files.size(file) > Segment.LARGEST) {
            return false;
        }
        byte[] bytes = Files.readAllBytes(file);
        if (bytes.length == 0 || !Segment.begins(bytes)) {
            return false;
        }
        try {
            Segment.read(bytes);
            salvage.lines(Segment.lines(bytes));
            return true;
        } catch (BadInput notWhole) {
            // Its lines prove themselves one by one, as far as they go.
            salvage.lines(Segment.wholeLines(bytes));
            return false;
        }
    }

    private static boolean isExported(Path file) throws IOException {
        try (var in = Files.newInputStream(file)) {
            return new String(in.readNBytes(65), java.nio.charset.StandardCharsets.ISO_8859_1)
                    .matches("[0-9a-f]{64}\t");
        }
    }

    /** The old file goes aside first; a machine that goes off in between has both under names of their own. */
    private Optional<Path> putInPlace(Path fresh, Path present, String stamp) throws IOException {
        Optional<Path> old = Optional.empty();
        if (Files.exists(present)) {
            old = Optional.of(data.resolve("replaced-" + stamp + ".db"));
            for (String ending : List.of("-wal", "-shm", "")) {
                Path part = present.resolveSibling(present.getFileName() + ending);
                if (Files.exists(part)) {
                    Files.move(part, old.get().resolveSibling(old.get().getFileName() + ending));
                }
            }
        }
        Files.move(fresh, present, StandardCopyOption.ATOMIC_MOVE);
        SafeFile.sync(data);
        return old;
    }

    /** Photos, memos and names that a copy has and that are not here. */
    private void peopleAndFiles(List<Path> given) throws IOException {
        List<Backups.Copy> copies = new ArrayList<>();
        given.forEach(each -> Backups.Copy.of(each).ifPresent(copies::add));
        copies.addAll(Backups.beside(data).all());
        for (Backups.Copy copy : copies) {
            Path people = data.resolve("people.json");
            if (!Files.exists(people) && Files.exists(copy.people())) {
                SafeFile.write(people, Files.readAllBytes(copy.people()));
            }
            if (Files.isDirectory(copy.attached())) {
                Path attached = Files.createDirectories(data.resolve("attached"));
                try (Stream<Path> files = Files.list(copy.attached())) {
                    for (Path file : files.toList()) {
                        Path here = attached.resolve(file.getFileName().toString());
                        if (!Files.exists(here)) {
                            Files.copy(file, here);
                        }
                    }
                }
            }
        }
    }

    private static void delete(Path folder) throws IOException {
        try (Stream<Path> all = Files.walk(folder)) {
            for (Path file : all.sorted(Comparator.reverseOrder()).toList()) {
                Files.delete(file);
            }
        }
    }
}
