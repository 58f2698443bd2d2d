package slabside.studio;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HashMap;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Pattern;
import slabside.event.LogEvent;
import slabside.log.EventLog;
import slabside.log.LogTrouble;
import slabside.log.Stored;
import slabside.measure.BadInput;

/**
 * Photos and voice memos, each in {@code attached/} under the SHA-256 of its content. A file is on the disk before the
 * event that names it is written; one that was taken out later stays a gap with a name.
 */
public final class Attachments {
    private static final Pattern SHA_256 = Pattern.compile("[0-9a-f]{64}");
    private static final int AT_A_TIME = 5_000;

    private final Path folder;

    private Attachments(Path dataFolder) {
        this.folder = dataFolder.resolve("attached");
    }

    /** Whether a text is the name that a file bears here; nothing else ever names a file. */
    public static boolean isName(String sha) {
        return SHA_256.matcher(sha).matches();
    }

    /** Those of a studio that is not opened. */
    public static Attachments in(Path dataFolder) {
        return new Attachments(dataFolder);
    }

    /** Keeps a file and says what to write down of it. */
    public LogEvent.Attached keep(MediaFile file, LogEvent.Attached about) {
        String sha = sha256(file.bytes());
        put(sha, file.bytes());
        return new LogEvent.Attached(
                about.event(), about.thing(), sha, file.bytes().length, file.mediaType(), about.name());
    }

    /**
     * Takes over a file that the log names, from another device.
     *
     * @return whether it is the file of that name; nothing is kept of any other
     */
    public boolean take(String sha, byte[] bytes) {
        if (!isName(sha) || !isOf(sha, bytes)) {
            return false;
        }
        put(sha, bytes);
        return true;
    }

    /** Whether these bytes are those of that name. */
    public static boolean isOf(String sha, byte[] bytes) {
        return sha256(bytes).equals(sha);
    }

    /** The content of a file, if it is here and as it was kept. */
    public Optional<byte[]> whole(String sha) throws IOException {
        Optional<Path> here = isName(sha) ? file(sha) : Optional.empty();
        if (here.isEmpty()) {
            return Optional.empty();
        }
        byte[] bytes = Files.readAllBytes(here.get());
        return isOf(sha, bytes) ? Optional.of(bytes) : Optional.empty();
    }

    private void put(String sha, byte[] bytes) {
        try {
            // A file of that name which is not whole any more is put right.
            if (whole(sha).isEmpty()) {
                Files.createDirectories(folder);
                SafeFile.write(folder.resolve(sha), bytes);
            }
        } catch (IOException failed) {
            throw new LogTrouble(
                    "The photo or memo cannot be kept in " + folder + ": " + failed.getMessage()
                            + ". Make room on the disk and send it again.",
                    failed);
        }
    }

    /** Takes a file out for good. */
    void drop(String sha) {
        file(sha).ifPresent(this::delete);
    }

    private void delete(Path file) {
        try {
            Files.deleteIfExists(file);
        } catch (IOException failed) {
            throw new LogTrouble(
                    "The file " + file + " cannot be taken out: " + failed.getMessage() + ". Delete it by hand.",
                    failed);
        }
    }

    /** The file with a hash, if it is here. */
    public Optional<Path> file(String sha) {
        if (!isName(sha)) {
            throw new BadInput("attachment", sha, "give its SHA-256, 64 hexadecimal digits");
        }
        return Optional.of(folder.resolve(sha)).filter(Files::isRegularFile);
    }

    /**
     * What a full reading found.
     *
     * @param named files that the log names
     * @param forgotten how many of them were taken out for good
     * @param wrong what is missing or changed, in words
     */
    public record Check(int named, int forgotten, List<String> wrong) {
        public Check {
            wrong = List.copyOf(wrong);
        }
    }

    /** Reads every file that the log names. */
    public Check check(EventLog log) {
        Map<String, Stored> named = new LinkedHashMap<>();
        Map<String, Long> forgotten = new HashMap<>();
        long pos = 0;
        List<Stored> some = log.read(pos, AT_A_TIME);
        while (!some.isEmpty()) {
            for (Stored stored : some) {
                String type = stored.envelope().type();
                if (type.equals("log.attached") && stored.event() instanceof LogEvent.Attached attached) {
                    named.merge(
                            attached.sha256(),
                            stored,
                            (a, b) -> a.envelope().hlc().compareTo(b.envelope().hlc()) >= 0 ? a : b);
                } else if (type.equals("log.forgotten")
                        && stored.event() instanceof LogEvent.Forgotten gone
                        && gone.sha256() != null) {
                    forgotten.merge(gone.sha256(), stored.envelope().hlc().millis(), Math::max);
                }
            }
            pos = some.get(some.size() - 1).pos();
            some = log.read(pos, AT_A_TIME);
        }
        named.forEach((sha, stored) -> {
            if (forgotten.getOrDefault(sha, Long.MIN_VALUE)
                    < stored.envelope().hlc().millis()) {
                forgotten.remove(sha);
            }
        });
        List<String> wrong = named.entrySet().stream()
                .filter(each -> !forgotten.containsKey(each.getKey()))
                .map(Map.Entry::getValue)
                .flatMap(stored -> check(stored.pos(), (LogEvent.Attached) stored.event()).stream())
                .toList();
        return new Check(named.size(), forgotten.size(), wrong);
    }

    private Optional<String> check(long pos, LogEvent.Attached attached) {
        String what = "the " + attached.mediaType() + " of event " + pos;
        try {
            Optional<Path> file = file(attached.sha256());
            if (file.isEmpty()) {
                return Optional.of(what + " is not here");
            }
            return sha256(Files.readAllBytes(file.get())).equals(attached.sha256())
                    ? Optional.empty()
                    : Optional.of(what + " was changed");
        } catch (IOException | BadInput unreadable) {
            return Optional.of(what + " cannot be read (" + unreadable.getMessage() + ")");
        }
    }

    static String sha256(byte[] bytes) {
        try {
            return HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(bytes));
        } catch (NoSuchAlgorithmException missing) {
            throw new IllegalStateException("every Java has SHA-256", missing);
        }
    }
}
