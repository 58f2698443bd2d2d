package slabside.share;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import slabside.log.LogTrouble;
import slabside.log.Segment;
import slabside.measure.BadInput;
import slabside.studio.Attachments;
import slabside.studio.SafeFile;

/**
 * A folder that a file synchroniser, a network drive or a stick carries between machines. In {@code chains} lie pieces of
 * chains, in {@code devices} a note of each machine, in {@code attached} photos and memos under their SHA-256. A file counts by
 * what is in it, whatever it is called, so that copies which a synchroniser makes of two that met are read too.
 */
final class SharedFolder {
    private static final ObjectMapper JSON = new ObjectMapper();
    private static final String MARK = "slabside-share.json";
    private static final int FORM = 1;
    private static final long LARGEST_NOTE = 8L << 20;
    static final long LARGEST_FILE = 64L << 20;

    private final Path folder;
    /** Pieces that were looked into before: a sealed file does not change, so its size and time tell whether it is the same. */
    private final Map<Path, Looked> looked = new HashMap<>();

    private record Looked(Stamp stamp, @Nullable Segment segment, String trouble) {}

    /**
     * A whole piece in the folder.
     *
     * @param file where it lies
     * @param size in bytes
     */
    record Piece(Path file, Segment segment, long size) {}

    /**
     * What lies in the folder now.
     *
     * @param pieces that are whole
     * @param notWhole files that are not, in words
     * @param notes of the machines
     */
    record Seen(List<Piece> pieces, List<String> notWhole, List<DeviceNote> notes) {}

    private SharedFolder(Path folder) {
        this.folder = folder;
    }

    /**
     * Makes an empty folder one that a studio is shared through.
     *
     * @throws BadInput when it holds something else
     */
    static SharedFolder make(Path folder, String share) {
        try {
            Files.createDirectories(folder);
            if (Files.exists(folder.resolve(MARK))) {
                throw new BadInput("folder", folder, "a studio is shared through it already; join it instead");
            }
            try (Stream<Path> inside = Files.list(folder)) {
                if (inside.anyMatch(file -> !file.getFileName().toString().startsWith("."))) {
                    throw new BadInput("folder", folder, "it is not empty; give a new one, with a name of its own");
                }
            }
            for (String part : List.of("chains", "devices", "attached")) {
                Files.createDirectories(folder.resolve(part));
            }
            SafeFile.write(
                    folder.resolve("READ ME.txt"),
                    ("This folder carries one studio's log between its machines. Leave it to the program and to whatever copies it:\n"
                                    + "do not rename, edit or delete anything in it. chains: pieces of the log, sealed. devices: what each machine\n"
                                    + "says of itself. attached: photos and voice memos. Whoever can read this folder can read the studio,\n"
                                    + "and whoever can write into it can write into the studio.\n")
                            .getBytes(StandardCharsets.UTF_8));
            SafeFile.write(
                    folder.resolve(MARK),
                    JSON.writeValueAsBytes(
                            JSON.createObjectNode().put("share", share).put("form", FORM)));
            return new SharedFolder(folder);
        } catch (IOException failed) {
            throw cannot(folder, failed);
        }
    }

    /**
     * @throws BadInput when no studio is shared through this folder
     */
    static SharedFolder open(Path folder) {
        SharedFolder shared = new SharedFolder(folder);
        shared.share();
        return shared;
    }

    Path path() {
        return folder;
    }

    /** Id of what is shared here. */
    String share() {
        Path mark = folder.resolve(MARK);
        if (!Files.isRegularFile(mark)) {
            throw new BadInput(
                    "folder",
                    folder,
                    "no studio is shared through it, or it is not there yet: look whether the drive is in and the copying is done");
        }
        try {
            JsonNode said = JSON.readTree(mark.toFile());
            if (said.path("form").asInt() > FORM) {
                throw new BadInput("folder", folder, "it was made by a newer version of this program; update this one");
            }
            String share = said.path("share").asText();
            if (share.isEmpty()) {
                throw new BadInput("folder", folder, "its file " + MARK + " is not whole; wait until it is copied");
            }
            return share;
        } catch (IOException failed) {
            throw new BadInput(
                    "folder",
                    folder,
                    "its file " + MARK + " cannot be read (" + failed.getMessage() + "); wait until it is copied");
        }
    }

    /** Looks at everything that lies here; what cannot be read is said and hinders nothing else. */
    Seen look() {
        List<Piece> pieces = new ArrayList<>();
        List<String> notWhole = new ArrayList<>();
        for (Path file : files("chains")) {
            Looked now = looked(file);
            if (now.segment != null) {
                pieces.add(new Piece(file, now.segment, now.stamp.size()));
            } else {
                notWhole.add(folder.relativize(file) + ": " + now.trouble);
            }
        }
        List<DeviceNote> notes = new ArrayList<>();
        for (Path file : files("devices")) {
            try {
                notes.add(note(file));
            } catch (IOException | RuntimeException broken) {
                notWhole.add(folder.relativize(file) + ": this note of a machine is not whole (yet)");
            }
        }
        return new Seen(pieces, notWhole, notes);
    }

