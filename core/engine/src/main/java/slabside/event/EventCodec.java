package slabside.event;

import com.fasterxml.jackson.annotation.JsonInclude;
import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.StreamReadConstraints;
import com.fasterxml.jackson.databind.BeanDescription;
import com.fasterxml.jackson.databind.DeserializationConfig;
import com.fasterxml.jackson.databind.DeserializationContext;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JavaType;
import com.fasterxml.jackson.databind.JsonDeserializer;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.JsonSerializer;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.ObjectReader;
import com.fasterxml.jackson.databind.SerializerProvider;
import com.fasterxml.jackson.databind.deser.BeanDeserializerModifier;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.module.SimpleModule;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.lang.reflect.Method;
import java.lang.reflect.RecordComponent;
import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import org.jspecify.annotations.Nullable;
import slabside.measure.Amount;
import slabside.measure.BadInput;

/**
 * The one place where events become JSON and JSON becomes events.
 *
 * <p>Numbers are whole (mg, µm, ms) or decimal strings; there are no binary floats. Words of a closed list are small
 * letters with hyphens. Missing values are left out.
 */
public final class EventCodec {
    private static final Map<String, Class<? extends Amount>> AMOUNTS = Map.of(
            "weighed", Amount.Weighed.class,
            "net", Amount.Net.class,
            "estimated", Amount.Estimated.class,
            "parts", Amount.Parts.class,
            "rest", Amount.Rest.class,
            "unknown", Amount.Unknown.class);

    private static final Map<Enum<?>, String> WORDS = new ConcurrentHashMap<>();
    private static final ObjectMapper MAPPER = mapper();
    private static final Map<Class<?>, ObjectReader> READERS = new ConcurrentHashMap<>();
    /** What is asked of a record's components again and again; looking it up each time takes longer than reading the event. */
    private static final ClassValue<List<Component>> COMPONENTS = new ClassValue<>() {
        @Override
        protected List<Component> computeValue(Class<?> type) {
            return Arrays.stream(type.getRecordComponents()).map(Component::of).toList();
        }
    };

    private EventCodec() {}

    /** The line of an envelope, exactly as it is stored and hashed. */
    public static String line(Envelope envelope) {
        ObjectNode line = JsonNodeFactory.instance.objectNode();
        line.put("origin", envelope.origin());
        line.put("oseq", envelope.oseq());
        line.put("id", envelope.id().text());
        line.set("happened", MAPPER.valueToTree(envelope.happened()));
        if (envelope.after() != null) {
            line.put("after", envelope.after().text());
        }
        line.put("recorded", envelope.recorded());
        line.putArray("hlc").add(envelope.hlc().millis()).add(envelope.hlc().count());
        line.set("actor", MAPPER.valueToTree(envelope.actor()));
        line.put("type", envelope.type());
        line.put("version", envelope.version());
        ArrayNode about = line.putArray("about");
        envelope.about().forEach(thing -> about.add(thing.text()));
        line.set("body", envelope.body());
        return line.toString();
    }

    /**
     * Reads a stored line.
     *
     * @throws BadInput naming the field that is missing or malformed
     */
    public static Envelope envelope(String line) {
        try {
            JsonNode node = MAPPER.readTree(line);
            if (!(node instanceof ObjectNode)) {
                throw new BadInput("log line", line, "expected a JSON object");
            }
            List<ThingId> about = new ArrayList<>();
            need(node, "about").forEach(thing -> about.add(new ThingId(thing.asText())));
            JsonNode hlc = need(node, "hlc");
            JsonNode after = node.get("after");
            return new Envelope(
                    need(node, "origin").asText(),
                    whole(node, "oseq"),
                    new EventId(need(node, "id").asText()),
                    happened(need(node, "happened")),
                    after == null ? null : new EventId(after.asText()),
                    whole(node, "recorded"),
                    new Hlc(hlc.path(0).asLong(), hlc.path(1).asInt()),
                    actor(need(node, "actor")),
                    need(node, "type").asText(),
                    (int) whole(node, "version"),
                    about,
                    need(node, "body"));
        } catch (JsonProcessingException broken) {
            throw new BadInput("log line", line, "not a readable event: " + broken.getOriginalMessage());
        }
    }

