package slabside.log;

import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;

/** SHA-256(tag ‖ previous hash of the origin ‖ UTF-8 of the line); the previous hash of a first line is 32 zero bytes. */
final class Chain {
    static final byte[] BEGINNING = new byte[32];
    static final HexFormat HEX = HexFormat.of();
    private static final byte[] TAG = "slabside event 1\n".getBytes(StandardCharsets.US_ASCII);

    private final MessageDigest sha256;

    Chain() {
        try {
            sha256 = MessageDigest.getInstance("SHA-256");
        } catch (NoSuchAlgorithmException everyJavaHasIt) {
            throw new IllegalStateException(everyJavaHasIt);
        }
    }

    byte[] hash(byte[] previous, byte[] line) {
        sha256.update(TAG);
        sha256.update(previous);
        return sha256.digest(line);
    }
}
