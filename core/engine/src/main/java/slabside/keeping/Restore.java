package slabside.keeping;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
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
import slabside.log.SqlEventLog;
import slabside.log.StudioLock;
import slabside.log.Verification;
import slabside.measure.BadInput;
import slabside.share.Membership;
import slabside.studio.Attachments;
import slabside.studio.SafeFile;
import slabside.studio.WholeFolder;

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
        // Nobody may write to the log from the first look until the new file is in its place.
        try (StudioLock held = StudioLock.take(data)
                .orElseThrow(() -> new LogTrouble("The studio in " + data + " is open (" + StudioLock.holder(data)
                        + "). Stop the program that has it, then run this again."))) {
            Path aside = Files.createTempDirectory(data, "restoring-");
            try {
                return run(given, write, aside);
            } finally {
                WholeFolder.delete(aside);
            }
        } catch (IOException | UncheckedIOException failed) {
            throw new LogTrouble(
                    "The log could not be put together: " + failed.getMessage() + ". Look whether the disk of " + data
                            + " has room and can be written; the log that is there was not touched.",
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
                if (!Files.exists(each)) {
                    throw new BadInput(
                            "copy",
                            each,
                            "there is no such file or folder; look at its path, and whether its disk is in");
                }
                look(salvage, each, sources);
            }
            for (Path each : foundBeside()) {
                look(salvage, each, sources);
            }
            Optional<Membership> shared = Membership.of(config, data);
            if (shared.isPresent()) {
                look(salvage, Path.of(shared.get().folder()).resolve("chains"), sources);
            }
            try (SqlEventLog log = SqlEventLog.open(fresh, aside.resolve("config"), clock, EventId.chance())) {
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
        int files = peopleAndFiles(given);
        if (files > 0) {
            sources.add(files + " photos and memos came with them");
        }
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

    /** Copies beside the log, and files that an earlier restore put aside. */
    private List<Path> foundBeside() throws IOException {
        List<Path> found = new ArrayList<>();
        Backups.beside(data).all().forEach(copy -> found.add(copy.file()));
        try (Stream<Path> all = Files.list(data)) {
            all.filter(file -> file.getFileName().toString().matches("replaced-.*\\.db|studio\\.db\\.before-form-\\d+"))
                    .sorted()
                    .forEach(found::add);
        }
        return found;
    }

    /** Takes what a source holds; one that cannot be read is named and hinders no other. */
    private static void look(Salvage salvage, Path source, List<String> sources) {
        try {
            sources.add(source + ": " + (Files.isDirectory(source) ? folder(salvage, source) : file(salvage, source)));
        } catch (IOException
                | UncheckedIOException
                | IllegalArgumentException
                | LogTrouble
                | InternalError unreadable) {
            sources.add(source + ": could not be read (" + unreadable.getMessage() + ")");
        }
    }

    private static String folder(Salvage salvage, Path source) throws IOException {
        int used = 0;
        List<Path> files;
        try (Stream<Path> inside = Files.walk(source)) {
            files = inside.filter(Files::isRegularFile)
                    .filter(file -> file.getFileName().toString().matches(".*\\.(segment|db|jsonl)|.*segment.*"))
                    .sorted()
                    .toList();
        }
        List<String> broken = new ArrayList<>();
        for (Path file : files) {
            String found;
            try {
                found = file(salvage, file);
            } catch (IOException | IllegalArgumentException unreadable) {
                found = "could not be read (" + unreadable.getMessage() + ")";
            }
            if (WHOLE.contains(found)) {
                used++;
            } else {
                broken.add(source.relativize(file) + " " + found);
            }
        }
        return used + " of " + files.size() + " files are whole"
                + (broken.isEmpty()
                        ? ""
                        : "; of the others what could be read was taken: " + String.join(", ", broken));
    }

    private static final String PIECE = "a piece of a log";
    private static final String EXPORTED = "an exported log";
    private static final String LOG = "whole";
    private static final List<String> WHOLE = List.of(PIECE, EXPORTED, LOG);

    private static String file(Salvage salvage, Path source) throws IOException {
        byte[] beginning;
        try (var in = Files.newInputStream(source)) {
            beginning = in.readNBytes(80);
        }
        if (beginning.length > 0 && Segment.begins(beginning)) {
            return piece(salvage, source) ? PIECE : "is not whole";
        }
        if (new String(beginning, StandardCharsets.ISO_8859_1).matches("(?s)[0-9a-f]{64}\t.*")) {
            salvage.exported(source);
            return EXPORTED;
        }
        return salvage.file(source)
                .map(hindered -> "damaged (" + hindered + ")")
                .orElse(LOG);
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

    /**
     * The old file gets a second name first, with what is unfinished beside it; then the new one takes its place in one step. A
     * machine that goes off in between leaves the old log, whole under that second name, where the next restore looks.
     */
    private Optional<Path> putInPlace(Path fresh, Path present, String stamp) throws IOException {
        if (Files.exists(fresh.resolveSibling(fresh.getFileName() + "-wal"))) {
            throw new LogTrouble(
                    "The new log could not be closed properly; nothing was changed. Make room on the disk.");
        }
        Optional<Path> old = Optional.empty();
        if (Files.exists(present)) {
            Path second = data.resolve("replaced-" + stamp + ".db");
            old = Optional.of(second);
            for (String ending : List.of("", "-wal")) {
                Path part = present.resolveSibling(present.getFileName() + ending);
                if (Files.exists(part)) {
                    Files.copy(part, second.resolveSibling(second.getFileName() + ending));
                }
            }
            SafeFile.sync(data);
        }
        // Lists go by positions in the log, and those are others now.
        for (String name : List.of("studio.db-wal", "studio.db-shm", "views.db", "views.db-wal", "views.db-shm")) {
            Files.deleteIfExists(data.resolve(name));
        }
        Files.move(fresh, present, StandardCopyOption.REPLACE_EXISTING, StandardCopyOption.ATOMIC_MOVE);
        SafeFile.sync(data);
        return old;
    }

    /** Photos, memos and names that stand beside a copy and are not here; returns how many files. */
    private int peopleAndFiles(List<Path> given) throws IOException {
        List<Path> folders = new ArrayList<>();
        for (Path each : given) {
            folders.add(Files.isDirectory(each) ? each : each.toAbsolutePath().resolveSibling("."));
        }
        folders.add(Backups.beside(data).folder());
        int taken = 0;
        Attachments here = Attachments.in(data);
        for (Path folder : folders) {
            names(folder);
            Path attached = folder.resolve("attached");
            if (Files.isDirectory(attached)) {
                try (Stream<Path> files = Files.list(attached)) {
                    for (Path file : files.filter(Files::isRegularFile).toList()) {
                        String name = file.getFileName().toString();
                        boolean missing =
                                Attachments.isName(name) && here.whole(name).isEmpty();
                        taken += missing && here.take(name, Files.readAllBytes(file)) ? 1 : 0;
                    }
                }
            }
        }
        return taken;
    }

    /** The newest list of names in a folder, where there is none here. */
    private void names(Path folder) throws IOException {
        Path people = data.resolve("people.json");
        if (!Files.exists(people) && Files.isDirectory(folder)) {
            try (Stream<Path> files = Files.list(folder)) {
                Optional<Path> newest = files.filter(
                                file -> file.getFileName().toString().endsWith("people.json"))
                        .max(Comparator.comparing(
                                file -> file.getFileName().toString().replace("daily-", "studio-")));
                if (newest.isPresent()) {
                    SafeFile.write(people, Files.readAllBytes(newest.get()));
                }
            }
        }
    }
}