    private static Happened happened(JsonNode node) {
        return new Happened(
                constant("precision", Precision.class, need(node, "precision").asText()),
                number(node, "from"),
                number(node, "to"),
                need(node, "zone").asText(),
                number(node, "device"),
                number(node, "offset"));
    }

    private static @Nullable Long number(JsonNode node, String field) {
        return node.has(field) ? Long.valueOf(whole(node, field)) : null;
    }

    private static Actor actor(JsonNode node) {
        return new Actor(
                new ThingId(need(node, "person").asText()), need(node, "device").asText());
    }

    private static JsonNode need(JsonNode node, String field) {
        JsonNode value = node.get(field);
        if (value == null || value.isNull()) {
            throw new BadInput("log line", node.toString(), "the field \"" + field + "\" is missing");
        }
        return value;
    }

    private static long whole(JsonNode node, String field) {
        JsonNode value = need(node, field);
        if (!value.isIntegralNumber()) {
            throw new BadInput(field, value.toString(), "expected a whole number");
        }
        return value.asLong();
    }

    /** The body of an event as JSON. */
    public static JsonNode body(StudioEvent event) {
        if (event instanceof UnknownEvent unknown) {
            return tree(unknown.body());
        }
        if (event instanceof PluginEvent own) {
            return own.body();
        }
        return MAPPER.valueToTree(event);
    }

    /** Any JSON text as a tree. */
    public static JsonNode tree(String json) {
        try {
            return MAPPER.readTree(json);
        } catch (JsonProcessingException broken) {
            throw new BadInput("JSON", json, "not readable: " + broken.getOriginalMessage());
        }
    }

    /** Any value of an event as JSON text. */
    public static String json(Object value) {
        return MAPPER.valueToTree(value).toString();
    }

    /**
     * A value of an event from JSON text.
     *
     * @param type as the component of its record declares it
     * @throws BadInput when it cannot be read as that
     */
    public static Object value(String field, java.lang.reflect.Type type, String json) {
        try {
            Object value = MAPPER.readValue(json, MAPPER.constructType(type));
            if (!isComplete(value)) {
                throw new BadInput(field, json, "something that must be there is missing");
            }
            return value;
        } catch (JsonProcessingException broken) {
            throw broken.getCause() instanceof BadInput bad
                    ? bad
                    : new BadInput(field, json, "not readable: " + broken.getOriginalMessage());
        }
    }

    /** A body as an event; one that cannot be read becomes an {@link UnknownEvent}, so that nothing is lost. */
    public static StudioEvent read(String type, int version, JsonNode body) {
        if (type.startsWith(PluginEvent.PREFIX)) {
            return own(type, version, body);
        }
        Upcasts.Current current = Upcasts.apply(type, version, body);
        Catalogue.Entry entry = Catalogue.of(current.type()).orElse(null);
        if (entry == null || entry.version() != current.version()) {
            return new UnknownEvent(type, version, body.toString());
        }
        try {
            StudioEvent event =
                    READERS.computeIfAbsent(entry.event(), MAPPER::readerFor).readValue(current.body());
            return isComplete(event) ? event : new UnknownEvent(type, version, body.toString());
        } catch (IOException | IllegalArgumentException unreadable) {
            return new UnknownEvent(type, version, body.toString());
        }
    }

    private static StudioEvent own(String type, int version, JsonNode body) {
        try {
            Optional<PluginEvent> own = PluginEvent.read(type, version, body);
            return own.isPresent() ? own.get() : new UnknownEvent(type, version, body.toString());
        } catch (BadInput unreadable) {
            return new UnknownEvent(type, version, body.toString());
        }
    }

