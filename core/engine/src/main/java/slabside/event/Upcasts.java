package slabside.event;

import com.fasterxml.jackson.databind.JsonNode;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.function.UnaryOperator;

/**
 * Brings the body of an old version of an event up to the version in the {@link Catalogue}, one version at a time, on the
 * one path by which events are read. Stored lines stay as they are.
 */
final class Upcasts {
    /** One step from {@code version} to the next. */
    record Step(String type, int version) {}

    /** A body as the catalogue knows it. */
    record Current(String type, int version, JsonNode body) {}

    /** A change of shape adds its step here; its old frozen line stays in the tests. */
    private static final Map<Step, UnaryOperator<JsonNode>> STEPS = new LinkedHashMap<>();

    static {
        // Version 2 has what lay under the film that was read: "over", not there for none.
        STEPS.put(new Step("test.colour-read", 1), UnaryOperator.identity());
    }

    private Upcasts() {}

    static Current apply(String type, int version, JsonNode body) {
        return apply(STEPS, type, version, body);
    }

    static Current apply(Map<Step, UnaryOperator<JsonNode>> steps, String type, int version, JsonNode body) {
        int at = version;
        JsonNode now = body;
        UnaryOperator<JsonNode> step = steps.get(new Step(type, at));
        while (step != null) {
            now = step.apply(now.deepCopy());
            at++;
            step = steps.get(new Step(type, at));
        }
        return new Current(type, at, now);
    }
}
