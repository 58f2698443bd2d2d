package slabside.web;

import com.fasterxml.jackson.core.type.TypeReference;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.security.SecureRandom;
import java.time.Clock;
import java.util.ArrayList;
import java.util.Base64;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import slabside.event.ThingId;
import slabside.log.LogTrouble;
import slabside.measure.BadInput;
import slabside.studio.Studio;

/**
 * The devices that may ask for pages over the local network, in {@code devices.json} in the configuration folder: of each
 * token only the SHA-256 is kept. A device comes in by a code that is shown on the host, holds for five minutes, for one
 * device and for five tries.
 */
final class Devices {
    /** The machine that the studio is on. */
    static final String HOST = "this";

    private static final String LETTERS = "ACDEFGHJKMNPQRTWXY34679";
    private static final int CODE_LENGTH = 6;
    private static final int TOKEN_BYTES = 32;
    private static final long CODE_HOLDS_MS = 5 * 60_000;
    private static final int TRIES = 5;
    private static final int LONGEST_NAME = 60;
    private static final int MOST_DEVICES = 200;
    private static final ObjectMapper JSON = new ObjectMapper();

    /** What a device may do. */
    enum Kind {
        /** Read and write. */
        KEEP,
        /** Read. */
        LOOK
    }

    /**
     * A device that was let in.
     *
     * @param token SHA-256 of its token; empty for the host, which needs none
     * @param person who last said to be at it; empty when nobody did
     */
    record Device(String id, String name, Kind kind, String token, long since, String person) {}

    /**
     * A code for one device.
     *
     * @param until when it ends, in ms
     */
    record Invitation(String code, Kind kind, long until) {}

    private final Path file;
    private final Clock clock;
    private final SecureRandom chance = new SecureRandom();
    private final Map<String, Device> devices = new LinkedHashMap<>();
    private @Nullable Invitation invitation;
    private int wrong;

    Devices(Path config, Clock clock) {
        this.file = config.resolve("devices.json");
        this.clock = clock;
        if (Files.exists(file)) {
            try {
                JSON.readValue(file.toFile(), new TypeReference<List<Device>>() {})
                        .forEach(device -> devices.put(device.id(), device));
            } catch (IOException broken) {
                throw new LogTrouble(
                        "The list of devices " + file + " cannot be read: " + broken.getMessage()
                                + ". Delete it and pair them again; the log itself is not touched.",
                        broken);
            }
        }
        devices.putIfAbsent(HOST, new Device(HOST, "the studio's own machine", Kind.KEEP, "", clock.millis(), ""));
    }

    /** A fresh code; the one before no longer holds. */
    synchronized Invitation invite(Kind kind) {
        StringBuilder code = new StringBuilder();
        for (int i = 0; i < CODE_LENGTH; i++) {
            code.append(LETTERS.charAt(chance.nextInt(LETTERS.length())));
        }
        wrong = 0;
        invitation = new Invitation(code.toString(), kind, clock.millis() + CODE_HOLDS_MS);
        return invitation;
    }

    /** The code that holds now. */
    synchronized Optional<Invitation> invitation() {
        return Optional.ofNullable(invitation).filter(each -> each.until() > clock.millis());
    }

    /** A device that came in, with the token it must keep. */
    record Joined(Device device, String token) {}