    /** Ids of the things an event concerns, in the order in which it names them; accounts outside are left out. */
    public static List<ThingId> about(StudioEvent event) {
        Set<ThingId> found = new LinkedHashSet<>();
        collect(event, found);
        return List.copyOf(found);
    }

    private static void collect(@Nullable Object value, Set<ThingId> found) {
        if (value instanceof ThingId thing) {
            if (!thing.isOutside()) {
                found.add(thing);
            }
        } else if (value instanceof Collection<?> many) {
            many.forEach(each -> collect(each, found));
        } else if (value instanceof Record record && !(record instanceof EventId)) {
            for (Component component : COMPONENTS.get(record.getClass())) {
                collect(component.in(record), found);
            }
        }
    }

    /** The components of a record by name, in order; for sentences and plain cards. */
    public static Map<String, Object> fields(Record record) {
        Map<String, Object> fields = new java.util.LinkedHashMap<>();
        for (Component component : COMPONENTS.get(record.getClass())) {
            Object value = component.in(record);
            if (value != null) {
                fields.put(component.name, value);
            }
        }
        return fields;
    }

    /** Whether nothing that must be there is missing, at any depth. */
    public static boolean isComplete(@Nullable Object value) {
        if (value instanceof Collection<?> many) {
            return many.stream().allMatch(EventCodec::isComplete);
        } else if (value instanceof Map<?, ?> map) {
            return map.values().stream().allMatch(EventCodec::isComplete);
        } else if (value instanceof Record record) {
            for (Component component : COMPONENTS.get(record.getClass())) {
                Object inner = component.in(record);
                if (inner == null ? !component.mayBeMissing : !isComplete(inner)) {
                    return false;
                }
            }
        }
        return value != null;
    }

    private record Component(String name, Method accessor, boolean mayBeMissing) {
        static Component of(RecordComponent component) {
            return new Component(
                    component.getName(),
                    component.getAccessor(),
                    component.getAnnotatedType().isAnnotationPresent(Nullable.class));
        }

        @Nullable
        Object in(Object record) {
            try {
                return accessor.invoke(record);
            } catch (ReflectiveOperationException unreachable) {
                throw new IllegalStateException("cannot read " + name, unreachable);
            }
        }
    }

    /** The stored word of a constant: small letters with hyphens. */
    public static String word(Enum<?> constant) {
        return WORDS.computeIfAbsent(
                constant, c -> c.name().toLowerCase(Locale.ROOT).replace('_', '-'));
    }

    /**
     * The constant with a stored word.
     *
     * @throws BadInput listing the words that are known
     */
    public static <E extends Enum<E>> E constant(String field, Class<E> type, String word) {
        for (E each : type.getEnumConstants()) {
            if (word(each).equals(word)) {
                return each;
            }
        }
        throw new BadInput(
                field,
                word,
                "use one of "
                        + String.join(
                                ", ",
                                Arrays.stream(type.getEnumConstants())
                                        .map(EventCodec::word)
                                        .toList()));
    }

