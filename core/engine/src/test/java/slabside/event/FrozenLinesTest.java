package slabside.event;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.InputStream;
import java.lang.reflect.ParameterizedType;
import java.lang.reflect.RecordComponent;
import java.lang.reflect.Type;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.time.ZoneOffset;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import slabside.measure.Amount;
import slabside.measure.Lab;
import slabside.measure.Spectrum;

/**
 * One line of every event and version, as it was first stored, stands in {@code frozen-events.txt} for ever: it must read
 * as the same event and be written as the same bytes.
 */
class FrozenLinesTest {
    static Map<String, String> frozen() throws IOException {
        Map<String, String> lines = new LinkedHashMap<>();
        try (InputStream in = FrozenLinesTest.class.getResourceAsStream("/slabside/frozen-events.txt")) {
            String text = in == null ? "" : new String(in.readAllBytes(), StandardCharsets.UTF_8);
            text.lines().filter(line -> line.startsWith("{")).forEach(line -> {
                Envelope envelope = EventCodec.envelope(line);
                lines.put(envelope.type() + " " + envelope.version(), line);
            });
        }
        return lines;
    }

    static Stream<Catalogue.Entry> catalogue() {
        return java.util.stream.StreamSupport.stream(Catalogue.all().spliterator(), false);
    }

    @ParameterizedTest
    @MethodSource("catalogue")
    void each_event_has_a_frozen_line_that_reads_and_writes_the_same(Catalogue.Entry entry) throws Exception {
        String line = frozen().get(entry.type() + " " + entry.version());
        StudioEvent sample = (StudioEvent) sample(entry.event());
        Envelope fresh = envelope(entry, sample);
        assertTrue(
                line != null,
                () -> "no frozen line for " + entry.type() + "; add this one:\n" + EventCodec.line(fresh));
        Envelope read = EventCodec.envelope(line);
        StudioEvent event = read.event();
        assertFalse(event instanceof UnknownEvent, "must be readable: " + line);
        assertEquals(
                line,
                EventCodec.line(new Envelope(
                        read.origin(),
                        read.oseq(),
                        read.id(),
                        read.happened(),
                        read.after(),
                        read.recorded(),
                        read.hlc(),
                        read.actor(),
                        read.type(),
                        read.version(),
                        read.about(),
                        EventCodec.body(event))));
        assertEquals(sample, event, "every field is in the line");
        assertEquals(read.about(), EventCodec.about(event));
    }

    @Test
    void the_catalogue_names_every_event_there_is_once() {
        long events = Arrays.stream(StudioEvent.class.getPermittedSubclasses())
                .filter(Class::isInterface)
                .flatMap(group -> Arrays.stream(group.getPermittedSubclasses()))
                .count();
        assertEquals(events, catalogue().count());
        assertEquals(events, catalogue().map(Catalogue.Entry::type).distinct().count());
        assertTrue(events >= 68, "the catalogue has shrunk to " + events);
        catalogue().forEach(entry -> assertTrue(entry.type().matches("[a-z]+\\.[a-z]+(-[a-z]+)*"), entry.type()));
    }

    @Test
    void no_body_holds_a_binary_float() throws Exception {
        for (Catalogue.Entry entry : Catalogue.all()) {
            noFloat(entry.type(), EventCodec.body((StudioEvent) sample(entry.event())));
        }
    }

    private static void noFloat(String type, JsonNode node) {
        assertFalse(node.isFloatingPointNumber(), () -> type + " holds a float: " + node);
        node.forEach(child -> noFloat(type, child));
    }

    @Test
    void a_type_that_is_not_known_and_a_body_that_cannot_be_read_become_plain_cards() {
        ObjectNode body = JsonNodeFactory.instance.objectNode().put("can", "can-1");
        assertTrue(EventCodec.read("guild.danced", 1, body) instanceof UnknownEvent);
        assertTrue(EventCodec.read("shelf.can-opened", 2, body) instanceof UnknownEvent, "a newer version");
        assertTrue(EventCodec.read("shelf.can-opened", 1, body) instanceof ShelfEvent.CanOpened);
        ObjectNode wrong = JsonNodeFactory.instance.objectNode().put("vessel", "can-1");
        assertTrue(EventCodec.read("shelf.can-opened", 1, wrong) instanceof UnknownEvent, "a needed field is missing");
    }

