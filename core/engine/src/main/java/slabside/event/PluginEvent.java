package slabside.event;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * An event of a plugin's own kind. It carries its sentence, so that it can be read when the plugin is gone.
 *
 * @param type "plugin.", the plugin's prefix, a dot and what happened, such as "plugin.paper-store.read"
 * @param version of the plugin's kind, in which {@code fields} are
 * @param words the sentence that tells it
 * @param things it concerns
 * @param fields a JSON object, of the plugin's own making
 */
public record PluginEvent(String type, int version, String words, List<ThingId> things, RawBody fields)
        implements StudioEvent {
    /** What the type of every such event begins with; no type of the catalogue does. */
    public static final String PREFIX = "plugin.";
    /** Comes behind every name with that prefix. */
    public static final String AFTER = "plugin/";

    public PluginEvent {
        things = List.copyOf(things);
    }

    JsonNode body() {
        ObjectNode body = JsonNodeFactory.instance.objectNode().put("words", words);
        ArrayNode about = body.putArray("things");
        things.forEach(thing -> about.add(thing.text()));
        body.set("fields", EventCodec.tree(fields.json()));
        return body;
    }

    /** Such an event; empty when the body is not of one. */
    static Optional<PluginEvent> read(String type, int version, JsonNode body) {
        if (!type.startsWith(PREFIX)
                || !body.path("words").isTextual()
                || !body.path("fields").isObject()) {
            return Optional.empty();
        }
        List<ThingId> things = new ArrayList<>();
        body.path("things").forEach(thing -> things.add(new ThingId(thing.asText())));
        return Optional.of(new PluginEvent(
                type,
                version,
                body.path("words").asText(),
                things,
                new RawBody(body.path("fields").toString())));
    }
}