    private static ObjectMapper mapper() {
        SimpleModule module = new SimpleModule("slabside");
        module.addSerializer(ThingId.class, text(ThingId::text));
        module.addDeserializer(ThingId.class, fromText(ThingId::new));
        module.addSerializer(EventId.class, text(EventId::text));
        module.addDeserializer(EventId.class, fromText(EventId::new));
        module.addSerializer(BigDecimal.class, text(BigDecimal::toPlainString));
        module.addDeserializer(BigDecimal.class, fromText(BigDecimal::new));
        module.addSerializer(RawBody.class, new JsonSerializer<RawBody>() {
            @Override
            public void serialize(RawBody body, JsonGenerator out, SerializerProvider provider) throws IOException {
                provider.defaultSerializeValue(tree(body.json()), out);
            }
        });
        module.addDeserializer(RawBody.class, new JsonDeserializer<RawBody>() {
            @Override
            public RawBody deserialize(JsonParser in, DeserializationContext context) throws IOException {
                return new RawBody(context.readTree(in).toString());
            }
        });
        module.addSerializer(Amount.class, new AmountWriter());
        module.addDeserializer(Amount.class, new AmountReader());
        module.addSerializer(new com.fasterxml.jackson.databind.ser.std.StdSerializer<Enum<?>>(Enum.class, false) {
            private static final long serialVersionUID = 1L;

            @Override
            public void serialize(Enum<?> value, JsonGenerator out, SerializerProvider provider) throws IOException {
                out.writeString(word(value));
            }
        });
        module.setDeserializerModifier(new WordsAsConstants());
        JsonFactory factory = JsonFactory.builder()
                .streamReadConstraints(StreamReadConstraints.builder()
                        .maxStringLength(1 << 20)
                        .maxNestingDepth(50)
                        .build())
                .build();
        return JsonMapper.builder(factory)
                .addModule(module)
                .serializationInclusion(JsonInclude.Include.NON_NULL)
                .enable(DeserializationFeature.FAIL_ON_NULL_FOR_PRIMITIVES)
                .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
                .disable(DeserializationFeature.FAIL_ON_UNKNOWN_PROPERTIES)
                .build();
    }

    private interface ToText<T> {
        String of(T value);
    }

    private interface FromText<T> {
        T of(String text);
    }

    private static <T> JsonSerializer<T> text(ToText<T> toText) {
        return new JsonSerializer<>() {
            @Override
            public void serialize(T value, JsonGenerator out, SerializerProvider provider) throws IOException {
                out.writeString(toText.of(value));
            }
        };
    }

    private static <T> JsonDeserializer<T> fromText(FromText<T> fromText) {
        return new JsonDeserializer<>() {
            @Override
            public T deserialize(JsonParser in, DeserializationContext context) throws IOException {
                return fromText.of(in.getText());
            }
        };
    }

    private static final class AmountWriter extends JsonSerializer<Amount> {
        @Override
        public void serialize(Amount amount, JsonGenerator out, SerializerProvider provider) throws IOException {
            out.writeStartObject();
            for (var kind : AMOUNTS.entrySet()) {
                if (kind.getValue() == amount.getClass()) {
                    out.writeStringField("kind", kind.getKey());
                }
            }
            for (var field : fields((Record) amount).entrySet()) {
                provider.defaultSerializeField(field.getKey(), field.getValue(), out);
            }
            out.writeEndObject();
        }
    }

    private static final class AmountReader extends JsonDeserializer<Amount> {
        @Override
        public Amount deserialize(JsonParser in, DeserializationContext context) throws IOException {
            JsonNode node = context.readTree(in);
            Class<? extends Amount> kind = AMOUNTS.get(node.path("kind").asText());
            if (kind == null) {
                throw new BadInput(
                        "amount", node.toString(), "its kind must be one of " + String.join(", ", AMOUNTS.keySet()));
            }
            return context.readTreeAsValue(node, kind);
        }
    }

    private static final class WordsAsConstants extends BeanDeserializerModifier {
        private static final long serialVersionUID = 1L;

        @Override
        public JsonDeserializer<?> modifyEnumDeserializer(
                DeserializationConfig config, JavaType type, BeanDescription bean, JsonDeserializer<?> plain) {
            Class<?> raw = type.getRawClass();
            return new JsonDeserializer<Object>() {
                @Override
                public Object deserialize(JsonParser in, DeserializationContext context) throws IOException {
                    return constantOf(raw, in.getText());
                }
            };
        }
    }

    @SuppressWarnings({"unchecked", "rawtypes"})
    private static Object constantOf(Class<?> type, String word) {
        return constant(type.getSimpleName(), (Class) type, word);
    }
}
