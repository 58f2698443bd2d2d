package slabside.studio;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
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

    /** Those of a studio that is not opened. */
    public static Attachments in(Path dataFolder) {
        return new Attachments(dataFolder);
    }

    /** Keeps a file and says what to write down of it. */
    public LogEvent.Attached keep(MediaFile file, LogEvent.Attached about) {
        String sha = sha256(file.bytes());
        try {
            if (!Files.exists(folder.resolve(sha))) {
                Files.createDirectories(folder);
                Path fresh = Files.createTempFile(folder, "coming-", ".part");
                try (FileChannel out = FileChannel.open(fresh, StandardOpenOption.WRITE)) {
                    ByteBuffer bytes = ByteBuffer.wrap(file.bytes());
                    while (bytes.hasRemaining()) {
                        out.write(bytes);
                    }
                    out.force(true);
                }
                Files.move(fresh, folder.resolve(sha), StandardCopyOption.ATOMIC_MOVE);
                syncFolder();
            }
        } catch (IOException failed) {
            throw new LogTrouble(
                    "The photo or memo cannot be kept in " + folder + ": " + failed.getMessage()
                            + ". Make room on the disk and send it again.",
                    failed);
        }
        return new LogEvent.Attached(
                about.event(), about.thing(), sha, file.bytes().length, file.mediaType(), about.name());
    }

    /** So that the name of the file outlives a power cut too; a system that cannot do this does it by itself. */
    private void syncFolder() throws IOException {
        if (folder.getFileSystem().supportedFileAttributeViews().contains("posix")) {
            try (FileChannel itself = FileChannel.open(folder, StandardOpenOption.READ)) {
                itself.force(true);
            }
        }
    }

    /** The file with a hash, if it is here. */
    public Optional<Path> file(String sha) {
        if (!SHA_256.matcher(sha).matches()) {
            throw new BadInput("attachment", sha, "give its SHA-256, 64 hexadecimal digits");
        }
        return Optional.of(folder.resolve(sha)).filter(Files::isRegularFile);
    }

    /**
     * What a full reading found.
     *
     * @param named files that the log names
     * @param wrong what is missing or changed, in words
     */
    public record Check(int named, List<String> wrong) {
        public Check {
            wrong = List.copyOf(wrong);
        }
    }

    /** Reads every file that the log names. */
    public Check check(EventLog log) {
        Set<String> named = new LinkedHashSet<>();
        List<String> wrong = new ArrayList<>();
        long pos = 0;
        List<Stored> some = log.read(pos, AT_A_TIME);
        while (!some.isEmpty()) {
            for (Stored stored : some) {
                if (stored.envelope().type().equals("log.attached")
                        && stored.event() instanceof LogEvent.Attached attached
                        && named.add(attached.sha256())) {
                    check(stored.pos(), attached).ifPresent(wrong::add);
                }
            }
            pos = some.get(some.size() - 1).pos();
            some = log.read(pos, AT_A_TIME);
        }
        return new Check(named.size(), wrong);
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

    private static String sha256(byte[] bytes) {
        try {
            return HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(bytes));
        } catch (NoSuchAlgorithmException missing) {
            throw new IllegalStateException("every Java has SHA-256", missing);
        }
    }
}
