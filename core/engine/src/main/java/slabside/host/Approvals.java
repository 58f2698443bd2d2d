package slabside.host;

import com.fasterxml.jackson.core.type.TypeReference;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.security.DigestInputStream;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.Map;
import java.util.TreeMap;
import slabside.helper.Wire;
import slabside.measure.BadInput;

/**
 * Which files this machine approved, each by its hash and kept as it was then, so that nothing else can run in its place.
 */
final class Approvals {
    private static final String FILE = "plugins.json";

    private final Path file;
    private final Path kept;

    /**
     * @param config where this machine keeps them
     */
    Approvals(Path config) {
        this.file = config.resolve(FILE);
        this.kept = config.resolve("approved-plugins");
    }

    /** Hashes by the names of the files; in the order of the names. */
    Map<String, String> all() {
        if (!Files.exists(file)) {
            return new TreeMap<>();
        }
        try {
            return Wire.json().readValue(file.toFile(), new TypeReference<TreeMap<String, String>>() {});
        } catch (IOException broken) {
            throw new BadInput(
                    "approvals of plugins",
                    file,
                    "they cannot be read: " + broken.getMessage()
                            + "; take the file away and approve the plugins again");
        }
    }

    /** Approves a file as it is now. */
    void add(Path jar) {
        Map<String, String> approved = all();
        approved.put(jar.getFileName().toString(), keep(jar));
        write(approved);
    }

    /** Takes an approval back. */
    void remove(String name) {
        Map<String, String> approved = all();
        if (approved.remove(name) == null) {
            throw new BadInput("plugin", name, "it is not approved on this machine");
        }
        write(approved);
    }

    /** The kept copy of a hash. */
    Path kept(String hash) {
        return kept.resolve(hash + ".jar");
    }

    /** Where is kept what helps the processes of this very program and JDK to start. */
    Path archive() {
        String program = System.getProperty("java.vm.version") + System.getProperty("java.class.path");
        return kept.resolve("start-" + Integer.toHexString(program.hashCode()) + ".jsa");
    }

    private String keep(Path jar) {
        try {
            Files.createDirectories(kept);
            Path copy = Files.createTempFile(kept, "approving", ".jar");
            Files.copy(jar, copy, StandardCopyOption.REPLACE_EXISTING);
            String hash = hash(copy);
            Files.move(copy, kept(hash), StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
            return hash;
        } catch (IOException failed) {
            throw new BadInput("plugin", jar, "what is approved cannot be kept: " + failed.getMessage());
        }
    }

    private void write(Map<String, String> approved) {
        try {
            Files.createDirectories(file.toAbsolutePath().getParent());
            Path beside = file.resolveSibling(FILE + ".new");
            Files.write(beside, Wire.json().writerWithDefaultPrettyPrinter().writeValueAsBytes(approved));
            Files.move(beside, file, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
        } catch (IOException failed) {
            throw new BadInput("approvals of plugins", file, "they cannot be written: " + failed.getMessage());
        }
    }

    static String hash(Path file) {
        try (InputStream in = Files.newInputStream(file);
                DigestInputStream digested = new DigestInputStream(in, MessageDigest.getInstance("SHA-256"))) {
            digested.transferTo(OutputStream.nullOutputStream());
            return HexFormat.of().formatHex(digested.getMessageDigest().digest());
        } catch (IOException failed) {
            throw new BadInput("plugin", file, "it cannot be read: " + failed.getMessage());
        } catch (NoSuchAlgorithmException never) {
            throw new IllegalStateException(never);
        }
    }
}
