package slabside.log;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import slabside.event.Actor;
import slabside.event.Envelope;
import slabside.event.EventCodec;
import slabside.event.EventId;
import slabside.event.Happened;
import slabside.event.Hlc;
import slabside.event.InkEvent;
import slabside.event.StudioEvent;
import slabside.event.ThingId;
import slabside.event.Why;
import slabside.ink.Ledger;
import slabside.measure.Amount;
import slabside.measure.Uncertain;
import slabside.views.MemoryStories;
import slabside.views.StoryKey;

/**
 * What one event costs, each beside the raw work in it: reading a line beside reading its JSON, writing one beside writing its
 * JSON, a link of the chain beside SHA-256 of the same bytes, shares through ten levels beside the same sums in plain loops.
 */
@State(Scope.Thread)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MICROSECONDS)
public class OneEvent {
    private static final int LEVELS = 10;
    private static final int CANS = 5;
    private static final long NOW = 1_750_000_000_000L;

    private final ObjectMapper json = new ObjectMapper();
    private final Chain chain = new Chain();
    private final byte[] previous = new byte[32];
    private MessageDigest sha;
    private Envelope envelope;
    private String line;
    private JsonNode tree;
    private byte[] bytes;
    private MemoryStories nested;

    @Setup
    public void prepare() throws JsonProcessingException, NoSuchAlgorithmException {
        sha = MessageDigest.getInstance("SHA-256");
        envelope = envelope(1, moved("can-1", "mix-1", "12.5"));
        line = EventCodec.line(envelope);
        bytes = line.getBytes(StandardCharsets.UTF_8);
        tree = json.readTree(line);
        List<Stored> events = new ArrayList<>();
        for (int level = 0; level < LEVELS; level++) {
            for (int can = 0; can < CANS; can++) {
                add(events, moved("can-" + can, "mix-" + level, (can + 1) + "0.0"));
            }
            if (level > 0) {
                add(events, moved("mix-" + (level - 1), "mix-" + level, "30.0"));
            }
        }
        nested = MemoryStories.of(events);
    }

    private static InkEvent.Moved moved(String from, String to, String grams) {
        return new InkEvent.Moved(new ThingId(from), new ThingId(to), Amount.net("grams", grams), Why.ADDED, null);
    }

    private static void add(List<Stored> events, StudioEvent event) {
        int number = events.size() + 1;
        events.add(new Stored(number, "0".repeat(64), EventCodec.line(envelope(number, event))));
    }

    private static Envelope envelope(int number, StudioEvent event) {
        long at = NOW + number * 60_000L;
        return new Envelope(
                "0123456789abcdef",
                number,
                EventId.at(at, new java.util.Random(number)),
                Happened.exactly(at, java.time.ZoneOffset.UTC),
                null,
                at,
                new Hlc(at, 0),
                new Actor(new ThingId("person-1"), "bench"),
                "ink.moved",
                1,
                EventCodec.about(event),
                EventCodec.body(event));
    }

    @Benchmark
    public StudioEvent readALine() {
        return new Stored(1, "", line).event();
    }

    @Benchmark
    public JsonNode readALineFloor() throws JsonProcessingException {
        return json.readTree(line);
    }

    @Benchmark
    public String writeALine() {
        return EventCodec.line(envelope);
    }

    @Benchmark
    public String writeALineFloor() {
        return tree.toString();
    }

    @Benchmark
    public byte[] chainALine() {
        return chain.hash(previous, bytes);
    }

    @Benchmark
    public byte[] chainALineFloor() {
        return sha.digest(bytes);
    }

    @Benchmark
    public double shareThroughTenLevels() {
        return new Ledger(nested, load -> new Uncertain(0.4, 0.2))
                .at(new ThingId("mix-" + (LEVELS - 1)), StoryKey.LAST)
                .share(new ThingId("can-0"))
                .value();
    }

    /** Grams of each can in each mix, without what was entered, uncertainty or order. */
    @Benchmark
    public double shareThroughTenLevelsFloor() {
        double[] before = new double[CANS];
        for (int level = 0; level < LEVELS; level++) {
            double all = 0;
            for (double each : before) {
                all += each;
            }
            double[] now = new double[CANS];
            for (int can = 0; can < CANS; can++) {
                now[can] = 10.0 * (can + 1) + (level > 0 ? 30.0 * before[can] / all : 0);
            }
            before = now;
        }
        double all = 0;
        for (double each : before) {
            all += each;
        }
        return before[0] / all;
    }
}