    /**
     * Lets a device in.
     *
     * @throws BadInput when the code is wrong, used, too old or was tried too often
     */
    synchronized Joined join(String typed, String name) {
        String code = typed.toUpperCase(Locale.ROOT).replaceAll("[\\s-]", "");
        Invitation open = invitation()
                .orElseThrow(() -> new BadInput(
                        "code", typed, "no code holds now; show a fresh one on the studio's own machine, Safekeeping"));
        if (!MessageDigest.isEqual(
                code.getBytes(StandardCharsets.UTF_8), open.code().getBytes(StandardCharsets.UTF_8))) {
            wrong++;
            if (wrong >= TRIES) {
                invitation = null;
                throw new BadInput(
                        "code", typed, "too many wrong tries; show a fresh code on the studio's own machine");
            }
            throw new BadInput("code", typed, "this is not the code on the screen; look again");
        }
        String called = name.strip();
        if (called.isEmpty() || called.length() > LONGEST_NAME) {
            throw new BadInput("name", name, "give this device a name of up to " + LONGEST_NAME + " characters");
        }
        if (devices.size() >= MOST_DEVICES) {
            throw new BadInput("device", called, "there are " + MOST_DEVICES + " devices; shut old ones out first");
        }
        invitation = null;
        byte[] secret = new byte[TOKEN_BYTES];
        chance.nextBytes(secret);
        String token = Base64.getUrlEncoder().withoutPadding().encodeToString(secret);
        String id = "device-" + Long.toString(chance.nextLong() >>> 1, 36);
        Device device = new Device(id, called, open.kind(), sha256(token), clock.millis(), "");
        devices.put(id, device);
        save();
        return new Joined(device, token);
    }

    /** Whose token this is. */
    synchronized Optional<Visitor> holding(@Nullable String token) {
        if (token == null || token.isEmpty()) {
            return Optional.empty();
        }
        byte[] hash = sha256(token).getBytes(StandardCharsets.UTF_8);
        return devices.values().stream()
                .filter(device -> !device.id().equals(HOST))
                .filter(device -> MessageDigest.isEqual(device.token().getBytes(StandardCharsets.UTF_8), hash))
                .findFirst()
                .map(Devices::visitor);
    }

    /** Whoever sits at the studio's own machine. */
    synchronized Visitor host() {
        return devices.values().stream()
                .filter(device -> device.id().equals(HOST))
                .findFirst()
                .map(Devices::visitor)
                .orElseThrow();
    }

    private static Visitor visitor(Device device) {
        return new Visitor(
                device.id(),
                device.person().isEmpty() ? Studio.SOMEBODY : new ThingId(device.person()),
                device.id().equals(HOST),
                device.kind() == Kind.KEEP);
    }

    /** Every device that was let in, the oldest first; not the host. */
    synchronized List<Device> all() {
        return devices.values().stream()
                .filter(device -> !device.id().equals(HOST))
                .toList();
    }

    /** Shuts a device out, from its next question on. */
    synchronized void revoke(String id) {
        if (id.equals(HOST) || devices.remove(id) == null) {
            throw new BadInput("device", id, "there is no such device; load the page again");
        }
        save();
    }

    /** Somebody is at a device from now on. */
    synchronized void at(String id, ThingId person) {
        Device device = devices.get(id);
        if (device == null) {
            throw new BadInput("device", id, "it is not paired any more");
        }
        devices.put(
                id,
                new Device(
                        id,
                        device.name(),
                        device.kind(),
                        device.token(),
                        device.since(),
                        person.equals(Studio.SOMEBODY) ? "" : person.text()));
        save();
    }

    private void save() {
        Path fresh = file.resolveSibling("devices.json.new");
        try {
            Files.createDirectories(file.toAbsolutePath().getParent());
            JSON.writerWithDefaultPrettyPrinter().writeValue(fresh.toFile(), new ArrayList<>(devices.values()));
            Files.move(fresh, file, StandardCopyOption.REPLACE_EXISTING, StandardCopyOption.ATOMIC_MOVE);
        } catch (IOException failed) {
            throw new LogTrouble("The list of devices " + file + " cannot be written: " + failed.getMessage(), failed);
        }
    }

    private static String sha256(String text) {
        try {
            return HexFormat.of()
                    .formatHex(MessageDigest.getInstance("SHA-256").digest(text.getBytes(StandardCharsets.UTF_8)));
        } catch (NoSuchAlgorithmException missing) {
            throw new IllegalStateException("every Java has SHA-256", missing);
        }
    }
}