    @Test
    void something_missing_deep_inside_a_body_is_found_too() {
        var body = EventCodec.tree("{\"run\":\"run-1\",\"loads\":[{\"name\":\"left\"}]}");
        assertTrue(EventCodec.read("press.run-started", 1, body) instanceof UnknownEvent);
    }

    @Test
    void an_old_version_is_brought_up_one_step_at_a_time() {
        Map<Upcasts.Step, java.util.function.UnaryOperator<JsonNode>> steps = new LinkedHashMap<>();
        steps.put(
                new Upcasts.Step("x.y", 1),
                old -> ((ObjectNode) old).put("b", old.get("a").asInt() * 1000).without("a"));
        steps.put(new Upcasts.Step("x.y", 2), old -> ((ObjectNode) old).put("c", true));
        ObjectNode stored = JsonNodeFactory.instance.objectNode().put("a", 5);
        Upcasts.Current now = Upcasts.apply(steps, "x.y", 1, stored);
        assertEquals(3, now.version());
        assertEquals("{\"b\":5000,\"c\":true}", now.body().toString());
        assertEquals("{\"a\":5}", stored.toString(), "what is stored stays");
    }

    static Envelope envelope(Catalogue.Entry entry, StudioEvent event) {
        return new Envelope(
                "0123456789abcdef",
                7,
                new EventId("018f0000-0000-7000-8000-000000000001"),
                new Happened(
                        Precision.EXACT,
                        1_700_000_000_000L,
                        1_700_000_000_000L,
                        "Europe/Paris",
                        1_699_999_999_000L,
                        1_000L),
                new EventId("018f0000-0000-7000-8000-000000000002"),
                1_700_000_001_000L,
                new Hlc(1_700_000_001_000L, 2),
                new Actor(new ThingId("person-a"), "tablet"),
                entry.type(),
                entry.version(),
                EventCodec.about(event),
                EventCodec.body(event));
    }

    /** An instance with every component filled, the same each time. */
    private static Object sample(Type type) throws Exception {
        if (type instanceof ParameterizedType generic) {
            Object inner = sample(generic.getActualTypeArguments()[generic.getRawType() == Map.class ? 1 : 0]);
            return generic.getRawType() == Map.class ? Map.of("key", inner) : List.of(inner);
        }
        Class<?> raw = (Class<?>) type;
        if (raw == String.class) {
            return "word é";
        } else if (raw == long.class || raw == Long.class) {
            return 1234L;
        } else if (raw == int.class || raw == Integer.class) {
            return 3;
        } else if (raw == boolean.class || raw == Boolean.class) {
            return true;
        } else if (raw == BigDecimal.class) {
            return new BigDecimal("1.50");
        } else if (raw == Amount.class) {
            return new Amount.Weighed(35_200, 93_700, 100, "018f0000-0000-7000-8000-000000000003", "35.2 → 93.7");
        } else if (raw == ThingId.class) {
            return new ThingId("thing-1");
        } else if (raw == EventId.class) {
            return new EventId("018f0000-0000-7000-8000-000000000004");
        } else if (raw == Happened.class) {
            return Happened.exactly(1_700_000_000_000L, ZoneOffset.UTC);
        } else if (raw == RawBody.class) {
            return new RawBody("{\"can\":\"thing-1\"}");
        } else if (raw == Price.class) {
            return new Price(new BigDecimal("31.00"), "EUR");
        } else if (raw == Spectrum.class) {
            return new Spectrum(380, 10, List.of(new BigDecimal("0.50")));
        } else if (raw == Lab.class) {
            return new Lab(new BigDecimal("50.0"), new BigDecimal("-1.5"), new BigDecimal("2.5"));
        } else if (raw.isEnum()) {
            return raw.getEnumConstants()[0];
        }
        RecordComponent[] components = raw.getRecordComponents();
        Object[] values = new Object[components.length];
        Class<?>[] types = new Class<?>[components.length];
        for (int i = 0; i < components.length; i++) {
            values[i] = sample(components[i].getGenericType());
            types[i] = components[i].getType();
        }
        var constructor = raw.getDeclaredConstructor(types);
        constructor.setAccessible(true);
        return constructor.newInstance(values);
    }
}
