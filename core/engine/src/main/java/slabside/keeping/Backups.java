package slabside.keeping;

import java.io.IOException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.format.DateTimeFormatter;
import java.time.format.DateTimeParseException;
import java.time.temporal.IsoFields;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import slabside.log.LogCopy;
import slabside.log.LogTrouble;
import slabside.log.Verification;
import slabside.studio.SafeFile;
import slabside.studio.Studio;

/**
 * Copies of a studio in a folder: the log as one file for each copy, the names of people beside it, photos and memos once for
 * all. Each copy is read and verified before it counts. Daily ones thin out with age: seven days, five weeks, twelve months,
 * then one a year for ever.
 */
public final class Backups {
    static final String DAILY = "daily";
    static final String ASKED = "studio";

    /** One copy at a time; a second one waits. */
    private static final Object MAKING = new Object();

    private static final DateTimeFormatter STAMP = DateTimeFormatter.ofPattern("uuuu-MM-dd-HHmmss", Locale.ROOT);
    private static final Pattern NAME = Pattern.compile("(daily|studio)-(\\d{4}-\\d{2}-\\d{2}-\\d{6})\\.db");
    private static final int NEWEST = 8;
    private static final int DAYS = 7;
    private static final int WEEKS = 5;
    private static final int MONTHS = 12;

    private final Path folder;

    private Backups(Path folder) {
        this.folder = folder;
    }

    /** Those in the studio's own folder, which guard against a damaged file and a slip, and not against a broken disk. */
    public static Backups beside(Path data) {
        return new Backups(data.resolve("backups"));
    }

    /** Those in a folder on another disk. */
    public static Backups in(Path folder) {
        return new Backups(folder);
    }

    public Path folder() {
        return folder;
    }

    /**
     * A copy.
     *
     * @param at when it was made, by the clock on the wall
     * @param daily whether it was made without being asked for, and thins out
     */
    public record Copy(Path file, LocalDateTime at, boolean daily) {
        /** Names of people as they were. */
        public Path people() {
            return file.resolveSibling(file.getFileName().toString().replace(".db", ".people.json"));
        }

        /** Photos and memos of all copies in that folder. */
        public Path attached() {
            return file.resolveSibling("attached");
        }

        static Optional<Copy> of(Path file) {
            Matcher name = NAME.matcher(file.getFileName().toString());
            try {
                return name.matches()
                        ? Optional.of(new Copy(
                                file,
                                LocalDateTime.parse(name.group(2), STAMP),
                                name.group(1).equals(DAILY)))
                        : Optional.empty();
            } catch (DateTimeParseException otherFile) {
                return Optional.empty();
            }
        }
    }

    /** The copies here, newest first. */
    public List<Copy> all() {
        if (!Files.isDirectory(folder)) {
            return List.of();
        }
        try (Stream<Path> files = Files.list(folder)) {
            return files.flatMap(file -> Copy.of(file).stream())
                    .sorted(Comparator.comparing(Copy::at).reversed())
                    .toList();
        } catch (IOException failed) {
            throw cannot(failed);
        }
    }

    /**
     * What came of making a copy.
     *
     * @param verified what reading it from end to end found
     * @param files photos and memos that were new in the folder
     */
    public record Made(Copy copy, Verification verified, int files) {}

    /** Makes a copy now. */
    public Made make(Studio studio) {
        return make(studio, ASKED);
    }

    private Made make(Studio studio, String kind) {
        synchronized (MAKING) {
            return alone(studio, kind);
        }
    }

    private Made alone(Studio studio, String kind) {
        LocalDateTime now = LocalDateTime.ofInstant(
                Instant.ofEpochMilli(studio.log().clock().millis()),
                studio.log().clock().getZone());
        try {
            Files.createDirectories(folder);
            Path file = folder.resolve(kind + "-" + STAMP.format(now) + ".db");
            Copy copy = Copy.of(file).orElseThrow();
            Path people = studio.folder().resolve("people.json");
            if (Files.exists(people)) {
                SafeFile.write(copy.people(), Files.readAllBytes(people));
            }
            Verification verified = studio.log().copyTo(file);
            // After the log, so that every file it names is there, or is told as missing.
            int files = copyAttached(studio, copy.attached());
            SafeFile.sync(folder);
            return new Made(copy, verified, files);
        } catch (IOException failed) {
            throw cannot(failed);
        }
    }

