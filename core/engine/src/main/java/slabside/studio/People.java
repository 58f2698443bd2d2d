package slabside.studio;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.BiPredicate;
import java.util.function.LongSupplier;
import slabside.event.ThingId;
import slabside.log.LogTrouble;

/**
 * Names of people by id, in {@code people.json} beside the log: outside the chain, so that a name can be taken out. Each name
 * knows since when it is so, so that of the names that two devices give one person the newer counts.
 */
public final class People {
    private static final ObjectMapper JSON = new ObjectMapper();

    private final Path file;
    private final LongSupplier clock;

    /**
     * A name.
     *
     * @param since when it was given, in ms; 0 when nobody knows
     */
    public record Named(String name, long since) {}

    People(Path dataFolder, LongSupplier clock) {
        this.file = dataFolder.resolve("people.json");
        this.clock = clock;
    }

    /** Name of a person; empty for one who is not, or no longer, named. */
    public Optional<String> name(ThingId person) {
        return Optional.ofNullable(named().get(person.text())).map(Named::name);
    }

    /** Names, by id. */
    public Map<String, String> all() {
        Map<String, String> names = new TreeMap<>();
        named().forEach((id, named) -> names.put(id, named.name));
        return names;
    }

    /** Names and since when, by id. */
    public synchronized Map<String, Named> named() {
        if (!Files.exists(file)) {
            return Map.of();
        }
        try {
            Map<String, Named> names = new TreeMap<>();
            for (Map.Entry<String, JsonNode> each : JSON.readTree(file.toFile()).properties()) {
                JsonNode value = each.getValue();
                names.put(
                        each.getKey(),
                        value.isTextual()
                                ? new Named(value.asText(), 0)
                                : new Named(
                                        value.path("name").asText(),
                                        value.path("since").asLong()));
            }
            return names;
        } catch (IOException broken) {
            throw new LogTrouble(
                    "The list of people " + file + " cannot be read: " + broken.getMessage()
                            + ". Put it right or delete it; the log itself is not touched.",
                    broken);
        }
    }

    /** Gives a person a name. */
    public synchronized void name(ThingId person, String name) {
        if (!name(person).equals(Optional.of(name))) {
            Map<String, Named> names = new TreeMap<>(named());
            Named before = names.get(person.text());
            // What replaces a name is newer, whatever the clock of whoever gave that one said.
            long since = Math.max(clock.getAsLong(), before == null ? 0 : before.since + 1);
            names.put(person.text(), new Named(name, since));
            write(names);
        }
    }

    /** Takes over names that are newer than those here; returns how many. */
    public synchronized int take(Map<String, Named> others) {
        Map<String, Named> names = new TreeMap<>(named());
        int taken = 0;
        for (Map.Entry<String, Named> other : others.entrySet()) {
            Named here = names.get(other.getKey());
            if (here == null || newer(other.getValue(), here)) {
                names.put(other.getKey(), other.getValue());
                taken++;
            }
        }
        if (taken > 0) {
            write(names);
        }
        return taken;
    }

    /** Of two names of one moment the one that sorts first counts, so that all devices choose the same. */
    private static boolean newer(Named other, Named here) {
        return other.since > here.since || other.since == here.since && other.name.compareTo(here.name) < 0;
    }

    /** Takes out for good what does not pass. */
    synchronized void keepOnly(BiPredicate<ThingId, Named> passes) {
        Map<String, Named> names = new TreeMap<>(named());
        if (names.entrySet().removeIf(each -> !passes.test(new ThingId(each.getKey()), each.getValue()))) {
            write(names);
        }
    }

    private void write(Map<String, Named> names) {
        ObjectNode all = JSON.createObjectNode();
        names.forEach((id, named) -> all.putObject(id).put("name", named.name).put("since", named.since));
        try {
            SafeFile.write(file, JSON.writerWithDefaultPrettyPrinter().writeValueAsBytes(all));
        } catch (IOException failed) {
            throw new LogTrouble("The list of people " + file + " cannot be written: " + failed.getMessage(), failed);
        }
    }
}
