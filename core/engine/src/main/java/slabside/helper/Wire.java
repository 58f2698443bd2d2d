package slabside.helper;

import com.fasterxml.jackson.annotation.JsonAutoDetect;
import com.fasterxml.jackson.annotation.JsonTypeInfo;
import com.fasterxml.jackson.annotation.PropertyAccessor;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JavaType;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.jsontype.NamedType;
import com.fasterxml.jackson.datatype.jdk8.Jdk8Module;
import java.io.DataInputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import slabside.measure.BadInput;
import slabside.plugin.Answer;

/**
 * Messages over a pipe: four bytes of length, then so many bytes of JSON, at most {@link #LONGEST}. Only records of the
 * contract are made from it; a block of an answer that is none of the contract's is refused.
 */
public final class Wire {
    /** Bytes of the longest message. */
    public static final int LONGEST = 16 << 20;

    /** How a block of an answer says what it is. */
    @JsonTypeInfo(use = JsonTypeInfo.Id.NAME, property = "block")
    private interface NamedBlock {}

    private static final ObjectMapper JSON = JsonMapper.builder()
            .addModule(new Jdk8Module())
            .addModule(JsonTree.module())
            .addMixIn(Answer.Block.class, NamedBlock.class)
            .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
            // So that no digit of a number is lost.
            .enable(DeserializationFeature.USE_BIG_DECIMAL_FOR_FLOATS)
            // Records by their components; a method that looks like a getter is none.
            .visibility(PropertyAccessor.FIELD, JsonAutoDetect.Visibility.ANY)
            .visibility(PropertyAccessor.GETTER, JsonAutoDetect.Visibility.NONE)
            .visibility(PropertyAccessor.IS_GETTER, JsonAutoDetect.Visibility.NONE)
            .build();

    static {
        for (Class<?> block : Answer.Block.class.getPermittedSubclasses()) {
            JSON.registerSubtypes(new NamedType(block, block.getSimpleName()));
        }
    }

    private final DataInputStream in;
    private final DataOutputStream out;

    public Wire(InputStream in, OutputStream out) {
        this.in = new DataInputStream(in);
        this.out = new DataOutputStream(out);
    }

    public static ObjectMapper json() {
        return JSON;
    }

    /**
     * @throws IOException when the other side is gone, or the message is too long
     */
    public synchronized void send(JsonNode message) throws IOException {
        byte[] bytes = JSON.writeValueAsBytes(message);
        if (bytes.length > LONGEST) {
            throw new IOException("a message of " + bytes.length + " bytes; at most " + LONGEST + " are sent");
        }
        out.writeInt(bytes.length);
        out.write(bytes);
        out.flush();
    }

    /**
     * The next message; waits for it.
     *
     * @throws IOException when the other side is gone, or what it sends is no message
     */
    public JsonNode receive() throws IOException {
        return JSON.readTree(bytes());
    }

    /**
     * What the host tells of the studio, as a type of the contract.
     *
     * @throws BadInput as the host said it
     * @throws IllegalArgumentException with the host's words, when it tells nothing
     */
    Object told(JavaType type) throws IOException {
        byte[] bytes = bytes();
        try (JsonParser in = JSON.createParser(bytes)) {
            in.nextToken();
            String field = in.nextFieldName();
            in.nextToken();
            if ("value".equals(field)) {
                return JSON.readerFor(type)
                        .without(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
                        .readValue(in);
            }
        }
        JsonNode refused = JSON.readTree(bytes);
        if (refused.has("remedy")) {
            throw new BadInput(
                    refused.path("field").asText(),
                    refused.path("value").asText(),
                    refused.path("remedy").asText());
        }
        throw new IllegalArgumentException(refused.path("failed").asText());
    }

    private byte[] bytes() throws IOException {
        int length = in.readInt();
        if (length < 0 || length > LONGEST) {
            throw new IOException("a message of " + length + " bytes; at most " + LONGEST + " are read");
        }
        byte[] bytes = in.readNBytes(length);
        if (bytes.length < length) {
            throw new IOException("a message ended after " + bytes.length + " of " + length + " bytes");
        }
        return bytes;
    }
}