    /** A note is JSON with a last line that seals it, as a piece has. */
    private static DeviceNote note(Path file) throws IOException {
        if (Files.size(file) > LARGEST_NOTE) {
            throw new IOException("it is larger than any note");
        }
        DeviceNote note = JSON.readValue(Segment.unsealed(Files.readAllBytes(file)), DeviceNote.class);
        if (note == null) {
            throw new IOException("it says nothing");
        }
        return note;
    }

    private List<Path> files(String part) {
        Path inside = folder.resolve(part);
        if (!Files.isDirectory(inside)) {
            return List.of();
        }
        try (Stream<Path> all = Files.walk(inside)) {
            return all.filter(Files::isRegularFile)
                    .filter(file -> !file.getFileName().toString().startsWith(".")
                            && !file.getFileName().toString().endsWith(SafeFile.UNFINISHED))
                    .sorted()
                    .toList();
        } catch (IOException | java.io.UncheckedIOException failed) {
            throw new LogTrouble(
                    "The shared folder " + inside + " cannot be read (" + failed.getMessage()
                            + "); look whether the drive is in. Nothing is lost, the exchange goes on when it is back.",
                    failed);
        }
    }

    private Looked looked(Path file) {
        try {
            Stamp stamp = Stamp.of(file);
            Looked before = looked.get(file);
            if (before != null && before.stamp.equals(stamp)) {
                return before;
            }
            Looked now = lookInto(file, stamp);
            if (stamp.tells()) {
                looked.put(file, now);
            }
            return now;
        } catch (IOException gone) {
            return new Looked(new Stamp(0, 0), null, "it cannot be read (" + gone.getMessage() + ")");
        }
    }

    private static Looked lookInto(Path file, Stamp stamp) throws IOException {
        if (stamp.size() > Segment.LARGEST) {
            return new Looked(stamp, null, "it is larger than any piece of a log");
        }
        try {
            return new Looked(stamp, Segment.read(Files.readAllBytes(file)), "");
        } catch (BadInput notWhole) {
            return new Looked(stamp, null, notWhole.remedy());
        }
    }

    void write(Segment segment, byte[] sealed) {
        Path chain = folder.resolve("chains").resolve(segment.origin());
        try {
            Files.createDirectories(chain);
            SafeFile.write(chain.resolve(segment.fileName()), sealed);
        } catch (IOException failed) {
            throw cannot(chain, failed);
        }
    }

    void remove(Piece piece) {
        try {
            Files.deleteIfExists(piece.file);
            looked.remove(piece.file);
        } catch (IOException failed) {
            throw cannot(piece.file, failed);
        }
    }

    void write(DeviceNote note) {
        try {
            Files.createDirectories(folder.resolve("devices"));
            SafeFile.write(
                    folder.resolve("devices").resolve(note.device() + ".note"),
                    Segment.sealed(JSON.writerWithDefaultPrettyPrinter().writeValueAsBytes(note)));
        } catch (IOException failed) {
            throw cannot(folder.resolve("devices"), failed);
        }
    }

    /** Where a photo or memo lies, or would lie. */
    Path place(String sha) {
        if (!Attachments.isName(sha)) {
            throw new BadInput("attachment", sha, "it is no SHA-256");
        }
        return folder.resolve("attached").resolve(sha);
    }

    /** What lies there under a name; empty when nothing does, or nothing that a photo or memo could be. */
    Optional<byte[]> attached(String sha) throws IOException {
        Path file = place(sha);
        return Files.isRegularFile(file) && Files.size(file) <= LARGEST_FILE
                ? Optional.of(Files.readAllBytes(file))
                : Optional.empty();
    }

    void attach(String sha, byte[] content) {
        try {
            Files.createDirectories(folder.resolve("attached"));
            SafeFile.write(place(sha), content);
        } catch (IOException failed) {
            throw cannot(folder.resolve("attached"), failed);
        }
    }

    void detach(String sha) {
        try {
            Files.deleteIfExists(place(sha));
        } catch (IOException failed) {
            throw cannot(folder.resolve("attached"), failed);
        }
    }

    private static LogTrouble cannot(Path where, IOException failed) {
        return new LogTrouble(
                "The shared folder " + where + " cannot be written (" + failed.getMessage()
                        + "); look whether the drive is in, has room and may be written. Nothing is lost, what is here goes there later.",
                failed);
    }
}
