package slabside.helper;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonToken;
import com.fasterxml.jackson.databind.DeserializationContext;
import com.fasterxml.jackson.databind.JsonDeserializer;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.JsonSerializer;
import com.fasterxml.jackson.databind.SerializerProvider;
import com.fasterxml.jackson.databind.module.SimpleModule;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import slabside.plugin.Json;

/** The contract's JSON as the library's, and back. */
public final class JsonTree {
    private JsonTree() {}

    public static Json read(JsonNode node) {
        if (node.isObject()) {
            Map<String, Json> fields = new LinkedHashMap<>();
            node.properties().forEach(field -> fields.put(field.getKey(), read(field.getValue())));
            return new Json.Fields(fields);
        } else if (node.isArray()) {
            List<Json> items = new ArrayList<>();
            node.forEach(each -> items.add(read(each)));
            return new Json.Items(items);
        } else if (node.isNumber()) {
            return new Json.Number(node.decimalValue());
        } else if (node.isBoolean()) {
            return new Json.Truth(node.booleanValue());
        }
        return node.isTextual() ? new Json.Text(node.textValue()) : new Json.Nothing();
    }

    public static JsonNode write(Json json) {
        JsonNodeFactory make = JsonNodeFactory.instance;
        if (json instanceof Json.Fields fields) {
            ObjectNode object = make.objectNode();
            fields.values().forEach((name, value) -> object.set(name, write(value)));
            return object;
        } else if (json instanceof Json.Items items) {
            ArrayNode array = make.arrayNode();
            items.values().forEach(each -> array.add(write(each)));
            return array;
        } else if (json instanceof Json.Number number) {
            return make.numberNode(number.value());
        } else if (json instanceof Json.Truth truth) {
            return make.booleanNode(truth.value());
        }
        return json instanceof Json.Text text ? make.textNode(text.value()) : make.nullNode();
    }

    /** How it is written and read without a tree of the library's in between. */
    static SimpleModule module() {
        SimpleModule module = new SimpleModule("json");
        module.addSerializer(Json.class, new JsonSerializer<Json>() {
            @Override
            public void serialize(Json value, JsonGenerator out, SerializerProvider provider) throws IOException {
                write(value, out);
            }
        });
        module.addDeserializer(Json.class, new JsonDeserializer<Json>() {
            @Override
            public Json deserialize(JsonParser in, DeserializationContext context) throws IOException {
                return read(in);
            }

            @Override
            public Json getNullValue(DeserializationContext context) {
                return new Json.Nothing();
            }
        });
        module.addDeserializer(Json.Fields.class, new JsonDeserializer<Json.Fields>() {
            @Override
            public Json.Fields deserialize(JsonParser in, DeserializationContext context) throws IOException {
                if (read(in) instanceof Json.Fields fields) {
                    return fields;
                }
                throw context.weirdStringException(in.getText(), Json.Fields.class, "expected an object");
            }
        });
        return module;
    }

    private static void write(Json json, JsonGenerator out) throws IOException {
        if (json instanceof Json.Fields fields) {
            out.writeStartObject();
            for (Map.Entry<String, Json> each : fields.values().entrySet()) {
                out.writeFieldName(each.getKey());
                write(each.getValue(), out);
            }
            out.writeEndObject();
        } else if (json instanceof Json.Items items) {
            out.writeStartArray();
            for (Json each : items.values()) {
                write(each, out);
            }
            out.writeEndArray();
        } else if (json instanceof Json.Number number) {
            out.writeNumber(number.value());
        } else if (json instanceof Json.Truth truth) {
            out.writeBoolean(truth.value());
        } else if (json instanceof Json.Text text) {
            out.writeString(text.value());
        } else {
            out.writeNull();
        }
    }

    private static Json read(JsonParser in) throws IOException {
        return switch (in.currentToken()) {
            case START_OBJECT -> {
                Map<String, Json> fields = new LinkedHashMap<>();
                while (in.nextToken() != JsonToken.END_OBJECT) {
                    String name = in.currentName();
                    in.nextToken();
                    fields.put(name, read(in));
                }
                yield new Json.Fields(fields);
            }
            case START_ARRAY -> {
                List<Json> items = new ArrayList<>();
                while (in.nextToken() != JsonToken.END_ARRAY) {
                    items.add(read(in));
                }
                yield new Json.Items(items);
            }
            case VALUE_NUMBER_INT, VALUE_NUMBER_FLOAT -> new Json.Number(in.getDecimalValue());
            case VALUE_TRUE, VALUE_FALSE -> new Json.Truth(in.getBooleanValue());
            case VALUE_STRING -> new Json.Text(in.getText());
            default -> new Json.Nothing();
        };
    }
}