    /** Photos and memos never change, so those that are there stay; on one disk they take no room of their own. */
    private static int copyAttached(Studio studio, Path to) throws IOException {
        int copied = 0;
        for (String sha : studio.attached().keySet()) {
            Optional<Path> here = studio.attachments().file(sha);
            if (here.isPresent() && !Files.exists(to.resolve(sha))) {
                Optional<byte[]> whole = studio.attachments().whole(sha);
                if (whole.isPresent()) {
                    Files.createDirectories(to);
                    linkOrCopy(here.get(), to.resolve(sha));
                    copied++;
                }
            }
        }
        return copied;
    }

    private static void linkOrCopy(Path from, Path to) throws IOException {
        try {
            Files.createLink(to, from);
        } catch (FileAlreadyExistsException there) {
            throw there;
        } catch (IOException | UnsupportedOperationException otherDisk) {
            Path fresh = to.resolveSibling(to.getFileName() + SafeFile.UNFINISHED);
            Files.copy(from, fresh, StandardCopyOption.REPLACE_EXISTING);
            Files.move(fresh, to, StandardCopyOption.ATOMIC_MOVE);
        }
    }

    /**
     * Makes the copy of the day, unless there is one of today or nothing was written since the last; thins the older ones out.
     */
    public Optional<Made> daily(Studio studio) {
        LocalDate today = LocalDate.ofInstant(
                Instant.ofEpochMilli(studio.log().clock().millis()),
                studio.log().clock().getZone());
        List<Copy> all = all();
        boolean done = all.stream().anyMatch(copy -> copy.at.toLocalDate().equals(today));
        if (done || studio.log().last() == 0 || !all.isEmpty() && !isNews(studio, all.get(0))) {
            return Optional.empty();
        }
        Made made = make(studio, DAILY);
        thinOut(today);
        return Optional.of(made);
    }

    private static boolean isNews(Studio studio, Copy newest) {
        return !Set.copyOf(LogCopy.heads(newest.file))
                .equals(Set.copyOf(studio.log().heads()));
    }

    private void thinOut(LocalDate today) {
        for (Copy copy : surplus(all(), today)) {
            try {
                Files.deleteIfExists(copy.file);
                Files.deleteIfExists(copy.people());
            } catch (IOException failed) {
                throw cannot(failed);
            }
        }
    }

    /** Daily copies that are not the newest of their day, week, month or year, as far as each is kept. */
    static List<Copy> surplus(List<Copy> all, LocalDate today) {
        List<Copy> daily = all.stream()
                .filter(Copy::daily)
                .sorted(Comparator.comparing(Copy::at).reversed())
                .toList();
        Set<String> kept = new HashSet<>();
        List<Copy> surplus = new ArrayList<>();
        // A clock that once ran years ahead must not thin out what is new.
        for (Copy copy : daily.subList(Math.min(NEWEST, daily.size()), daily.size())) {
            LocalDate day = copy.at.toLocalDate();
            // Every one that is the first met of its stretch is kept; a copy may be kept for several reasons.
            boolean keep = !day.isBefore(today.minusDays(DAYS)) && kept.add("day " + day);
            keep |= !day.isBefore(today.minusWeeks(WEEKS))
                    && kept.add("week " + day.get(IsoFields.WEEK_BASED_YEAR) + " "
                            + day.get(IsoFields.WEEK_OF_WEEK_BASED_YEAR));
            keep |= !day.isBefore(today.minusMonths(MONTHS))
                    && kept.add("month " + day.getYear() + " " + day.getMonthValue());
            keep |= kept.add("year " + day.getYear());
            if (!keep) {
                surplus.add(copy);
            }
        }
        return surplus;
    }

    private LogTrouble cannot(IOException failed) {
        return new LogTrouble(
                "The folder of copies " + folder + " cannot be used: " + failed.getMessage()
                        + ". Look whether it is there, may be written and has room.",
                failed);
    }
}
