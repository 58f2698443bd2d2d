package slabside.host;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.type.TypeReference;
import com.fasterxml.jackson.databind.JavaType;
import com.fasterxml.jackson.databind.JsonMappingException;
import com.fasterxml.jackson.databind.JsonNode;
import slabside.event.EventCodec;
import slabside.helper.Wire;

/** What the process of a plugin sent, as a type of the contract with nothing missing in it at any depth. */
public final class FromPlugin {
    private FromPlugin() {}

    /**
     * @throws JsonProcessingException when it is not of that type, or something that must be there is missing
     */
    public static <T> T read(JsonNode sent, Class<T> type) throws JsonProcessingException {
        return type.cast(read(sent, Wire.json().constructType(type)));
    }

    /** The same for a list and the like. */
    public static <T> T read(JsonNode sent, TypeReference<T> type) throws JsonProcessingException {
        return read(sent, Wire.json().constructType(type));
    }

    private static <T> T read(JsonNode sent, JavaType type) throws JsonProcessingException {
        T read = Wire.json().treeToValue(sent, type);
        if (!EventCodec.isComplete(read)) {
            throw new JsonMappingException(null, "something that must be there is missing in " + sent);
        }
        return read;
    }
}
