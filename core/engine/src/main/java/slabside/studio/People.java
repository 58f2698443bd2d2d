package slabside.studio;

import com.fasterxml.jackson.core.type.TypeReference;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import slabside.event.ThingId;
import slabside.log.LogTrouble;

/** Names of people by id, in {@code people.json} beside the log: outside the chain, so that a name can be taken out. */
public final class People {
    private static final ObjectMapper JSON = new ObjectMapper();

    private final Path file;

    People(Path dataFolder) {
        this.file = dataFolder.resolve("people.json");
    }

    /** Name of a person; empty for one who is not, or no longer, named. */
    public Optional<String> name(ThingId person) {
        return Optional.ofNullable(all().get(person.text()));
    }

    /** Names, by id. */
    public Map<String, String> all() {
        if (!Files.exists(file)) {
            return Map.of();
        }
        try {
            return JSON.readValue(file.toFile(), new TypeReference<TreeMap<String, String>>() {});
        } catch (IOException broken) {
            throw new LogTrouble(
                    "The list of people " + file + " cannot be read: " + broken.getMessage()
                            + ". Put it right or delete it; the log itself is not touched.",
                    broken);
        }
    }

    /** Gives a person a name; the file is replaced in one step. */
    public void name(ThingId person, String name) {
        Map<String, String> names = new TreeMap<>(all());
        names.put(person.text(), name);
        Path fresh = file.resolveSibling("people.json.new");
        try {
            JSON.writerWithDefaultPrettyPrinter().writeValue(fresh.toFile(), names);
            Files.move(fresh, file, StandardCopyOption.REPLACE_EXISTING, StandardCopyOption.ATOMIC_MOVE);
        } catch (IOException failed) {
            throw new LogTrouble("The list of people " + file + " cannot be written: " + failed.getMessage(), failed);
        }
    }
}
